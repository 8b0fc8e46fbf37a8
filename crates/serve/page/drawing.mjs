// The surface to scale, seen facing it: outline, ribs, features, marks; what is touched can be dragged.

import { html, useState, useRef, useEffect, useMemo } from "./html.mjs";
import { one } from "./units.mjs";

export const path = (rings) => rings.map((r) => line(r) + "Z").join("");
export const line = (pts) => "M" + pts.map(([x, y]) => `${x.toFixed(2)} ${(-y).toFixed(2)}`).join("L");

/** Box of points: [x0, y0, x1, y1]. @returns {[number, number, number, number]} */
export function box(points) {
  /** @type {[number, number, number, number]} */
  const b = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) { b[0] = Math.min(b[0], x); b[1] = Math.min(b[1], y); b[2] = Math.max(b[2], x); b[3] = Math.max(b[3], y); }
  return b;
}

/** How low and high an outline reaches at x. */
export function reach(outline, x) {
  const at = outline.flatMap(([x0, y0], k) => { const [x1, y1] = outline[(k + 1) % outline.length]; return (x0 <= x && x < x1) || (x1 <= x && x < x0) ? [y0 + (y1 - y0) * (x - x0) / (x1 - x0)] : []; });
  return [Math.min(...at), Math.max(...at)];
}

export const ringsOf = (mark) => mark.glyphs.flatMap((g) => g.rings_flat_mm);

/** A mark's outlines on the flat of its surface: on a body or scan the plan has them on the mark's own axes. */
export const ringsOn = (mark, under) => under && under.laid && under.laid[mark.id] ? under.laid[mark.id].rings_flat_mm : ringsOf(mark);

/** Turns points of a mark so that it stands as it is read. On a body or scan its axes are the mark's own: it does. */
export function upright(mark) {
  const own = mark.glyphs.some((g) => g.chart);
  return (points) => own ? points : turned(points, mark.centre_flat_mm, -mark.angle_deg);
}

/** Points of flat turned about a point by so many degrees, counter-clockwise. */
export function turned(points, [cx, cy], deg) {
  const a = deg * Math.PI / 180, c = Math.cos(a), s = Math.sin(a);
  return points.map(([x, y]) => [cx + (x - cx) * c - (y - cy) * s, cy + (x - cx) * s + (y - cy) * c]);
}

/** A box with a margin of its longer side. @param {number[]} b @param {number} by @returns {[number, number, number, number]} */
export const widened = ([x0, y0, x1, y1], by) => { const m = Math.max(x1 - x0, y1 - y0) * by; return [x0 - m, y0 - m, x1 + m, y1 + m]; };

/** Size of an element in pixels, followed as it changes. @returns {[any, [number, number]]} */
export function useSize() {
  const ref = useRef(null);
  const [size, setSize] = useState(/** @type {[number, number]} */ ([0, 0]));
  useEffect(() => {
    const watch = new ResizeObserver(([e]) => setSize([e.contentRect.width, e.contentRect.height]));
    watch.observe(ref.current);
    return () => watch.disconnect();
  }, []);
  return [ref, size];
}

/** A sheet that shows a box of the flat surface; `children` gets mm per pixel, so that letters keep their size, and the box with some of the margin that is seen below it. */
export function Sheet({ show, label, setScale, cls, children, handlers, svgRef, held }) {
  const [ref, [w, h]] = useSize();
  const [x0, y0, x1, y1] = show;
  const px = w && h ? Math.max((x1 - x0) / w, (y1 - y0) / h) : (x1 - x0) / 800;
  // 96 px to the inch is what a browser calls an inch; screens differ, so the scale is "about".
  const scale = Math.round(px * 96 / 25.4 * 10) / 10;
  useEffect(() => { if (setScale && w) setScale(scale < 10 ? scale : Math.round(scale)); }, [scale, w]);
  const [cx, cy] = [(x0 + x1) / 2, (y0 + y1) / 2], seen = w && h ? [Math.max(x0, cx - w * px / 2), Math.max(y0 - 30 * px, cy - h * px / 2), x1, y1] : show;
  return html`<div class="flat ${cls || ""}" ref=${ref}><svg ref=${svgRef} class=${held ? "held" : ""} viewBox="${x0} ${-y1} ${x1 - x0} ${y1 - y0}" role="group" aria-label=${label} ...${handlers || {}}>${children(px, seen)}</svg></div>`;
}

/** A bar of a round length, so that a picture of the screen can be measured. */
export function ScaleBar({ show, px, inch }) {
  const unit = inch ? 25.4 : 1;
  const steps = inch ? [1, 2, 6, 12, 24, 48, 96] : [10, 20, 50, 100, 200, 500, 1000, 2000];
  const n = steps.filter((s) => s * unit / px < 160).pop() || steps[0];
  const x = show[0] + 8 * px, y = -show[1] - 8 * px;
  return html`<g aria-hidden="true"><path class="thin" d="M${x} ${y - 6 * px}V${y}H${x + n * unit}V${y - 6 * px}" /><text x=${x + n * unit + 6 * px} y=${y} font-size=${12 * px}>${inch ? (n % 12 === 0 && n >= 24 ? `${n / 12} ft` : `${n} in`) : `${n} mm`}</text></g>`;
}

/** Words at a point, with paper round them. */
export const Words = ({ at, px, children, anchor, size }) => html`<text class="halo" x=${at[0]} y=${-at[1]} font-size=${(size || 13) * px} stroke-width=${4 * px} text-anchor=${anchor || "middle"} dominant-baseline="central">${children}</text>`;

/** What lies under a wing's skin and how it is turned: ribs, parts, names of its edges. */
function Under({ surface, under, px, box: [x0, y0, x1, y1] }) {
  if (!under) return "";
  const left = surface.kind === "wing" && Math.abs(x0) > Math.abs(x1);
  return html`<g aria-hidden="true">
    ${under.ribs.map((r) => html`<path class="rib" d=${line(r.line_flat_mm)} />`)}
    ${under.parts.map((p) => html`<path class="part" d=${path([p.ring_flat_mm])} />${p.hinge_flat_mm.length ? html`<path class="hinge" d=${line(p.hinge_flat_mm)} />` : ""}`)}
    ${surface.kind === "wing" ? html`<${Words} px=${px} at=${[(x0 + x1) / 2, y1 + 11 * px]}>leading edge</${Words}><${Words} px=${px} at=${[(x0 + x1) / 2, y0 - 11 * px]}>trailing edge</${Words}>
      <${Words} px=${px} at=${[left ? x1 : x0, y1 + 11 * px]} anchor=${left ? "end" : "start"}>root</${Words}><${Words} px=${px} at=${[left ? x0 : x1, y1 + 11 * px]} anchor=${left ? "start" : "end"}>tip</${Words}>` : ""}</g>`;
}

/**
 * @param {any} p plan, and a surface of it; marks those on it; onMark(id, centre, done) while a mark is dragged;
 *   onFeature(id, by, done) while a feature is; chosen id of a feature; relations {id: {relation, clearance_mm, wall}};
 *   room rings its centre may be in; show the box to show; grown {id, by} an outline tried larger; which the stripe that is chosen
 */
export function Drawing({ surface, marks, relations, onMark, onFeature, onChoose, chosen, room, inch, under, show, setScale, grown, colours, plan, which, small }) {
  const svg = useRef(null);
  const [drag, setDrag] = useState(null);
  const drawn = useMemo(() => marks.map((k) => path(ringsOn(k, under))), [marks.map((k) => k.id).join(), surface, marks[0] && marks[0].glyphs, under]);
  // A mark on a body or scan is drawn once it is known where its edges lie there.
  const joints = under && under.stripe_paint_flat_mm;
  const there = (k) => !k.glyphs.some((g) => g.chart) || !!(under && under.laid && under.laid[k.id]);
  const further = (k) => there(k) && under && under.laid && under.laid[k.id] ? under.laid[k.id].further_flat_mm : (k.further || []).map((f) => f.rings_flat_mm);
  if (!surface) return html`<p class="wait">There is no surface to draw yet.</p>`;
  const whole = box(surface.outline_flat_mm);
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
  const drop = async () => {
    if (!drag) return;
    const moved = Math.hypot(...drag.by) > 0.3, { kind, id, start, by } = drag;
    // What was moved stays under the hand until the file says so.
    setDrag({ ...drag, kind: `${kind} let go` });
    if (moved && kind === "mark" && onMark) await onMark(id, [start[0] + by[0], start[1] + by[1]], true);
    if (moved && kind === "feature" && onFeature) await onFeature(id, by, true);
    setDrag(null);
  };
  const nudge = (id, start) => (e) => {
    const step = inch ? (e.shiftKey ? 25.4 : 25.4 / 8) : e.shiftKey ? 20 : 2;
    const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[e.key];
    if (!by) return;
    e.preventDefault();
    if (onMark) onMark(id, [start[0] + by[0], start[1] + by[1]], true);
    else if (onFeature) onFeature(id, by, true);
  };
  const shift = (kind, id) => drag && drag.kind.startsWith(kind) && drag.id === id ? `translate(${drag.by[0]} ${-drag.by[1]})` : "";
  const by = (id) => drag && drag.kind.startsWith("mark") && drag.id === id ? drag.by : [0, 0];
  // Where there is no room for every figure, the nearest have theirs; the rest stand in the table.
  const told = (px) => {
    const by = surface.features.filter((f) => relations && relations[f.id]).map((f) => [f.id, relations[f.id].clearance_mm]).sort((a, b) => a[1] - b[1]);
    return new Set(by.slice(0, px > 7 ? 3 : 8).map(([id]) => id));
  };
  const box0 = show || widened(whole, 0.04);
  const handlers = { onpointermove: move, onpointerup: drop, onpointercancel: () => setDrag(null) };

  return html`<${Sheet} cls=${small ? "small" : ""} show=${box0} label="Drawing of ${surface.id}${small ? ", beside its figures" : ""}" setScale=${setScale} handlers=${handlers} svgRef=${svg} held=${!!(onMark || onFeature)}>${(px, seen) => html`
    <path class="outline" d=${path([surface.outline_flat_mm])} />
    <${Under} surface=${surface} under=${under} px=${px} box=${whole} />
    ${((plan && plan.stripes) || []).filter((s) => s.surface === surface.id).map((s) => html`<path class="stripe ${joints ? "paint" : ""} ${which === s.id ? "chosen" : ""}" fill-rule="evenodd" style=${colours && colours[s.id] ? `fill:${colours[s.id]}` : ""} d=${path(s.rings_drawn_mm || s.rings_flat_mm)}><title>stripe ${s.id}</title></path>`)}
    ${(joints || []).map((rings) => html`<path class="joint" d=${path(rings)} />`)}
    ${marks.map((k) => further(k).map((rings) => html`<path class="mark" style="stroke-width:1px;cursor:default" fill-rule="evenodd" transform=${shift("mark", k.id)} d=${path(rings)} />`))}
    ${marks.map((k, n) => there(k) && html`<path class="mark ${drag && drag.id === k.id ? "touched" : ""}" fill-rule="evenodd" transform=${shift("mark", k.id)} style=${colours && colours[k.id] ? `fill:${colours[k.id]}` : ""}
        d=${drawn[n]} onpointerdown=${onMark ? take("mark", k.id, k.centre_flat_mm) : null}
        tabindex=${onMark ? 0 : -1} onkeydown=${nudge(k.id, k.centre_flat_mm)} role=${onMark ? "button" : "img"} aria-label="Mark ${k.text}${onMark ? ": drag it, or move it with the arrow keys" : ""}" />
      ${grown && grown.id === k.id ? html`<path class="ghost" d=${drawn[n]} transform="translate(${k.centre_flat_mm[0]} ${-k.centre_flat_mm[1]}) scale(${grown.by}) translate(${-k.centre_flat_mm[0]} ${k.centre_flat_mm[1]})" />` : ""}
      ${room && onMark ? html`<path class="leader" style="stroke:var(--accent);stroke-width:2px" d="M${k.centre_flat_mm[0] + by(k.id)[0] - 8 * px} ${-k.centre_flat_mm[1] - by(k.id)[1]}h${16 * px}m${-8 * px} ${-8 * px}v${16 * px}" />` : ""}`)}
    ${room && room.length ? html`<path class="room" fill-rule="evenodd" d=${path(room)} style="pointer-events:none" />` : ""}
    ${surface.features.map((f) => html`<${Feature} f=${f} px=${px} told=${told(px).has(f.id)} r=${relations && relations[f.id]} chosen=${chosen === f.id} inch=${inch} shift=${shift("feature", f.id)} live=${!!onMark}
        take=${onFeature ? take("feature", f.id, [0, 0]) : null} key2=${onFeature && (f.centre_flat_mm || f.path_flat_mm) ? nudge(f.id, [0, 0]) : null} />`)}
    <${ScaleBar} show=${seen} px=${px} inch=${inch} />`}</${Sheet}>`;
}

/** How much there is to spare at a feature beyond what it asks; words where it asks nothing that could be kept. */
export function toSpare(f, inch) {
  if (f.wall === false) return { crossed: "as allowed", split: "painted with it" }[f.relation] || "asks nothing";
  return `${f.clearance_mm < -0.001 ? "⊗ " : ""}${one(f.clearance_mm, inch)}`;
}

/** One feature with its clearance round it, and how the mark lies to it. */
function Feature({ f, px, r, told, chosen, inch, shift, take, key2, live }) {
  const bad = r && r.wall !== false && r.clearance_mm < -0.001;
  const attrs = { class: `feature ${f.kind === "hinge" ? "hinge" : ""} ${bad ? "bad" : ""} ${chosen ? "chosen" : ""}`, transform: shift, onpointerdown: take };
  if (key2) Object.assign(attrs, { tabindex: 0, role: "button", onkeydown: key2, "aria-label": `${f.kind} ${f.id}: drag it, or move it with the arrow keys` });
  const c = f.centre_flat_mm, [mx, my] = middle(f);
  const words = r ? toSpare(r, inch) : "";
  return html`<g key=${f.id}><title>${f.id}, ${f.kind}${r ? `: ${r.relation.replace("-", " ")}, ${toSpare(r, inch)}${r.wall === false ? "" : " beyond its clearance"}` : ""}</title>
    ${c ? html`${live || chosen ? html`<circle class="clear" cx=${c[0]} cy=${-c[1]} r=${f.radius_mm + f.clearance_mm} transform=${shift} />` : ""}<circle ...${attrs} cx=${c[0]} cy=${-c[1]} r=${f.radius_mm} />
      ${take ? html`<circle cx=${c[0]} cy=${-c[1]} r=${Math.max(f.radius_mm, 22 * px)} transform=${shift} style="fill:transparent;cursor:grab" onpointerdown=${take} />` : ""}` : ""}
    ${f.rings_flat_mm ? html`<path ...${attrs} fill-rule="evenodd" d=${path(f.rings_flat_mm)} />` : ""}
    ${f.path_flat_mm ? html`<path ...${attrs} style="fill:none" d=${line(f.path_flat_mm)} />` : ""}
    ${live && r && (told || bad) ? html`<${Words} px=${px} at=${[mx, my + (f.radius_mm || 0) + 10 * px]}>${words}</${Words}>` : ""}
    ${chosen ? html`<g transform=${shift}><${Words} px=${px} at=${[mx, my - (f.radius_mm || 0) - 12 * px]}>${f.id}</${Words}></g>` : ""}</g>`;
}

/** About the middle of a feature. */
function middle(f) {
  if (f.centre_flat_mm) return f.centre_flat_mm;
  const [a, b, c, d] = box(f.rings_flat_mm ? f.rings_flat_mm[0] : f.path_flat_mm);
  return [(a + c) / 2, (b + d) / 2];
}
