// The days as a chart: a row a day and a row a letter of each go; the start of the spraying is dragged.

import { html, useState, useRef } from "./html.mjs";
import { useSize } from "./drawing.mjs";

const LOOK = { fog: ["fog coat", "url(#light)"], "tack-up": ["tack-up", "none"], "wet-coat": ["wet coat", "var(--ink)"], pull: ["pull and swab", "url(#lines)"], swab: ["", "url(#lines)"], wait: ["wait", "none"], mix: ["other work", "var(--shade)"] };
const minutesOf = (stamp) => { const m = /T?(\d\d):(\d\d)/.exec(stamp); return m ? +m[1] * 60 + +m[2] : NaN; };
const clock = (min) => `${String(Math.floor(min / 60)).padStart(2, "0")}:${String(Math.round(min) % 60).padStart(2, "0")}`;
const dayName = (date) => { const d = new Date(`${date}T12:00:00`); return isNaN(d.getTime()) ? date : d.toLocaleDateString("en-GB", { weekday: "short", day: "numeric", month: "short" }); };

/** @param {any} p day: tasks of the plan; opens, closes: "08:00"; onStart(text) */
export function DayChart({ day, opens, closes, onStart }) {
  const [ref, [w]] = useSize();
  const [drag, setDrag] = useState(null);
  const svg = useRef(null);
  const dates = [...new Set(day.map((t) => t.start.slice(0, 10)))].sort();
  const from = Math.floor(Math.min(minutesOf(opens) || 480, ...day.map((t) => minutesOf(t.start))) / 60 - 1) * 60;
  const to = Math.ceil(Math.max(minutesOf(closes) || 1080, ...day.map((t) => minutesOf(t.start) + t.minutes)) / 60 + 0.2) * 60;
  const left = 92, right = 22, width = Math.max(300, w || 800), row = 54, head = 26;
  const x = (min) => left + (min - from) / (to - from) * (width - left - right);
  const y = (date) => head + dates.indexOf(date) * row;
  const sprayed = day.filter((t) => t.go > 0 && /fog|wet|mix/.test(t.task)).map((t) => t.start.slice(0, 10));
  const first = sprayed.sort()[0];
  const start = minutesOf(opens) || 480;
  const held = drag === null ? start : drag;
  const moved = held - start;
  const at = (e) => { const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.current.getScreenCTM().inverse()); return Math.max(0, Math.min(1435, Math.round((from + (p.x - left) / (width - left - right) * (to - from)) / 5) * 5)); };
  const keys = (e) => { const by = { ArrowLeft: -15, ArrowRight: 15, ArrowDown: -15, ArrowUp: 15 }[e.key]; if (by) { e.preventDefault(); onStart(clock(Math.max(0, Math.min(1435, start + by)))); } };
  const hours = [];
  const every = (to - from) / 60 * 42 > width - left ? 120 : 60;
  for (let h = Math.ceil(from / every) * every; h <= to; h += every) hours.push(h);
  const height = head + dates.length * row + 6;
  return html`<div class="chart" ref=${ref}><svg ref=${svg} width=${width} height=${height} viewBox="0 0 ${width} ${height}" role="group" aria-label="Chart of the days"
      onpointermove=${(e) => drag !== null && setDrag(at(e))} onpointerup=${() => { if (drag !== null && drag !== start) onStart(clock(drag)); setDrag(null); }} onpointercancel=${() => setDrag(null)} style="display:block;touch-action:pan-y">
    <defs><pattern id="lines" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="5" height="5" fill="var(--paper)" /><path d="M0 0V5" stroke="var(--ink)" stroke-width="2" /></pattern>
      <pattern id="light" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="var(--paper)" /><circle cx="2.5" cy="2.5" r="1" fill="var(--ink)" /></pattern></defs>
    ${hours.map((h) => html`<g><path d="M${x(h)} ${head - 4}V${height}" class="rib" /><text x=${x(h)} y="14" font-size="12" text-anchor="middle">${clock(h)}</text></g>`)}
    ${dates.map((date) => html`<g><text x="2" y=${y(date) + 22} font-size="13">${dayName(date)}</text><path d="M${left} ${y(date) + 36}H${width}" class="thin" />
      ${day.filter((t) => t.start.slice(0, 10) === date).map((t) => {
        const a = minutesOf(t.start) + (date >= first ? moved : 0), look = LOOK[t.task] || LOOK.mix;
        if (t.task === "wait") return html`<path class="hinge" d="M${x(a)} ${y(date) + 24}H${x(a + t.minutes)}"><title>${t.why}</title></path>`;
        const wide = Math.max(1.5, x(a + t.minutes) - x(a));
        return html`<g><rect x=${x(a)} y=${y(date) + 10} width=${wide} height="26" fill=${look[1]} stroke="var(--line)"><title>${clock(a)} ${t.task}, ${t.part || t.about}: ${t.why}</title></rect>
          ${wide > 60 ? html`<text x=${x(a) + 5} y=${y(date) + 27} font-size="12" class="halo" stroke-width="3">${t.task}${wide > 110 && t.part ? ` ${t.part}` : ""}</text>` : ""}</g>`;
      })}</g>`)}
    ${first ? html`<g class="hold" role="slider" tabindex="0" aria-label="When the shop opens: drag it, or use the arrow keys" aria-valuemin="0" aria-valuemax="1435" aria-valuenow=${held} aria-valuetext=${clock(held)}
        onpointerdown=${(e) => { e.preventDefault(); svg.current.setPointerCapture(e.pointerId); setDrag(start); }} onkeydown=${keys}>
      <rect x=${x(held) - 22} y=${head - 2} width="44" height=${height - head} fill="transparent" />
      <path d="M${x(held)} ${head - 2}V${height}" style="stroke:var(--accent);stroke-width:3px" /><path d="M${x(held) - 9} ${head - 2}h18l-9 12z" style="fill:var(--accent)" />
      ${drag !== null ? html`<text x=${x(held) + 8} y=${head + 8} font-size="16" class="halo" stroke-width="4" font-weight="700">${clock(held)}</text>` : ""}</g>` : ""}
    </svg>
    <p class="soft" style="margin:.2rem 0">${["fog", "wet-coat", "pull", "mix"].map((k) => html`<span style="margin-right:1rem"><svg width="18" height="12" style="vertical-align:-1px"><rect x="1" y="1" width="16" height="10" fill=${LOOK[k][1]} stroke="var(--line)" /></svg> ${LOOK[k][0]}</span>`)} Drag the marked line: when the shop opens, and with it the day.</p></div>`;
}
