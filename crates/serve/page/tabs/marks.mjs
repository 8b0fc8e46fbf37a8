// Marks: text, letters, size and colours, with the rule report beside, changing as it is typed.

import { html, useState, useEffect } from "../html.mjs";
import { Drawing, Sheet, ScaleBar, box, path, ringsOf, upright, widened } from "../drawing.mjs";
import { asTyped } from "../feature_fields.mjs";
import { Field, Flag } from "../field.mjs";
import { MarkFields } from "../mark_fields.mjs";
import { Says } from "../says.mjs";
import { InSpace } from "../space.mjs";
import { StripeFields, TapeLies } from "../stripes.mjs";
import { Surfaces, useUnder } from "../surfaces.mjs";
import { contrast, reflects } from "../colours.mjs";
import { both } from "../units.mjs";
import { otherwise, words } from "../words.mjs";
import * as server from "../fetch.mjs";

/** Findings with a source that are not of the rule: they stand with the fit, the colours, the tape and the paint. */
const OF_OTHERS = /^(fit|contrast|along|seal|on-part|hiding|warmth)/;

const VIEWS = [["letters", "The letters"], ["surface", "On the surface"], ["space", "In space"]];

export function Marks({ seen, edit, inch, units, shown, setSurface, setScale, notice, block }) {
  const [view, setView] = useState("letters");
  const [which, setWhich] = useState("");
  const [packs, setPacks] = useState([]);
  const [told, setTold] = useState("");
  useEffect(() => { server.packs().then(setPacks).catch(() => {}); }, []);
  const under = useUnder(seen, shown);
  const job = seen.job || {};
  const craft = job.craft || {};
  const marks = job.mark || [];
  const stripes = job.stripe || [];
  const k = stripes.findIndex((x) => x.id === which), stripe = k >= 0 ? stripes[k] : marks.length ? null : stripes[0];
  const i = Math.max(0, marks.findIndex((m) => m.id === which));
  const m = stripe ? null : marks[i];
  const planned = seen.plan && m && seen.plan.marks.find((p) => p.id === m.id);
  const laid = seen.plan && stripe && (seen.plan.stripes || []).find((x) => x.id === stripe.id);
  const of = stripe || m;
  const surface = seen.plan && of && seen.plan.surfaces.find((s) => s.id === of.surface) || shown;
  const here = seen.plan && surface ? seen.plan.marks.filter((p) => p.surface === surface.id) : [];
  const paints = job.paint || [], grounds = job.ground || [];
  const colour = (id) => (paints.find((p) => p.id === id) || grounds.find((g) => g.id === id) || {}).colour;
  const [on, ground] = of ? [colour(of.paint), colour(of.over)] : [];
  const pack = packs.find((p) => p.id === job.rules);
  const change = (edits) => edit(edits).then((p) => setTold(p ? [p[0].message, p[0].hint].filter(Boolean).join("; ") : ""));
  const add = async () => {
    const taken = new Set(marks.map((x) => x.id));
    let k = 1;
    while (taken.has(`mark-${k}`)) k += 1;
    const value = { id: `mark-${k}`, surface: (shown || (job.surface || [])[0] || {}).id || "", text: "N417RW", height: "12 in", place: "roomiest" };
    if (paints.length) value.paint = paints[0].id;
    if (grounds.length) value.over = grounds[0].id;
    await change([{ path: ["mark", marks.length], value }]);
    setWhich(value.id);
  };
  const addStripe = async () => {
    const taken = new Set(stripes.map((x) => x.id));
    let n = 1;
    while (taken.has(`stripe-${n}`)) n += 1;
    // Along the middle of the surface, a tenth of it off each end.
    const [x0, y0, x1, y1] = box(surface.outline_flat_mm);
    const ends = [[x0 + 0.1 * (x1 - x0), (y0 + y1) / 2], [x1 - 0.1 * (x1 - x0), (y0 + y1) / 2]];
    const through = await asTyped(seen.name, (job.surface || []).find((x) => x.id === surface.id) || surface, ends, units);
    /** @type {any} */
    const value = { id: `stripe-${n}`, surface: surface.id, through, width: "2 in" };
    if (paints.length) value.paint = paints[0].id;
    if (grounds.length) value.over = grounds[0].id;
    await change([{ path: ["stripe", stripes.length], value }]);
    setWhich(value.id);
  };
  const at = (...more) => ["mark", i, ...more];
  const findings = seen.plan ? seen.plan.findings : [];
  // To another surface is to what is painted there.
  const setWhichOn = (id) => { setSurface(id); const there = [...marks, ...stripes].find((x) => x.surface === id); if (there) setWhich(there.id); };
  const hues = Object.fromEntries([...marks, ...stripes].map((x) => [x.id, colour(x.paint)]));
  return html`
    <section class="drawing">
      <${Surfaces} seen=${seen} shown=${surface} setSurface=${setWhichOn}>${VIEWS.filter(([v]) => !stripe || v !== "letters").map(([v, words]) => html`<button aria-pressed=${view === v || !!stripe && view === "letters" && v === "surface"} onclick=${() => setView(v)}>${words}</button>`)}</${Surfaces}>
      ${view === "space" && surface ? html`<${InSpace} seen=${seen} surface=${surface} marks=${here} inch=${inch} ground=${ground} colours=${hues} further=${(id) => colour(id)} setScale=${setScale} />`
      : view === "letters" && planned ? html`<${Letters} mark=${planned} on=${on} ground=${ground} colour=${colour} inch=${inch} setScale=${setScale} />`
      : html`<${Drawing} plan=${seen.plan} colours=${hues} which=${stripe ? stripe.id : ""} surface=${surface} marks=${here} inch=${inch} under=${under} setScale=${setScale} />`}
      ${planned ? html`<p class="figure" style="margin:.3rem 0 0">${both(planned.height_mm, inch)} high, ${both(planned.length_mm, inch)} long; stroke ${both(planned.stroke_mm, inch)}, gap ${both(planned.gap_mm, inch)}</p>` : laid ? html`<p class="figure" style="margin:.3rem 0 0">${both(laid.width_mm, inch)} wide, ${both(laid.length_mm, inch)} along its middle</p>` : ""}
    </section>
    <section class="column" aria-label="Marks">
      ${notice}
      <h1>Marks</h1>
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      <div class="chips">${marks.map((x, k) => html`<button aria-pressed=${!stripe && k === i} onclick=${() => { setWhich(x.id); setSurface(x.surface); }}>${x.text}<small>${x.id}</small></button>`)}${stripes.map((x) => html`<button aria-pressed=${x === stripe} onclick=${() => { setWhich(x.id); setSurface(x.surface); }}>${x.id}<small>stripe</small></button>`)}<button onclick=${add}>Add a mark</button>${surface ? html`<button onclick=${addStripe}>Add a stripe</button>` : ""}</div>
      ${stripe ? html`${laid ? html`<${TapeLies} stripe=${laid} inch=${inch} />` : ""}<${StripeFields} stripe=${stripe} laid=${laid} i=${Math.max(0, k)} job=${job} edit=${edit} units=${units} />
        ${stripe.paint && paints.some((p) => p.id === stripe.paint) ? html`<${Colour} label="Colour of ${stripe.paint}" path=${["paint", paints.findIndex((p) => p.id === stripe.paint), "colour"]} value=${on} change=${change} />` : ""}
        <${Says} findings=${findings.filter((f) => f.about === stripe.id)} none="" />` : ""}
      ${m ? html`
        <${Field} key=${`${m.id}t`} label="Text" path=${at("text")} value=${m.text} edit=${edit} required live words lines note=${/\s/.test(m.text || "") ? "Shift and Enter start a new line" : ""} />
        <${Field} key=${`${m.id}h`} label="Height" unit=${job.units || "in"} path=${at("height")} value=${m.height} edit=${edit} required live list=${words("mark", "height")} note="a length, or “largest” that fits, or least “legal”" />
        <${Field} key=${`${m.id}l`} label="Letters" path=${at("letters")} value=${m.letters && typeof m.letters === "object" ? "from a font" : m.letters} choices=${["", ...words("mark", "letters")]} other=${otherwise("mark", "letters")} edit=${edit} />
        <h2>What the rule says</h2>
        <${Says} findings=${findings.filter((f) => f.about === m.id && f.cite && ["read", "quoted", "memory"].includes(f.basis) && !OF_OTHERS.test(f.id))} none="No rule is held against it." report />
        <h2>Colours</h2>
        <${Field} key=${`${m.id}p`} label="Paint" path=${at("paint")} value=${m.paint} choices=${["", ...paints.map((p) => p.id)]} edit=${edit} />
        <${Field} key=${`${m.id}o`} label="Over" path=${at("over")} value=${m.over} choices=${["", ...grounds.map((g) => g.id), ...paints.map((p) => p.id)]} edit=${edit} />
        ${m.paint && paints.some((p) => p.id === m.paint) ? html`<${Colour} label="Colour of ${m.paint}" path=${["paint", paints.findIndex((p) => p.id === m.paint), "colour"]} value=${on} change=${change} />` : ""}
        ${m.over && grounds.some((g) => g.id === m.over) ? html`<${Colour} label="Colour of ${m.over}" path=${["ground", grounds.findIndex((g) => g.id === m.over), "colour"]} value=${ground} change=${change} />` : ""}
        ${on && ground ? html`<p>Contrast ${contrast(on, ground).toFixed(1)} : 1; ${m.paint} reflects ${(reflects(on) * 100).toFixed(0)} %, ${m.over} ${(reflects(ground) * 100).toFixed(0)} % of the light.</p>` : ""}
        <${Says} findings=${findings.filter((f) => f.about === m.id && /^contrast/.test(f.id))} none="" />
        <h2>More of its shape</h2>
        <${Field} key=${`${m.id}s`} label="Surface" path=${at("surface")} value=${m.surface} choices=${(job.surface || []).map((s) => s.id)} edit=${edit} />
        <${Field} key=${`${m.id}c`} label="Place in the rule" path=${at("location")} value=${m.location} choices=${pack && pack.locations.length ? ["", ...pack.locations] : undefined} edit=${edit} />
        <${Field} key=${`${m.id}w`} label="Width over height" path=${at("width_ratio")} value=${m.width_ratio} edit=${edit} live other=${m.width_ratio === undefined ? "the rule’s, else 0.667" : ""} />
        <${Field} key=${`${m.id}k`} label="Stroke over height" path=${at("stroke_ratio")} value=${m.stroke_ratio} edit=${edit} live other=${ratio(planned, "stroke_mm", "height_mm")} />
        <${Field} key=${`${m.id}g`} label="Gap over width" path=${at("gap_ratio")} value=${m.gap_ratio} edit=${edit} live other=${m.gap_ratio === undefined ? "the rule’s, else 0.25" : ""} />
        <${Field} key=${`${m.id}n`} label="Slant, degrees" path=${at("slant_deg")} value=${m.slant_deg} edit=${edit} live other=${otherwise("mark", "slant_deg")} />
        <${Field} key=${`${m.id}u`} label="Tops" path=${at("tops")} value=${m.tops} choices=${["", ...words("mark", "tops")]} edit=${edit} />
        <${MarkFields} name=${seen.name} mark=${m} at=${at} surface=${surface} on=${(job.surface || []).find((s) => s.id === m.surface) || {}} job=${job} edit=${edit} units=${units} />
        <p><button onclick=${() => { setWhich(""); change([{ path: at(), value: null }]); }}>Take ${m.id} out</button></p>` : stripe ? "" : html`<p>Nothing is to be painted yet.</p>`}
      <h2>The rule</h2>
      <${Field} label="Rule pack" path=${["rules"]} value=${job.rules} edit=${edit} choices=${["", ...packs.map((p) => p.id)]} said=${Object.fromEntries(packs.map((p) => [p.id, `${p.title} (${p.id})`]))} other="none is held against it" note=${pack ? pack.edition : ""} />
      <details class="fold"><summary>A pack of your own<span class="soft"> · a file in the folder</span></summary><${Field} label="Its file" words path=${["rules"]} value=${pack ? "" : job.rules} edit=${edit} note="such as ./club.toml" /></details>
      <${Field} label="Exact within" unit=${units} path=${["rule_tolerance"]} value=${job.rule_tolerance} edit=${edit} other=${otherwise("job", "rule_tolerance")} note="how far a figure may be from an exact one of the rule; the shop’s own" />
      <${Says} findings=${findings.filter((f) => f.about === "" || f.about === "job").filter((f) => (f.cite || /rule/.test(f.id)) && !/^(day|dew|first|ground|air|gun|go-|surface|humidity|hold|no-)/.test(f.id))} none="" />
      <h3>The craft, as the rule asks</h3>
      <${Field} label="It is a" path=${["craft", "category"]} value=${craft.category} choices=${["", ...words("craft", "category")]} edit=${edit} />
      <${Field} label="Built, year" path=${["craft", "built"]} value=${craft.built} edit=${edit} note="what is empty is taken at its strictest" />
      <${Field} label="Top cruise" unit="kt" path=${["craft", "max_cruise_kt"]} value=${craft.max_cruise_kt} edit=${edit} />
      <${Field} label="Take-off mass" unit="kg" path=${["craft", "mass_kg"]} value=${craft.mass_kg} edit=${edit} />
      <${Field} label="Special class" path=${["craft", "special"]} value=${craft.special} choices=${["", ...words("craft", "special")]} edit=${edit} />
      <${Flag} label="Crosses an ADIZ" path=${["craft", "adiz"]} value=${craft.adiz} edit=${edit} note="an air defence identification zone" />
      <p class="soft">A rule report is help, not approval.</p>
    </section>
    ${block}`;
}

/** What stands if a proportion is empty, as it was planned. */
const ratio = (planned, a, b) => planned ? `${Math.round(planned[a] / planned[b] * 1000) / 1000} as planned` : "";

/** The mark by itself in its colours on its ground, with height and length. */
function Letters({ mark, on, ground, colour, inch, setScale }) {
  // As it is read, whichever way its tops point on the surface.
  const up = upright(mark), rings = ringsOf(mark).map(up);
  const further = (mark.further || []).map((f) => ({ paint: f.paint, rings: f.rings_flat_mm.map(up) }));
  const show = widened(box([...rings, ...further.flatMap((f) => f.rings)].flat()), 0.06);
  return html`<${Sheet} show=${show} label="The letters of ${mark.text} in their colours" setScale=${setScale}>${(px, seen) => html`
    <rect x=${show[0]} y=${-show[3]} width=${show[2] - show[0]} height=${show[3] - show[1]} style="fill:${ground || "none"}" />
    ${further.map((f) => html`<path class="mark" style=${`cursor:default${colour(f.paint) ? `;fill:${colour(f.paint)}` : ""}`} fill-rule="evenodd" d=${path(f.rings)} />`)}
    <path class="mark" style=${`cursor:default${on ? `;fill:${on}` : ""}`} fill-rule="evenodd" d=${path(rings)} />
    ${ground ? "" : html`<${ScaleBar} show=${seen} px=${px} inch=${inch} />`}`}</${Sheet}>`;
}

function Colour({ label, path: where, value, change }) {
  const id = `colour-${where.join("-")}`;
  return html`<div class="field"><label for=${id}>${label}</label><input id=${id} type="color" value=${value || "#808080"} onchange=${(e) => change([{ path: where, value: e.target.value }])} style="padding:2px" /></div>`;
}
