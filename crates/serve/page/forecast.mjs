// What is expected through the day, a row a time, and the side the air comes from.

import { html } from "./html.mjs";
import { Act, Field, Fold } from "./field.mjs";
import { words } from "./words.mjs";

const COLUMNS = [["at", "time"], ["air", "air"], ["surface", "surface"], ["humidity", "%"]];

/** The next hour a forecast speaks of: two on from the last. */
function later(rows) {
  const m = rows.length && /^(\d\d):(\d\d)$/.exec(rows[rows.length - 1].at);
  return m ? `${String(Math.min(23, +m[1] + 2)).padStart(2, "0")}:${m[2]}` : "08:00";
}

/** @param {any} p c: the conditions of the job file, edit */
export function Forecast({ c, edit }) {
  const rows = c.forecast || [], path = ["conditions", "forecast"], last = rows[rows.length - 1] || {};
  const fresh = { at: later(rows), air: last.air || c.air || "70 F", surface: last.surface || c.surface || c.air || "70 F", humidity: last.humidity ?? c.humidity ?? 50 };
  return html`<${Fold} title="Through the day" says=${[rows.length ? `${rows.length} time${rows.length > 1 ? "s" : ""}` : "no forecast", c.air_from && `air from the ${c.air_from}`].filter(Boolean).join(", ")}>
    <div class="points" role="group" aria-label="Forecast" style="--figures:4">
      ${rows.length ? html`<div class="point soft" aria-hidden="true">${COLUMNS.map(([, label]) => html`<span>${label}</span>`)}<span></span></div>` : ""}
      ${rows.map((row, k) => html`<div class="point" key=${`fc${k}`}>${COLUMNS.map(([key, label]) => html`<${Field} key=${`fc${k}${key}`} bare label="Forecast ${k + 1}, ${label === "%" ? "humidity" : label}" words=${key === "at"} path=${[...path, k, key]} value=${row[key]} required edit=${edit} />`)}
        <${Act} aria-label="Take forecast ${k + 1} out" title="Take it out" edit=${edit} edits=${() => [{ path: rows.length > 1 ? [...path, k] : path, value: null }]}>−</${Act}></div>`)}
      <p><${Act} edit=${edit} edits=${() => rows.length ? [{ path: [...path, rows.length], value: fresh }] : [{ path, value: [fresh] }]}>Add a time</${Act}></p></div>
    <${Field} label="Air comes from" path=${["conditions", "air_from"]} value=${c.air_from} choices=${["", ...words("conditions", "air_from")]} other="no side" edit=${edit} note="as one faces the skin; letters are then shot downwind" /></${Fold}>`;
}
