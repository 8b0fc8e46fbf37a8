// One value of the job file: a label, what stands there, and the server's word if it cannot be.

import { html, useState, useEffect, useRef } from "./html.mjs";
import { typed } from "./units.mjs";

let count = 0;

/** @param p {label, path, value, edit, choices?, note?, raw?} */
export function Field({ label, path, value, edit, choices, note, required }) {
  const shown = value === undefined || value === null ? "" : Array.isArray(value) || typeof value === "object" ? JSON.stringify(value) : String(value);
  const [text, setText] = useState(shown);
  const [told, setTold] = useState("");
  const id = useRef(`f${count++}`);
  // What is being typed is never overwritten by an answer that comes late.
  const typing = useRef(null);
  useEffect(() => { if (typing.current === null) { setText(shown); setTold(""); } }, [shown]);
  const put = (next) => { typing.current = next; setText(next); };
  const send = async (next) => {
    if (next === shown) { typing.current = null; setTold(""); return; }
    let toSend = next.trim() === "" ? null : typed(next);
    if (/^\s*[[{]/.test(next)) { try { toSend = JSON.parse(next); } catch { setTold("brackets or commas are missing"); return; } }
    if (toSend === null && required) { setTold("this cannot be empty"); return; }
    const problems = await edit([{ path, value: toSend }]);
    if (typing.current !== null && typing.current !== next) return;
    if (!problems) typing.current = null;
    setTold(problems ? problems.map((p) => [p.message, p.expected && `expected ${p.expected}`, p.hint].filter(Boolean).join("; ")).join(". ") : "");
  };
  return html`<div class="field">
    <label for=${id.current}>${label}</label>
    ${choices ? html`<select id=${id.current} value=${text} onchange=${(e) => { put(e.target.value); send(e.target.value); }}>
        ${choices.includes(text) ? "" : html`<option value=${text}>${text || "not said"}</option>`}
        ${choices.map((c) => html`<option value=${c} selected=${c === text}>${c || "not said"}</option>`)}</select>`
      : html`<input id=${id.current} value=${text} aria-invalid=${told ? "true" : "false"} aria-describedby="${id.current}-t" autocomplete="off" spellcheck=${false}
        oninput=${(e) => put(e.target.value)} onblur=${(e) => send(e.target.value)} onkeydown=${(e) => { if (e.key === "Enter") send(e.target.value); if (e.key === "Escape") { typing.current = null; setText(shown); setTold(""); } }} />`}
    ${told ? html`<p class="told" role="alert" id="${id.current}-t">${told}</p>` : ""}
    ${note && !told ? html`<p class="soft" style="grid-column:1/3;margin:0">${note}</p>` : ""}
  </div>`;
}
