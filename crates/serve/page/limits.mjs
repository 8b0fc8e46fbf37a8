// What the rule says of a figure of a mark: the bound, and the clause it stands in, from the findings of the plan.

import { one } from "./units.mjs";

const WORD = { min: "at least", max: "at most", exact: "", should: "should be", may: "may be" };

/** Limits of a mark's `figure` (height, stroke, width, gap): [{mm, bound, cite, words}]. */
export function limits(plan, mark, figure, inch) {
  return plan.findings
    .filter((f) => f.about === mark && f.unit === "mm" && f.required !== null && new RegExp(`^${figure}(-|$)`).test(f.id))
    .map((f) => ({ mm: f.required, bound: f.bound, cite: f.cite, severity: f.severity, words: `${WORD[f.bound] || ""} ${one(f.required, inch)} (${f.cite})`.trim() }));
}

/** Whether a measured figure keeps a limit: "kept", "beyond". `slack` is the shop's tolerance on exact figures, mm. */
export function kept(mm, limit, slack) {
  if (limit.bound === "min") return limit.mm - 0.001 <= mm;
  if (limit.bound === "max") return mm <= limit.mm + 0.001;
  return Math.abs(mm - limit.mm) <= slack + 0.001;
}
