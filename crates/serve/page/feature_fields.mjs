// What the layout must respect on a surface: its features, and its parts that move or come off. Each is chosen and
// typed; a new one lies in the middle.

import { html, useState } from "./html.mjs";
import { Drawing, box, reach } from "./drawing.mjs";
import { Act, Field, Flag } from "./field.mjs";
import { Points } from "./points.mjs";
import { small } from "./says.mjs";
import { inUnits, mmOf } from "./units.mjs";
import { otherwise, words } from "./words.mjs";
import * as server from "./fetch.mjs";

/** Kinds that are a path, not a disc or an area. */
export const LINES = ["rivets", "hinge", "gap", "seam", "lap"];

/** What the figures of a reading are called on a kind of surface: two, on a scan the three of its own axes. */
export const readings = (kind) => kind === "wing" ? ["s, along the span", "t, round the skin"] : kind === "body" ? ["s, station", "t, girth from the waterline"] : shortly(kind);
const shortly = (kind) => kind === "mesh" ? ["x", "y", "z"] : kind === "flat" ? ["x", "y"] : ["s", "t"];

/** Places of a surface's drawing as the job file takes them: readings in its units; of a scan points in its own unit, to a thousandth of a millimetre. */
export async function asTyped(name, surface, points, units) {
  const own = surface.kind === "mesh" ? surface.unit || units : units;
  const per = 10 ** (3 + Math.ceil(Math.log10(mmOf(1, own)) - 1e-9));
  const one = (v) => surface.kind === "mesh" ? Math.round(v / mmOf(1, own) * per) / per : inUnits(v, units);
  return Promise.all(points.map((p) => server.skinAt(name, surface.id, p).then((at) => at.map(one))));
}

/** An id that is free: `ring-2`. */
function free(list, stem) {
  const taken = new Set(list.map((x) => x.id));
  let k = 1;
  while (taken.has(`${stem}-${k}`)) k += 1;
  return `${stem}-${k}`;
}

/** An id is changed, and what is chosen by it. */
const renamed = (edit, setChosen) => (edits, merge) => edit(edits, merge).then((p) => { if (!p) setChosen(String(edits[0].value)); return p; });

/** A round feature as a square about it, or an area as the round one within it; its figures are then typed. */
async function reshaped(f, own, units, name, surface, drawn) {
  if (surface.kind === "mesh") {
    const mm = (v) => mmOf(String(v), units);
    if (f.at) {
      const [x, y] = drawn.centre_flat_mm, r = mm(f.diameter) / 2;
      const corners = await asTyped(name, surface, [[-r, -r], [r, -r], [r, r], [-r, r]].map(([a, b]) => [x + a, y + b]), units);
      return [{ path: own("at"), value: null }, { path: own("diameter"), value: null }, { path: own("corners"), value: corners }];
    }
    const [x0, y0, x1, y1] = box(drawn.rings_flat_mm.flat()), [at] = await asTyped(name, surface, [[(x0 + x1) / 2, (y0 + y1) / 2]], units);
    return [{ path: own("corners"), value: null }, { path: own("at"), value: at }, { path: own("diameter"), value: inUnits(Math.min(x1 - x0, y1 - y0), units) }];
  }
  const mm = (v) => mmOf(String(v).replace(/^-/, ""), units) * (/^-/.test(String(v)) ? -1 : 1), to = (v) => inUnits(v, units);
  if (f.at) {
    const [s, t] = f.at.map(mm), r = mm(f.diameter) / 2;
    return [{ path: own("at"), value: null }, { path: own("diameter"), value: null }, { path: own("corners"), value: [[-r, -r], [r, -r], [r, r], [-r, r]].map(([x, y]) => [to(s + x), to(t + y)]) }];
  }
  const [x0, y0, x1, y1] = box(f.corners.map((p) => p.map(mm)));
  return [{ path: own("corners"), value: null }, { path: own("at"), value: [to((x0 + x1) / 2), to((y0 + y1) / 2)] }, { path: own("diameter"), value: to(Math.min(x1 - x0, y1 - y0)) }];
}

/** @param {any} p name of the job, surface of the job file, shown the same of the plan, at(...more), edit, units, chosen, setChosen */
export function FeatureFields({ name, surface, shown, at, edit, units, chosen, setChosen, told, setTold, look }) {
  const [kind, setKind] = useState("ring");
  const features = surface.feature || [];
  const all = words("feature", "kind");
  const add = async () => {
    const [x0, y0, x1, y1] = box(shown.outline_flat_mm);
    const middle = [(x0 + x1) / 2, (y0 + y1) / 2];
    const [skin] = await asTyped(name, surface, [middle], units);
    const step = inUnits(50.8, units);
    /** @type {any} */
    const value = { id: free(features, kind), kind };
    if (!LINES.includes(kind)) { value.at = skin; value.diameter = step; }
    else if (surface.kind === "mesh") value.path = await asTyped(name, surface, [-50.8, 50.8].map((d) => [middle[0] + d, middle[1]]), units);
    else value.path = [[skin[0] - step, skin[1]], [skin[0] + step, skin[1]]];
    if (kind === "rivets") Object.assign(value, { pitch: inUnits(25.4, units), head: inUnits(6.35, units) });
    const problems = await edit([{ path: at("feature", features.length), value }]);
    setTold(problems ? problems.map((p) => p.message).join(". ") : "");
    if (!problems) setChosen(value.id);
  };
  const i = features.findIndex((f) => f.id === chosen), f = features[i];
  const names = readings(surface.kind), drawn = shown && f && shown.features.find((x) => x.id === f.id);
  // Points of a scan are in its own unit, which its figures above say.
  const unit = surface.kind === "mesh" ? "" : units;
  const own = (...more) => at("feature", i, ...more);
  return html`<h2>Features (${features.length})</h2>
    ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
    <div class="row"><select aria-label="Kind of feature" style="width:auto" value=${kind} onchange=${(e) => setKind(e.target.value)}>${all.map((k) => html`<option value=${k}>${k}</option>`)}</select><button onclick=${add} disabled=${!shown}>Add it in the middle</button></div>
    <div class="chips">${features.map((x) => html`<button aria-pressed=${x.id === chosen} onclick=${() => setChosen(x.id)}>${x.id}</button>`)}</div>
    ${f ? html`<h3>${f.id}</h3>
      ${small() ? html`<${Drawing} ...${look} small />` : ""}
      <${Field} key=${`${f.id}n`} label="Called" path=${own("id")} value=${f.id} edit=${renamed(edit, setChosen)} required words />
      <${Field} key=${`${f.id}k`} label="Kind" path=${own("kind")} value=${f.kind} choices=${all.filter((x) => LINES.includes(x) === LINES.includes(f.kind))} edit=${edit} />
      ${f.at ? html`${names.map((n, k) => html`<${Field} key=${`${f.id}a${k}`} label=${n} unit=${unit} path=${own("at", k)} value=${f.at[k]} edit=${edit} required live />`)}
        <${Field} key=${`${f.id}d`} label="Diameter" unit=${units} path=${own("diameter")} value=${f.diameter} edit=${edit} required live />` : ""}
      ${f.corners ? html`<${Points} key=${`${f.id}c`} label="Corner" names=${shortly(surface.kind)} path=${own("corners")} value=${f.corners} edit=${edit} unit=${unit} least=${3} closed />` : ""}
      ${f.path ? html`<${Points} key=${`${f.id}p`} label="Point" names=${shortly(surface.kind)} path=${own("path")} value=${f.path} edit=${edit} unit=${unit} least=${2} />
        ${f.kind === "rivets" ? html`<${Field} key=${`${f.id}i`} label="Pitch" unit=${units} path=${own("pitch")} value=${f.pitch} edit=${edit} required live /><${Field} key=${`${f.id}h`} label="Head" unit=${units} path=${own("head")} value=${f.head} edit=${edit} required live />`
        : html`<${Field} key=${`${f.id}w`} label="Width" unit=${units} path=${own("width")} value=${f.width} edit=${edit} live other=${otherwise("feature", "width")} />`}` : ""}
      <${Field} key=${`${f.id}l`} label="Clearance" unit=${units} path=${own("clearance")} value=${f.clearance} edit=${edit} live other=${otherwise("feature", "clearance")} />
      <${Field} key=${`${f.id}x`} label="May be crossed" path=${own("cross")} value=${f.cross} choices=${["", ...words("feature", "cross")]} other=${otherwise("feature", "cross")} edit=${edit} />
      <${Flag} key=${`${f.id}r`} label="Comes off" path=${own("removable")} value=${f.removable} edit=${edit} other=${otherwise("feature", "removable")} note="then it is painted with the mark, off the craft" />
      <div class="chips">${f.at || f.corners ? html`<${Act} edit=${edit} edits=${() => reshaped(f, own, units, name, surface, drawn)} disabled=${surface.kind === "mesh" && !drawn}>${f.at ? "It has corners" : "It is round"}</${Act}>` : ""}<${Act} edit=${edit} edits=${() => [{ path: own(), value: null }]} done=${() => setChosen("")}>Take ${f.id} out</${Act}></div>` : ""}
    <${Parts} surface=${surface} shown=${shown} at=${at} edit=${edit} units=${units} name=${name} setTold=${setTold} />`;
}

function Parts({ surface, shown, at, edit, units, name, setTold }) {
  const [chosen, setChosen] = useState("");
  const parts = surface.part || [], i = parts.findIndex((p) => p.id === chosen), part = parts[i];
  const own = (...more) => at("part", i, ...more), unit = surface.kind === "mesh" ? "" : units;
  const add = async () => {
    // Across the outer third of the lower edge, a fifth of the height deep, as an aileron lies on a right wing.
    const [x0, y0, x1, y1] = box(shown.outline_flat_mm), [w, h] = [x1 - x0, y1 - y0];
    // The outer end of a wing's left half is to the other side.
    const out = surface.kind === "wing" && Math.abs(x0) > Math.abs(x1) ? (k) => x1 - k * w : (k) => x0 + k * w;
    const flat = [0.6, 0.9, 0.9, 0.6].map((k, n) => { const [low] = reach(shown.outline_flat_mm, out(k)); return [out(k), n < 2 ? low : low + 0.2 * h]; });
    const corners = await asTyped(name, surface, flat, units);
    const id = free(parts, "part");
    const problems = await edit([{ path: at("part", parts.length), value: { id, corners, control: false } }]);
    setTold(problems ? problems.map((p) => p.message).join(". ") : "");
    if (!problems) setChosen(id);
  };
  const flag = (key, label, note) => html`<${Flag} key=${`${part.id}${key}`} label=${label} note=${note} path=${own(key)} value=${part[key]} edit=${edit} other=${otherwise("part", key)} />`;
  return html`<h2>Parts that move or come off (${parts.length})</h2>
    <div class="chips">${parts.map((x) => html`<button aria-pressed=${x.id === chosen} onclick=${() => setChosen(x.id)}>${x.id}</button>`)}<button onclick=${add} disabled=${!shown || surface.t_from === "trailing-edge"}>Add a part</button></div>
    ${part ? html`<${Field} key=${`${part.id}i`} label="Part is called" path=${own("id")} value=${part.id} edit=${renamed(edit, setChosen)} required words note="a short word without blanks, such as aileron" />
      <${Points} key=${`${part.id}c`} label="Corner" names=${shortly(surface.kind)} path=${own("corners")} value=${part.corners} edit=${edit} unit=${unit} least=${3} closed />
      ${part.hinge ? html`<h3>Its hinge</h3><${Points} key=${`${part.id}h`} label="End" names=${shortly(surface.kind)} path=${own("hinge")} value=${part.hinge} edit=${edit} unit=${unit} least=${2} />`
      : html`<p><${Act} edit=${edit} edits=${() => [{ path: own("hinge"), value: part.corners.slice(-2) }]}>It has a hinge</${Act}></p>`}
      ${flag("control", "Control surface", "paint on one can call for a balance check by the maintenance manual")}${flag("balanced", "Balanced", "")}
      <p><${Act} edit=${edit} edits=${() => [{ path: own(), value: null }]} done=${() => setChosen("")}>Take ${part.id} out</${Act}></p>` : ""}`;
}
