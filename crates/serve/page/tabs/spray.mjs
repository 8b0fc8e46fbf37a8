// Spray: the mixing card, the air as read from the wall, and the day.

import { html } from "../html.mjs";
import { Field } from "../field.mjs";
import { Says } from "../says.mjs";
import * as server from "../fetch.mjs";

export function Spray({ seen, edit, notice, block }) {
  const plan = seen.plan || {};
  const job = seen.job || {};
  const c = job.conditions || {}, shop = job.shop || {};
  const day = plan.day || [];
  const time = (t) => t.slice(11, 16);
  return html`
    <section class="drawing" style="overflow:auto">
      <h1>Spray</h1>
      ${plan.day && day.length ? html`<img class="chart" src=${`${server.fileAt(seen.name, "layout/day.svg")}?${seen.revision}`} alt="Chart of the day with its windows" />` : html`<p>No day is planned: the job has no [shop] or no [[paint]] table.</p>`}
      ${day.length ? html`<div class="scroll"><table><thead><tr><th>when</th><th>do</th><th>what</th><th class="n">minutes</th><th>window</th></tr></thead><tbody>
        ${day.map((t) => html`<tr><td>${t.start.slice(5, 10)} ${time(t.start)}</td><td>${t.task.replace("-", " ")}</td><td>${[t.part, t.about].filter(Boolean).join(", ")}</td><td class="n">${t.minutes}</td><td>${[t.not_before && `from ${time(t.not_before)}`, t.not_after && `by ${time(t.not_after)}`].filter(Boolean).join(" ")}</td></tr>`)}</tbody></table></div>` : ""}
    </section>
    <section class="column" aria-label="Air and paint">
      ${notice}
      <h2>As read from the wall</h2>
      <${Field} label="Air" path=${["conditions", "air"]} value=${c.air} edit=${edit} />
      <${Field} label="Surface" path=${["conditions", "surface"]} value=${c.surface} edit=${edit} />
      <${Field} label="Humidity, %" path=${["conditions", "humidity"]} value=${c.humidity} edit=${edit} />
      ${plan.conditions && plan.conditions.dew_point_c !== undefined && plan.conditions.dew_point_c !== null ? html`<p>Dew point ${plan.conditions.dew_point_c} °C; the surface is ${plan.conditions.margin_c} °C above it: <span class="word-${plan.conditions.verdict}">${plan.conditions.verdict}</span>.</p>` : ""}
      <h2>The day</h2>
      <${Field} label="Hands" path=${["shop", "hands"]} value=${shop.hands} edit=${edit} />
      <${Field} label="Opens" path=${["shop", "opens"]} value=${shop.opens} edit=${edit} />
      <${Field} label="Closes" path=${["shop", "closes"]} value=${shop.closes} edit=${edit} />
      <h2>Mixing</h2>
      ${(plan.paint || []).map((p) => html`<h3>${p.id}</h3><p>${p.volume_ml} ml by the law, mix ${p.mix_ml} ml; ${p.area_sprayed_m2} m² sprayed, ${p.area_painted_m2} m² painted.</p>
        <table><tbody>${(p.parts || []).map((x) => html`<tr><td>${x.name}</td><td class="n">${x.ml} ml</td></tr>`)}</tbody></table>`)}
      <h2>Cautions</h2>
      <ul class="says">${(plan.cautions || []).map((x) => html`<li class="caution">${x.text}</li>`)}</ul>
      <${Says} findings=${(plan.findings || []).filter((f) => (plan.paint || []).some((p) => p.id === f.about) || ["conditions", "day"].includes(f.about))} none="" />
    </section>
    ${block}`;
}
