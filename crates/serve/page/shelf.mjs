// What lies on the shelf: tapes with their real widths, paper, and how the mask is made of them.

import { html } from "./html.mjs";
import { Act, Field } from "./field.mjs";
import { otherwise, words } from "./words.mjs";

/** A list of rolls, a row each. @param {any} p title, key of the list, rows, columns: [[key, label, what stands if empty], ...], fresh: a new row, edit */
function Rolls({ title, list, rows, columns, fresh, edit }) {
  const path = ["masking", list], all = rows || [];
  return html`<h3>${title}</h3>
    <div class="points" role="group" aria-label=${title} style="--figures:${columns.length}">
      ${all.length ? html`<div class="point soft" aria-hidden="true">${columns.map(([, label]) => html`<span>${label}</span>`)}<span></span></div>` : ""}
      ${all.map((row, k) => html`<div class="point" key=${`${list}${k}`}>
        ${columns.map(([key, label, other]) => html`<${Field} key=${`${list}${k}${key}`} bare label="${title} ${k + 1}, ${label}" path=${[...path, k, key]} value=${row[key]} other=${other === "width" ? String(row.width) : other} required=${key === "width"} edit=${edit} />`)}
        <${Act} aria-label="Take ${title} ${k + 1} off the shelf" title="Take it off the shelf" edit=${edit} edits=${() => [{ path: [...path, k], value: null }]}>−</${Act}></div>`)}
      <p><${Act} edit=${edit} edits=${() => rows ? [{ path: [...path, all.length], value: fresh }] : [{ path, value: [fresh] }]}>Add a roll</${Act}></p></div>`;
}

/** The shelf and how the mask is made. */
export function Shelf({ job, edit, unit }) {
  const m = job.masking || {};
  const roll = otherwise("tape", "roll"), strain = otherwise("tape", "strain");
  const set = (key, label, more) => html`<${Field} key=${key} label=${label} path=${["masking", key]} value=${m[key]} unit=${unit} edit=${edit} other=${otherwise("masking", key)} ...${more || {}} />`;
  return html`<h2>On the shelf</h2>
    <p class="soft">What is on the label, and how wide it really is: the real width counts. A roll sold as 1/2 in may be 12 mm.</p>
    <${Rolls} title="Edge tape" list="edge_tapes" rows=${m.edge_tapes} edit=${edit} fresh=${{ width: "1/4 in", roll: "36 yd", strain: 0.05 }} columns=${[["width", "label"], ["real", "really", "width"], ["roll", "roll", roll], ["strain", "stretch", strain]]} />
    <h3>Tack tape</h3>
    ${m.tack_tape ? html`<div class="points" role="group" aria-label="Tack tape" style="--figures:3"><div class="point soft" aria-hidden="true"><span>label</span><span>really</span><span>roll</span><span></span></div>
      <div class="point">${[["width", "label", ""], ["real", "really", String(m.tack_tape.width)], ["roll", "roll", roll]].map(([key, label, other]) => html`<${Field} key=${`tack${key}`} bare label="Tack tape, ${label}" path=${["masking", "tack_tape", key]} value=${m.tack_tape[key]} other=${other} required=${key === "width"} edit=${edit} />`)}<span></span></div></div>`
    : html`<p><${Act} edit=${edit} edits=${() => [{ path: ["masking", "tack_tape"], value: { width: "3/4 in", real: "18 mm", roll: "60 yd" } }]}>Add a roll of tack tape</${Act}></p>`}
    <${Rolls} title="Layout tape" list="layout_tapes" rows=${m.layout_tapes} edit=${edit} fresh=${{ width: "2 in" }} columns=${[["width", "label"], ["real", "really", "width"], ["roll", "roll", roll]]} />
    ${m.method === "cut-mask" || m.film ? html`<${Rolls} title="Film" list="film" rows=${m.film} edit=${edit} fresh=${{ width: "24 in" }} columns=${[["width", "width"], ["roll", "roll", otherwise("film", "roll")]]} />
      ${m.application_tape ? html`<h3>Application tape</h3><div class="points" role="group" aria-label="Application tape" style="--figures:2"><div class="point">${["width", "roll"].map((key) => html`<${Field} key=${`apply${key}`} bare label="Application tape, ${key}" path=${["masking", "application_tape", key]} value=${m.application_tape[key]} required=${key === "width"} edit=${edit} />`)}<span></span></div></div>`
      : html`<p><${Act} edit=${edit} edits=${() => [{ path: ["masking", "application_tape"], value: { width: "12 in" } }]}>Add application tape</${Act}></p>`}` : ""}
    <${Rolls} title="Paper" list="paper" rows=${m.paper} edit=${edit} fresh=${{ width: "18 in" }} columns=${[["width", "width"]]} />
    <h2>How the mask is made</h2>
    <${Field} label="Method" path=${["masking", "method"]} value=${m.method} choices=${["", ...words("masking", "method")]} other=${otherwise("masking", "method")} edit=${edit} />
    ${set("gap", "Paint edge to tack strip", { live: true })}
    ${set("overlap", "Edge tape on the tack strip", { live: true })}
    ${set("longest_piece", "Longest piece")}
    ${set("tab", "Tab")}
    <${Field} label="Edge tape stays on" path=${["masking", "edge_dwell"]} value=${m.edge_dwell} edit=${edit} other=${otherwise("masking", "edge_dwell")} note="hours, not days" />`;
}
