// One value of the job file: a label, what stands there, and the server's word if it cannot be.

import { html, useState, useEffect, useLayoutEffect, useRef } from "./html.mjs";
import { asRead, typed } from "./units.mjs";

let count = 0;

/** How long a hand rests before what it types is tried, ms. */
const REST = 350;

/** Figures alone, as in 5, 1.5, 3/8, 1 3/8 or [60, 48]: their unit is the job's. */
const BARE = /^[[\]\d.,/\s-]*\d[[\]\d.,/\s]*$/;

/** @param {any} p label, path, value, edit, choices?, said?: {choice: how it is called}, note?, required?, live?: tried while it is typed, list?: [suggestions], words?: stays text whatever it looks like, lines?: may have several, unit?: what a bare figure is measured in, other?: what stands if it is empty, bare?: without its label beside it */
export function Field({ label, path, value, edit, choices, said, note, required, live, list, words, lines, unit, other, bare }) {
  const shown = value === undefined || value === null ? "" : typeof value === "object" ? JSON.stringify(value) : typeof value === "number" && unit ? asRead(value, unit) : String(value);
  const [text, setText] = useState(shown);
  const [told, setTold] = useState("");
  const id = useRef(`f${count++}`), none = other ? `${other} (not said)` : "not said";
  // What is being typed is never overwritten by an answer that comes late.
  const typing = useRef(null), rest = useRef(0), merge = useRef("");
  // What is marked to be typed over stays marked when the answer writes it otherwise (31 1/2 as 31.5); so does a field
  // gone into while it was empty.
  const box = useRef(null), marked = useRef(false);
  useEffect(() => {
    if (typing.current !== null) return;
    const b = box.current;
    marked.current = !!b && b === document.activeElement && b.value !== shown && b.selectionStart === 0 && b.selectionEnd === b.value.length;
    setText(shown); setTold("");
  }, [shown]);
  useLayoutEffect(() => { if (marked.current) { marked.current = false; box.current.select(); } }, [text]);
  const put = (next) => {
    typing.current = next;
    marked.current = false;
    setText(next);
    clearTimeout(rest.current);
    // A half-typed figure is no mistake yet: only leaving the field or Enter tells what is wrong.
    if (live) rest.current = setTimeout(() => send(next, false), REST);
  };
  const send = async (next, told = true) => {
    clearTimeout(rest.current);
    const say = (words) => { if (told) setTold(words); };
    if (next === shown) { if (told) { typing.current = null; merge.current = ""; } setTold(""); return; }
    let toSend = next.trim() === "" ? null : words ? next.trim() : typed(next, unit);
    if (!words && /^\s*[[{]/.test(next)) { try { toSend = JSON.parse(next); } catch { say("brackets or commas are missing"); return; } }
    if (toSend === null && required) { say("this cannot be empty"); return; }
    if (!merge.current) merge.current = `${path.join("/")} ${Date.now()}`;
    const problems = await edit([{ path, value: toSend }], merge.current);
    if (typing.current !== null && typing.current !== next) return;
    if (!problems && told) { typing.current = null; merge.current = ""; }
    if (!problems) setTold("");
    else say(problems.map((p) => [p.message, p.expected && `expected ${p.expected}`, p.hint].filter(Boolean).join("; ")).join(". "));
  };
  return html`<div class=${bare ? "bare" : "field"}>
    ${bare ? "" : html`<label for=${id.current}>${label}</label>`}
    ${choices ? html`<select id=${id.current} aria-label=${bare ? label : undefined} value=${text} onchange=${(e) => { put(e.target.value); send(e.target.value); }}>
        ${choices.includes(text) ? "" : html`<option value=${text}>${text || none}</option>`}
        ${choices.map((c) => html`<option value=${c} selected=${c === text}>${(said && said[c]) || c || none}</option>`)}</select>`
      : html`<${lines ? "textarea" : "input"} ref=${box} id=${id.current} rows=${lines ? text.split("\n").length : undefined} aria-label=${bare ? label : undefined} placeholder=${other || ""} value=${text} aria-invalid=${told ? "true" : "false"} aria-describedby="${id.current}-t ${id.current}-u" autocomplete="off" spellcheck=${false} list=${list ? `${id.current}-l` : undefined}
        oninput=${(e) => put(e.target.value)} onblur=${(e) => send(e.target.value)} onkeydown=${(e) => { if (e.key === "Enter" && !(lines && e.shiftKey)) { if (lines) e.preventDefault(); send(e.target.value); } if (e.key === "Escape") { typing.current = null; setText(shown); setTold(""); } }} />`}
    ${unit && (BARE.test(text) || !text && BARE.test(other || "")) ? html`<span class="unit" id="${id.current}-u">${unit}</span>` : ""}
    ${list ? html`<datalist id="${id.current}-l">${list.map((l) => html`<option value=${l} />`)}</datalist>` : ""}
    ${told ? html`<p class="told" role="alert" id="${id.current}-t">${told}</p>` : ""}
    ${note && !told ? html`<p class="soft" style="grid-column:1/3;margin:0">${note}</p>` : ""}
  </div>`;
}

const YES = { true: "yes", false: "no" };

/** A key that is so or is not. @param {any} p label, path, value, edit, note?, other?: "true" or "false", what stands if it is empty */
export const Flag = ({ label, path, value, edit, note, other }) => html`<${Field} label=${label} note=${note} path=${path} value=${YES[value] || ""} choices=${["", "yes", "no"]} other=${YES[other] || ""}
  edit=${(edits, merge) => edit(edits.map((e) => ({ ...e, value: e.value ? e.value === "yes" : null })), merge)} />`;

/** A fold that says in a few words what is in it. */
export const Fold = ({ title, says, children }) => html`<details class="fold"><summary>${title}<span class="soft"> · ${says}</span></summary>${children}</details>`;

/** An entry of the record: what is being typed is never overwritten by news from another phone. @param {any} p value, save(text) and the input's own */
export function Entry({ value, save, ...more }) {
  const [text, setText] = useState(value);
  const typing = useRef(false);
  useEffect(() => { if (!typing.current) setText(value); }, [value]);
  return html`<input ...${more} value=${text} autocomplete="off" oninput=${(e) => { typing.current = true; setText(e.target.value); }}
    onchange=${async (e) => { if (await save(e.target.value)) typing.current = false; }} />`;
}

/** A button that changes the job; what stands against it is told beside. @param {any} p edit, edits() to make, done() after, and the button's own */
export function Act({ edit, edits, done, children, ...more }) {
  const [told, setTold] = useState("");
  const busy = useRef(false);
  const go = async () => {
    // A tap that bounces is one tap.
    if (busy.current) return;
    busy.current = true;
    try {
      const problems = await edit(await edits());
      setTold(problems ? problems.map((p) => [p.message, p.hint].filter(Boolean).join("; ")).join(". ") : "");
      if (!problems && done) done();
    } finally { busy.current = false; }
  };
  return html`<button ...${more} onclick=${go}>${children}</button>${told ? html`<span class="told" role="alert">${told}</span>` : ""}`;
}
