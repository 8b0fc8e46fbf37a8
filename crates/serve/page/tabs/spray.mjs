// Spray: the mixing card, the air as read from the wall, and the day, which moves when its start is dragged.

import { html, useState } from "../html.mjs";
import { DayChart } from "../day_chart.mjs";
import { Field } from "../field.mjs";
import { Says } from "../says.mjs";
import { degrees, degreesMore } from "../units.mjs";

const time = (t) => t.slice(11, 16);
const ml = (v) => `${Math.round(v)} ml`;

export function Spray({ seen, edit, inch, notice, block }) {
  const [told, setTold] = useState("");
  const plan = seen.plan || {};
  const job = seen.job || {};
  const c = job.conditions || {}, shop = job.shop || {};
  const day = plan.day || [];
  const dated = day.length > 0 && day[0].start.length > 10;
  const set = (path, value) => edit([{ path, value }]).then((p) => setTold(p ? [p[0].message, p[0].hint].filter(Boolean).join("; ") : ""));
  const of = (...ids) => (plan.findings || []).filter((f) => ids.some((i) => f.about === i || f.id.startsWith(i)));
  const air = plan.conditions;
  const known = air && air.dew_point_c !== undefined && air.dew_point_c !== null;
  const several = (plan.marks || []).length > 1;
  return html`
    <section class="drawing">
      <h1>Spray</h1>
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      ${dated ? html`<${DayChart} day=${day} opens=${shop.opens || "08:00"} closes=${shop.closes || "18:00"} onStart=${(t) => set(["shop", "opens"], t)} />` : html`<p>No day is planned: the job has no [shop] date, or no [[paint]] table with coats.</p>`}
      <${Says} findings=${of("day", "more-hands", "gun-", "window", "late", "go-").filter((f) => f.severity !== "pass")} none="" />
      ${day.length ? html`<div class="scroll" tabindex="0" role="region" aria-label="Tasks of the day"><table><thead><tr><th>when</th><th>do</th><th>letters</th><th class="n">min</th><th>window</th><th>why</th></tr></thead><tbody>
        ${day.map((t, i) => { const head = i === 0 || day[i - 1].start.slice(0, 10) !== t.start.slice(0, 10); return html`
          ${head ? html`<tr><th colspan="6" style="color:var(--ink);font-weight:600;padding-top:.8rem">${dated ? new Date(`${t.start.slice(0, 10)}T12:00:00`).toLocaleDateString("en-GB", { weekday: "long", day: "numeric", month: "long" }) : ""}</th></tr>` : ""}
          <tr><td>${time(t.start)}</td><td>${t.task.replace("-", " ")}</td><td>${t.part || (several ? t.about : "")}</td><td class="n">${t.minutes}</td><td>${[t.not_before && `from ${time(t.not_before)}`, t.not_after && `by ${time(t.not_after)}`].filter(Boolean).join(" ")}</td><td>${t.why}</td></tr>`; })}</tbody></table></div>` : ""}
    </section>
    <section class="column" aria-label="Air and paint">
      ${notice}
      <h2>Read from the wall</h2>
      <${Field} label="Air" path=${["conditions", "air"]} value=${c.air} edit=${edit} live note="such as 72 F or 22 C" />
      <${Field} label="Surface" path=${["conditions", "surface"]} value=${c.surface} edit=${edit} live />
      <${Field} label="Humidity, %" path=${["conditions", "humidity"]} value=${c.humidity} edit=${edit} live />
      ${known ? html`<p class="figure"><span class="word-${air.verdict}">${{ pass: "✓ go", caution: "▮ caution", fail: "⊗ no-go" }[air.verdict] || air.verdict}</span>: the surface stands ${degreesMore(air.margin_c, inch)} over the dew point of ${degrees(air.dew_point_c, inch)}</p>` : html`<p class="soft">The dew point needs all three.</p>`}
      <${Says} findings=${of("dew-point", "conditions", "humidity", "air-")} none="" />
      <h2>Mixing card</h2>
      ${(plan.paint || []).map((p) => html`<h3>${p.id}: mix ${ml(p.mix_ml)}</h3>
        <table><thead><tr><th>part</th><th class="n">of all</th>${p.batches.map((_, i) => html`<th class="n">cup ${i + 1}</th>`)}</tr></thead><tbody>
          ${parts(p).map((x) => html`<tr><td>${x.name}</td><td class="n">${ml(x.share * p.mix_ml)}</td>${p.batches.map((b) => html`<td class="n">${ml(x.share * b.ml)}</td>`)}</tr>`)}
          <tr><th>mixed</th><td></td>${p.batches.map((b) => html`<td class="n">${b.mixed_at}</td>`)}</tr><tr><th>good until</th><td></td>${p.batches.map((b) => html`<td class="n">${b.use_by}</td>`)}</tr></tbody></table>
        <p class="soft">${ml(p.volume_ml)} by the bare law, the rest is rounding and waste; ${p.area_sprayed_m2.toFixed(2)} m² sprayed for ${p.area_painted_m2.toFixed(2)} m² painted, ${p.dry_film_um} µm dry, ${p.dry_mass_g.toFixed(0)} g on the skin.</p>
        <${Says} findings=${of(p.id)} none="" />`)}
      <h2>From the data sheet</h2>
      <p class="soft">A new job starts with an example’s figures: the sheet of your own paint goes before them.</p>
      ${(job.paint || []).map((p, i) => html`<h3>${p.id}</h3>
        ${(p.parts || []).map((x, k) => html`<${Field} key=${`${p.id}p${k}`} label="Parts of ${x.name}" path=${["paint", i, "parts", k, "parts"]} value=${x.parts} edit=${edit} required live />`)}
        <${Field} key=${`${p.id}s`} label="Solids by volume" path=${["paint", i, "volume_solids"]} value=${p.volume_solids} edit=${edit} live note="a share, such as 0.42" />
        ${p.pot_life ? html`<${Field} key=${`${p.id}l`} label="Pot life" path=${["paint", i, "pot_life", "time"]} value=${p.pot_life.time} edit=${edit} required />` : ""}
        ${p.pull_edge ? html`<${Field} key=${`${p.id}f`} label="Pull from" path=${["paint", i, "pull_edge", "from"]} value=${p.pull_edge.from} edit=${edit} /><${Field} key=${`${p.id}b`} label="Pull by" path=${["paint", i, "pull_edge", "by"]} value=${p.pull_edge.by} edit=${edit} note="after the last coat" />` : ""}
        ${p.unmask ? html`<${Field} key=${`${p.id}u`} label="Unmask from" path=${["paint", i, "unmask", "from"]} value=${p.unmask.from} edit=${edit} /><${Field} key=${`${p.id}v`} label="Unmask by" path=${["paint", i, "unmask", "by"]} value=${p.unmask.by} edit=${edit} />` : ""}`)}
      <h2>The shop</h2>
      <${Field} label="First spraying" path=${["shop", "date"]} value=${shop.date && shop.date.$time ? shop.date.$time : shop.date} edit=${(edits, merge) => edit(edits.map((e) => ({ ...e, value: e.value === null ? null : { $time: String(e.value) } })), merge)} note="year-month-day" />
      <${Field} label="Opens" path=${["shop", "opens"]} value=${shop.opens} edit=${edit} />
      <${Field} label="Closes" path=${["shop", "closes"]} value=${shop.closes} edit=${edit} />
      <${Field} label="Hands" path=${["shop", "hands"]} value=${shop.hands} edit=${edit} />
      <h2>Cautions</h2>
      <ul class="says">${(plan.cautions || []).map((x) => html`<li class="caution">${x.text}</li>`)}</ul>
    </section>
    ${block}`;
}

/** Shares of a paint's parts. */
function parts(p) {
  const all = p.parts.reduce((sum, x) => sum + x.ml, 0);
  return p.parts.map((x) => ({ name: x.name, share: all ? x.ml / all : 0 }));
}
