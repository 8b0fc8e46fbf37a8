// Survey: the surface to scale as it is typed, its features to add and drag, ribs, girth against chord.

import { html, useState } from "../html.mjs";
import { Drawing, box } from "../drawing.mjs";
import { Field } from "../field.mjs";
import { Says } from "../says.mjs";
import { Section } from "../section.mjs";
import { Surfaces, useUnder } from "../surfaces.mjs";
import { both, inUnits } from "../units.mjs";
import * as server from "../fetch.mjs";

const FEATURES = ["ring", "plate", "cap", "step", "patch", "rivets", "port", "drain", "vent", "filler", "placard", "data-plate", "window", "keep-out", "hinge", "gap", "seam", "lap"];
const LINES = ["rivets", "hinge", "gap", "seam", "lap"];

export function Survey({ seen, edit, retype, inch, units, shown, setSurface, setScale, notice, block }) {
  const [chosen, setChosen] = useState("");
  const [kind, setKind] = useState("ring");
  const [told, setTold] = useState("");
  const under = useUnder(seen, shown);
  const job = seen.job || {};
  const list = job.surface || [];
  const n = Math.max(0, list.findIndex((s) => shown && s.id === shown.id));
  const surface = list[n] || {};
  const features = surface.feature || [];
  const at = (...more) => ["surface", n, ...more];
  const marks = seen.plan && shown ? seen.plan.marks.filter((m) => m.surface === shown.id) : [];
  const about = seen.plan ? seen.plan.findings.filter((f) => f.about === surface.id) : [];

  // Anything with points of its own is moved with all of them: each goes to flat, by the drag, and back.
  const onFeature = async (id, by) => {
    const i = features.findIndex((f) => f.id === id);
    const drawn = shown.features.find((f) => f.id === id);
    if (i < 0) return;
    const to = (p) => server.skinAt(seen.name, shown.id, [p[0] + by[0], p[1] + by[1]]).then((skin) => skin.map((v) => inUnits(v, units)));
    const points = drawn.centre_flat_mm ? [drawn.centre_flat_mm] : drawn.path_flat_mm || [];
    const key = features[i].at ? "at" : "path";
    if (!points.length || !features[i][key] || surface.t_from === "trailing-edge" || key === "path" && points.length !== features[i].path.length) { setTold("this one is moved by its figures: choose it and type them"); return; }
    const moved = await Promise.all(points.map(to));
    const problems = await edit([{ path: at("feature", i, key), value: key === "at" ? moved[0] : moved }]);
    setTold(problems ? problems[0].message : "");
  };
  const add = async () => {
    const taken = new Set(features.map((f) => f.id));
    let k = 1;
    while (taken.has(`${kind}-${k}`)) k += 1;
    const [x0, y0, x1, y1] = box(shown.outline_flat_mm);
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
      <${Surfaces} seen=${seen} shown=${shown} setSurface=${setSurface} />
      <${Drawing} stripes=${seen.plan && seen.plan.stripes} surface=${shown} marks=${marks} onFeature=${onFeature} onChoose=${setChosen} chosen=${chosen} inch=${inch} under=${under} setScale=${setScale} />
      <p class="soft" style="margin:.3rem 0 0">Seen facing the skin. Drag a feature to move it, or reach it with Tab and use the arrow keys; choose one to type its figures.</p>
      ${wing ? html`<${Section} seen=${seen} shown=${shown} inch=${inch} />` : ""}
    </section>
    <section class="column" aria-label="Survey">
      ${notice}
      <h1>Survey</h1>
      <${Field} label="Title" path=${["title"]} value=${job.title} edit=${edit} required words />
      <${Field} label="Units" path=${["units"]} value=${job.units} choices=${["in", "ft", "mm", "cm", "m"]} edit=${edit} />
      <${Field} label="Error of survey" unit=${job.units || "in"} path=${["survey", "error"]} value=${(job.survey || {}).error} edit=${edit} note="a clearance smaller than this is “measure again”, not “sure”" />
      <h2>Surface ${surface.id}</h2>
      ${wing ? html`
        <${Field} label="Half" path=${at("half")} value=${surface.half} choices=${["left", "right"]} edit=${edit} />
        <${Field} label="Side" path=${at("side")} value=${surface.side} choices=${["upper", "lower"]} edit=${edit} />
        <${Field} label="Span" unit=${job.units || "in"} path=${at("span")} value=${surface.span} edit=${edit} required live />
        <${Field} label="Chord, root" unit=${job.units || "in"} path=${at("chord", 0)} value=${(surface.chord || [])[0]} edit=${edit} required live />
        <${Field} label="Chord, tip" unit=${job.units || "in"} path=${at("chord", 1)} value=${(surface.chord || [])[1]} edit=${edit} required live />
        <${Field} label="Sweep" unit=${job.units || "in"} path=${at("sweep")} value=${surface.sweep} edit=${edit} live />
        <${Field} label="Section" words=${!Array.isArray(surface.section)} path=${at("section")} value=${surface.section} edit=${edit} live required />
        <${Field} label="Girth as measured" unit=${job.units || "in"} path=${at("girth")} value=${surface.girth} edit=${edit} note="root and tip, in brackets; empty = the section's own" />
        <${Field} label="Ribs every" unit=${job.units || "in"} path=${at("ribs", "every")} value=${(surface.ribs || {}).every} edit=${edit} live />
        <${Field} label="Tape over a rib" unit=${job.units || "in"} path=${at("ribs", "tape")} value=${(surface.ribs || {}).tape} edit=${edit} />
        ${under && under.girths.length ? html`<p>${under.girths.map((g, k) => html`${k ? "at the tip" : "At the root"} a girth of ${both(g.used_mm, inch)} over a chord of ${both(g.chord_mm, inch)}${Math.abs(g.used_mm - g.computed_mm) > 0.01 ? `, ${both(g.used_mm - g.computed_mm, inch)} from the section’s own` : ""}${k ? "." : "; "}`)}</p>` : ""}`
      : surface.kind === "body" || surface.kind === "mesh" ? html`
        <${Field} label="Side" path=${at("side")} value=${surface.side} choices=${["left", "right", "upper", "lower"]} edit=${edit} />
        ${surface.kind === "mesh" ? html`<${Field} label="File of the scan" path=${at("file")} value=${surface.file} edit=${edit} required /><${Field} label="Its unit" path=${at("unit")} value=${surface.unit} choices=${["mm", "cm", "m", "in", "ft"]} edit=${edit} />`
          : html`<${Field} label="Waterline" unit=${job.units || "in"} path=${at("waterline")} value=${surface.waterline} edit=${edit} live />${(surface.stations || []).map((x, k) => html`<${Field} key=${`${surface.id}${k}`} label="Station ${k + 1}" path=${at("stations", k)} value=${x} edit=${edit} required />`)}`}`
      : html`<${Field} label="Corners" unit=${job.units || "in"} path=${at("corners")} value=${surface.corners} edit=${edit} required note="x and y of each, in brackets" />
        <${Field} label="Side" path=${at("side")} value=${surface.side} choices=${["left", "right", "upper", "lower"]} edit=${edit} />`}
      <${Field} label="Material" path=${at("material")} value=${surface.material} choices=${["fabric", "metal", "composite", "wood", "other"]} edit=${edit} />
      <${Says} findings=${about} none="" />
      <h2>Features (${features.length})</h2>
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      <div class="row"><select aria-label="Kind of feature" style="width:auto" value=${kind} onchange=${(e) => setKind(e.target.value)}>${FEATURES.map((k) => html`<option value=${k}>${k}</option>`)}</select><button onclick=${add} disabled=${!shown}>Add it in the middle</button></div>
      <div class="chips">${features.map((x) => html`<button aria-pressed=${x.id === chosen} onclick=${() => setChosen(x.id)}>${x.id}</button>`)}</div>
      ${f ? html`<h3>${f.id}</h3>
        <${Field} key=${`${f.id}k`} label="Kind" path=${at("feature", i, "kind")} value=${f.kind} choices=${FEATURES} edit=${edit} />
        ${f.at ? html`<${Field} key=${`${f.id}s`} label=${wing ? "s, along the span" : "x"} unit=${job.units || "in"} path=${at("feature", i, "at", 0)} value=${f.at[0]} edit=${edit} required live />
          <${Field} key=${`${f.id}t`} label=${wing ? "t, round the skin" : "y"} unit=${job.units || "in"} path=${at("feature", i, "at", 1)} value=${f.at[1]} edit=${edit} required live />
          <${Field} key=${`${f.id}d`} label="Diameter" unit=${job.units || "in"} path=${at("feature", i, "diameter")} value=${f.diameter} edit=${edit} required live />` : ""}
        ${f.corners ? html`<${Field} key=${`${f.id}c`} label="Corners" unit=${job.units || "in"} path=${at("feature", i, "corners")} value=${f.corners} edit=${edit} required />` : ""}
        ${f.path ? html`${f.path.map((p, k) => html`<${Field} key=${`${f.id}p${k}`} label="Point ${k + 1}" unit=${job.units || "in"} path=${at("feature", i, "path", k)} value=${p} edit=${edit} required note=${k ? "" : wing ? "s along the span, t round the skin, in brackets" : "x and y, in brackets"} />`)}
          <${Field} key=${`${f.id}w`} label="Width" unit=${job.units || "in"} path=${at("feature", i, "width")} value=${f.width} edit=${edit} />` : ""}
        <${Field} key=${`${f.id}l`} label="Clearance" unit=${job.units || "in"} path=${at("feature", i, "clearance")} value=${f.clearance} edit=${edit} note="empty = 1/4 in" />
        <${Field} key=${`${f.id}x`} label="May be crossed" path=${at("feature", i, "cross")} value=${f.cross} choices=${["", "never", "square", "any"]} edit=${edit} />
        <p><button onclick=${async () => { setChosen(""); await edit([{ path: at("feature", i), value: null }]); }}>Take ${f.id} out</button></p>` : ""}
      <${File} seen=${seen} retype=${retype} />
    </section>
    ${block}`;
}

/** The job file itself, for what has no field here. */
function File({ seen, retype }) {
  const [open, setOpen] = useState(false);
  const [text, setText] = useState("");
  const [kept, setKept] = useState("");
  return html`<h2>The job file itself</h2>
    ${open ? html`<textarea rows="18" aria-label="Text of ${seen.name}" spellcheck=${false} style="font-family:monospace;white-space:pre;overflow:auto" value=${text} oninput=${(e) => { setText(e.target.value); setKept(""); }}></textarea>
      <div class="row"><button onclick=${async () => { if (await retype(text)) setKept("Saved."); }}>Save the text</button><button onclick=${() => { setOpen(false); setKept(""); }}>Close it</button></div><p role="status">${kept}</p>`
    : html`<p class="soft">Whatever has no field here stands in it; edits by hand show at once.</p><p><button onclick=${() => { setText(seen.text); setOpen(true); }}>Open it</button></p>`}`;
}
