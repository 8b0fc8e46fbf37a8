// Which way a stripe runs: through points, along a line of the surface or of another stripe, or as the mirror image of
// one on the other side.

import { html } from "./html.mjs";
import { LINES, readings } from "./feature_fields.mjs";
import { Act, Field } from "./field.mjs";
import { Points } from "./points.mjs";
import { inUnits } from "./units.mjs";
import { otherwise, words } from "./words.mjs";

const WAYS = { through: "through points", waterline: "along a waterline", edge: "along an edge", feature: "along a seam or other feature", straight: "the straightest way between two points", stripe: "beside another stripe", mirror: "as the mirror image of another" };
const ALONG = ["waterline", "edge", "feature", "straight", "stripe"];

/** How it runs now. */
const now = (s) => s.mirror_of ? "mirror" : s.along ? ALONG.find((k) => s.along[k] !== undefined) || "waterline" : "through";

/** @param {any} p stripe of the job file, laid the same of the plan, job, surface of the job file, at(...more), edit, units */
export function Way({ stripe, laid, job, surface, at, edit, units }) {
  const kind = surface.kind, names = readings(kind).map((w) => w.split(",")[0]), is = now(stripe), along = stripe.along || {};
  const paths = (surface.feature || []).filter((f) => LINES.includes(f.kind)).map((f) => f.id);
  const mates = (job.stripe || []).filter((x) => x.id !== stripe.id && x.surface === surface.id).map((x) => x.id);
  // A scan that says how it lies in its craft has stations, heights and two sides.
  const scan = kind === "mesh", placed = !scan || !!surface.axes;
  const across = (job.stripe || []).filter((x) => x.id !== stripe.id && (x.surface !== surface.id || scan) && !x.mirror_of).map((x) => x.id);
  const edges = words("along", "edge").filter((e) => kind === "wing" ? /edge/.test(e) : !/edge/.test(e));
  const can = { through: true, waterline: kind !== "wing" && placed, edge: placed, feature: paths.length > 0, straight: true, stripe: mates.length > 0, mirror: across.length > 0 && placed };
  // Where it runs now, as the plan has it: what another way starts from. Points of a scan have three numbers, which only
  // the job file has.
  const stations = !scan && laid && laid.stations || [], skin = (r) => [r.s_mm, (r.lower_t_mm + r.upper_t_mm) / 2].map((v) => inUnits(v, units));
  const own = stripe.through || along.straight || (scan && ((surface.feature || []).find((f) => f.path) || {}).path);
  const ends = stations.length > 1 ? [skin(stations[0]), skin(stations[stations.length - 1])] : own ? [own[0], own[own.length - 1]] : null;
  if (scan && !ends) for (const w of ["through", "straight"]) can[w] = false;
  const choose = (edits, merge) => {
    const to = edits[0].value;
    const value = { waterline: { waterline: kind === "flat" && ends ? ends[0][1] : 0 }, edge: { edge: edges[0], off: "4 in" }, feature: { feature: paths[0], off: 0 }, straight: { straight: ends }, stripe: { stripe: mates[0], gap: "1/2 in" } }[to];
    const out = ["through", "along", "mirror_of", "loose", "heights"].filter((k) => stripe[k] !== undefined).map((k) => ({ path: at(k), value: null }));
    const put = to === "through" ? { path: at("through"), value: ends } : to === "mirror" ? { path: at("mirror_of"), value: across[0] } : { path: at("along"), value };
    return edit([...out, put], merge);
  };
  const field = (key, label, more) => html`<${Field} key=${`${stripe.id}${key}`} label=${label} unit=${units} path=${at("along", key)} value=${along[key]} edit=${edit} ...${more || {}} />`;
  const list = (key, label, choices, more) => field(key, label, { unit: undefined, choices, ...more });
  // Beside a stripe it is one of three: bare base, the tape that makes it, or middle to middle.
  const beside = along.gap !== undefined ? "gap" : along.gap_tape !== undefined ? "gap_tape" : "off";
  return html`<h2>It runs</h2>
    <${Field} key=${`${stripe.id}way`} label="Which way" path=${at("along")} value=${is} choices=${Object.keys(WAYS).filter((w) => can[w] || w === is)} said=${WAYS} edit=${choose} />
    ${is === "mirror" ? html`<${Field} key=${`${stripe.id}m`} label="Mirror of" path=${at("mirror_of")} value=${stripe.mirror_of} choices=${across} edit=${edit} note="by station and height" />` : ""}
    ${is === "through" ? html`<${Points} key=${`${stripe.id}t`} label="Point" names=${names} path=${at("through")} value=${stripe.through} edit=${edit} unit=${scan ? "" : units} least=${2} />
      ${kind === "body" ? html`<${Field} key=${`${stripe.id}hs`} label="Second figure is" path=${at("heights")} value=${stripe.heights} choices=${["", ...words("stripe", "heights")]} said=${{ girth: "girth from the waterline", waterline: "a height" }} other="girth from the waterline" edit=${edit} />` : ""}
      ${stripe.loose ? html`${stripe.loose.map((v, k) => html`<${Field} key=${`${stripe.id}lo${k}`} label="May pass point ${k + 1} by" unit=${units} path=${at("loose", k)} value=${v} edit=${edit} required />`)}<p><${Act} edit=${edit} edits=${() => [{ path: at("loose"), value: null }]}>Through every point</${Act}></p>`
      : html`<p><${Act} edit=${edit} edits=${() => [{ path: at("loose"), value: (stripe.through || []).map((_, k, all) => k && k < all.length - 1 ? "1/8 in" : 0) }]}>It may pass its points by a little</${Act}> <span class="soft">to run fairer</span></p>`}` : ""}
    ${is === "waterline" ? field("waterline", "Height", { required: true, live: true }) : ""}
    ${is === "edge" ? list("edge", "Which edge", edges) : ""}
    ${is === "feature" ? list("feature", "Which feature", paths) : ""}
    ${is === "straight" ? html`<${Points} key=${`${stripe.id}st`} label="Point" names=${names} path=${at("along", "straight")} value=${along.straight} edit=${edit} unit=${scan ? "" : units} least=${2} most=${2} />` : ""}
    ${is === "stripe" ? html`${list("stripe", "Which stripe", mates)}
      <${Field} key=${`${stripe.id}by`} label="How far from it" path=${at("along")} value=${beside} choices=${["gap", "gap_tape", "off"]} said=${{ gap: "by the bare base between", gap_tape: "by the tape in the gap", off: "middle to middle" }}
        edit=${(edits, merge) => { const { gap: _g, gap_tape: _t, off: _o, side, ...rest } = along, to = edits[0].value; return edit([{ path: at("along"), value: { ...rest, [to]: { gap: "1/2 in", gap_tape: "1/4 in", off: "4 in" }[to], ...(to === "off" || !side ? {} : { side }) } }], merge); }} />
      ${field(beside, { gap: "Bare base between", gap_tape: "Tape in the gap", off: "Middle to middle" }[beside], { required: true })}
      ${beside === "off" ? "" : list("side", "It lies", ["", ...words("along", "side")], { other: otherwise("along", "side") })}` : ""}
    ${ALONG.includes(is) && is !== "stripe" ? field("off", "Off the line", { other: "0", live: true, note: is === "edge" ? "inwards, to its middle" : "upwards as one faces the skin, to its middle" }) : ""}
    ${ALONG.includes(is) ? html`${field("from", "From station", { other: "its whole length" })}${field("to", "To station", { other: "its whole length" })}` : ""}`;
}
