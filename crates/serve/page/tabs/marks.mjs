// Marks: text, letters and size with the rule report beside, changing as it is typed.

import { html } from "../html.mjs";
import { Drawing } from "../drawing.mjs";
import { Field } from "../field.mjs";
import { Says } from "../says.mjs";
import { both } from "../units.mjs";

export function Marks({ seen, edit, inch, shown, setSurface, notice, block }) {
  const job = seen.job || {};
  const marks = job.mark || [];
  const planned = (id) => seen.plan && seen.plan.marks.find((m) => m.id === id);
  const here = seen.plan && shown ? seen.plan.marks.filter((m) => m.surface === shown.id) : [];
  const paints = (job.paint || []).map((p) => p.id);
  const grounds = (job.ground || []).map((g) => g.id);
  const add = () => {
    const taken = new Set(marks.map((m) => m.id));
    let k = 1;
    while (taken.has(`mark-${k}`)) k += 1;
    return edit([{ path: ["mark", marks.length], value: { id: `mark-${k}`, surface: (shown || (job.surface || [])[0] || {}).id || "", text: "N417RW", height: "12 in", place: "roomiest" } }]);
  };
  return html`
    <section class="drawing">
      ${(seen.plan ? seen.plan.surfaces : []).length > 1 ? html`<div class="row">${seen.plan.surfaces.map((s) => html`<button aria-pressed=${shown && s.id === shown.id} onclick=${() => setSurface(s.id)}>${s.id}</button>`)}</div>` : ""}
      <${Drawing} surface=${shown} marks=${here} inch=${inch} />
    </section>
    <section class="column" aria-label="Marks">
      ${notice}
      <h1>Marks</h1>
      <${Field} label="Rule pack" path=${["rules"]} value=${job.rules} edit=${edit} note="a rule report is help, not approval" />
      ${marks.map((m, i) => {
        const p = planned(m.id);
        const at = (...more) => ["mark", i, ...more];
        return html`<h2>${m.id}</h2>
          <${Field} label="Text" path=${at("text")} value=${m.text} edit=${edit} required />
          <${Field} label="Surface" path=${at("surface")} value=${m.surface} choices=${(job.surface || []).map((s) => s.id)} edit=${edit} />
          <${Field} label="Letters" path=${at("letters")} value=${m.letters} choices=${["square", "clipped", "rounded"]} edit=${edit} />
          <${Field} label="Height" path=${at("height")} value=${m.height} edit=${edit} required note="a length, or largest, or legal" />
          <${Field} label="Width over height" path=${at("width_ratio")} value=${m.width_ratio} edit=${edit} />
          <${Field} label="Stroke over height" path=${at("stroke_ratio")} value=${m.stroke_ratio} edit=${edit} />
          <${Field} label="Slant, degrees" path=${at("slant_deg")} value=${m.slant_deg} edit=${edit} />
          <${Field} label="Place in the rules" path=${at("location")} value=${m.location} edit=${edit} />
          <${Field} label="Paint" path=${at("paint")} value=${m.paint} choices=${["", ...paints]} edit=${edit} />
          <${Field} label="Over" path=${at("over")} value=${m.over} choices=${["", ...grounds, ...paints]} edit=${edit} />
          ${p ? html`<p>${both(p.height_mm, inch)} high, ${both(p.length_mm, inch)} long, stroke ${both(p.stroke_mm, inch)}, gap ${both(p.gap_mm, inch)}.</p>` : ""}
          <${Says} findings=${seen.plan ? seen.plan.findings.filter((f) => f.about === m.id && f.cite && !f.id.startsWith("fit")) : []} none="No rule is held against it." />
          <p><button onclick=${() => edit([{ path: at(), value: null }])}>Take ${m.id} out</button></p>`;
      })}
      <p><button onclick=${add}>Add a mark</button></p>
      <${Says} findings=${seen.plan ? seen.plan.findings.filter((f) => f.about === "" || f.about === "job") : []} none="" />
    </section>
    ${block}`;
}
