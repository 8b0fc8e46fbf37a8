// The edges of a stripe as painted, held against the plan at a few of its stations: what is planned, and beside it what
// the tape read.

import { html } from "./html.mjs";
import { Entry } from "./field.mjs";
import { against, edgesOf } from "./edges.mjs";
import { one } from "./units.mjs";

/** Where stations and edges are read from, by the kind of a surface: [of a stripe by stations, of a steep one]. */
const ZERO = {
  wing: ["Stations out from the root rib, square to it; edges down the skin from the leading edge.", "Heights down the skin from the leading edge; edges out from the root rib, square to it."],
  body: ["Stations from the datum; edges up from the waterline, the tape round the skin.", "Heights up from the waterline, the tape round the skin; edges by their stations from the datum."],
  flat: ["Stations from the datum corner to the right; edges up from it.", "Heights up from the datum corner; edges to the right from it."],
};

/** The same of a scan, which may have axes of the craft or none. */
const zeroOfScan = (stripe, axes) => axes ? ["Stations aft from the datum of the scan; edges by their heights over it, the craft set level.", "Heights over the datum of the scan, the craft set level; edges by their stations aft from it."]
  : stripe.edges_xyz_mm ? ["Stations along the middle from the start of the stripe; edges square off it to the left, below zero to the right.", ""] : ZERO.flat;

/** @param {any} p stripe of the plan; surface of the job file; list of what is to be measured; read(name); wrong; save(name, text); units, slack, inch */
export function Stations({ stripe, surface, list, read, wrong, save, units, slack, inch }) {
  if (!list.length) return "";
  const { steep } = edgesOf(stripe, surface.kind), word = steep ? "height" : "station";
  const zero = (surface.kind === "mesh" ? zeroOfScan(stripe, surface.axes) : ZERO[surface.kind] || ZERO.flat)[steep ? 1 : 0];
  const cell = (m) => {
    const text = read(m.name), [words, sort] = against(text, m.mm, units, slack, inch);
    return html`<td class="n"><span class="narrow">${m.edge}, planned </span>${one(m.mm, inch)}</td>
      <td><${Entry} aria-label=${m.name} value=${text} placeholder="measured" aria-invalid=${wrong[m.name] ? "true" : "false"} style="min-width:6rem" save=${(v) => save(m.name, v)} />
        ${wrong[m.name] ? html`<p class="told" role="alert">${wrong[m.name]}</p>` : words ? html`<span class="word-${sort}">${words}</span>` : ""}</td>`;
  };
  const rows = list.filter((_, k) => k % 2 === 0).map((m, k) => [m, list[2 * k + 1]]);
  return html`<h3>Edges of ${stripe.id}, ${stripe.surface.replaceAll("-", " ")}</h3>
    <div class="scroll" tabindex="0" role="region" aria-label="Edges of ${stripe.id} as painted"><table class="stack stations"><thead><tr><th class="n">at ${word}</th><th class="n">${list[0].edge}, planned</th><th>measured</th><th class="n">${list[1].edge}, planned</th><th>measured</th></tr></thead><tbody>
      ${rows.map(([a, b]) => html`<tr><td class="n all"><span class="narrow">at ${word} </span>${one(a.at, inch)}</td>${cell(a)}${cell(b)}</tr>`)}</tbody></table></div>
    ${zero ? html`<p class="soft">${zero}</p>` : ""}`;
}
