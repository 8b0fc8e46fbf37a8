// What the plan says of something: mark and word first, colour second; each with its clause and how well known.

import { createContext, html, useContext } from "./html.mjs";
import { plainly } from "./plainly.mjs";

const BASIS = { read: "read in the source", quoted: "as quoted, not read in the source", memory: "from memory, not checked", practice: "common practice, no source", shop: "the shop's own" };

/** A small screen: there long lists are folded. */
export const small = () => matchMedia("(max-width: 40rem)").matches;

/** Whether inches are read first. */
export const InchFirst = createContext(true);

/** A finding in the words of the page; the keys it speaks in stay beneath, for who edits the file. */
const Line = ({ f }) => {
  const inch = useContext(InchFirst), message = plainly(f.message, inch), hint = plainly(f.hint, inch);
  const keys = [message === f.message ? "" : f.message, hint === f.hint ? "" : f.hint].filter(Boolean);
  return html`<li class=${f.severity}><span class="word-${f.severity}">${f.severity === "note" ? "" : f.severity + ": "}</span>${message}
    ${hint ? html`<small>→ ${hint}</small>` : ""}${keys.map((k) => html`<small class="key">in the file’s own words: ${k}</small>`)}${f.cite || f.basis ? html`<small>${[f.cite, basis(f)].filter(Boolean).join(" · ")}</small>` : ""}</li>`;
};

/** How well it is known, unless its own words or its source say so. */
const basis = (f) => {
  const b = BASIS[f.basis];
  // What is read or quoted has a source that is named.
  if (!b || b === f.cite || f.message.includes(b) || f.basis === "quoted" && f.message.includes("as quoted")) return "";
  return f.cite || !/^(read|quoted)$/.test(f.basis) ? b : "";
};

/** Findings in order of weight; in a `report` what is kept comes before mere notes, and can be folded away. */
export function Says({ findings, none, report }) {
  if (!findings.length) return none === "" ? "" : html`<p class="soft">${none || "Nothing to say."}</p>`;
  const weight = { fail: 0, caution: 1, note: 2, pass: 3 };
  const sorted = [...findings].sort((a, b) => weight[a.severity] - weight[b.severity]);
  const list = (of) => of.length ? html`<ul class="says">${of.map((f) => html`<${Line} f=${f} />`)}</ul>` : "";
  if (!report) return list(sorted);
  const kept = sorted.filter((f) => f.severity === "pass");
  return html`${list(sorted.filter((f) => f.severity === "fail" || f.severity === "caution"))}
    ${kept.length ? html`<details class="fold" open=${!small()}><summary><span class="word-pass">✓ ${kept.length} kept</span></summary>${list(kept)}</details>` : ""}
    ${list(sorted.filter((f) => f.severity === "note"))}`;
}
