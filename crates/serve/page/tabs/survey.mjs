// Survey: the surface to scale as it is typed, its features to add and drag, ribs, the section or ring at a station.

import { html, useState } from "../html.mjs";
import { Drawing } from "../drawing.mjs";
import { FeatureFields, asTyped } from "../feature_fields.mjs";
import { Field } from "../field.mjs";
import { Says } from "../says.mjs";
import { Section } from "../section.mjs";
import { SurfaceFields } from "../surface_fields.mjs";
import { MoreSurfaces } from "../surface_more.mjs";
import { Surfaces, useUnder } from "../surfaces.mjs";
import { both } from "../units.mjs";
import { otherwise, words } from "../words.mjs";

export function Survey({ seen, edit, retype, inch, units, shown, setSurface, setScale, notice, block }) {
  const [chosen, setChosen] = useState("");
  const [told, setTold] = useState("");
  const under = useUnder(seen, shown);
  const job = seen.job || {};
  const list = job.surface || [];
  const n = Math.max(0, list.findIndex((s) => shown && s.id === shown.id));
  const surface = list[n] || {};
  const features = surface.feature || [];
  const at = (...more) => ["surface", n, ...more];
  const marks = seen.plan && shown ? seen.plan.marks.filter((m) => m.surface === shown.id) : [];
  // What the girth is stands beside its field.
  const about = seen.plan ? seen.plan.findings.filter((f) => f.about === surface.id && !(f.severity === "note" && /^girth/.test(f.id))) : [];

  // Anything with points of its own is moved with all of them: each goes to flat, by the drag, and back.
  const onFeature = async (id, by) => {
    const i = features.findIndex((f) => f.id === id);
    const drawn = shown.features.find((f) => f.id === id);
    if (i < 0) return;
    const points = drawn.centre_flat_mm ? [drawn.centre_flat_mm] : drawn.path_flat_mm || [];
    const key = features[i].at ? "at" : "path";
    if (!points.length || !features[i][key] || surface.t_from === "trailing-edge" || key === "path" && points.length !== features[i].path.length) { setTold("this one is moved by its figures: choose it and type them"); return; }
    const moved = await asTyped(seen.name, surface, points.map((p) => [p[0] + by[0], p[1] + by[1]]), units);
    const problems = await edit([{ path: at("feature", i, key), value: key === "at" ? moved[0] : moved }]);
    setTold(problems ? problems[0].message : "");
  };
  const kind = surface.kind;
  return html`
    <section class="drawing">
      <${Surfaces} seen=${seen} shown=${shown} setSurface=${setSurface} />
      <${Drawing} plan=${seen.plan} surface=${shown} marks=${marks} onFeature=${onFeature} onChoose=${setChosen} chosen=${chosen} inch=${inch} under=${under} setScale=${setScale} />
      <p class="soft" style="margin:.3rem 0 0">Seen facing the skin. Drag a feature to move it, or reach it with Tab and use the arrow keys; choose one to type its figures${kind === "mesh" ? ", which are the scan’s own x, y and z" : ""}.</p>
      ${kind === "wing" || kind === "body" ? html`<${Section} seen=${seen} shown=${shown} inch=${inch} />` : ""}
    </section>
    <section class="column" aria-label="Survey">
      ${notice}
      <h1>Survey</h1>
      <${Field} label="Title" path=${["title"]} value=${job.title} edit=${edit} required words />
      <${Field} label="Units" path=${["units"]} value=${job.units} choices=${words("job", "units")} edit=${edit} />
      <${Field} label="Error of survey" unit=${units} path=${["survey", "error"]} value=${(job.survey || {}).error} edit=${edit} other=${otherwise("survey", "error")} note="a clearance smaller than this is “measure again”, not “sure”" />
      <h2>Surface ${surface.id}</h2>
      ${surface.id ? html`<${MoreSurfaces} job=${job} surface=${surface} at=${at} edit=${edit} units=${units} setSurface=${setSurface} />` : ""}
      <${SurfaceFields} surface=${surface} at=${at} edit=${edit} unit=${units} />
      ${under && under.girths.length ? html`<p>${under.girths.map((g, k) => html`${k ? "at the tip" : "At the root"} a girth of ${both(g.used_mm, inch)} over a chord of ${both(g.chord_mm, inch)}${Math.abs(g.used_mm - g.computed_mm) > 0.01 ? `, ${both(g.used_mm - g.computed_mm, inch)} from the section’s own` : ""}${k ? "." : "; "}`)}</p>` : ""}
      <${Says} findings=${about} none="" />
      ${surface.id ? html`<${FeatureFields} name=${seen.name} surface=${surface} shown=${shown} at=${at} edit=${edit} units=${units} chosen=${chosen} setChosen=${setChosen} told=${told} setTold=${setTold} look=${{ plan: seen.plan, surface: shown, marks, onFeature, onChoose: setChosen, chosen, inch, under }} />` : ""}
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
    : html`<p class="soft">All that is typed here stands in it, with your own comments; edits by hand show at once.</p><p><button onclick=${() => { setText(seen.text); setOpen(true); }}>Open it</button></p>`}`;
}
