// Pull: one piece at a time, one huge target, times kept by the server's clock.

import { html, useState, useEffect, useRef } from "../html.mjs";
import { clockText } from "../units.mjs";
import * as server from "../fetch.mjs";

const key = () => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 10)}`;
const TIMERS = [["Flash", 10], ["Tack-up", 45], ["Pull by", 20], ["Unmask from", 360], ["Unmask by", 720]];

/** What waits to be sent outlives a reload and a lost connection. */
const WAITING = "maskwright-waiting";
const waiting = () => { try { return JSON.parse(localStorage.getItem(WAITING)) || []; } catch { return []; } };

export function Pull({ seen, shown, notice, block, recordNews }) {
  const [events, setEvents] = useState([]);
  const [skew, setSkew] = useState(0);
  const [now, setNow] = useState(Date.now());
  const [pending, setPending] = useState(waiting().length);
  const sound = useRef(null), rung = useRef(new Set());
  const take = (r) => { setEvents(r.events); setSkew(r.now_ms - Date.now()); };
  const flush = async () => {
    let list = waiting();
    while (list.length) {
      const [job, said] = list[0];
      try { const r = await server.say(job, said); if (job === seen.name) take(r); }
      catch (e) { if (e.status === 0) break; }
      list = waiting().slice(1);
      localStorage.setItem(WAITING, JSON.stringify(list));
    }
    setPending(list.length);
  };
  const say = (what, about, value = "") => {
    const said = { key: key(), what, about, value };
    localStorage.setItem(WAITING, JSON.stringify([...waiting(), [seen.name, said]]));
    // Shown at once; the server's word follows.
    setEvents((es) => [...es, { n: es.length, at_ms: Date.now() + skew, ...said }]);
    flush();
  };
  useEffect(() => { server.record(seen.name).then(take).catch(() => {}); flush(); }, [seen.name, recordNews]);
  useEffect(() => { const t = setInterval(() => { setNow(Date.now()); if (waiting().length) flush(); }, 1000); return () => clearInterval(t); }, [seen.name]);

  const plan = seen.plan;
  const masks = plan ? (plan.masking || []) : [];
  const pieces = masks.flatMap((m) => m.pieces.filter((p) => p.tab.at !== "none").map((p) => ({ ...p, of: m.of, about: `${m.of}/${m.paint}/${p.id}` }))).sort((a, b) => a.of === b.of ? a.pull - b.pull : 0);
  const done = new Map();
  for (const e of events) { if (e.what === "pulled") done.set(e.about, e.at_ms); if (e.what === "undone") done.delete(e.about); }
  const next = pieces.find((p) => !done.has(p.about));
  const last = [...done.entries()].sort((a, b) => b[1] - a[1])[0];
  const timers = events.filter((e) => e.what === "timer").slice(-5).map((e) => ({ ...e, ends: e.at_ms + 60000 * Number(e.value) }));
  const ring = () => { const c = sound.current; if (!c) return; for (let k = 0; k < 3; k++) { const o = c.createOscillator(), g = c.createGain(); o.frequency.value = 880; o.connect(g); g.connect(c.destination); g.gain.value = 0.4; o.start(c.currentTime + k * 0.4); o.stop(c.currentTime + k * 0.4 + 0.2); } };
  for (const t of timers) { const left = t.ends - now - skew; if (left <= 0 && left > -5000 && !rung.current.has(t.key)) { rung.current.add(t.key); ring(); } }
  const mark = next && plan.marks.find((m) => m.id === next.of);
  const char = next && next.glyph >= 0 && mark ? mark.glyphs[next.glyph].char : "";
  return html`
    <section class="drawing"><h1>Pull</h1><div class="pulling">
      ${notice}
      ${pending ? html`<p role="status">${pending} kept here, sent when the connection is back</p>` : ""}
      ${timers.length ? html`<div aria-live="off">${timers.map((t) => html`<div><span>${t.about}</span><div class="clock">${clockText(t.ends - now - skew)}</div></div>`)}</div>` : ""}
      ${next ? html`
        <div class="way">${mark ? mark.text : next.of}${char ? html`, letter <b>${char}</b>` : ""}</div>
        <div class="piece" aria-live="assertive">${next.id}</div>
        <div class="way">${next.tab.kind === "flag" ? "flag in the middle" : `tab at the ${next.tab.at}`}; back over itself, away from the paint</div>
        <button class="next" onclick=${() => say("pulled", next.about)}>Pulled</button>
        <p>${done.size} of ${pieces.length} pulled</p>` : pieces.length ? html`<div class="way">All ${pieces.length} pieces are pulled.</div>` : html`<p>There is no tape plan: the job has no [masking] table.</p>`}
      ${last ? html`<button onclick=${() => say("undone", last[0])}>Not pulled after all: ${last[0].split("/").pop()}</button>` : ""}
    </div></section>
    <section class="column" aria-label="Clocks">
      <h2>Start a clock</h2>
      <div class="cards">${TIMERS.map(([name, minutes]) => html`<button onclick=${() => { sound.current = sound.current || new AudioContext(); say("timer", name, String(minutes)); }}>${name}<small>${minutes} min</small></button>`)}</div>
      <p><button onclick=${() => { sound.current = new AudioContext(); ring(); }}>Let it be heard</button></p>
      <p class="soft">Sound needs one tap. The clocks run on the machine that serves this page and go on when the phone sleeps. Keep the phone out of the spray area.</p>
    </section>
    ${block}`;
}
