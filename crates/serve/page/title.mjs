// The title block at the lower right corner: what is on the sheet, its verdict, and what is next.

import { html } from "./html.mjs";

const WORDS = { pass: "✓ pass", caution: "▮ caution", fail: "⊗ fail" };

/** What to do next, from what the plan says. */
function next(seen) {
  if (!seen.plan) return "mend what cannot be read";
  const fail = seen.plan.findings.find((f) => f.severity === "fail");
  if (fail) return fail.message;
  const caution = seen.plan.findings.find((f) => f.severity === "caution");
  return caution ? caution.message : "print the book and go to the wing";
}

export function TitleBlock({ seen, shown, connected }) {
  const verdict = seen.plan ? seen.plan.verdict : "fail";
  const marks = seen.plan ? seen.plan.marks.filter((m) => shown && m.surface === shown.id) : [];
  const turn = () => {
    const root = document.documentElement;
    const now = root.dataset.theme || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
    root.dataset.theme = now === "dark" ? "light" : "dark";
    localStorage.setItem("light", root.dataset.theme);
  };
  return html`<div class="block" aria-label="Title block">
    <div class="all"><small>job</small>${(seen.job && seen.job.title) || seen.name}</div>
    <div><small>surface</small>${shown ? shown.id : "none"}</div>
    <div><small>mark</small>${marks.map((m) => m.text).join(", ") || "none"}</div>
    <div><small>verdict</small><span class="word-${verdict}">${seen.plan ? WORDS[verdict] : "⊗ not planned"}</span></div>
    <div><small>file</small>${seen.name}${connected ? "" : " (no connection)"}</div>
    <div class="all"><small>next</small>${next(seen)}</div>
    <div class="all"><button onclick=${turn}>Light or dark</button> <span class="soft">a rule report is help, not approval</span></div>
  </div>`;
}
