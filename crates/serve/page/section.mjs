// The wing's section, or the body's ring, at a station: the face that is painted, what is painted on it, girth
// against chord.

import { html, useState, useEffect } from "./html.mjs";
import { Sheet, Words, box, line } from "./drawing.mjs";
import { both, one } from "./units.mjs";
import * as server from "./fetch.mjs";

export function Section({ seen, shown, inch }) {
  const [asked, setAsked] = useState(null);
  const [cut, setCut] = useState(null);
  const along = shown ? shown.outline_flat_mm.map((p) => Math.abs(p[0])) : [0];
  const [from, to] = [shown && shown.kind === "body" ? Math.min(...along) : 0, Math.max(...along)];
  const mark = seen.plan && shown && seen.plan.marks.find((m) => m.surface === shown.id);
  // A station that runs through the first letter.
  const first = mark ? mark.centre_skin_mm[0] - mark.length_mm / 2 + mark.stroke_mm / 2 : (from + to) / 2;
  const s = Math.min(Math.max(asked === null ? first : asked, from), to);
  const id = shown && seen.plan ? shown.id : "";
  useEffect(() => {
    let here = true;
    if (id) server.section(seen.name, id, s).then((c) => { if (here) setCut(c); }).catch(() => setCut(null));
    return () => { here = false; };
  }, [seen.name, seen.revision, id, s]);
  if (!cut) return "";
  const ring = cut.half_width_mm !== undefined;
  const [x0, y0, x1, y1] = box([...cut.face_mm, ...cut.other_face_mm]);
  const m = Math.max(x1 - x0, y1 - y0) * 0.03;
  // On a ring the figures stand outside it, on the painted side.
  const aside = ring ? (x1 + x0 > 2 * cut.face_mm[Math.floor(cut.face_mm.length / 2)][0] ? -1 : 1) : 0;
  const figure = (p, up, px, mm) => html`<${Words} px=${px} size="12" anchor=${aside < 0 ? "end" : aside > 0 ? "start" : "middle"} at=${[p[0] + aside * 9 * px, p[1] + (aside ? 0 : up * 11 * px)]}>${one(mm, inch)}</${Words}>`;
  const name = ring ? "Ring" : "Section", at = `${name} at station ${one(cut.s_mm, inch)}`;
  const stretches = cut.paint.map((p) => `${one(p.t_mm[0], inch)} to ${one(p.t_mm[1], inch)}`).join(", ");
  return html`<h2 style="margin:.5rem 0 0">${at}</h2>
    <${Sheet} cls=${ring ? "small round" : "small"} show=${[x0 - (ring ? 8 : 1) * m, y0 - 3 * m, x1 + (ring ? 8 : 1) * m, y1 + 3 * m]} label="${at} of ${id}">${(px) => html`
      <path class="outline" d=${line(cut.face_mm)} /><path class="thin" d=${line(cut.other_face_mm)} />
      <path class="hinge" d=${ring ? line([[x0, cut.waterline_mm], [x1, cut.waterline_mm]]) : line([[0, 0], cut.face_mm[cut.face_mm.length - 1]])} />
      ${cut.paint.map((p) => html`<path d=${line(p.points_mm)} style="fill:none;stroke:var(--accent);stroke-width:6px;vector-effect:non-scaling-stroke" />
        ${figure(p.points_mm[0], 1, px, p.t_mm[0])}${figure(p.points_mm[p.points_mm.length - 1], -1, px, p.t_mm[1])}`)}`}</${Sheet}>
    <div class="field" style="grid-template-columns:7rem 1fr"><label for="cut-at">Station</label><input id="cut-at" type="range" min=${from} max=${to} step=${inch ? 25.4 / 2 : 10} value=${s} aria-valuetext=${one(s, inch)} oninput=${(e) => setAsked(+e.target.value)} /></div>
    <p class="soft" style="margin:0">${ring ? html`Seen from behind; the thick half is this side, the dash-dotted line the waterline. Half width ${both(cut.half_width_mm, inch)}, height ${both(cut.height_mm, inch)}; round this side ${both(cut.girth_mm, inch)}.`
    : html`Girth ${both(cut.girth_mm, inch)} over a chord of ${both(cut.chord_mm, inch)}: ${both(cut.girth_mm - cut.chord_mm, inch)} more round the skin.`}
      ${mark ? cut.paint.length ? ` Painted here: ${stretches}, round the skin from the ${ring ? "waterline" : "leading edge"}.` : " No letter crosses this station." : ""}</p>`;
}
