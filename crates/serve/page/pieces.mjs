// The pieces of tape in words and shape: order, ends, where the tab is and which way it is pulled.

import { box, path, upright } from "./drawing.mjs";
import { html } from "./html.mjs";
import { one } from "./units.mjs";

/** An end in words. @param {{end: string, cut_deg: number, past_mm: number, exact: boolean}} e */
export const endWords = (e, inch) => e.end === "pre-cut" && !e.cut_deg ? "cut to shape" : e.end === "pre-cut" ? `cut at ${Math.round(e.cut_deg * 2) / 2}°${e.exact ? ", exactly to the line" : ", stop 1/16 in short"}`
  : e.end === "run-on" ? `run on ${one(e.past_mm, inch)}` : "lap";

/** The piece's name on the bench: letter and number. */
export const KIND = { edge: "edge tape", bridge: "bridge tape", tack: "tack strip", layout: "layout tape", plug: "plug", film: "film" };

const middleOf = (pts) => { const [a, b, c, d] = box(pts); return [(a + c) / 2, (b + d) / 2]; };
const WAYS = ["right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right"];

/** Where the tab is on its letter, as the letter is read: "upper left". */
export function tabWhere(mark, piece) {
  const glyph = mark && mark.glyphs[piece.glyph];
  const pts = glyph ? glyph.rings_flat_mm.flat() : mark ? mark.glyphs.flatMap((g) => g.rings_flat_mm.flat()) : [];
  const tab = tabAt(piece);
  if (!pts.length || !tab) return "";
  const up = upright(mark), c = middleOf(up(pts)), b = box(up(pts)), [t] = up([tab]);
  const x = (t[0] - c[0]) / ((b[2] - b[0]) || 1), y = (t[1] - c[1]) / ((b[3] - b[1]) || 1);
  if (Math.hypot(x, y) < 0.1) return "middle";
  return WAYS[(Math.round(Math.atan2(y, x) / (Math.PI / 4)) + 8) % 8];
}

/** Middle of the tab, flat. */
export function tabAt(piece) {
  if (piece.tab.at === "none") return null;
  if (piece.tab.area_flat_mm && piece.tab.area_flat_mm.length) return middleOf(piece.tab.area_flat_mm);
  const p = piece.path_flat_mm;
  return piece.tab.at === "start" ? p[0] : piece.tab.at === "finish" ? p[p.length - 1] : p[Math.floor(p.length / 2)];
}

/** Which way a piece is pulled at its tab, a unit step in flat, as the book draws it: the paint lies to the left of its path. A fold goes back over the piece and away from the paint, a flag straight away from it. */
export function pullWay(piece) {
  const p = piece.path_flat_mm, n = p.length;
  /** @param {number[]} a @param {number[]} b */
  const step = ([ax, ay], [bx, by]) => { const l = Math.hypot(bx - ax, by - ay) || 1; return [(bx - ax) / l, (by - ay) / l]; };
  if (piece.kind === "plug" || n < 2) return [0, 1];
  // Film is peeled back over itself, from its tab to its middle.
  if (piece.kind === "film") { const tab = tabAt(piece), m = middleOf((piece.footprint_flat_mm || [p]).flat()), l = Math.hypot(m[0] - tab[0], m[1] - tab[1]); return l < 1 ? [0, 1] : step(tab, m); }
  if (piece.tab.kind === "flag") { const [x, y] = middleWay(p); return [y, -x]; }
  const [x, y] = piece.tab.at === "start" ? step(p[0], p[1]) : step(p[n - 2], p[n - 1]);
  const back = piece.tab.at === "start" ? 1 : -1;
  return [0.6 * back * x + 0.8 * y, 0.6 * back * y - 0.8 * x];
}

/** The way a path goes half way along it. */
function middleWay(p) {
  const long = p.slice(1).map(([x, y], k) => Math.hypot(x - p[k][0], y - p[k][1]));
  let left = long.reduce((a, b) => a + b, 0) / 2, k = 0;
  while (k < long.length - 1 && long[k] < left) left -= long[k++];
  return [(p[k + 1][0] - p[k][0]) / (long[k] || 1), (p[k + 1][1] - p[k][1]) / (long[k] || 1)];
}

/** Pieces with a tab, in the order they are pulled: go by go, marks in the job's order, then `pull`; each with its `go`. */
export function toPull(plan) {
  const all = (plan ? plan.masking || [] : []).flatMap((m) => {
    const pieces = m.pieces.filter((p) => p.tab.at !== "none").sort((a, b) => a.pull - b.pull);
    const go = goesOf(plan, m, pieces);
    return pieces.map((p, k) => ({ ...p, of: m.of, with: m.with || [], paint: m.paint, about: `${m.of}/${m.paint}/${p.id}`, go: go[k] }));
  });
  return all.map((p, k) => ({ p, k })).sort((a, b) => a.p.go - b.p.go || a.k - b.k).map(({ p }) => p);
}

/** In which spraying each piece is pulled, from the day; all in the first where the day does not say. */
function goesOf(plan, mask, pieces) {
  const coats = (plan.day || []).filter((t) => t.task === "wet-coat" && t.about === mask.of && t.go > 0 && (!t.paint || t.paint === mask.paint));
  const letters = [...new Set(pieces.filter((p) => p.glyph >= 0).map((p) => p.glyph))];
  const mark = (plan.marks || []).find((m) => m.id === mask.of);
  // Letters are pulled in the order they are shot: the same letters in the same order, or the day is not about these.
  const same = mark && coats.length === letters.length && coats.every((t, k) => t.part === mark.glyphs[letters[k]].char);
  const all = new Set(coats.map((t) => t.go));
  const of = new Map(same ? letters.map((g, k) => [g, coats[k].go]) : []);
  let now = all.size === 1 || same ? Math.min(...all) : 0;
  return pieces.map((p) => (now = of.get(p.glyph) || now));
}

/** The letters of each spraying, for a heading: Map of go to "N20". */
export function lettersOfGoes(plan) {
  const found = new Map();
  for (const t of plan ? plan.day || [] : []) if (t.go > 0 && t.task === "mix") found.set(t.go, [found.get(t.go), t.part || t.about].filter(Boolean).join(", "));
  return found;
}

/** A piece as it lies, with its tab. */
export function Tape({ piece, now, key }) {
  return html`<g key=${key}>
    <path class="tape ${piece.kind} ${now ? "now" : ""}" fill-rule="evenodd" d=${path(piece.footprint_flat_mm || [])} />
    ${piece.tab.area_flat_mm && piece.tab.area_flat_mm.length ? html`<path class="tab ${now ? "now" : ""}" d=${path([piece.tab.area_flat_mm])} />` : ""}
  </g>`;
}
