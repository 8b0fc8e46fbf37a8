// What is measured of a surface: a flat panel by its corners, a wing by span, chord and section, a body by its
// stations, a scan by its file.

import { html, useState } from "./html.mjs";
import { Act, Field } from "./field.mjs";
import { Points } from "./points.mjs";
import { otherwise, words } from "./words.mjs";

/** @param {any} p surface of the job file, at(...more) its path, edit, unit */
export function SurfaceFields({ surface, at, edit, unit }) {
  const kind = surface.kind;
  const measures = kind === "wing" ? Wing : kind === "body" ? Body : kind === "mesh" ? Scan : Flat;
  return html`
    ${kind === "wing" ? html`<${Field} label="Half" path=${at("half")} value=${surface.half} choices=${words("surface", "half")} edit=${edit} />` : ""}
    <${Field} label="Side" path=${at("side")} value=${surface.side} choices=${words("surface", "side", kind)} edit=${edit} />
    <${measures} surface=${surface} at=${at} edit=${edit} unit=${unit} />
    <${Field} label="Material" path=${at("material")} value=${surface.material} choices=${words("surface", "material")} edit=${edit} other=${otherwise("surface", "material")} />`;
}

function Wing({ surface, at, edit, unit }) {
  const chord = surface.chord || [], girth = surface.girth;
  return html`
    <${Field} label="Span" unit=${unit} path=${at("span")} value=${surface.span} edit=${edit} required live />
    <${Field} label="Chord, root" unit=${unit} path=${at("chord", 0)} value=${chord[0]} edit=${edit} required live />
    <${Field} label="Chord, tip" unit=${unit} path=${at("chord", 1)} value=${chord[1]} edit=${edit} required live />
    <${Field} label="Sweep" unit=${unit} path=${at("sweep")} value=${surface.sweep} edit=${edit} live other=${otherwise("surface", "sweep")} />
    <${Field} label="Section" words=${!Array.isArray(surface.section)} path=${at("section")} value=${surface.section} edit=${edit} live required note="naca and its digits, or a file of ordinates in the folder" />
    ${Array.isArray(girth) ? html`
      <${Field} label="Girth, root" unit=${unit} path=${at("girth", 0)} value=${girth[0]} edit=${edit} required live />
      <${Field} label="Girth, tip" unit=${unit} path=${at("girth", 1)} value=${girth[1]} edit=${edit} required live />
      <p><${Act} edit=${edit} edits=${() => [{ path: at("girth"), value: null }]}>Use the section’s own girth</${Act}></p>`
    : html`<p><${Act} edit=${edit} edits=${() => [{ path: at("girth"), value: chord }]}>Girth was measured</${Act}> <span class="soft">else the section’s own is used</span></p>`}
    <${Field} label="Ribs every" unit=${unit} path=${at("ribs", "every")} value=${(surface.ribs || {}).every} edit=${edit} live />
    <${Field} label="Tape over a rib" unit=${unit} path=${at("ribs", "tape")} value=${(surface.ribs || {}).tape} edit=${edit} />`;
}

const Flat = ({ surface, at, edit, unit }) => html`<h3>Its corners</h3>
  <${Points} label="Corner" names=${["x", "y"]} path=${at("corners")} value=${surface.corners} edit=${edit} unit=${unit} least=${3} closed />`;

const Scan = ({ surface, at, edit }) => html`
  <${Field} label="File of the scan" path=${at("file")} value=${surface.file} edit=${edit} required words note="STL, OBJ or PLY, in the folder" />
  <${Field} label="Its unit" path=${at("unit")} value=${surface.unit} choices=${words("surface", "unit")} edit=${edit} />
  <p class="soft">Of a scan only the mark is known: features and parts are not taken there yet.</p>`;

/** What a station is measured by: [key, label]. */
const RING = [["half_width", "Half width"], ["top", "Top, height"], ["bottom", "Bottom, height"]];

function Body({ surface, at, edit, unit }) {
  const [which, setWhich] = useState(0);
  const stations = surface.stations || [];
  const k = Math.min(which, stations.length - 1), one = stations[k] || {};
  const add = () => {
    const [a, b] = [stations[stations.length - 2], stations[stations.length - 1]];
    const step = a && typeof a.s === "number" && typeof b.s === "number" ? b.s - a.s : 12;
    return [{ path: at("stations", stations.length), value: { ...b, s: typeof b.s === "number" ? b.s + step : b.s } }];
  };
  return html`
    <${Field} label="Waterline" unit=${unit} path=${at("waterline")} value=${surface.waterline} edit=${edit} live other=${otherwise("surface", "waterline")} note="the height from which girth is measured, up positive" />
    <h3>Stations, each a ring round the body</h3>
    <div class="chips">${stations.map((x, n) => html`<button aria-pressed=${n === k} onclick=${() => setWhich(n)}>s ${typeof x.s === "object" ? "?" : x.s}</button>`)}<${Act} edit=${edit} edits=${add} done=${() => setWhich(stations.length)} disabled=${!stations.length}>Add one behind</${Act}></div>
    <${Field} key=${`${surface.id}${k}s`} label="Station" unit=${unit} path=${at("stations", k, "s")} value=${one.s} edit=${edit} required live />
    ${one.points ? html`<${Points} label="Point" names=${["half width", "height"]} path=${at("stations", k, "points")} value=${one.points} edit=${edit} unit=${unit} least=${3} />`
    : html`${RING.map(([key, label]) => html`<${Field} key=${`${surface.id}${k}${key}`} label=${label} unit=${unit} path=${at("stations", k, key)} value=${one[key]} edit=${edit} required live />`)}
      <${Field} key=${`${surface.id}${k}p`} label="Power" path=${at("stations", k, "power")} value=${one.power} edit=${edit} live other=${otherwise("station", "power")} note="2 is an ellipse; more is squarer" />`}
    <p><${Act} disabled=${stations.length < 3} edit=${edit} edits=${() => [{ path: at("stations", k), value: null }]} done=${() => setWhich(0)}>Take this station out</${Act}></p>`;
}
