// Survey: the surface to scale as it is typed, its features to add and drag, ribs, girth against chord.

import { html, useState } from "../html.mjs";
import { Drawing } from "../drawing.mjs";
import { Field } from "../field.mjs";
import { Says } from "../says.mjs";
import { inUnits } from "../units.mjs";
import * as server from "../fetch.mjs";

const FEATURES = ["ring", "plate", "cap", "step", "patch", "rivets", "port", "drain", "vent", "filler", "placard", "data-plate", "window", "keep-out", "hinge", "gap", "seam", "lap"];
const LINES = ["rivets", "hinge", "gap", "seam", "lap"];

export function Survey({ seen, edit, inch, units, shown, setSurface, notice, block }) {
  const [chosen, setChosen] = useState("");
  const [kind, setKind] = useState("ring");
  const [told, setTold] = useState("");
  const job = seen.job || {};
  const list = job.surface || [];
  const n = Math.max(0, list.findIndex((s) => shown && s.id === shown.id));
  const surface = list[n] || {};
  const features = surface.feature || [];
  const at = (...more) => ["surface", n, ...more];
  const marks = seen.plan && shown ? seen.plan.marks.filter((m) => m.surface === shown.id) : [];
  const about = seen.plan ? seen.plan.findings.filter((f) => f.about === surface.id) : [];

  const onFeature = async (id, by) => {
    const i = features.findIndex((f) => f.id === id);
    const drawn = shown.features.find((f) => f.id === id);
    if (i < 0 || !features[i].at || !drawn.centre_flat_mm) { setTold("only round features are dragged; change the corners or path of this one in its fields"); return; }
    const flat = [drawn.centre_flat_mm[0] + by[0], drawn.centre_flat_mm[1] + by[1]];
    const skin = await server.skinAt(seen.name, shown.id, flat);
    const problems = await edit([{ path: at("feature", i, "at"), value: skin.map((v) => inUnits(v, units)) }]);
    setTold(problems ? problems[0].message : "");
  };
  const add = async () => {
    const taken = new Set(features.map((f) => f.id));
    let k = 1;
    while (taken.has(`${kind}-${k}`)) k += 1;
    const [x0, y0, x1, y1] = bounds(shown);
    const skin = (await server.skinAt(seen.name, shown.id, [(x0 + x1) / 2, (y0 + y1) / 2])).map((v) => inUnits(v, units));
    const step = inUnits(50.8, units);
    const value = { id: `${kind}-${k}`, kind };
    if (LINES.includes(kind)) value.path = [[skin[0] - step, skin[1]], [skin[0] + step, skin[1]]];
    else { value.at = skin; value.diameter = step; }
    if (kind === "rivets") Object.assign(value, { pitch: inUnits(25.4, units), head: inUnits(6.35, units) });
    const problems = await edit([{ path: at("feature", features.length), value }]);
    setTold(problems ? problems.map((p) => p.message).join(". ") : "");
    if (!problems) setChosen(value.id);
  };
  const i = features.findIndex((f) => f.id === chosen);
  const f = features[i];
  const wing = surface.kind === "wing";
  return html`
    <section class="drawing">
      ${(seen.plan ? seen.plan.surfaces : []).length > 1 ? html`<div class="row">${seen.plan.surfaces.map((s) => html`<button aria-pressed=${shown && s.id === shown.id} onclick=${() => setSurface(s.id)}>${s.id}</button>`)}</div>` : ""}
      <${Drawing} surface=${shown} marks=${marks} onFeature=${onFeature} onChoose=${setChosen} chosen=${chosen} inch=${inch} under=${ribs(surface, shown, units)} />
      <p class="soft">Seen facing the skin. Drag a round feature to move it; choose any to change its figures.</p>
    </section>
    <section class="column" aria-label="Survey">
      ${notice}
      <h1>Survey</h1>
      <${Field} label="Title" path=${["title"]} value=${job.title} edit=${edit} required />
      <${Field} label="Units" path=${["units"]} value=${job.units} choices=${["in", "ft", "mm", "cm", "m"]} edit=${edit} />
      <${Field} label="Error of survey" path=${["survey", "error"]} value=${(job.survey || {}).error} edit=${edit} note="a clearance smaller than this is “measure again”, not “sure”" />
      <h2>Surface ${surface.id}</h2>
      ${wing ? html`
        <${Field} label="Half" path=${at("half")} value=${surface.half} choices=${["left", "right"]} edit=${edit} />
        <${Field} label="Side" path=${at("side")} value=${surface.side} choices=${["upper", "lower"]} edit=${edit} />
        <${Field} label="Span" path=${at("span")} value=${surface.span} edit=${edit} required />
        <${Field} label="Chord, root" path=${at("chord", 0)} value=${(surface.chord || [])[0]} edit=${edit} required />
        <${Field} label="Chord, tip" path=${at("chord", 1)} value=${(surface.chord || [])[1]} edit=${edit} required />
        <${Field} label="Sweep" path=${at("sweep")} value=${surface.sweep} edit=${edit} />
        <${Field} label="Section" path=${at("section")} value=${surface.section} edit=${edit} required />
        <${Field} label="Girth as measured" path=${at("girth")} value=${surface.girth} edit=${edit} note="root and tip, in brackets; empty = the section's own" />
        <${Field} label="Ribs every" path=${at("ribs", "every")} value=${(surface.ribs || {}).every} edit=${edit} />`
      : html`<${Field} label="Corners" path=${at("corners")} value=${surface.corners} edit=${edit} required note="x and y of each, in brackets" />
        <${Field} label="Side" path=${at("side")} value=${surface.side} choices=${["left", "right", "upper", "lower"]} edit=${edit} />`}
      <${Field} label="Material" path=${at("material")} value=${surface.material} choices=${["fabric", "metal", "composite", "wood", "other"]} edit=${edit} />
      <${Says} findings=${about} none="" />
      <h2>Features (${features.length})</h2>
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      <div class="row"><select aria-label="Kind of feature" style="width:auto" value=${kind} onchange=${(e) => setKind(e.target.value)}>${FEATURES.map((k) => html`<option value=${k}>${k}</option>`)}</select><button onclick=${add} disabled=${!shown}>Add it in the middle</button></div>
      <div class="row">${features.map((x) => html`<button aria-pressed=${x.id === chosen} onclick=${() => setChosen(x.id)}>${x.id}</button>`)}</div>
      ${f ? html`<h3>${f.id}</h3>
        <${Field} key=${`${f.id}k`} label="Kind" path=${at("feature", i, "kind")} value=${f.kind} choices=${FEATURES} edit=${edit} />
        ${f.at ? html`<${Field} key=${`${f.id}s`} label=${wing ? "s, along the span" : "x"} path=${at("feature", i, "at", 0)} value=${f.at[0]} edit=${edit} required />
          <${Field} key=${`${f.id}t`} label=${wing ? "t, round the skin" : "y"} path=${at("feature", i, "at", 1)} value=${f.at[1]} edit=${edit} required />
          <${Field} key=${`${f.id}d`} label="Diameter" path=${at("feature", i, "diameter")} value=${f.diameter} edit=${edit} required />` : ""}
        ${f.corners ? html`<${Field} key=${`${f.id}c`} label="Corners" path=${at("feature", i, "corners")} value=${f.corners} edit=${edit} required />` : ""}
        ${f.path ? html`<${Field} key=${`${f.id}p`} label="Path" path=${at("feature", i, "path")} value=${f.path} edit=${edit} required />
          <${Field} key=${`${f.id}w`} label="Width" path=${at("feature", i, "width")} value=${f.width} edit=${edit} />` : ""}
        <${Field} key=${`${f.id}l`} label="Clearance" path=${at("feature", i, "clearance")} value=${f.clearance} edit=${edit} note="empty = 1/4 in" />
        <${Field} key=${`${f.id}x`} label="May be crossed" path=${at("feature", i, "cross")} value=${f.cross} choices=${["", "never", "square", "any"]} edit=${edit} />
        <p><button onclick=${async () => { setChosen(""); await edit([{ path: at("feature", i), value: null }]); }}>Take ${f.id} out</button></p>` : ""}
    </section>
    ${block}`;
}

function bounds(s) {
  const xs = s.outline_flat_mm.map((p) => p[0]), ys = s.outline_flat_mm.map((p) => p[1]);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/** Ribs of a wing of constant chord, where they stand in flat; tapered ones are on the printed layout. */
function ribs(surface, shown, units) {
  const every = surface.ribs && surface.ribs.every;
  const per = { in: 25.4, ft: 304.8, mm: 1, cm: 10, m: 1000 }[units] || 25.4;
  if (!shown || typeof every !== "number" || !(every > 0) || (surface.chord || [])[0] !== (surface.chord || [])[1]) return "";
  const [x0, y0, x1, y1] = bounds(shown);
  const root = Math.abs(x0) < Math.abs(x1) ? x0 : x1, way = root === x0 ? 1 : -1;
  const lines = [];
  for (let k = 1; k * every * per < x1 - x0 && k < 500; k++) lines.push(root + way * k * every * per);
  return html`<g>${lines.map((x) => html`<line class="rib" x1=${x} x2=${x} y1=${-y0} y2=${-y1} />`)}</g>`;
}
