// Spray: the mixing card, the air as read from the wall, and the day, which moves when its start is dragged.

import { html, useState } from "../html.mjs";
import { DayChart } from "../day_chart.mjs";
import { Forecast } from "../forecast.mjs";
import { Field } from "../field.mjs";
import { PaintFields } from "../paint_fields.mjs";
import { Says, small } from "../says.mjs";
import { degrees, degreesMore } from "../units.mjs";
import { otherwise } from "../words.mjs";

const time = (t) => t.slice(11, 16);
/** What is done, in the words of the bench; the plan's word where that says it. The why begins with it. */
const doing = (t) => {
  const said = ["tape", "inspect"].includes(t.task) && [["wash", "wash"], ["edge tape", "edge tape"], ["film", "film"], ["paper over", "cover"], ["wipe", "wipe"]].find(([begins]) => t.why.startsWith(begins));
  return said ? said[1] : t.task.replace("-", " ");
};
const ml = (v) => `${Math.round(v)} ml`;

export function Spray({ seen, edit, inch, units, notice, block }) {
  const [told, setTold] = useState("");
  const plan = seen.plan || {};
  const job = seen.job || {};
  const c = job.conditions || {}, shop = job.shop || {};
  const day = plan.day || [];
  const dated = day.length > 0 && day[0].start.length > 10;
  const dates = dated ? [...new Set(day.map((t) => t.start.slice(0, 10)))] : day.length ? [""] : [];
  const set = (path, value) => edit([{ path, value }]).then((p) => setTold(p ? [p[0].message, p[0].hint].filter(Boolean).join("; ") : ""));
  const of = (...ids) => (plan.findings || []).filter((f) => ids.some((i) => f.about === i || f.id.startsWith(i)));
  const air = plan.conditions;
  const known = air && air.dew_point_c !== undefined && air.dew_point_c !== null;
  const several = (plan.marks || []).length + (plan.stripes || []).length > 1;
  return html`
    <section class="drawing">
      <h1>Spray</h1>
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      ${dated ? html`<${DayChart} day=${day} opens=${shop.opens || "08:00"} closes=${shop.closes || "18:00"} onStart=${(t) => set(["shop", "opens"], t)} />` : html`<p>No day is planned yet: it needs something to paint, a paint with coats, and the day of the first spraying.</p>`}
      <${Says} findings=${of("day", "more-hands", "gun-", "window", "late", "go-").filter((f) => f.severity !== "pass")} none="" />
      ${dates.map((date, k) => { const tasks = day.filter((t) => t.start.slice(0, 10) === date || !dated); return html`<details class="fold" key=${date} open=${k === 0 || !small()}><summary>${dated ? new Date(`${date}T12:00:00`).toLocaleDateString("en-GB", { weekday: "long", day: "numeric", month: "long" }) : "The day"}<span class="soft"> · ${[...new Set(tasks.map(doing).filter((t) => t !== "wait"))].join(", ")}</span></summary>
        <div class="scroll" tabindex="0" role="region" aria-label="Tasks of ${date}"><table class="stack day"><thead><tr><th>when</th><th>do</th><th>letters</th><th class="n">min</th><th>window</th><th>why</th></tr></thead><tbody>
        ${tasks.map((t) => html`<tr><td>${time(t.start)}</td><td>${doing(t)}</td><td>${t.part || (several ? t.about : "")}</td><td class="n">${t.minutes}<span class="narrow"> min</span></td><td>${[t.not_before && `from ${time(t.not_before)}`, t.not_after && `by ${time(t.not_after)}`].filter(Boolean).join(" ")}</td><td class="all">${t.why}</td></tr>`)}</tbody></table></div></details>`; })}
    </section>
    <section class="column" aria-label="Air and paint">
      ${notice}
      <h2>Read from the wall</h2>
      <${Field} label="Air" path=${["conditions", "air"]} value=${c.air} edit=${edit} live note="such as 72 F or 22 C" />
      <${Field} label="Surface" path=${["conditions", "surface"]} value=${c.surface} edit=${edit} live />
      <${Field} label="Humidity, %" path=${["conditions", "humidity"]} value=${c.humidity} edit=${edit} live />
      ${known ? html`<p class="figure"><span class="word-${air.verdict}">${{ pass: "✓ go", caution: "▮ caution", fail: "⊗ no-go" }[air.verdict] || air.verdict}</span>: the surface stands ${degreesMore(air.margin_c, inch)} over the dew point of ${degrees(air.dew_point_c, inch)}</p>` : html`<p class="soft">The dew point needs all three.</p>`}
      <${Forecast} c=${c} edit=${edit} />
      <${Says} findings=${of("dew-point", "conditions", "humidity", "air-")} none="" />
      <h2>Mixing card</h2>
      ${(plan.paint || []).length ? "" : html`<p class="soft">Nothing is painted with a paint yet.</p>`}
      ${(plan.paint || []).map((p) => !p.mix_ml ? html`<h3>${p.id}</h3><p class="soft">How much to mix needs its coats, its solids and the share that lands: below.</p><${Says} findings=${of(p.id)} none="" />` : html`<h3>${p.id}: mix ${ml(p.mix_ml)}</h3>
        <table><thead><tr><th>part</th><th class="n">of all</th>${p.batches.map((_, i) => html`<th class="n">cup ${i + 1}</th>`)}</tr></thead><tbody>
          ${parts(p).map((x) => html`<tr><td>${x.name}</td><td class="n">${ml(x.share * p.mix_ml)}</td>${p.batches.map((b) => html`<td class="n">${ml(x.share * b.ml)}</td>`)}</tr>`)}
          <tr><th>mixed</th><td></td>${p.batches.map((b) => html`<td class="n">${b.mixed_at}</td>`)}</tr><tr><th>good until</th><td></td>${p.batches.map((b) => html`<td class="n">${b.use_by}</td>`)}</tr></tbody></table>
        <p class="soft">${ml(p.volume_ml)} by the bare law, the rest is rounding and waste; ${p.area_sprayed_m2.toFixed(2)} m² sprayed for ${p.area_painted_m2.toFixed(2)} m² painted, ${p.dry_film_um} µm dry, ${p.dry_mass_g.toFixed(0)} g on the skin.</p>
        <${Says} findings=${of(p.id)} none="" />`)}
      ${(plan.cautions || []).length ? html`<h2>Cautions</h2><ul class="says">${plan.cautions.map((x) => html`<li class="caution"><span class="word-caution">caution: </span>${x.text}</li>`)}</ul>` : ""}
      <h2>From the data sheet</h2>
      <p class="soft">A new job starts with an example’s figures: the sheet of your own paint goes before them.</p>
      <${PaintFields} job=${job} edit=${edit} />
      <h2>The shop</h2>
      <${Field} label="First spraying" path=${["shop", "date"]} value=${shop.date && shop.date.$time ? shop.date.$time : shop.date} edit=${(edits, merge) => edit(edits.map((e) => ({ ...e, value: e.value === null ? null : { $time: String(e.value) } })), merge)} note="year-month-day" />
      ${["opens", "closes", "hands"].map((k) => html`<${Field} label=${k[0].toUpperCase() + k.slice(1)} path=${["shop", k]} value=${shop[k]} edit=${edit} other=${otherwise("shop", k)} />`)}
      <${Field} label="Working times" path=${["shop", "labour"]} value=${shop.labour} edit=${edit} words other="those of the program" note="a file in the folder with the shop’s own" />
      <h2>The gun as it is set</h2>
      ${[["fan", "Fan on the work", ""], ["overlap", "Overlap of passes", "a share, such as 0.5"], ["speed", "Speed of travel", "such as 18 in/s"]].map(([k, label, note]) => html`<${Field} label=${label} unit=${k === "fan" ? units : undefined} path=${["gun", k]} value=${(job.gun || {})[k]} edit=${edit} other=${otherwise("gun", k)} note=${note} />`)}
    </section>
    ${block}`;
}

/** Shares of a paint's parts. */
function parts(p) {
  const all = p.parts.reduce((sum, x) => sum + x.ml, 0);
  return p.parts.map((x) => ({ name: x.name, share: all ? x.ml / all : 0 }));
}
