// The edges of a stripe: where they are marked, which of them are measured, and how a reading stands to the plan.

import { one, signedMm } from "./units.mjs";

/** Most stations of a stripe. chosen: what one measures without losing patience, ends and bends among them. */
const MOST = 5;

/** Its edges as they are marked on the skin: by station, of a steep stripe by height; what the two are called, and the letters of the axes. */
export function edgesOf(stripe, kind) {
  const [s, t] = kind === "flat" ? ["x", "y"] : ["s", "t"];
  // A steep stripe is marked by height, at every height the stations of its two edges.
  const steep = Boolean(stripe.heights && stripe.heights.length);
  const rows = steep ? stripe.heights.map((r) => ({ at: r.t_mm, lower: r.lower_s_mm, upper: r.upper_s_mm, what: r.what }))
    : stripe.stations.map((r) => ({ at: r.s_mm, lower: r.lower_t_mm, upper: r.upper_t_mm, what: r.what }));
  const names = steep ? ["nearer edge", "farther edge"] : kind === "wing" ? ["leading side", "trailing side"] : ["lower edge", "upper edge"];
  return { s, t, steep, rows, names };
}

/** Rows of a list spread evenly from its first to its last. */
const spread = (rows, most) => rows.length <= most ? rows : Array.from({ length: most }, (_, k) => rows[Math.round(k * (rows.length - 1) / (most - 1))]);

/**
 * What is to be measured of a stripe's edges: [{name, edge, at, mm}], two a station. `name` is what the record keeps it
 * under, in the job's own units, whichever the page shows.
 */
export function toMeasure(stripe, surface, jobInch) {
  const { steep, rows, names } = edgesOf(stripe, surface.kind);
  const edges = surface.kind === "mesh" && !surface.axes && !steep && stripe.edges_xyz_mm ? ["right edge", "left edge"] : names;
  return spread(rows.filter((r) => r.what === "edges"), MOST).flatMap((r) => [r.lower, r.upper].map((mm, k) => ({ name: `${stripe.id} ${edges[k]} at ${steep ? "height" : "station"} ${one(r.at, jobInch)}`, edge: edges[k], at: r.at, mm })));
}

/** How a reading stands to the plan: [words, sort of word], of nothing typed ["", ""]. */
export function against(text, planned, units, slack, inch) {
  if (!text) return ["", ""];
  const mm = signedMm(text, units), off = mm - planned;
  if (Number.isNaN(mm)) return ["not a length", "caution"];
  if (Math.abs(off) <= slack) return ["✓ as planned", "pass"];
  // Read below zero and typed without its sign.
  const sign = planned < 0 && Math.abs(mm + planned) <= slack ? `; below zero it is −${text}` : "";
  return [`▮ ${one(Math.abs(off), inch)} ${off > 0 ? "more" : "less"} than planned${sign}`, "caution"];
}
