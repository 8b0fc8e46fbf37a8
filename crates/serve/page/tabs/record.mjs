// Record: what was measured, held against the limits; covers counted; what was done, with the times; a draft
// entry; what to take away.

import { html, useState, useEffect } from "../html.mjs";
import { Entry, Field, Flag, Fold } from "../field.mjs";
import { kept, limits } from "../limits.mjs";
import { shots as shotsOf } from "../clocks.mjs";
import { toMeasure } from "../edges.mjs";
import { Stations } from "../stations.mjs";
import { mmOf, one, signedMm } from "../units.mjs";
import { otherwise, words } from "../words.mjs";
import * as server from "../fetch.mjs";

const key = () => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 10)}`;
const COVERED = ["port", "drain", "vent", "filler", "data-plate", "placard", "window"];
const DID = { laid: "laid", pulled: "pulled", unmasked: "unmasked", undone: "taken back", shot: "shot", measured: "measured", counted: "counted", note: "note", timer: "clock" };

export function Record({ seen, edit, inch, units, notice, block, recordNews }) {
  const [events, setEvents] = useState([]);
  const [files, setFiles] = useState(null);
  const [note, setNote] = useState("");
  const [told, setTold] = useState("");
  const [wrong, setWrong] = useState({});
  useEffect(() => { server.record(seen.name).then((r) => setEvents(r.events)).catch((e) => setTold(e.message)); }, [seen.name, recordNews]);
  useEffect(() => { server.files(seen.name).then(setFiles).catch(() => setFiles([])); }, [seen.name, seen.revision]);
  const say = async (what, about, value) => { try { setEvents((await server.say(seen.name, { key: key(), what, about, value })).events); setTold(""); return true; } catch (e) { setTold(`${e.message}; it is not kept yet, try again`); return false; } };
  const plan = seen.plan || { marks: [], surfaces: [], findings: [], paint: [], labour: {} };
  const job = seen.job || {};
  const slackMm = mmOf(job.rule_tolerance || "1/16 in", units);
  const last = (what, about) => { const e = [...events].reverse().find((x) => x.what === what && x.about === about); return e ? e.value : ""; };
  const covers = plan.surfaces.flatMap((s) => s.features.filter((f) => COVERED.includes(f.kind)).map((f) => ({ id: f.id, kind: f.kind })));
  const counted = (w) => covers.filter((c) => last("counted", `${c.id} ${w}`).trim()).length;
  const when = (ms) => new Date(ms).toLocaleString("en-GB", { dateStyle: "short", timeStyle: "short" });
  const figures = [...plan.marks.map((m) => ({ m, of: [["height", m.height_mm], ["stroke", m.stroke_mm], ["gap", m.gap_mm], ["length", m.length_mm]] })), ...(plan.stripes || []).map((m) => ({ m, of: [["width", m.width_mm], ["length", m.length_mm]] }))];
  const measures = figures.flatMap(({ m, of }) => of.map(([what, mm]) => ({ name: `${m.id} ${what}`, mark: m, what, mm })));
  const judged = measures.map((m) => {
    const text = last("measured", m.name), mm = text ? mmOf(text, units) : NaN;
    const law = limits(plan, m.mark.id, m.what, inch);
    const broken = law.filter((l) => l.bound !== "may" && !kept(mm, l, slackMm));
    const off = mm - m.mm;
    const words = !text ? "" : Number.isNaN(mm) ? "not a length" : broken.length ? `⊗ ${broken.map((l) => l.words).join("; ")}` : law.length ? `✓ within ${law.map((l) => l.words).join("; ")}` : Math.abs(off) <= slackMm ? "✓ as planned" : `▮ ${one(Math.abs(off), inch)} ${off > 0 ? "more" : "less"} than planned`;
    return { ...m, planned: m.mm, text, words, cls: words.startsWith("⊗") ? "fail" : words.startsWith("▮") ? "caution" : "pass", law };
  });
  const measured = (m, value) => {
    // What is no length is told at its field and not kept; what was typed stays.
    const bad = value.trim() !== "" && Number.isNaN(mmOf(value, units));
    setWrong({ ...wrong, [m.name]: bad ? `“${value}” is not a length such as 30 1/16 in or 763 mm` : "" });
    return !bad && (value === m.text || say("measured", m.name, value));
  };
  // The edges of the stripes, at a few stations each.
  const surfaceOf = (s) => ({ ...(job.surface || []).find((x) => x.id === s.surface), kind: (plan.surfaces.find((x) => x.id === s.surface) || {}).kind });
  const stations = (plan.stripes || []).map((s) => ({ s, surface: surfaceOf(s), list: toMeasure(s, surfaceOf(s), units === "in" || units === "ft") }));
  const edgeMeasured = (name, value) => {
    const bad = value.trim() !== "" && Number.isNaN(signedMm(value, units));
    setWrong({ ...wrong, [name]: bad ? `“${value}” is not a length such as 30 1/16 in or −763 mm` : "" });
    return !bad && (value === last("measured", name) || say("measured", name, value));
  };
  const read = [...judged.filter((m) => m.text).map((m) => `${m.name} ${m.text}`), ...stations.flatMap((x) => x.list).filter((m) => last("measured", m.name)).map((m) => `${m.name}: ${last("measured", m.name)}`)];
  const hours = Object.values((plan.labour || {}).minutes_by_phase || {}).reduce((a, b) => a + b, 0) / 60;
  // Those that were taken back are not in it, and no time is told of what nobody timed.
  const shots = shotsOf(events).filter((e) => e.timed), pulls = events.filter((e) => e.what === "pulled");
  const draft = [
    `Painted ${[...plan.marks.map((m) => `“${m.text.replace(/\n/g, " / ")}”, ${one(m.height_mm, inch)} high, on ${m.surface}`), ...(plan.stripes || []).map((s) => `stripe ${s.id}, ${one(s.width_mm, inch)} wide, on ${s.surface}`)].join("; ") || "…"}.`,
    read.length ? `Measured: ${read.join(", ")}.` : "",
    plan.paint.length ? `Paint: ${plan.paint.map((p) => `${p.id}, ${p.dry_film_um} µm dry, about ${p.dry_mass_g.toFixed(0)} g on the skin`).join("; ")}.` : "",
    shots.length ? `Shot ${when(shots[0].at_ms)} to ${when(shots[shots.length - 1].at_ms)}${pulls.length ? `, tape pulled by ${when(pulls[pulls.length - 1].at_ms)}` : ""}.` : "",
    covers.length ? `Ports, drains and plates: ${counted("covered")} of ${covers.length} covered, ${counted("uncovered")} uncovered again.` : "",
    hours ? `Work as planned: about ${hours.toFixed(1)} h.` : "",
    (plan.parts || []).filter((p) => p.control).length ? `Control surface painted: ${plan.parts.filter((p) => p.control).map((p) => p.id).join(", ")}; balance to be checked by the maintenance manual.` : "",
    "Date ________  Name ________  Certificate ________  Signature ________",
  ].filter(Boolean).join("\n");
  return html`
    <section class="drawing">
      ${notice}
      <h1>Record</h1>
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      <h2>As painted</h2>
      <div class="scroll" tabindex="0" role="region" aria-label="As painted"><table class="stack"><thead><tr><th>measure</th><th class="n">planned</th><th>as measured</th><th>against the limits</th></tr></thead><tbody>
        ${judged.map((m) => html`<tr><td><label for=${`m-${m.name}`}>${m.name}</label></td><td class="n"><span class="narrow">planned </span>${one(m.planned, inch)}</td>
          <td><${Entry} id=${`m-${m.name}`} value=${m.text} placeholder="measured" aria-invalid=${wrong[m.name] ? "true" : "false"} style="min-width:7rem" save=${(v) => measured(m, v)} />${wrong[m.name] ? html`<p class="told" role="alert">${wrong[m.name]}</p>` : ""}</td>
          <td class="all">${m.words ? html`<span class="word-${m.cls}">${m.words}</span>` : html`<span class="soft">${m.law.map((l) => l.words).join("; ") || "no limit"}</span>`}</td></tr>`)}</tbody></table></div>
      ${stations.map((x) => html`<${Stations} key=${x.s.id} stripe=${x.s} surface=${x.surface} list=${x.list} read=${(name) => last("measured", name)} wrong=${wrong} save=${edgeMeasured} units=${units} slack=${slackMm} inch=${inch} />`)}
      <p class="soft">Exact figures may be off by the shop's own ${one(slackMm, inch)}.</p>
      <h2>Ports, drains and plates</h2>
      ${covers.length ? html`<p class="figure">${counted("covered")} of ${covers.length} covered, ${counted("uncovered")} of ${covers.length} uncovered</p>
        <table><thead><tr><th>which</th><th>covered, initials</th><th>uncovered, initials</th></tr></thead><tbody>
        ${covers.map((c) => html`<tr><td style="white-space:nowrap">${c.id}</td>${["covered", "uncovered"].map((w) => html`<td><${Entry} aria-label="${c.id} ${w}, initials" value=${last("counted", `${c.id} ${w}`)} save=${(v) => say("counted", `${c.id} ${w}`, v)} /></td>`)}</tr>`)}</tbody></table>
        ${counted("uncovered") < counted("covered") ? html`<ul class="says"><li class="caution"><span class="word-caution">caution: </span>${counted("covered") - counted("uncovered")} still covered. A blocked port or drain can hurt someone.</li></ul>` : ""}` : html`<p class="soft">None on these surfaces.</p>`}
      <h2>Notes</h2>
      <textarea rows="3" aria-label="Note" value=${note} oninput=${(e) => setNote(e.target.value)}></textarea>
      <p><button onclick=${async () => { if (note.trim() && await say("note", "note", note)) setNote(""); }}>Keep the note</button></p>
      <h2>What was done (${events.length})</h2>
      <div class="scroll" tabindex="0" role="region" aria-label="What was done"><table><thead><tr><th>when</th><th>what</th><th>about</th><th>value</th></tr></thead><tbody>${runs(events).reverse().slice(0, 200).map((r) => html`<tr><td>${when(r.from_ms)}${clockOf(r.to_ms) === clockOf(r.from_ms) ? "" : ` to ${clockOf(r.to_ms)}`}</td><td>${DID[r.what] || r.what}</td><td>${r.about}</td><td>${r.value}</td></tr>`)}</tbody></table></div>
    </section>
    <section class="column" aria-label="To take away">
      <div class="noprint"><h2>To take away</h2>
      <${Files} files=${files} name=${seen.name} />
      <${Fold} title="How patterns are printed" says=${[(job.patterns || {}).paper, ...["pounce", "whole", "mirror"].filter((k) => (job.patterns || {})[k])].filter(Boolean).join(", ") || "as usual"}>
        <${Field} label="Paper" path=${["patterns", "paper"]} value=${(job.patterns || {}).paper} list=${words("patterns", "paper")} edit=${edit} words note="a sheet by its name, or the width of a roll such as 36 in" />
        ${[["pounce", "Pounce dots", "along the paint edges, to prick through"], ["whole", "The whole mark too", "beside one pattern a letter"], ["mirror", "Mirrored too", "to cut a film from its back"]].map(([k, label, note]) => html`<${Flag} label=${label} path=${["patterns", k]} value=${(job.patterns || {})[k]} edit=${edit} other=${otherwise("patterns", k)} note=${note} />`)}</${Fold}></div>
      <h2>Draft entry</h2>
      <textarea rows="9" readonly aria-label="Draft entry" value=${draft}></textarea>
      <p class="soft">A draft: a licensed person decides what is entered and signs it.</p>
      <p class="noprint"><a download="draft-entry.txt" href=${`data:text/plain;charset=utf-8,${encodeURIComponent(draft)}`}>Take the draft away</a></p>
    </section>
    ${block}`;
}

const clockOf = (ms) => new Date(ms).toLocaleTimeString("en-GB", { timeStyle: "short" });

/** What was done, in order: pieces of one mask pulled one after the other are one line. */
function runs(events) {
  const found = [];
  for (const e of events) {
    const at = e.about.lastIndexOf("/"), of = e.what === "pulled" && at > 0 ? e.about.slice(0, at) : "", piece = e.about.slice(at + 1), last = found[found.length - 1];
    if (of && last && last.of === of) Object.assign(last, { n: last.n + 1, to_ms: e.at_ms, about: `${of}, ${last.first} to ${piece}`, value: `${last.n + 1} pieces` });
    else found.push({ ...e, of, n: 1, first: piece, from_ms: e.at_ms, to_ms: e.at_ms, about: of ? `${of}, ${piece}` : e.about });
  }
  return found;
}

/** Files of the plan in the order they go to the wing. */
function Files({ files, name }) {
  if (!files) return html`<p class="soft" role="status">Setting the book …</p>`;
  /** @type {[string, RegExp][]} */
  const order = [["The book", /^book/], ["For the calendar", /\.ics$/], ["Patterns and sticks", /^patterns\//], ["Drawings", /^layout\//], ["For other programs", /json$/]];
  const of = (f) => order.findIndex(([, like]) => like.test(f));
  return order.map(([title], i) => { const here = files.filter((f) => of(f) === i); const list = html`<ul class="says">${here.map((f) => html`<li class="note"><a href=${server.fileAt(name, f)} download=${f.split("/").pop()}>${f.split("/").pop()}</a></li>`)}</ul>`; return !here.length ? "" : here.length > 6 ? html`<details class="fold"><summary>${title}<span class="soft"> · ${here.length} files</span></summary>${list}</details>` : html`<h3>${title}</h3>${list}`; });
}
