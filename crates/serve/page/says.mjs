// What the plan says of something: mark and word first, colour second; each with its clause and how well known.

import { html } from "./html.mjs";

const BASIS = { read: "read in the rule", quoted: "as quoted, not read in the rule", memory: "from memory, not checked", practice: "common practice, no source", shop: "the shop's own" };

/** Findings in order of weight; in a `report` what is kept comes before mere notes. */
export function Says({ findings, none, report }) {
  if (!findings.length) return none === "" ? "" : html`<p class="soft">${none || "Nothing to say."}</p>`;
  const weight = { fail: 0, caution: 1, note: report ? 4 : 2, pass: 3 };
  const sorted = [...findings].sort((a, b) => weight[a.severity] - weight[b.severity]);
  return html`<ul class="says">${sorted.map((f) => html`<li class=${f.severity}><span class="word-${f.severity}">${f.severity === "note" ? "" : f.severity + ": "}</span>${f.message}
    ${f.hint ? html`<small>→ ${f.hint}</small>` : ""}${f.cite || f.basis ? html`<small>${[f.cite, BASIS[f.basis] && BASIS[f.basis] !== f.cite ? BASIS[f.basis] : ""].filter(Boolean).join(" · ")}</small>` : ""}</li>`)}</ul>`;
}
