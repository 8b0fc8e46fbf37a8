// Fit: the mark under the hand, every feature's distance live, the best places as one tap.

import { html, useState, useRef } from "../html.mjs";
import { Drawing } from "../drawing.mjs";
import { Says } from "../says.mjs";
import { both, one, inUnits, mmOf } from "../units.mjs";
import * as server from "../fetch.mjs";

const WHY = { nearest: "Nearest to the aim", roomiest: "Roomiest", largest: "Largest that fits", easiest: "Easiest to paint", crossing: "Cleanest crossing", gap: "With another gap" };

export function Fit({ seen, edit, inch, units, shown, setSurface, notice, block }) {
  const [live, setLive] = useState(null);
  const [which, setWhich] = useState("");
  const [told, setTold] = useState("");
  const busy = useRef(false), queued = useRef(null), spent = useRef(0);
  const plan = seen.plan;
  const marks = plan && shown ? plan.marks.filter((m) => m.surface === shown.id) : [];
  const mark = marks.find((m) => m.id === which) || marks[0];
  const job = seen.job || {};
  const n = (job.mark || []).findIndex((m) => mark && m.id === mark.id);
  const height = n >= 0 ? job.mark[n].height : "";

  // One question at a time; while it is on its way only the newest place waits.
  const ask = async (id, centre) => {
    queued.current = [id, centre];
    if (busy.current) return;
    busy.current = true;
    while (queued.current) {
      const [m, c] = queued.current;
      queued.current = null;
      const t0 = performance.now();
      try { setLive({ id: m, ...(await server.tryPlace(seen.name, m, c)) }); } catch (e) { setTold(e.message); }
      spent.current = performance.now() - t0;
      document.documentElement.dataset.tryMs = spent.current.toFixed(1);
    }
    busy.current = false;
  };
  const put = async (skin, more = []) => {
    const problems = await edit([{ path: ["mark", n, "place"], value: { at: skin.map((v) => inUnits(v, units)) } }, ...more]);
    setTold(problems ? problems[0].message : "");
  };
  const onMark = async (id, centre, done) => {
    if (id !== (mark || {}).id) setWhich(id);
    if (!done) { ask(id, centre); return; }
    const i = job.mark.findIndex((m) => m.id === id);
    const tried = await server.tryPlace(seen.name, id, centre);
    const problems = await edit([{ path: ["mark", i, "place"], value: { at: tried.centre_skin_mm.map((v) => inUnits(v, units)) } }]);
    setTold(problems ? problems[0].message : "");
    setLive(null);
  };
  const choose = async (a) => {
    const skin = await server.skinAt(seen.name, shown.id, a.centre_flat_mm);
    const more = Math.abs(a.height_mm - mark.height_mm) > 0.01 ? [{ path: ["mark", n, "height"], value: inUnits(a.height_mm, units) }] : [];
    await put(skin, more);
  };
  if (!mark) return html`<section class="drawing"><${Drawing} surface=${shown} marks=${[]} inch=${inch} /></section><section class="column">${notice}<h1>Fit</h1><p>There is no mark on this surface.</p></section>${block}`;
  const lie = live && live.id === mark.id ? live : mark.fit;
  const relations = Object.fromEntries(lie.features.map((f) => [f.id, { wall: true, ...f }]));
  const low = mmOf("1 in", units), mm = mark.height_mm;
  const status = { placed: "found, and proved", given: "where you put it", none: "no place was found" }[mark.fit.status];
  return html`
    <section class="drawing">
      ${plan.surfaces.length > 1 ? html`<div class="row">${plan.surfaces.map((s) => html`<button aria-pressed=${s.id === shown.id} onclick=${() => setSurface(s.id)}>${s.id}</button>`)}</div>` : ""}
      <${Drawing} surface=${shown} marks=${marks} relations=${relations} onMark=${onMark} inch=${inch} room=${mark.fit.room_flat_mm} />
      <p class="soft">Drag the mark, or move it with the arrow keys (1/8 in; with Shift 1 in). Figures on features: distance beyond the clearance asked.</p>
    </section>
    <section class="column" aria-label="Fit">
      ${notice}
      <h1>Fit</h1>
      ${marks.length > 1 ? html`<div class="row">${marks.map((m) => html`<button aria-pressed=${m.id === mark.id} onclick=${() => setWhich(m.id)}>${m.id}</button>`)}</div>` : ""}
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      <p>${mark.text}: ${status}${mark.fit.certain === "re-measure" ? "; measure again before you trust it" : ""}.</p>
      <p aria-live="polite">${lie.clearance_mm === null ? "Nothing here asks for distance." : lie.clearance_mm >= 0
        ? html`<span class="word-pass">✓ clear</span> by ${both(lie.clearance_mm, inch)} beyond what is asked`
        : html`<span class="word-fail">⊗ in the way</span>: ${both(-lie.clearance_mm, inch)} too near`}</p>
      <div class="field"><label for="fit-height">Height</label><input id="fit-height" type="range" min=${Math.min(low, mm)} max=${Math.max(mm * 1.6, low * 12)} step=${inch ? 25.4 / 8 : 2} value=${mm}
        onchange=${(e) => edit([{ path: ["mark", n, "height"], value: inUnits(+e.target.value, units) }]).then((p) => setTold(p ? p[0].message : ""))} /></div>
      <p class="soft">${both(mm, inch)}${typeof height === "string" && /largest|legal/.test(height) ? ` (${height})` : ""}</p>
      <h2>Other places</h2>
      <div class="cards">${mark.fit.alternatives.map((a) => html`<button onclick=${() => choose(a)}>${WHY[a.why] || a.why}<small>${one(a.height_mm, inch)} high${a.clearance_mm === null ? "" : `, ${a.clearance_mm < 0 ? "crosses by" : "clear by"} ${one(Math.abs(a.clearance_mm), inch)}`}</small></button>`)}</div>
      <h2>Features</h2>
      <table><thead><tr><th>feature</th><th>lies</th><th class="n">beyond clearance</th></tr></thead><tbody>
        ${[...lie.features].sort((a, b) => a.clearance_mm - b.clearance_mm).map((f) => html`<tr><td>${f.id}</td><td>${f.relation.replace("-", " ")}</td><td class="n">${one(f.clearance_mm, inch)}</td></tr>`)}</tbody></table>
      <h2>What the plan says</h2>
      <${Says} findings=${plan.findings.filter((f) => f.about === mark.id && !f.cite)} />
    </section>
    ${block}`;
}
