// In space: the surface with its marks, turned and brought near by hand; as seen from a distance.
//
// A plain canvas, painted from the back to the front: strips and triangles are small, so that this order is right to
// less than one of them. What is painted is seen from its own side only.

import { html, useState, useEffect, useRef } from "./html.mjs";
import { useSize } from "./drawing.mjs";
import { both } from "./units.mjs";
import * as server from "./fetch.mjs";

/** From the eye to a screen on the bench, mm. chosen: an arm's length. */
const EYE = 600;


/** Farthest a mark is looked at from, mm: 500 ft, or 150 m. */
const FARTHEST = { inch: 500 * 304.8, metric: 150000 };

export function InSpace({ seen, surface, marks, colours, further, ground, inch, setScale }) {
  const [ref, [w, h]] = useSize();
  const canvas = useRef(null), held = useRef(null);
  const [shape, setShape] = useState(null);
  const [told, setTold] = useState("");
  const [turn, setTurn] = useState(null);
  const [near, setNear] = useState(1);
  const [far, setFar] = useState(0);
  useEffect(() => { server.space(seen.name, surface.id).then((s) => { setShape(s && { ...s, of: surface.id }); setTold(s ? "" : "This surface has no shape in space."); }).catch((e) => setTold(e.message)); }, [seen.name, seen.revision, surface.id]);
  useEffect(() => { setTurn(null); }, [surface.id]);
  // Turned in space, lengths on the screen are to no scale.
  useEffect(() => setScale(0), []);
  const there = shape && shape.of === surface.id ? shape : null;
  const at = turn || (there ? facing(there, marks, surface) : [0.5, 0.9]);
  useEffect(() => { if (there && w && canvas.current) paint(canvas.current, [w, h], there, marks, surface, { turn: at, near, far, colours, further, ground }); });
  const by = (x, y) => setTurn([at[0] + x, Math.max(-1.57, Math.min(1.57, at[1] + y))]);
  const nearer = (f) => setNear((n) => Math.max(0.3, Math.min(6, n * f)));
  const move = (e) => {
    if (!held.current) return;
    const [x, y] = held.current;
    held.current = [e.clientX, e.clientY];
    by((e.clientX - x) / 150, (e.clientY - y) / 150);
  };
  const keys = (e) => {
    const way = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, -0.1], ArrowDown: [0, 0.1] }[e.key];
    if (way) { e.preventDefault(); by(way[0], way[1]); }
    if (e.key === "+" || e.key === "-") nearer(e.key === "+" ? 1.2 : 1 / 1.2);
  };
  const per = inch ? 304.8 : 1000, away = Math.round(far / per), most = FARTHEST[inch ? "inch" : "metric"] / per;
  const step = inch ? 5 : 1;
  return html`${told ? html`<p class="wait">${told}</p>` : ""}
    <div class="flat" ref=${ref}><canvas ref=${canvas} tabindex="0" role="img" aria-label="${surface.id} in space with what is painted on it: drag to turn it, or use the arrow keys; plus and minus bring it nearer"
      style="width:100%;height:100%;position:absolute;touch-action:none" onpointerdown=${(e) => { held.current = [e.clientX, e.clientY]; e.currentTarget.setPointerCapture(e.pointerId); }}
      onpointermove=${move} onpointerup=${() => { held.current = null; }} onpointercancel=${() => { held.current = null; }} onkeydown=${keys}
      onwheel=${(e) => { e.preventDefault(); nearer(e.deltaY < 0 ? 1.1 : 1 / 1.1); }}></canvas></div>
    <div class="chips"><button onclick=${() => { setTurn(null); setNear(1); setFar(0); }}>Straight on</button><button aria-label="Nearer" onclick=${() => nearer(1.2)}>+</button><button aria-label="Farther" onclick=${() => nearer(1 / 1.2)}>−</button></div>
    <div class="field"><label for="seen-from">As seen from, ${inch ? "ft" : "m"}</label><span class="pair"><input aria-label="Distance to look from" type="range" min="0" max=${most} step=${step} value=${away} aria-valuetext=${far ? `${away} ${inch ? "feet" : "metres"}` : "near"} oninput=${(e) => setFar(+e.target.value * per)} />
      <input id="seen-from" inputmode="decimal" value=${far ? away : ""} placeholder="near" autocomplete="off" onchange=${(e) => { const n = parseFloat(e.target.value); setFar(n > 0 ? Math.min(n, most) * per : 0); }} /></span></div>
    <p class="soft" style="margin:0">${far ? html`As large as it looks from ${away} ${inch ? "ft" : "m"}, with this screen ${both(EYE, inch)} from the eye.` : "Drag to turn it; type a distance to see it as from there."}</p>`;
}

/** Outlines in space of what a mark paints; of a flat panel its flat stands upright. */
const inSpace = (g, surface) => g.rings_xyz_mm || (surface.kind === "flat" ? g.rings_flat_mm.map((r) => r.map(([x, y]) => [x, 0, y])) : []);

/** A point, or a way, of a scan with stated axes as the craft stands: aft, to starboard, up. */
const stood = (shape) => (p) => shape.axes ? [shape.axes.aft, shape.axes.starboard, shape.axes.up].map((a) => a[0] * p[0] + a[1] * p[1] + a[2] * p[2]) : p;

/** Twice the area of a ring, as a vector square to it. */
function square(ring) {
  const n = [0, 0, 0];
  ring.forEach((p, k) => { const q = ring[(k + 1) % ring.length]; n[0] += p[1] * q[2] - p[2] * q[1]; n[1] += p[2] * q[0] - p[0] * q[2]; n[2] += p[0] * q[1] - p[1] * q[0]; });
  return n;
}

/** The turn at which the first mark, or the surface itself, is looked at square, its tops up. */
function facing(shape, marks, surface) {
  const glyph = marks.flatMap((m) => m.glyphs).find((g) => inSpace(g, surface).length);
  const stand = stood(shape);
  let n;
  if (shape.from && !glyph) n = shape.from;
  else if (glyph) n = square(inSpace(glyph, surface)[0]);
  else if (shape.strips_mm) { const s = shape.strips_mm, a = s[0], z = s[s.length - 1]; n = square([a[a.length - 1], z[z.length - 1], z[0], a[0]]); }
  else { n = [0, 0, 0]; for (const t of shape.triangles) square(t.map((k) => shape.points_mm[k])).forEach((v, k) => { n[k] += v; }); }
  const l = Math.hypot(...n) || 1, [x, y, z] = stand(n.map((v) => v / l));
  // Seen from where its square points: round the upright axis first, then over.
  const upright = Math.hypot(x, y);
  if (upright > 0.3) return [Math.atan2(y, x) - Math.PI / 2, Math.asin(Math.max(-1, Math.min(1, z))) * 0.8];
  // A wing lies level: turned until its first mark reads from left to right, or its drawing does.
  const mean = (g) => { const r = inSpace(g, surface)[0]; return r.reduce((m, p) => m.map((v, k) => v + p[k] / r.length), [0, 0, 0]); };
  const glyphs = (marks[0] ? marks[0].glyphs : []).filter((g) => inSpace(g, surface).length), s = shape.strips_mm;
  const [from, to] = (glyphs.length > 1 ? [mean(glyphs[0]), mean(glyphs[glyphs.length - 1])] : s ? [s[0][0], s[s.length - 1][0]] : [[0, 0, 0], [0, 1, 0]]).map(stand);
  return [Math.atan2(from[1] - to[1], from[0] - to[0]), Math.sign(z || 1) * 1.1];
}

/** Draws everything at a turn: [round the upright axis, over], radians. */
function paint(canvas, [w, h], shape, marks, surface, { turn, near, far, colours, further, ground }) {
  const dense = devicePixelRatio || 1;
  canvas.width = w * dense; canvas.height = h * dense;
  const c = canvas.getContext("2d");
  c.scale(dense, dense);
  const style = getComputedStyle(document.documentElement);
  const of = (name) => style.getPropertyValue(name).trim();
  const stand = stood(shape), all = (shape.points_mm || shape.strips_mm.flat()).map(stand);
  const lo = [Infinity, Infinity, Infinity], hi = [-Infinity, -Infinity, -Infinity];
  for (const p of all) for (let k = 0; k < 3; k++) { lo[k] = Math.min(lo[k], p[k]); hi[k] = Math.max(hi[k], p[k]); }
  const middle = lo.map((v, k) => (v + hi[k]) / 2);
  const [a, b] = turn, ca = Math.cos(a), sa = Math.sin(a), cb = Math.cos(b), sb = Math.sin(b);
  // Across, up and toward the eye, about the middle.
  const standing = ([x, y, z]) => {
    const [p, q, r] = [x - middle[0], y - middle[1], z - middle[2]];
    const across = -p * ca - q * sa, toward = -p * sa + q * ca;
    return [across, r * cb - toward * sb, toward * cb + r * sb];
  };
  const turned = (p) => standing(stand(p));
  const seen = all.map(standing);
  const wide = Math.max(...seen.map((p) => Math.abs(p[0]))) || 1, high = Math.max(...seen.map((p) => Math.abs(p[1]))) || 1;
  // 96 px are an inch of screen; from far away a thing of length l covers l * EYE / far of it.
  const scale = far ? EYE / far * 96 / 25.4 : Math.min(w / 2 / wide, h / 2 / high) * 0.94 * near;
  const at = (p) => { const [x, y, z] = turned(p); return [w / 2 + x * scale, h / 2 - y * scale, z]; };
  const draw = (pts, fill, stroke) => {
    c.beginPath();
    for (const ring of pts) { ring.forEach((p, k) => (k ? c.lineTo(p[0], p[1]) : c.moveTo(p[0], p[1]))); c.closePath(); }
    if (fill) { c.fillStyle = fill; c.fill("evenodd"); }
    if (stroke) { c.strokeStyle = stroke; c.stroke(); }
  };
  const hex = [ground, of("--shade")].find((x) => /^#[0-9a-f]{6}$/i.test(x || "")) || "#f1ead9";
  const base = [1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16));
  const faces = [];
  if (shape.triangles) for (const t of shape.triangles) faces.push(t.map((k) => shape.points_mm[k]));
  else for (let i = 1; i < shape.strips_mm.length; i++) {
    const [s, t] = [shape.strips_mm[i - 1], shape.strips_mm[i]];
    for (let k = 1; k < Math.min(s.length, t.length); k++) faces.push([s[k - 1], s[k], t[k], t[k - 1]]);
  }
  const light = (face) => { const n = square(face.map(turned)); return Math.abs(n[2]) / (Math.hypot(...n) || 1); };
  const deep = (pts) => pts.reduce((z, p) => z + p[2], 0) / pts.length;
  for (const { pts, shade } of faces.map((f) => ({ pts: f.map(at), shade: light(f) })).sort((p, q) => deep(p.pts) - deep(q.pts))) {
    // The less it faces the eye the darker; drawn over its own edge, so that no gap shows between two.
    const tone = `rgb(${base.map((v) => Math.round(v * (0.65 + 0.35 * shade))).join(",")})`;
    draw([pts], tone, tone);
  }
  c.lineWidth = 1;
  // A ring runs counter-clockwise as one faces the skin: from behind it runs the other way, and is not seen.
  const front = (ring) => { let sum = 0; ring.forEach((p, k) => { const q = ring[(k + 1) % ring.length]; sum += p[0] * q[1] - q[0] * p[1]; }); return sum < 0; };
  // What lies there is drawn where the skin looks toward the eye.
  const toward = (out) => { const [x, y, z] = stand(out); return (-x * sa + y * ca) * cb + z * sb > 0; };
  const lines = (all, dash) => {
    c.setLineDash(dash);
    c.strokeStyle = of("--soft");
    for (const l of all || []) {
      const pts = l.points_mm.map(at);
      c.beginPath();
      for (let k = 1; k < pts.length; k++) if (toward(l.out[k])) { c.moveTo(pts[k - 1][0], pts[k - 1][1]); c.lineTo(pts[k][0], pts[k][1]); }
      c.stroke();
    }
    c.setLineDash([]);
  };
  lines(shape.features, []);
  lines(shape.parts, [6, 4]);
  const put = (rings, fill) => { const pts = rings.map((r) => r.map(at)); if (pts.length && pts[0].length > 2 && front(pts[0])) draw(pts, fill || of("--paint"), far ? "" : of("--line")); };
  for (const s of shape.stripes || []) put(s.rings_mm, colours[s.id]);
  if (surface.kind === "flat") for (const m of marks) for (const f of m.further || []) put(inSpace({ rings_flat_mm: f.rings_flat_mm }, surface), further && further(f.paint));
  for (const m of marks) for (const g of m.glyphs) put(inSpace(g, surface), colours[m.id]);
  if (shape.strips_mm) {
    c.lineWidth = 2;
    const s = shape.strips_mm, edge = [...s[0], ...s.map((x) => x[x.length - 1]), ...[...s[s.length - 1]].reverse(), ...s.map((x) => x[0]).reverse()];
    draw([edge.map(at)], "", of("--line"));
  }
}
