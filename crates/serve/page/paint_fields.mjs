// A paint's data sheet, typed in: what it is mixed from, how long it keeps, its coats, when to pull and unmask.

import { html } from "./html.mjs";
import { Act, Field, Flag } from "./field.mjs";
import { otherwise, words } from "./words.mjs";

/** Coats to start from where there are none; the data sheet goes before them. from memory */
const COATS = [{ kind: "fog", count: 3, film_um: 8, flash: { least: "5 min", most: "10 min" } }, { kind: "wet", count: 1, film_um: 40, after: "45 min" }];

export function PaintFields({ job, edit }) {
  const paints = job.paint || [], grounds = job.ground || [];
  const free = (list, stem) => { let n = 1; while (list.some((x) => x.id === `${stem}-${n}`)) n += 1; return `${stem}-${n}`; };
  return html`${grounds.map((g, i) => html`<${Ground} key=${g.id} g=${g} at=${(...more) => ["ground", i, ...more]} edit=${edit} />`)}
    ${paints.map((p, i) => html`<${Paint} key=${p.id} p=${p} at=${(...more) => ["paint", i, ...more]} edit=${edit} />`)}
    <div class="chips"><${Act} edit=${edit} edits=${() => [{ path: ["paint", paints.length], value: { id: free(paints, "paint"), colour: "#404040" } }]}>Add a paint</${Act}>
      <${Act} edit=${edit} edits=${() => [{ path: ["ground", grounds.length], value: { id: free(grounds, "ground"), colour: "#e0e0e0" } }]}>Add a ground</${Act}></div>
    <p class="soft">Which paint goes on which mark, over which ground, and their colours: under Marks.</p>`;
}

/** What is painted on: how long it has been there. */
function Ground({ g, at, edit }) {
  const field = (key, label, more) => html`<${Field} key=${`${g.id}${key}`} label=${label} path=${at(...key.split("/"))} edit=${edit} ...${more} />`;
  const dry = g.dry_to_tape, own = dry && typeof dry === "object", shot = g.shot && g.shot.$time ? g.shot.$time : g.shot;
  return html`<details class="fold"><summary>${g.id}<span class="soft"> · what is there already, ${shot ? `shot ${String(shot).slice(0, 10)}` : "of long ago"}</span></summary>
    ${field("finish", "Finish", { value: g.finish, choices: ["", ...words("ground", "finish")], other: otherwise("ground", "finish") })}
    ${field("reflectance", "Share of light it reflects", { value: g.reflectance, note: g.colour ? "only without a colour" : "from 0 to 1, in place of a colour" })}
    <${Field} key=${`${g.id}shot`} label="Shot" path=${at("shot")} value=${shot} edit=${(edits, merge) => edit(edits.map((e) => ({ ...e, value: e.value === null ? null : { $time: String(e.value).replace(" ", "T").replace(/T(\d\d:\d\d)$/, "T$1:00") } })), merge)} note="year-month-day and time, such as 2026-06-04 15:00; empty: long ago" />
    ${field(own ? "dry_to_tape/time" : "dry_to_tape", "Tape may go on after", { value: own ? dry.time : dry, other: "at once" })}${own ? field("dry_to_tape/at", "That holds at", { value: dry.at }) : ""}
    ${field("scuff_after", "Scuff it after", { value: g.scuff_after, other: "never" })}</details>`;
}

function Paint({ p, at, edit }) {
  const field = (key, label, more) => html`<${Field} key=${`${p.id}${key}`} label=${label} path=${at(...key.split("/").map((k) => /^\d+$/.test(k) ? +k : k))} edit=${edit} ...${more} />`;
  const flag = (key, label, note) => html`<${Flag} key=${`${p.id}${key}`} label=${label} note=${note} path=${at(key)} value=${p[key]} edit=${edit} other=${otherwise("paint", key)} />`;
  // A time that holds for a temperature may be written with it or without.
  const time = (key, label, note) => { const v = p[key], at_ = v && typeof v === "object"; return html`${field(at_ ? `${key}/time` : key, label, { value: at_ ? v.time : v, note })}${at_ ? field(`${key}/at`, `${label}, at`, { value: v.at }) : ""}`; };
  const pot = p.pot_life, span = (key, from, by, note) => p[key] ? html`${field(`${key}/from`, from, { value: p[key].from })}${field(`${key}/by`, by, { value: p[key].by, note })}` : "";
  const give = (key, value, label) => p[key] ? "" : html`<${Act} edit=${edit} edits=${() => [{ path: at(key), value }]}>${label}</${Act}>`;
  return html`<details class="fold"><summary>${p.id}<span class="soft"> · ${p.system || otherwise("paint", "system")}, ${(p.coats || []).length ? "its coats, times and solids" : "no coats yet"}</span></summary>
    ${field("system", "Kind of paint", { value: p.system, choices: ["", ...words("paint", "system")], other: otherwise("paint", "system") })}
    ${(p.parts || []).map((x, k) => html`${field(`parts/${k}/parts`, `Parts of ${x.name}`, { value: x.parts, required: true, live: true })}`)}
    ${(p.parts || []).length ? html`<details class="fold"><summary>What the parts are called<span class="soft"> · ${p.parts.map((x) => x.name).join(", ")}</span></summary>
      ${p.parts.map((x, k) => html`${field(`parts/${k}/name`, `Part ${k + 1} is called`, { value: x.name, required: true, words: true })}`)}
      <div class="chips"><${Act} edit=${edit} edits=${() => [{ path: at("parts", p.parts.length), value: { name: p.parts.some((x) => x.name === "reducer") ? "additive" : "reducer", parts: 1 } }]}>Add a part</${Act}><${Act} disabled=${p.parts.length < 2} edit=${edit} edits=${() => [{ path: at("parts", p.parts.length - 1), value: null }]}>Take the last out</${Act}></div></details>` : ""}
    ${field("volume_solids", "Solids by volume", { value: p.volume_solids, live: true, note: "a share, such as 0.42" })}
    ${field("dry_density", "Dry density, kg/L", { value: p.dry_density, live: true })}
    ${field("transfer_efficiency", "Share that lands", { value: p.transfer_efficiency, live: true, note: "of what is sprayed, such as 0.5" })}
    ${pot ? time("pot_life", "Pot life") : ""}
    ${(p.coats || []).map((c, k) => { const n = p.coats.length > 1 ? ` ${k + 1}` : ""; return html`<h3>Coat${n}: ${c.kind}</h3>
      ${field(`coats/${k}/kind`, "Kind of coat", { value: c.kind, choices: words("coat", "kind") })}
      ${field(`coats/${k}/count`, "How many", { value: c.count, other: otherwise("coat", "count") })}
      ${field(`coats/${k}/film_um`, "Dry film of each, µm", { value: c.film_um, live: true })}
      ${c.flash ? html`${field(`coats/${k}/flash/least`, "Flash at least", { value: c.flash.least })}${field(`coats/${k}/flash/most`, "Flash at most", { value: c.flash.most })}` : ""}
      ${field(`coats/${k}/after`, "Tack-up before it", { value: c.after })}
      <div class="chips">${c.flash ? "" : html`<${Act} edit=${edit} edits=${() => [{ path: at("coats", k, "flash"), value: { least: "5 min", most: "10 min" } }]}>It flashes between</${Act}>`}<${Act} disabled=${p.coats.length < 2} edit=${edit} edits=${() => [{ path: at("coats", k), value: null }]}>Take coat ${k + 1} out</${Act}></div>`; })}
    ${(p.coats || []).length ? html`<p><${Act} edit=${edit} edits=${() => [{ path: at("coats", p.coats.length), value: { kind: "wet", count: 1, film_um: 40, after: "45 min" } }]}>Add a coat</${Act}></p>` : ""}
    ${p.pull_edge ? field("pull_edge/state", "Pulled when it is", { value: p.pull_edge.state, choices: ["", ...words("pull_edge", "state")], other: otherwise("pull_edge", "state") }) : ""}
    ${span("pull_edge", "Pull from", "Pull by", "after the last coat")}${span("unmask", "Unmask from", "Unmask by", "after the last coat")}
    ${time("dry_to_tape", "Dry to tape", "after its last coat, such as 12 h")}${time("polish_after", "Polish after", "such as 5 d")}
    ${flag("isocyanate", "Holds isocyanate", "its safety data sheet says so")}
    <div class="chips">${give("parts", [{ name: "base", parts: 4 }, { name: "hardener", parts: 1 }], "It is mixed from parts")}${give("pot_life", { time: "2 h", at: "21 C" }, "It has a pot life")}${give("coats", COATS, "Give it coats")}${give("pull_edge", { from: "0 min", by: "20 min" }, "Say when to pull")}${give("unmask", { from: "6 h", by: "12 h" }, "Say when to unmask")}</div></details>`;
}
