// The title block at the lower right corner: what is on the sheet, its scale and verdict, and what is next.

import { html, useState } from "./html.mjs";
import { plainly } from "./plainly.mjs";
import { Says } from "./says.mjs";

const WORDS = { pass: "✓ pass", caution: "▮ caution", fail: "⊗ fail" };

/** Where the painter goes with the book, as the book says it: a boat or truck has no wing, nor has every job one. */
function paintedAt(seen) {
  if (seen.plan.surfaces.some((s) => s.kind === "wing")) return "wing";
  const category = ((seen.job || {}).craft || {}).category;
  return ["boat", "truck"].includes(category) ? category : "aircraft";
}

/** What to do next, from what the plan says: [words, tab where it is done]. */
function next(seen, tab) {
  if (!seen.plan || seen.stale) return ["mend what cannot be used", "Survey"];
  const of = (severity) => seen.plan.findings.find((f) => f.severity === severity);
  const fail = of("fail");
  if (fail) return [fail.message, /^(feature|within)|fit|place|clear|cross/.test(fail.id) ? "Fit" : "Marks"];
  if (!seen.plan.marks.length && !(seen.plan.stripes || []).length) return ["say what is to be painted", "Marks"];
  const n = seen.plan.findings.filter((f) => f.severity === "caution").length;
  const way = { Survey: "Marks", Marks: "Fit", Fit: "Mask", Mask: "Spray", Spray: "Pull", Pull: "Record" }[tab];
  if (way) return [`on to ${way}${n ? `; ${n} caution${n > 1 ? "s" : ""} to read on the way` : ""}`, way];
  return [`print the book and go to the ${paintedAt(seen)}`, "Record"];
}

export function TitleBlock({ seen, shown, tab, scale, connected }) {
  const [open, setOpen] = useState(false);
  const verdict = seen.plan && !seen.stale ? seen.plan.verdict : "fail";
  const here = (x) => shown && x.surface === shown.id;
  const marks = seen.plan ? [...seen.plan.marks.filter(here).map((m) => m.text.replace(/\n/g, " ")), ...(seen.plan.stripes || []).filter(here).map((x) => `stripe ${x.id}`)] : [];
  const surface = shown && ((seen.job || {}).surface || []).find((s) => s.id === shown.id);
  const side = surface ? [surface.half, surface.side].filter(Boolean).join(", ") : "";
  const turn = () => {
    const root = document.documentElement;
    const now = root.dataset.theme || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
    root.dataset.theme = now === "dark" ? "light" : "dark";
    localStorage.setItem("light", root.dataset.theme);
  };
  const [told, where] = next(seen, tab), words = plainly(told, true);
  const against = seen.plan ? seen.plan.findings.filter((f) => f.severity === "caution" || f.severity === "fail") : [];
  return html`<section class="block" aria-label="Title block">
    ${open && against.length ? html`<div class="all against" tabindex="0" role="region" aria-label="What to read"><${Says} findings=${against} /></div>` : ""}
    <div class="all"><small>job</small>${(seen.job && seen.job.title) || seen.name}</div>
    <div><small>surface</small>${shown ? shown.id : "none"}</div>
    <div><small>side</small>${side || "–"}</div>
    <div><small>mark</small>${marks.length > 4 ? `${marks.slice(0, 3).join(", ")} and ${marks.length - 3} more` : marks.join(", ") || "none"}</div>
    <div class="screenly"><small>scale</small>${scale ? `about 1 : ${scale}` : "–"}</div>
    <div><small>verdict</small>${against.length && !seen.stale ? html`<button class="verdict plain word-${verdict}" aria-expanded=${open} title="What stands against it" onclick=${() => setOpen(!open)}>${WORDS[verdict]} (${against.length})</button>`
      : html`<span class="word-${verdict}">${seen.plan && !seen.stale ? WORDS[verdict] : "⊗ not planned"}</span>`}</div>
    <div><small>file</small>${seen.name}${connected ? "" : " (no connection)"}<br /><small>help, not approval</small></div>
    <div class="all next-row"><small>next</small><span class="next-words" title=${words}>${words}</span>
      ${where === tab ? "" : html`<a class="target" href="#${encodeURIComponent(seen.name)}/${where}">to ${where}</a>`}<button onclick=${turn}>Light or dark</button></div>
  </section>`;
}
