// The wing's section at a station: the face that is painted, what is painted on it, girth against chord.

import { html, useState, useEffect } from "./html.mjs";
import { Sheet, Words, box, line } from "./drawing.mjs";
import { both, one } from "./units.mjs";
import * as server from "./fetch.mjs";

export function Section({ seen, shown, inch }) {
  const [asked, setAsked] = useState(null);
  const [cut, setCut] = useState(null);
  const flat = shown ? shown.outline_flat_mm.map((p) => Math.abs(p[0])) : [0];
  const span = Math.max(...flat);
  const mark = seen.plan && shown && seen.plan.marks.find((m) => m.surface === shown.id);
  const s = asked === null ? (mark ? mark.centre_skin_mm[0] : span / 2) : Math.min(asked, span);
  const id = shown && seen.plan ? shown.id : "";
  useEffect(() => {
    let here = true;
    if (id) server.section(seen.name, id, s).then((c) => { if (here) setCut(c); }).catch(() => setCut(null));
    return () => { here = false; };
  }, [seen.name, seen.revision, id, s]);
  if (!cut) return "";
  const [x0, y0, x1, y1] = box([...cut.face_mm, ...cut.other_face_mm]);
  const m = (x1 - x0) * 0.03;
  return html`<h2 style="margin:.5rem 0 0">Section at station ${one(cut.s_mm, inch)}</h2>
    <${Sheet} cls="small" show=${[x0 - m, y0 - 3 * m, x1 + m, y1 + 3 * m]} label="Section of ${id} at station ${one(cut.s_mm, inch)}">${(px) => html`
      <path class="outline" d=${line(cut.face_mm)} /><path class="thin" d=${line(cut.other_face_mm)} />
      <path class="hinge" d=${line([[0, 0], cut.face_mm[cut.face_mm.length - 1]])} />
      ${cut.paint.map((p) => html`<path d=${line(p.points_mm)} style="fill:none;stroke:var(--accent);stroke-width:6px;vector-effect:non-scaling-stroke" />
        <${Words} px=${px} size="12" at=${[p.points_mm[0][0], p.points_mm[0][1] + 11 * px]}>${one(p.t_mm[0], inch)}</${Words}>
        <${Words} px=${px} size="12" at=${[p.points_mm[p.points_mm.length - 1][0], p.points_mm[p.points_mm.length - 1][1] - 11 * px]}>${one(p.t_mm[1], inch)}</${Words}>`)}`}</${Sheet}>
    <div class="field" style="grid-template-columns:7rem 1fr"><label for="cut-at">Station</label><input id="cut-at" type="range" min="0" max=${span} step=${inch ? 25.4 : 10} value=${s} aria-valuetext=${one(s, inch)} oninput=${(e) => setAsked(+e.target.value)} /></div>
    <p class="soft" style="margin:0">Girth ${both(cut.girth_mm, inch)} over a chord of ${both(cut.chord_mm, inch)}: ${both(cut.girth_mm - cut.chord_mm, inch)} more round the skin. ${cut.paint.length ? "The thick stretches are paint; their figures run round the skin from the leading edge." : ""}</p>`;
}
