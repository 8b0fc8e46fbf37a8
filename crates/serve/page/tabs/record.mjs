// Record: what was measured, counted and done, with the times; a draft entry; what to take away.

import { html, useState, useEffect } from "../html.mjs";
import { both, one } from "../units.mjs";
import * as server from "../fetch.mjs";

const key = () => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 10)}`;
const COVERED = ["port", "drain", "vent", "filler", "data-plate"];

export function Record({ seen, inch, units, notice, block, recordNews }) {
  const [events, setEvents] = useState([]);
  const [files, setFiles] = useState([]);
  const [note, setNote] = useState("");
  const [told, setTold] = useState("");
  useEffect(() => { server.record(seen.name).then((r) => setEvents(r.events)).catch((e) => setTold(e.message)); }, [seen.name, recordNews]);
  useEffect(() => { server.files(seen.name).then(setFiles).catch(() => {}); }, [seen.name, seen.revision]);
  const say = async (what, about, value) => { try { setEvents((await server.say(seen.name, { key: key(), what, about, value })).events); setTold(""); } catch (e) { setTold(e.message); } };
  const plan = seen.plan || { marks: [], surfaces: [] };
  const last = (what, about) => { const e = [...events].reverse().find((x) => x.what === what && x.about === about); return e ? e.value : ""; };
  const covers = plan.surfaces.flatMap((s) => s.features.filter((f) => COVERED.includes(f.kind)).map((f) => f.id));
  const when = (ms) => new Date(ms).toLocaleString([], { dateStyle: "short", timeStyle: "short" });
  const measures = plan.marks.flatMap((m) => [[`${m.id} height`, m.height_mm], [`${m.id} stroke`, m.stroke_mm], [`${m.id} length`, m.length_mm]]);
  return html`
    <section class="drawing" style="overflow:auto">
      ${notice}
      <h1>Record</h1>
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      <h2>As painted</h2>
      <div class="scroll"><table><thead><tr><th>measure</th><th class="n">planned</th><th>as measured</th></tr></thead><tbody>
        ${measures.map(([name, mm]) => html`<tr><td><label for=${`m-${name}`}>${name}</label></td><td class="n">${both(mm, inch)}</td><td><input id=${`m-${name}`} value=${last("measured", name)} onchange=${(e) => say("measured", name, e.target.value)} /></td></tr>`)}</tbody></table></div>
      <h2>Ports, drains and plates</h2>
      ${covers.length ? html`<table><thead><tr><th>which</th><th>covered, initials</th><th>uncovered, initials</th></tr></thead><tbody>
        ${covers.map((c) => html`<tr><td>${c}</td>${["covered", "uncovered"].map((w) => html`<td><input aria-label="${c} ${w}, initials" value=${last("counted", `${c} ${w}`)} onchange=${(e) => say("counted", `${c} ${w}`, e.target.value)} /></td>`)}</tr>`)}</tbody></table>` : html`<p class="soft">None on these surfaces.</p>`}
      <h2>Notes</h2>
      <textarea rows="3" aria-label="Note" value=${note} oninput=${(e) => setNote(e.target.value)}></textarea>
      <p><button onclick=${() => { if (note.trim()) { say("note", "note", note); setNote(""); } }}>Keep the note</button></p>
      <h2>What was done (${events.length})</h2>
      <div class="scroll"><table><tbody>${[...events].reverse().slice(0, 200).map((e) => html`<tr><td>${when(e.at_ms)}</td><td>${e.what}</td><td>${e.about}</td><td>${e.value}</td></tr>`)}</tbody></table></div>
    </section>
    <section class="column" aria-label="To take away">
      <h2>Draft entry</h2>
      <p>Painted ${plan.marks.map((m) => `“${m.text}”, ${one(m.height_mm, inch)} high, on ${m.surface}`).join("; ") || "…"}. Date ________ Name ________ Certificate ________ Signature ________</p>
      <p class="soft">A draft: a licensed person decides what is entered and signs it.</p>
      <h2>To take away</h2>
      <ul class="says">${files.map((f) => html`<li class="note"><a href=${server.fileAt(seen.name, f)} download>${f}</a></li>`)}</ul>
    </section>
    ${block}`;
}
