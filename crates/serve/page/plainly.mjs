// What the plan says in keys of the job file, in the words of the page: what the field is called and which tab it is on.

import { both } from "./units.mjs";

const mm = (text, inch) => both(+text, inch);

/** What stands in a text, and what it is called here; the first that fits a stretch wins. @type {[RegExp, string | ((...m: any[]) => string)][]} */
const NAMES = [
  [/place = \{ at = \["(-?[\d.]+) mm", "(-?[\d.]+) mm"\] \}/g, (inch, _, a, b) => `put its middle at ${mm(a, inch)}, ${mm(b, inch)} on the skin`],
  [/\(gap_ratio = ([\d.]+)\)/g, "(Gap over width $1, under Marks)"],
  [/\bgap_ratio = ([\d.]+)/g, "Gap over width $1, under Marks"],
  [/set `air` in \[conditions\]/g, "type Air, under Spray"],
  [/set `date` in \[shop\] to the day of the first spraying/g, "type the day of the first spraying, under Spray"],
  [/give \[shop\] date in the job file/g, "type the day of the first spraying, under Spray"],
  [/\[shop\] date is not given/g, "the day of the first spraying is not given"],
  [/set `rules`, for example rules = "us-14cfr45"; `maskwright rules` lists the packs/g, "choose a rule pack, under Marks"],
  [/name a rule pack that binds it with `rules`/g, "choose a rule pack that binds it, under Marks"],
  [/give the mark `paint` and `over`, and both of them a `colour` or `reflectance`/g, "say its Paint and what it goes Over, under Marks, and give both a colour"],
  [/`paint` is not given/g, "its paint is not said"], [/`over` is not given/g, "what it goes over is not said"],
  [/say with `over` which paint it goes on/g, "say under Marks which paint it goes Over"],
  [/give \[craft\] (\w+) in the job file, "none" if/g, (_i, _, key) => `say under Marks, ${craft(key)}, “none” if`],
  [/give \[craft\] (\w+) in the job file/g, (_i, _, key) => `say it under Marks: ${craft(key)}`],
  [/\[craft\] (\w+)/g, (_i, _, key) => craft(key)],
  [/\[shop\] date/g, "First spraying"],
  [/list what you have under edge_tapes in \[masking\]/g, "list what you have under Mask, On the shelf"],
  [/list edge_tapes in \[masking\]/g, "put edge tape on the shelf, under Mask"],
  [/list tack_tape in \[masking\]/g, "put tack tape on the shelf, under Mask"],
  [/list yours: film = .*$/g, "put your own on the shelf, under Mask"],
  [/a mask cut whole from film: method = "cut-mask"/g, "a mask cut whole from film (Method, under Mask)"],
  [/set `spacing` to "plain", or mark it `legal = false` if/g, "set Spacing to plain, or say that the rule does not bind it, under Marks, if"],
  [/set alike_place = "own" if that is meant/g, "let each find its own place if that is meant (Alike, under Marks)"],
  [/widen `within`/g, "give it more space to lie in (Where it may lie, under Marks)"],
  [/beyond `within` there is/g, "beyond where it may lie there is"],
  [/parts and `within`/g, "parts and where it may lie"],
  [/give shot and dry_to_tape of the ground/g, "say when the ground was shot and how long until tape may go on it, under Spray"],
  [/take dry_to_tape from the paint's data sheet/g, "type Dry to tape from the paint's data sheet, under Spray"],
  [/without transfer_efficiency and coats/g, "without the share that lands and coats"],
  [/make `end_length` less/g, "make the length of its ends less"],
  [/let it pass some with `loose`/g, "let it pass some by a little"],
  [/ in the job file/g, ", under Marks"],
  [/`pairs` brings/g, "the gap between pairs brings"],
];

const CRAFT = { category: "It is a", built: "Built, year", max_cruise_kt: "Top cruise", mass_kg: "Take-off mass", special: "Special class", adiz: "Crosses an ADIZ" };
const craft = (key) => `“${CRAFT[key] || key}”`;

/** A text of the plan in words of the page. @param {string} text @param {boolean} inch */
export function plainly(text, inch) {
  return NAMES.reduce((t, [like, name]) => typeof name === "string" ? t.replace(like, name) : t.replace(like, (...m) => name(inch, ...m)), text);
}
