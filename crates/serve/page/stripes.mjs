// Stripes on the sheet: what is asked of each, its edges at every rib or station, and how its tape lies.

import { html } from "./html.mjs";
import { edgesOf } from "./edges.mjs";
import { Act, Field } from "./field.mjs";
import { Way } from "./stripe_way.mjs";
import { box, turned } from "./drawing.mjs";
import { both, one } from "./units.mjs";
import { words } from "./words.mjs";

/** What is painted under an id, as a mark is: a stripe is one of one shape, as long as it is. */
export function painted(plan, id) {
  const mark = plan && plan.marks.find((m) => m.id === id);
  if (mark) return mark;
  const s = plan && (plan.stripes || []).find((x) => x.id === id);
  if (!s) return null;
  const way = s.middle_flat_mm, [a, b] = [way[0], way[way.length - 1]];
  const [x0, y0, x1, y1] = box(s.rings_flat_mm.flat());
  return { id, surface: s.surface, text: s.id, stripe: true, height_mm: s.width_mm, stroke_mm: s.width_mm, length_mm: s.length_mm, centre_flat_mm: [(x0 + x1) / 2, (y0 + y1) / 2],
    angle_deg: Math.atan2(b[1] - a[1], b[0] - a[0]) * 180 / Math.PI, glyphs: [{ char: "", rings_flat_mm: s.rings_flat_mm }] };
}

/** A window along something long, about a point: what is read at arm's length of it. */
export function about(thing, [x, y], reach) {
  const up = turned([[x, y]], thing.centre_flat_mm, -thing.angle_deg)[0];
  return box(turned([[up[0] - reach, up[1] - reach / 2], [up[0] + reach, up[1] - reach / 2], [up[0] + reach, up[1] + reach / 2], [up[0] - reach, up[1] + reach / 2]], thing.centre_flat_mm, thing.angle_deg));
}

const stretches = (list, inch) => list.map(([a, b]) => `${one(a, inch)} to ${one(b, inch)}`).join(", ");

/** How the tape lies along it: word first. */
export function TapeLies({ stripe, inch }) {
  const t = stripe.tape;
  const strain = `stretched ${(t.max_strain * 100).toFixed(1)} % at most, of ${(t.working_strain * 100).toFixed(0)} % it takes`;
  if (t.verdict === "lifts") return html`<p><span class="word-fail">⊗ lifts</span>: ${both(t.width_mm, inch)} tape would lift in its bends, from its start ${stretches(t.lifts_mm, inch)}; ${strain}. Take a narrower tape there, or a wider bend.</p>`;
  if (t.verdict === "steer") return html`<p><span class="word-caution">▮ steer it by hand</span>, from its start ${stretches(t.steer_mm, inch)}: ${both(t.width_mm, inch)} tape is ${strain}.</p>`;
  return html`<p><span class="word-pass">✓ lies</span>: ${both(t.width_mm, inch)} tape falls into its bends by itself; ${strain}.</p>`;
}

/** What a row tells that has one place only. */
const TIPS = { corner: "corner of the end", tip: "tip" };

/** Where both edges are marked at every rib or station, and where ticks go. */
export function Edges({ stripe, kind, inch }) {
  const { s, t, steep, rows, names: [lower, upper] } = edgesOf(stripe, kind);
  return html`<h2>Its edges</h2>
    <div class="scroll" tabindex="0" role="region" aria-label="Edges of ${stripe.id}"><table><thead><tr><th class="n">at ${steep ? t : s}</th><th class="n">${lower}, ${steep ? s : t}</th><th class="n">${upper}, ${steep ? s : t}</th></tr></thead><tbody>
      ${rows.map((r) => html`<tr><td class="n">${one(r.at, inch)}</td><td class="n">${one(r.lower, inch)}</td><td class="n">${r.what === "edges" ? one(r.upper, inch) : TIPS[r.what]}</td></tr>`)}</tbody></table></div>
    ${stripe.ticks && stripe.ticks.length ? html`<h3>Ticks where a part is painted apart</h3><table><thead><tr><th>part</th><th class="n">${s}</th><th class="n">${t}</th></tr></thead><tbody>
      ${stripe.ticks.map((k) => html`<tr><td>${k.part}</td><td class="n">${one(k.at_skin_mm[0], inch)}</td><td class="n">${one(k.at_skin_mm[1], inch)}</td></tr>`)}</tbody></table>` : ""}`;
}

/** The fields of a stripe. @param {any} p stripe of the job file, laid the same of the plan, i its number, job, edit, units */
export function StripeFields({ stripe, laid, i, job, edit, units }) {
  const at = (...more) => ["stripe", i, ...more];
  const surface = (job.surface || []).find((s) => s.id === stripe.surface) || {};
  const ends = Array.isArray(stripe.ends) ? stripe.ends : ["square", "square"];
  const list = words("stripe", "ends");
  const end = (k) => (edits, merge) => edit(edits.map((e) => ({ path: at("ends"), value: ends.map((x, n) => n === k ? e.value : x) })), merge);
  const paints = (job.paint || []).map((p) => p.id), grounds = (job.ground || []).map((g) => g.id);
  const wide = stripe.width;
  return html`
    ${Array.isArray(wide) ? html`${wide.map((w, k) => html`<${Field} key=${`${stripe.id}w${k}`} label=${k === 0 ? "Width, start" : k === wide.length - 1 ? "Width, end" : `Width ${k + 1}`} unit=${units} path=${at("width", k)} value=${w} edit=${edit} required live />`)}
        <p><${Act} edit=${edit} edits=${() => [{ path: at("width"), value: wide[0] }]}>The same width all along</${Act}></p>`
      : html`<${Field} key=${`${stripe.id}w`} label="Width" unit=${units} path=${at("width")} value=${wide} edit=${edit} live other=${stripe.mirror_of ? "as the other side" : ""} />
        ${wide === undefined ? "" : html`<p><${Act} edit=${edit} edits=${() => [{ path: at("width"), value: [wide, wide] }]}>It tapers</${Act}></p>`}`}
    ${["Start", "End"].map((label, k) => html`<${Field} key=${`${stripe.id}e${k}`} label=${label} path=${at("ends", k)} value=${ends[k]} choices=${list} edit=${end(k)} />`)}
    <${Field} key=${`${stripe.id}p`} label="Paint" path=${at("paint")} value=${stripe.paint} choices=${["", ...paints]} edit=${edit} />
    <${Field} key=${`${stripe.id}o`} label="Over" path=${at("over")} value=${stripe.over} choices=${["", ...grounds, ...paints]} edit=${edit} />
    ${ends.some((e) => /point|swallowtail/.test(e)) ? html`<${Field} key=${`${stripe.id}el`} label="Length of its ends" unit=${units} path=${at("end_length")} value=${stripe.end_length} edit=${edit} other="as it is wide" note="of a point or a swallowtail" />` : ""}
    <${Way} stripe=${stripe} laid=${laid} job=${job} surface=${surface} at=${at} edit=${edit} units=${units} />
    <p><${Act} edit=${edit} edits=${() => [{ path: at(), value: null }]}>Take ${stripe.id} out</${Act}></p>`;
}
