// The rarer fields of a mark, folded away: where it may lie, its lettering, its outline or shadow, and the marks it is
// alike with.

import { html, useState } from "./html.mjs";
import { box, reach } from "./drawing.mjs";
import { readings } from "./feature_fields.mjs";
import { Act, Field, Flag, Fold } from "./field.mjs";
import { Points } from "./points.mjs";
import { inUnits } from "./units.mjs";
import { otherwise, words } from "./words.mjs";
import * as server from "./fetch.mjs";

/** How far a first area for a mark keeps off the edges, mm: 2 in. chosen: where a hand then moves it. */
const INSET = 50.8;

/** Points of a surface's flat as the job file takes them. */
const onSkin = (name, surface, points, units) => Promise.all(points.map((p) => server.skinAt(name, surface.id, p).then((skin) => skin.map((v) => inUnits(v, units)))));

/** @param {any} p name of the job, mark of the job file, at(...more) its path, surface of the plan, of the job file: on; job, edit, units */
export function MarkFields({ name, mark, at, surface, on, job, edit, units }) {
  const key = (k) => `${mark.id}${k}`, [s, t] = readings(on.kind).map((w) => w.split(",")[0]);
  const flat = surface && on.kind !== "mesh";
  const give = async (k, points) => edit([{ path: at(k), value: k === "aim" ? (await onSkin(name, surface, points, units))[0] : await onSkin(name, surface, points, units) }]);
  const font = mark.letters && typeof mark.letters === "object" ? mark.letters.font : "";
  const several = /\n/.test(mark.text || "");
  const pairs = [...new Set([...(mark.text || "").replace(/\s/g, "")].map((c, k, all) => c + (all[k + 1] || "")).filter((p) => p.length === 2)), ...Object.keys(mark.pairs || {})].filter((p, k, all) => all.indexOf(p) === k);
  const count = Object.keys(mark.pairs || {}).length;
  const [x0, , x1] = surface ? box(surface.outline_flat_mm) : [0, 0, 0];
  const [inner, outer] = [x0 + INSET, x1 - INSET], high = (x) => reach(surface.outline_flat_mm, x), middle = (x0 + x1) / 2;
  return html`
    <${Fold} title="Where it may lie" says=${[mark.within && "in an area of its own", mark.aim && "with an aim"].filter(Boolean).join(", ") || "anywhere on the surface"}>
      ${!flat ? html`<p class="soft">On a scan its place alone says where it lies.</p>` : html`
      ${mark.within ? html`<p class="soft">It stays within these corners, joined by straight lines.</p><${Points} key=${key("w")} label="Corner" names=${[s, t]} path=${at("within")} value=${mark.within} edit=${edit} unit=${units} least=${3} closed />
        <p><${Act} edit=${edit} edits=${() => [{ path: at("within"), value: null }]}>It may lie anywhere</${Act}></p>`
      : html`<p><${Give} give=${() => give("within", [[inner, high(inner)[1] - INSET], [outer, high(outer)[1] - INSET], [outer, high(outer)[0] + INSET], [inner, high(inner)[0] + INSET]])}>Keep it off the edges</${Give}> <span class="soft">by corners you then type</span></p>`}
      ${mark.aim ? html`<h3>Its aim: where its middle should be if nothing is in the way</h3>
        <${Field} key=${key("as")} label="Aim, ${s}" unit=${units} path=${at("aim", 0)} value=${mark.aim[0]} edit=${edit} required live /><${Field} key=${key("at")} label="Aim, ${t}" unit=${units} path=${at("aim", 1)} value=${mark.aim[1]} edit=${edit} required live />
        <p><${Act} edit=${edit} edits=${() => [{ path: at("aim"), value: null }]}>It has no aim</${Act}></p>`
      : html`<p><${Give} give=${() => give("aim", [[middle, (high(middle)[0] + high(middle)[1]) / 2]])}>Say its aim</${Give}> <span class="soft">where its middle should be if nothing is in the way</span></p>`}`}
      ${on.kind === "wing" ? html`<${Field} key=${key("al")} label="Baseline along" path=${at("along")} value=${mark.along} choices=${["", ...words("mark", "along")]} other=${otherwise("mark", "along")} edit=${edit} note="the leading edge, or square to the root rib" />` : ""}
    </${Fold}>
    <${Fold} title="More of its letters" says=${[font && "from a font", mark.spacing === "optical" && "optical spacing", count && `${count} single gap${count > 1 ? "s" : ""}`, mark.legal === false && "not bound by the rule"].filter(Boolean).join(", ") || "as the rule has them"}>
      <${Field} key=${key("f")} label="From a font" path=${at("letters")} value=${font} words edit=${(edits, merge) => edit(edits.map((e) => ({ ...e, value: e.value === null ? null : { font: e.value } })), merge)} note="a TrueType or OpenType file in the folder, in place of the letters above" />
      <${Field} key=${key("mw")} label="M and W over height" path=${at("wide_ratio")} value=${mark.wide_ratio} edit=${edit} live />
      <${Field} key=${key("sp")} label="Spacing" path=${at("spacing")} value=${mark.spacing} choices=${["", ...words("mark", "spacing")]} other=${otherwise("mark", "spacing")} edit=${edit} note="optical: gaps widened until the open areas are equal" />
      ${several || mark.line_gap_ratio ? html`<${Field} key=${key("lg")} label="Between lines, over height" path=${at("line_gap_ratio")} value=${mark.line_gap_ratio} other=${otherwise("mark", "line_gap_ratio")} edit=${edit} live />
        <${Field} key=${key("la")} label="Lines stand" path=${at("line_align")} value=${mark.line_align} choices=${["", ...words("mark", "line_align")]} other=${otherwise("mark", "line_align")} edit=${edit} />` : ""}
      <${Flag} key=${key("le")} label="Bound by the rule" path=${at("legal")} value=${mark.legal} edit=${edit} other=${otherwise("mark", "legal")} note="no: a name or ornament the rule does not ask for" />
      ${pairs.length ? html`<h3>Single gaps</h3><p class="soft">Added between two letters, over the height; below nothing draws them together.</p>
        ${pairs.map((p) => html`<${Field} key=${key(`p${p}`)} label=${p.split("").join(" and ")} path=${at("pairs", p)} value=${(mark.pairs || {})[p]} other="0" live edit=${(edits, merge) => edit(mark.pairs && !(edits[0].value === null && count === 1) ? edits : [{ path: at("pairs"), value: mark.pairs ? null : { [p]: edits[0].value } }], merge)} />`)}` : ""}
    </${Fold}>
    <${Ornament} mark=${mark} at=${at} job=${job} edit=${edit} units=${units} />
    <${Alike} mark=${mark} job=${job} edit=${edit} />`;
}

/** A button for what must first be asked of the server. */
function Give({ give, children }) {
  const [told, setTold] = useState("");
  const go = async () => {
    const problems = await give().catch((e) => [{ message: e.message }]);
    setTold(problems ? problems.map((p) => [p.message, p.hint].filter(Boolean).join("; ")).join(". ") : "");
  };
  return html`<button onclick=${go}>${children}</button>${told ? html`<span class="told" role="alert">${told}</span>` : ""}`;
}

/** Outline and shadow in a further paint. */
function Ornament({ mark, at, job, edit, units }) {
  const paints = (job.paint || []).map((p) => p.id), further = paints.find((p) => p !== mark.paint) || paints[0];
  const give = (key, value, label) => html`<${Act} disabled=${!further} edit=${edit} edits=${() => [{ path: at(key), value: { ...value, paint: further } }]}>${label}</${Act}>`;
  const { outline, shadow } = mark;
  const paint = (key, of) => html`<${Field} key=${`${mark.id}${key}p`} label="Its paint" path=${at(key, "paint")} value=${of.paint} choices=${paints} edit=${edit} /><p><${Act} edit=${edit} edits=${() => [{ path: at(key), value: null }]}>No ${key}</${Act}></p>`;
  return html`<${Fold} title="Outline and shadow" says=${[outline && `an outline in ${outline.paint}`, shadow && `a shadow in ${shadow.paint}`].filter(Boolean).join(", ") || "none"}>
    ${outline ? html`<${Field} key=${`${mark.id}ow`} label="Outline, width" unit=${units} path=${at("outline", "width")} value=${outline.width} edit=${edit} required live />${paint("outline", outline)}` : ""}
    ${shadow ? html`<${Field} key=${`${mark.id}sx`} label="Shadow to the right" unit=${units} path=${at("shadow", "by", 0)} value=${shadow.by[0]} edit=${edit} required live /><${Field} key=${`${mark.id}sy`} label="Shadow up" unit=${units} path=${at("shadow", "by", 1)} value=${shadow.by[1]} edit=${edit} required live note="below nothing: down" />${paint("shadow", shadow)}` : ""}
    ${outline || shadow ? "" : html`<div class="chips">${give("outline", { width: "1/2 in" }, "Give it an outline")}${give("shadow", { by: ["1 in", "-1 in"] }, "Give it a shadow")}</div>`}
    ${further ? "" : html`<p class="soft">It needs a further paint: add one under Spray.</p>`}</${Fold}>`;
}

/** Marks that get one height and one gap. */
function Alike({ mark, job, edit }) {
  const others = (job.mark || []).filter((m) => m.id !== mark.id), groups = (job.alike || []).filter(Array.isArray);
  if (!others.length) return "";
  const n = groups.findIndex((g) => g.includes(mark.id)), own = n < 0 ? [] : groups[n];
  const toggle = (id) => {
    // Each mark is in one group at most: it leaves the one it was in; a group of one is none.
    const with_ = own.includes(id) ? own.filter((x) => x !== id) : [...(own.length ? own : [mark.id]), id];
    const rest = groups.filter((_, k) => k !== n).map((g) => g.filter((x) => !with_.includes(x)));
    const all = [...rest, with_].filter((g) => 1 < g.length);
    return [{ path: ["alike"], value: all.length ? all : null }];
  };
  return html`<${Fold} title="Alike" says=${own.length ? `one size with ${own.filter((x) => x !== mark.id).join(", ")}` : "a size of its own"}>
    <p class="soft">Marks that get one height and one gap, such as those of both sides.</p>
    <div class="chips">${others.map((m) => html`<${Act} aria-pressed=${own.includes(m.id)} edit=${edit} edits=${() => toggle(m.id)}>${m.id}</${Act}>`)}</div>
    ${groups.length ? html`<${Field} label="Their places" path=${["alike_place"]} value=${job.alike_place} choices=${["", ...words("job", "alike_place")]} said=${{ "same-station": "at the same station", own: "each at its own best" }} other="at the same station" edit=${edit} />` : ""}</${Fold}>`;
}
