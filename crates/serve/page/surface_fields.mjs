// What is measured of a surface: a flat panel by its corners, a wing by span, chord and section, a body by its
// stations, a scan by its file.

import { html, useState } from "./html.mjs";
import { Act, Field, Fold } from "./field.mjs";
import { Points } from "./points.mjs";
import { typed } from "./units.mjs";
import { otherwise, words } from "./words.mjs";

/** @param {any} p surface of the job file, at(...more) its path, edit, unit */
export function SurfaceFields({ surface, at, edit, unit }) {
  const kind = surface.kind;
  const measures = kind === "wing" ? Wing : kind === "body" ? Body : kind === "mesh" ? Scan : Flat;
  return html`
    ${kind === "wing" ? html`<${Field} label="Half" path=${at("half")} value=${surface.half} choices=${words("surface", "half")} edit=${edit} />` : ""}
    <${Field} label="Side" path=${at("side")} value=${surface.side} choices=${words("surface", "side", kind)} edit=${edit} />
    <${measures} surface=${surface} at=${at} edit=${edit} unit=${unit} />
    ${kind === "mesh" ? "" : html`<${Ribs} surface=${surface} at=${at} edit=${edit} unit=${unit} />`}
    <${Field} label="Material" path=${at("material")} value=${surface.material} choices=${words("surface", "material")} edit=${edit} other=${otherwise("surface", "material")} />
    <${Field} label="Panel" path=${at("panel")} value=${surface.panel} edit=${edit} words note="one name for all faces of one panel: papered and painted together" />`;
}

/** Ribs evenly from the root, or each by its station. */
function Ribs({ surface, at, edit, unit }) {
  const ribs = surface.ribs, path = at("ribs");
  // The table is written as a whole where there is none yet, so that it stands in one line.
  const within = (key) => (edits, merge) => edit(ribs ? edits : [{ path, value: { [key]: edits[0].value } }], merge);
  return html`
    ${ribs && ribs.at ? html`<${Field} label="Ribs at" path=${at("ribs", "at")} value=${ribs.at.join(", ")} words edit=${(edits, merge) => edit(edits.map((e) => ({ ...e, value: e.value === null ? null : String(e.value).split(/\s*[,;]\s*/).filter(Boolean).map((v) => typed(v, unit)) })), merge)} required note="their stations, in the job’s units, with a comma between" />`
    : html`<${Field} label="Ribs every" unit=${unit} path=${at("ribs", "every")} value=${(ribs || {}).every} edit=${within("every")} live other=${ribs ? "" : "none"} />`}
    ${ribs ? html`<${Field} label="Tape over a rib" unit=${unit} path=${at("ribs", "tape")} value=${ribs.tape} edit=${edit} other=${otherwise("ribs", "tape")} />` : ""}
    <div class="chips">${ribs && ribs.at ? html`<${Act} edit=${edit} edits=${() => [{ path, value: { ...ribs, at: undefined, every: ribs.at.length > 1 && typeof ribs.at[1] === "number" ? ribs.at[1] - ribs.at[0] : 12 } }]}>They are even</${Act}>` : html`<${Act} edit=${edit} edits=${() => [{ path, value: { at: [0, (ribs && ribs.every) || 12], ...(ribs && ribs.tape !== undefined ? { tape: ribs.tape } : {}) } }]}>Each by its station</${Act}>`}
      ${ribs ? html`<${Act} edit=${edit} edits=${() => [{ path, value: null }]}>No ribs</${Act}>` : ""}</div>`;
}

function Wing({ surface, at, edit, unit }) {
  const chord = surface.chord || [], girth = surface.girth;
  return html`
    <${Field} label="Span" unit=${unit} path=${at("span")} value=${surface.span} edit=${edit} required live />
    <${Field} label="Chord, root" unit=${unit} path=${at("chord", 0)} value=${chord[0]} edit=${edit} required live />
    <${Field} label="Chord, tip" unit=${unit} path=${at("chord", 1)} value=${chord[1]} edit=${edit} required live />
    <${Field} label="Sweep" unit=${unit} path=${at("sweep")} value=${surface.sweep} edit=${edit} live other=${otherwise("surface", "sweep")} />
    ${Array.isArray(surface.section) ? html`<${Field} label="Section, root" words path=${at("section", 0)} value=${surface.section[0]} edit=${edit} live required /><${Field} label="Section, tip" words path=${at("section", 1)} value=${surface.section[1]} edit=${edit} live required note="naca and its digits, or a file of ordinates in the folder" />`
    : html`<${Field} label="Section" words path=${at("section")} value=${surface.section} edit=${edit} live required note="naca and its digits, or a file of ordinates in the folder" />`}
    ${Array.isArray(girth) ? html`
      <${Field} label="Girth, root" unit=${unit} path=${at("girth", 0)} value=${girth[0]} edit=${edit} required live />
      <${Field} label="Girth, tip" unit=${unit} path=${at("girth", 1)} value=${girth[1]} edit=${edit} required live />
      <p><${Act} edit=${edit} edits=${() => [{ path: at("girth"), value: null }]}>Use the section’s own girth</${Act}></p>`
    : html`<p><${Act} edit=${edit} edits=${() => [{ path: at("girth"), value: chord }]}>Girth was measured</${Act}> <span class="soft">else the section’s own is used</span></p>`}
    <${Twist} surface=${surface} at=${at} edit=${edit} unit=${unit} />`;
}

/** What a rib at a kink may say: [key, label]. */
const KINK = [["chord", "Chord"], ["sweep", "Sweep"], ["rise", "Rise"], ["washout_deg", "Washout, degrees"], ["section", "Section"], ["girth", "Girth"]];

/** What few wings have: another section at the tip, washout, rise, kinks, a bow at the tip. */
function Twist({ surface, at, edit, unit }) {
  const two = Array.isArray(surface.section), kinks = surface.breaks || [];
  const says = [two && "two sections", surface.washout_deg && "washout", surface.rise && "rise", kinks.length && `${kinks.length} kink${kinks.length > 1 ? "s" : ""}`, surface.tip_bow && "a bow at the tip", surface.t_from === "trailing-edge" && "t from the trailing edge"].filter(Boolean).join(", ") || "none";
  const free = () => { const span = typeof surface.span === "number" ? surface.span : 100, last = kinks.length && typeof kinks[kinks.length - 1].s === "number" ? kinks[kinks.length - 1].s : 0; return Math.round((last + span) / 2); };
  // Where root and tip differ a kink says which section it has.
  const fresh = { s: free(), ...(two ? { section: (kinks[kinks.length - 1] || {}).section || surface.section[0] } : {}) };
  return html`<${Fold} title="Twist, kinks and tip" says=${says}>
    <p class="soft">Such a skin unrolls only nearly: each mark says how much is missing under it.</p>
    <p><${Act} edit=${edit} edits=${() => [{ path: at("section"), value: two ? surface.section[0] : [surface.section, surface.section] }]}>${two ? "One section all along" : "Another section at the tip"}</${Act}></p>
    <${Field} label="Washout, degrees" path=${at("washout_deg")} value=${surface.washout_deg} edit=${edit} live other=${otherwise("surface", "washout_deg")} note="the tip nose down against the root; nose up is below nothing" />
    <${Field} label="Rise" unit=${unit} path=${at("rise")} value=${surface.rise} edit=${edit} live other=${otherwise("surface", "rise")} note="the tip’s leading edge above the root’s" />
    <${Field} label="Bow at the tip" unit=${unit} path=${at("tip_bow")} value=${surface.tip_bow} edit=${edit} live other=${otherwise("surface", "tip_bow")} note="length out to the span that curves away: no mark lies there" />
    <${Field} label="t is measured from" path=${at("t_from")} value=${surface.t_from} choices=${["", ...words("surface", "t_from")]} other=${otherwise("surface", "t_from")} edit=${edit} note="features, parts, aim and corners are read from there" />
    ${kinks.map((b, k) => html`<h3>Kink ${k + 1}</h3>
      <${Field} key=${`${surface.id}b${k}s`} label="Kink ${k + 1}, station" unit=${unit} path=${at("breaks", k, "s")} value=${b.s} edit=${edit} required live />
      ${KINK.map(([key, label]) => html`<${Field} key=${`${surface.id}b${k}${key}`} label="Kink ${k + 1}, ${label[0].toLowerCase()}${label.slice(1)}" unit=${/_deg|section/.test(key) ? undefined : unit} words=${key === "section"} path=${at("breaks", k, key)} value=${b[key]} edit=${edit} other=${key === "section" ? "that of root and tip" : key === "girth" ? "the section’s own" : "straight between"} />`)}
      <p><${Act} edit=${edit} edits=${() => [{ path: kinks.length > 1 ? at("breaks", k) : at("breaks"), value: null }]}>Take kink ${k + 1} out</${Act}></p>`)}
    <p><${Act} edit=${edit} edits=${() => [kinks.length ? { path: at("breaks", kinks.length), value: fresh } : { path: at("breaks"), value: [fresh] }]}>Add a kink</${Act}></p></${Fold}>`;
}

const Flat = ({ surface, at, edit, unit }) => html`<h3>Its corners</h3>
  <${Points} label="Corner" names=${["x", "y"]} path=${at("corners")} value=${surface.corners} edit=${edit} unit=${unit} least=${3} closed />`;

const Scan = ({ surface, at, edit, unit }) => html`
  <${Field} label="File of the scan" path=${at("file")} value=${surface.file} edit=${edit} required words note="STL, OBJ or PLY, in the folder" />
  <${Field} label="Its unit" path=${at("unit")} value=${surface.unit} choices=${words("surface", "unit")} edit=${edit} />
  <${Field} label="Smoothed over" unit=${unit} path=${at("smooth")} value=${surface.smooth} edit=${edit} other=${otherwise("surface", "smooth")} note="what is rougher is taken for the scanner’s noise; 0: nothing is" />
  ${surface.axes ? html`<h3>How it lies in its craft</h3>
    <${Field} label="Up, as a direction" path=${at("axes", "up")} value=${surface.axes.up} edit=${edit} required />
    <${Field} label="Aft, as a direction" path=${at("axes", "aft")} value=${surface.axes.aft} edit=${edit} required note="stations count this way" />
    <${Field} label="Stations and heights from" path=${at("axes", "datum")} value=${surface.axes.datum} edit=${edit} other=${otherwise("axes", "datum")} note=${`a point of the scan’s own axes, in ${surface.unit || "its unit"}, in the middle plane of the craft`} />
    <p><${Act} edit=${edit} edits=${() => [{ path: at("axes"), value: null }]}>Take its axes out</${Act}></p>`
    : html`<p><${Act} edit=${edit} edits=${() => [{ path: at("axes"), value: { up: [0, 0, 1], aft: [1, 0, 0] } }]}>It has stations and heights</${Act}> <span class="soft">for stripes along a waterline or edge, and for the other side</span></p>`}`;

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
