// Points on the skin as two figures each: a corner of a panel, an end of a seam, a point a stripe runs through.

import { html } from "./html.mjs";
import { Act, Field } from "./field.mjs";

/** @param {any} p label of one, names of its figures, path, value: [[a, b], ...], edit, unit, least: how many must stay, most?: how many there may be, closed: they go round */
export function Points({ label, names, path, value, edit, unit, least, most, closed }) {
  const points = Array.isArray(value) ? value.filter(Array.isArray) : [];
  const plain = points.every((p) => p.length === names.length && p.every((v) => typeof v === "number"));
  const add = () => {
    const [a, b] = closed ? [points[points.length - 1], points[0]] : points.slice(-2);
    // Half way back to the first corner, or as far on as the last step: where a hand then moves it.
    const next = points.length < 2 || !plain ? points[points.length - 1] : a.map((v, k) => closed ? (v + b[k]) / 2 : 2 * b[k] - v);
    return [{ path: [...path, points.length], value: next }];
  };
  return html`<div class=${names.length > 2 ? "points three" : "points"} role="group" aria-label=${label}>
    <div class="point soft" aria-hidden="true"><span></span>${names.map((n) => html`<span>${n}</span>`)}<span></span></div>
    ${points.map((p, k) => html`<div class="point" key=${`${path.join("-")}${k}`}><span class="soft">${label} ${k + 1}</span>
      ${names.map((n, i) => html`<${Field} key=${`${path.join("-")}${k}-${i}`} bare label="${label} ${k + 1}, ${n}" path=${[...path, k, i]} value=${p[i]} unit=${unit} edit=${edit} required live />`)}
      <${Act} aria-label="Take ${label} ${k + 1} out" title="Take it out" disabled=${points.length <= least} edit=${edit} edits=${() => [{ path: [...path, k], value: null }]}>−</${Act}></div>`)}
    ${points.length < (most || Infinity) ? html`<p><${Act} edit=${edit} edits=${add} disabled=${!points.length}>Add a point</${Act}></p>` : ""}</div>`;
}
