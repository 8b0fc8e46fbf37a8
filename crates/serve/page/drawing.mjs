// The surface to scale, seen facing it: outline, features, marks; what is touched can be dragged.

import { html, useState, useRef } from "./html.mjs";
import { one } from "./units.mjs";

const path = (rings) => rings.map((r) => "M" + r.map(([x, y]) => `${x.toFixed(2)} ${(-y).toFixed(2)}`).join("L") + "Z").join("");
const line = (pts) => "M" + pts.map(([x, y]) => `${x.toFixed(2)} ${(-y).toFixed(2)}`).join("L");

/** Box of points: [x0, y0, x1, y1]. */
export function box(points) {
  const b = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) { b[0] = Math.min(b[0], x); b[1] = Math.min(b[1], y); b[2] = Math.max(b[2], x); b[3] = Math.max(b[3], y); }
  return b;
}

/**
 * @param {object} p
 * @param p.surface of the plan; p.marks those on it; p.onMark(id, centre, done) while a mark is dragged;
 *   p.onFeature(id, byFlat, done) while a feature is; p.chosen id of a feature; p.relations {id: {relation, clearance_mm, wall}}
 */
export function Drawing({ surface, marks, relations, onMark, onFeature, onChoose, chosen, room, inch, under }) {
  const svg = useRef(null);
  const [drag, setDrag] = useState(null);
  if (!surface) return html`<p class="wait">There is no surface to draw yet.</p>`;
  const [x0, y0, x1, y1] = box(surface.outline_flat_mm);
  const m = Math.max(x1 - x0, y1 - y0) * 0.04;
  const size = Math.max(x1 - x0, y1 - y0) / 60;

  const at = (e) => {
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.current.getScreenCTM().inverse());
    return [p.x, -p.y];
  };
  const take = (kind, id, start) => (e) => {
    if (e.button) return;
    e.preventDefault();
    svg.current.setPointerCapture(e.pointerId);
    setDrag({ kind, id, from: at(e), start, by: [0, 0] });
    if (kind === "feature" && onChoose) onChoose(id);
  };
  const move = (e) => {
    if (!drag) return;
    const p = at(e);
    const by = [p[0] - drag.from[0], p[1] - drag.from[1]];
    setDrag({ ...drag, by });
    if (drag.kind === "mark" && onMark) onMark(drag.id, [drag.start[0] + by[0], drag.start[1] + by[1]], false);
  };
  const drop = () => {
    if (!drag) return;
    const moved = Math.hypot(...drag.by) > 0.3;
    if (moved && drag.kind === "mark" && onMark) onMark(drag.id, [drag.start[0] + drag.by[0], drag.start[1] + drag.by[1]], true);
    if (moved && drag.kind === "feature" && onFeature) onFeature(drag.id, drag.by, true);
    setDrag(null);
  };
  const nudge = (id, start) => (e) => {
    const step = e.shiftKey ? 25.4 : 25.4 / 8;
    const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[e.key];
    if (!by || !onMark) return;
    e.preventDefault();
    onMark(id, [start[0] + by[0], start[1] + by[1]], true);
  };
  const shift = (kind, id) => drag && drag.kind === kind && drag.id === id ? `translate(${drag.by[0]} ${-drag.by[1]})` : "";

  return html`<svg class="flat" ref=${svg} viewBox="${x0 - m} ${-y1 - m} ${x1 - x0 + 2 * m} ${y1 - y0 + 2 * m}"
      onpointermove=${move} onpointerup=${drop} onpointercancel=${drop} role="group" aria-label="Drawing of ${surface.id}">
    <path class="outline" d=${path([surface.outline_flat_mm])} />
    ${under || ""}
    ${room ? html`<path class="room" fill-rule="evenodd" d=${path(room)} />` : ""}
    ${marks.map((k) => html`<path class="mark ${drag && drag.id === k.id ? "touched" : ""}" fill-rule="evenodd" transform=${shift("mark", k.id)}
        d=${path(k.glyphs.flatMap((g) => g.rings_flat_mm))} onpointerdown=${onMark ? take("mark", k.id, k.centre_flat_mm) : null}
        tabindex=${onMark ? 0 : -1} onkeydown=${nudge(k.id, k.centre_flat_mm)} role=${onMark ? "button" : "img"} aria-label="Mark ${k.text}${onMark ? ": drag it, or move it with the arrow keys" : ""}" />`)}
    ${surface.features.map((f) => {
      const r = relations && relations[f.id];
      const bad = r && r.wall && r.clearance_mm < -0.001;
      const cls = `feature ${f.kind === "hinge" ? "hinge" : ""} ${bad ? "bad" : ""} ${chosen === f.id ? "chosen" : ""}`;
      const attrs = { class: cls, transform: shift("feature", f.id), onpointerdown: onFeature ? take("feature", f.id, [0, 0]) : null };
      return html`<g key=${f.id}><title>${f.id}, ${f.kind}${r ? `: ${r.relation.replace("-", " ")}, ${one(r.clearance_mm, inch)} beyond its clearance` : ""}</title>
        ${f.centre_flat_mm ? html`<circle ...${attrs} cx=${f.centre_flat_mm[0]} cy=${-f.centre_flat_mm[1]} r=${f.radius_mm} />` : ""}
        ${f.rings_flat_mm ? html`<path ...${attrs} fill-rule="evenodd" d=${path(f.rings_flat_mm)} />` : ""}
        ${f.path_flat_mm ? html`<path ...${attrs} style="fill:none" d=${line(f.path_flat_mm)} />` : ""}
        ${r && onMark ? html`<text x=${middle(f)[0]} y=${-middle(f)[1] - (f.radius_mm || 0) - size * 0.7} font-size=${size} text-anchor="middle" dominant-baseline="central" style="pointer-events:none;paint-order:stroke;stroke:var(--paper);stroke-width:${size / 3}px">${bad ? "⊗ " : ""}${one(r.clearance_mm, inch)}</text>` : ""}
      </g>`;
    })}
  </svg>`;
}

/** About the middle of a feature. */
function middle(f) {
  if (f.centre_flat_mm) return f.centre_flat_mm;
  const pts = f.rings_flat_mm ? f.rings_flat_mm[0] : f.path_flat_mm;
  const [a, b, c, d] = box(pts);
  return [(a + c) / 2, (b + d) / 2];
}
