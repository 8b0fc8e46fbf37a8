// Mask: the tape map, laying stepped through piece by piece, ends and angles, the cut list.

import { html, useState } from "../html.mjs";
import { Drawing } from "../drawing.mjs";
import { one } from "../units.mjs";

const END = (e) => e.end === "pre-cut" ? `cut at ${Math.round(e.cut_deg * 2) / 2}°${e.exact ? ", exact" : ", stop 1/16 in short"}` : e.end === "run-on" ? "run on" : "lap";

export function Mask({ seen, inch, shown, notice, block }) {
  const [at, setAt] = useState(0);
  const [which, setWhich] = useState(0);
  const plan = seen.plan;
  const here = plan ? (plan.masking || []).filter((m) => { const k = plan.marks.find((x) => x.id === m.of); return k && shown && k.surface === shown.id; }) : [];
  const mask = here[which] || here[0];
  const marks = plan && shown ? plan.marks.filter((m) => m.surface === shown.id) : [];
  if (!mask) return html`<section class="drawing"><${Drawing} surface=${shown} marks=${marks} inch=${inch} /></section><section class="column">${notice}<h1>Mask</h1><p>No tape plan yet: the job has no [masking] table, or no mark here.</p></section>${block}`;
  const pieces = [...mask.pieces].sort((a, b) => a.lay - b.lay);
  const piece = pieces[Math.min(at, pieces.length - 1)];
  const to = (n) => setAt(Math.max(0, Math.min(pieces.length - 1, n)));
  const d = (p) => "M" + p.map(([x, y]) => `${x} ${-y}`).join("L");
  const under = html`<g>${pieces.slice(0, at).map((p) => html`<path d=${d(p.path_flat_mm)} class="thin" style="stroke-dasharray:none" />`)}
    ${piece ? html`<path d=${d(piece.path_flat_mm)} style="fill:none;stroke:var(--accent);stroke-width:6px;vector-effect:non-scaling-stroke" />` : ""}</g>`;
  const mark = plan.marks.find((m) => m.id === mask.of);
  return html`
    <section class="drawing"><${Drawing} surface=${shown} marks=${marks} inch=${inch} /><svg style="display:none"></svg>
      <${Closer} mark=${mark} piece=${piece} laid=${pieces.slice(0, at)} d=${d} /></section>
    <section class="column" aria-label="Mask">
      ${notice}
      <h1>Mask</h1>
      ${here.length > 1 ? html`<div class="row">${here.map((m, i) => html`<button aria-pressed=${i === which} onclick=${() => { setWhich(i); setAt(0); }}>${m.of}, ${m.paint}</button>`)}</div>` : ""}
      ${piece ? html`<p><b>Piece ${piece.id}</b>, ${at + 1} of ${pieces.length} to lay: ${piece.kind}, ${one(piece.tape_width_mm, inch)} tape, cut ${one(piece.cut_length_mm, inch)}.</p>
        <p>Start: ${END(piece.start)}. Finish: ${END(piece.finish)}. Tab: ${piece.tab.at === "none" ? "none" : `${piece.tab.kind} at the ${piece.tab.at}`}. ${piece.over.length ? `Lies on ${piece.over.join(", ")}.` : ""} Pulled ${piece.pull}.</p>
        <div class="row"><button onclick=${() => to(at - 1)} disabled=${at === 0}>Before</button><button onclick=${() => to(at + 1)} disabled=${at >= pieces.length - 1}>Next piece</button></div>` : ""}
      <h2>To cut</h2>
      <div class="scroll"><table><thead><tr><th>lay</th><th>piece</th><th>kind</th><th class="n">tape</th><th class="n">length</th></tr></thead><tbody>
        ${pieces.map((p, i) => html`<tr class=${i === at ? "chosen" : ""}><td>${p.lay}</td><td><button onclick=${() => setAt(i)}>${p.id}</button></td><td>${p.kind}</td><td class="n">${one(p.tape_width_mm, inch)}</td><td class="n">${one(p.cut_length_mm, inch)}</td></tr>`)}</tbody></table></div>
    </section>
    ${block}`;
}

function Closer({ mark, piece, laid, d }) {
  if (!mark || !piece) return "";
  const glyph = mark.glyphs[piece.glyph];
  const pts = glyph ? glyph.rings_flat_mm.flat() : mark.glyphs.flatMap((g) => g.rings_flat_mm.flat());
  const xs = pts.map((p) => p[0]), ys = pts.map((p) => p[1]);
  const [x0, y0, x1, y1] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const m = Math.max(x1 - x0, y1 - y0) * 0.12;
  const rings = (mark.glyphs).flatMap((g) => g.rings_flat_mm);
  return html`<svg class="flat" viewBox="${x0 - m} ${-y1 - m} ${x1 - x0 + 2 * m} ${y1 - y0 + 2 * m}" role="img" aria-label="Where piece ${piece.id} goes">
    <path class="mark" style="cursor:default" fill-rule="evenodd" d=${rings.map((r) => d(r) + "Z").join("")} />
    ${laid.map((p) => html`<path d=${d(p.path_flat_mm)} style="fill:none;stroke:var(--soft);stroke-width:4px;vector-effect:non-scaling-stroke" />`)}
    <path d=${d(piece.path_flat_mm)} style="fill:none;stroke:var(--accent);stroke-width:9px;vector-effect:non-scaling-stroke" /></svg>`;
}
