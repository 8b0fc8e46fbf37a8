// In space: the surface with its marks, turned and brought near by hand; as seen from a distance.
//
// A plain canvas, painted from the back to the front: a face of a wing hides itself only at its nose, where
// this order is right to less than a strip.

import { html, useState, useEffect, useRef } from "./html.mjs";
import { useSize } from "./drawing.mjs";
import { both } from "./units.mjs";
import * as server from "./fetch.mjs";

/** From the eye to a screen on the bench, mm. chosen: an arm's length. */
const EYE = 600;

export function InSpace({ seen, surface, marks, colours, ground, inch }) {
  const [ref, [w, h]] = useSize();
  const canvas = useRef(null), held = useRef(null);
  const [shape, setShape] = useState(null);
  const [told, setTold] = useState("");
  const [turn, setTurn] = useState([0.5, 0.9]);
  const [near, setNear] = useState(1);
  const [far, setFar] = useState(0);
  useEffect(() => { server.space(seen.name, surface.id).then((s) => { setShape(s); setTold(s ? "" : "This surface is flat, or has no shape in space."); }).catch((e) => setTold(e.message)); }, [seen.name, seen.revision, surface.id]);
  useEffect(() => { if (shape && w && canvas.current) paint(canvas.current, [w, h], shape, marks, { turn, near, far, colours, ground }); });
  const move = (e) => {
    if (!held.current) return;
    const [x, y] = held.current;
    held.current = [e.clientX, e.clientY];
    setTurn(([a, b]) => [a + (e.clientX - x) / 150, Math.max(-1.5, Math.min(1.5, b + (e.clientY - y) / 150))]);
  };
  const keys = (e) => {
    const by = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1] }[e.key];
    if (by) { e.preventDefault(); setTurn(([a, b]) => [a + by[0], Math.max(-1.5, Math.min(1.5, b + by[1]))]); }
    if (e.key === "+" || e.key === "-") setNear((n) => Math.max(0.3, Math.min(6, n * (e.key === "+" ? 1.2 : 1 / 1.2))));
  };
  const feet = far ? far / (inch ? 304.8 : 1000) : 0;
  return html`${told ? html`<p class="wait">${told}</p>` : ""}
    <div class="flat" ref=${ref}><canvas ref=${canvas} tabindex="0" role="img" aria-label="${surface.id} in space with its marks: drag to turn it, or use the arrow keys; plus and minus bring it nearer"
      style="width:100%;height:100%;position:absolute;touch-action:none" onpointerdown=${(e) => { held.current = [e.clientX, e.clientY]; e.currentTarget.setPointerCapture(e.pointerId); }}
      onpointermove=${move} onpointerup=${() => { held.current = null; }} onpointercancel=${() => { held.current = null; }} onkeydown=${keys}
      onwheel=${(e) => { e.preventDefault(); setNear((n) => Math.max(0.3, Math.min(6, n * (e.deltaY < 0 ? 1.1 : 1 / 1.1)))); }}></canvas></div>
    <div class="field"><label for="seen-from">As seen from</label><input id="seen-from" type="range" min="0" max=${inch ? 500 * 304.8 : 150000} step=${inch ? 10 * 304.8 : 5000} value=${far} aria-valuetext=${far ? `${Math.round(feet)} ${inch ? "feet" : "metres"}` : "near"} oninput=${(e) => setFar(+e.target.value)} /></div>
    <p class="soft" style="margin:0">${far ? html`As large as it looks from ${Math.round(feet)} ${inch ? "ft" : "m"}, with this screen ${both(EYE, inch)} from the eye.` : "Drag to turn it; the wheel brings it nearer."}</p>`;
}

/** Draws everything at a turn: [round the upright axis, over], radians. */
function paint(canvas, [w, h], shape, marks, { turn, near, far, colours, ground }) {
  const dense = devicePixelRatio || 1;
  canvas.width = w * dense; canvas.height = h * dense;
  const c = canvas.getContext("2d");
  c.scale(dense, dense);
  const style = getComputedStyle(document.documentElement);
  const of = (name) => style.getPropertyValue(name).trim();
  const all = shape.strips_mm.flat();
  const lo = [0, 1, 2].map((k) => Math.min(...all.map((p) => p[k]))), hi = [0, 1, 2].map((k) => Math.max(...all.map((p) => p[k])));
  const middle = lo.map((v, k) => (v + hi[k]) / 2), reach = Math.hypot(...lo.map((v, k) => hi[k] - v));
  // 96 px are an inch of screen; from far away a thing of length l covers l * EYE / far of it.
  const scale = far ? EYE / far * 96 / 25.4 : Math.min(w, h * 1.7) / reach * 0.96 * near;
  const [a, b] = turn, ca = Math.cos(a), sa = Math.sin(a), cb = Math.cos(b), sb = Math.sin(b);
  const at = ([x, y, z]) => {
    const [p, q, r] = [x - middle[0], y - middle[1], z - middle[2]];
    // Aft is down the screen, starboard to the right, before it is turned.
    const u = q * ca + p * sa, v = -q * sa + p * ca;
    return [w / 2 + u * scale, h / 2 + (v * sb - r * cb) * scale, v * cb + r * sb];
  };
  const draw = (pts, fill, stroke) => {
    c.beginPath();
    for (const ring of pts) { ring.forEach((p, k) => (k ? c.lineTo(p[0], p[1]) : c.moveTo(p[0], p[1]))); c.closePath(); }
    if (fill) { c.fillStyle = fill; c.fill("evenodd"); }
    if (stroke) { c.strokeStyle = stroke; c.stroke(); }
  };
  const light = (p, q, r) => {
    const [x, y] = [[q[0] - p[0], q[1] - p[1], q[2] - p[2]], [r[0] - p[0], r[1] - p[1], r[2] - p[2]]];
    const n = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
    return Math.abs(n[2]) / (Math.hypot(...n) || 1);
  };
  const skin = /^#/.test(ground || "") ? ground : of("--shade");
  const quads = [];
  for (let i = 1; i < shape.strips_mm.length; i++) {
    const [s, t] = [shape.strips_mm[i - 1], shape.strips_mm[i]];
    for (let k = 1; k < Math.min(s.length, t.length); k++) quads.push([s[k - 1], s[k], t[k], t[k - 1]]);
  }
  const seen = quads.map((q) => ({ pts: q.map(at), shade: light(q[0], q[1], q[3]) })).sort((p, q) => p.pts[0][2] - q.pts[0][2]);
  for (const { pts, shade } of seen) {
    draw([pts], skin, skin);
    draw([pts], `rgba(0,0,0,${(0.35 * (1 - shade)).toFixed(3)})`);
  }
  c.lineWidth = 1;
  for (const f of shape.features_mm) draw([f.map(at)], "", of("--soft"));
  for (const m of marks) for (const g of m.glyphs) if (g.rings_xyz_mm) draw(g.rings_xyz_mm.map((r) => r.map(at)), colours[m.id] || of("--paint"), of("--line"));
  c.lineWidth = 2;
  const strips = shape.strips_mm, edge = [...strips[0], ...strips.map((s) => s[s.length - 1]), ...[...strips[strips.length - 1]].reverse(), ...strips.map((s) => s[0]).reverse()];
  draw([edge.map(at)], "", of("--line"));
}
