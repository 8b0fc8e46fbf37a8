// Pull: one piece at a time, one huge target, times kept by the server's clock.

import { html, useState, useEffect, useRef } from "../html.mjs";
import { Sheet, box, path, upright, widened } from "../drawing.mjs";
import { lettersOfGoes, pullWay, tabAt, tabWhere, toPull } from "../pieces.mjs";
import { painted } from "../stripes.mjs";
import { ofGo, shots, steps, stands, unmasked, windows } from "../clocks.mjs";
import { clockText } from "../units.mjs";
import * as server from "../fetch.mjs";

const key = () => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 10)}`;

/** A glove that bounces must not pull two pieces, ms. chosen: nobody pulls a piece faster. */
const BOUNCE = 700;

/** What waits to be sent outlives a reload and a lost connection. */
const WAITING = "maskwright-waiting";
const waiting = () => { try { return JSON.parse(localStorage.getItem(WAITING)) || []; } catch { return []; } };

export function Pull({ seen, notice, blockAt, recordNews }) {
  const [events, setEvents] = useState([]);
  const [skew, setSkew] = useState(0);
  const [now, setNow] = useState(Date.now());
  const [pending, setPending] = useState(waiting().length);
  const [told, setTold] = useState("");
  const [heard, setHeard] = useState(false);
  const tapped = useRef(-BOUNCE);
  const sound = useRef(null), rung = useRef(new Set()), sending = useRef(false);
  const take = (r) => { setEvents(withWaiting(r.events, seen.name)); setSkew(r.now_ms - Date.now()); };
  const flush = async () => {
    if (sending.current) return;
    sending.current = true;
    let list = waiting();
    while (list.length) {
      const [job, said] = list[0];
      try { const r = await server.say(job, said); if (job === seen.name) take(r); }
      catch (e) {
        // Not let in, or no line: it waits on this phone. Only what can never be said is dropped.
        if ([0, 401, 403].includes(e.status) || 500 <= e.status) { if (e.status) setTold(e.message); break; }
        setTold(e.message);
      }
      list = waiting().filter(([, s]) => s.key !== said.key);
      localStorage.setItem(WAITING, JSON.stringify(list));
    }
    setPending(list.length);
    sending.current = false;
  };
  const say = (what, about, value = "") => {
    const said = { key: key(), what, about, value };
    localStorage.setItem(WAITING, JSON.stringify([...waiting(), [seen.name, said]]));
    // Shown at once; the server's word follows.
    setEvents((es) => [...es, { n: es.length, at_ms: Date.now() + skew, ...said }]);
    flush();
  };
  const pulled = (about) => {
    const t = performance.now();
    if (t - tapped.current < BOUNCE) return;
    tapped.current = t;
    say("pulled", about);
  };
  const fresh = () => { server.record(seen.name).then(take).catch(() => {}); flush(); };
  useEffect(() => { fresh(); }, [seen.name, recordNews]);
  useEffect(() => {
    const t = setInterval(() => { setNow(Date.now()); if (waiting().length) flush(); }, 1000);
    // A phone that wakes asks what happened meanwhile.
    const woke = () => { if (!document.hidden) { setNow(Date.now()); fresh(); } };
    document.addEventListener("visibilitychange", woke);
    addEventListener("online", woke);
    return () => { clearInterval(t); document.removeEventListener("visibilitychange", woke); removeEventListener("online", woke); };
  }, [seen.name]);

  // Where the browser lets a page hold the screen awake (not over plain http), it is held while this tab shows.
  useEffect(() => {
    let held = null, here = true;
    const hold = async () => {
      if (document.hidden || !navigator.wakeLock) return;
      try { held = await navigator.wakeLock.request("screen"); if (!here) held.release(); } catch { /* The battery says no: the clocks go on. */ }
    };
    hold();
    document.addEventListener("visibilitychange", hold);
    return () => { here = false; document.removeEventListener("visibilitychange", hold); if (held) held.release(); };
  }, []);

  const plan = seen.plan, job = seen.job || {};
  const pieces = toPull(plan);
  const done = new Map();
  for (const e of events) { if (e.what === "pulled") done.set(e.about, e.at_ms); if (e.what === "undone") done.delete(e.about); }
  const left = pieces.filter((p) => !done.has(p.about));
  const [next, then] = left;
  const last = [...done.entries()].filter(([about]) => pieces.some((p) => p.about === about)).sort((a, b) => b[1] - a[1])[0];
  const paint = (job.paint || []).find((p) => next && p.id === next.paint) || (job.paint || [])[0];
  // A go is pulled before the next is shot: what it still has to be pulled, and which coats are its own.
  const goes = lettersOfGoes(plan), go = next ? next.go : 0, several = goes.size > 1;
  const ofNow = pieces.filter((p) => p.go === go), doneNow = ofNow.filter((p) => done.has(p.about)).length;
  const paintOf = (g) => { const of = g && pieces.find((p) => p.go === g); return (of && (job.paint || []).find((p) => p.id === of.paint)) || paint; };
  const coats = shots(events, pieces), off = unmasked(events);
  const clocks = windows(events, paint, { pieces, go: next ? go : null, paintOf }).map((w) => ({ ...w, ...stands(w, now + skew) }));
  const ring = (tones) => {
    const c = sound.current;
    if (!c) return;
    if (navigator.vibrate) navigator.vibrate(Array(tones).fill(200));
    for (let k = 0; k < tones; k++) { const o = c.createOscillator(), g = c.createGain(); o.frequency.value = 880; o.connect(g); g.connect(c.destination); g.gain.value = 0.4; o.start(c.currentTime + k * 0.4); o.stop(c.currentTime + k * 0.4 + 0.2); }
  };
  // Once each: as a window opens, two minutes before it closes, as it is over. Not for what passed long ago.
  for (const c of clocks) {
    const t = now + skew;
    for (const [when, at, tones] of [["open", c.from_ms, 3], ["soon", c.by_ms - 120000, 5], ["over", c.by_ms, 8]]) {
      const id = `${c.key} ${when}`;
      if (at <= t && t < at + 5000 && !rung.current.has(id)) { rung.current.add(id); ring(tones); }
    }
  }
  const mark = next && painted(plan, next.of);
  const char = next && next.glyph >= 0 && mark && !mark.stripe ? mark.glyphs[next.glyph].char : "";
  const where = next ? tabWhere(mark, next) : "";
  // Coats of this go only: those of the one before are pulled.
  const list = steps(paint), mine = coats.filter((c) => c.go === go), shot = new Set(mine.map((c) => c.about));
  const lastShot = [...list].reverse().find((s) => shot.has(s)), end = list[list.length - 1];
  // While a go is still to be shot its coats come first, above the piece, and nothing can be pulled; then the piece is
  // alone under the hand.
  const toShoot = list.length > 0 && next && doneNow === 0 && !shot.has(end);
  const untimed = next && mine.some((c) => c.about === end && !c.timed);
  const kept = (timed = true) => ofGo(several ? go : 0, timed);
  const chips = html`<div class="chips">${list.map((s) => html`<button aria-pressed=${shot.has(s)} onclick=${() => say("shot", s, kept())}>${s}${shot.has(s) ? " ✓" : ""}</button>`)}</div>`;
  // Goes whose last coat is on: each is unmasked by itself.
  const wet = coats.filter((c) => { const all = steps(paintOf(c.go)); return c.about === all[all.length - 1]; });
  const masked = several ? [...new Set(wet.map((c) => c.go))].filter((g) => g).map((g) => ({ go: g, off: wet.filter((c) => c.go === g).every(off) })) : [{ go: 0, off: coats.length > 0 && coats.every(off) }];
  const sidesOf = (list) => [...new Set(list.map((p) => (painted(plan, p.of) || { surface: "" }).surface.replaceAll("-", " ")))];
  const [side] = next ? sidesOf([next]) : [""], sides = sidesOf(pieces).length > 1;
  const WORDS = { wait: "not before", open: "now", over: "late by" };
  // What an earlier go still waits for stands below the piece, until it is time.
  const later = next ? clocks.filter((c) => c.before && c.state === "wait") : [], due = clocks.filter((c) => !later.includes(c));
  const clock = (c) => {
    const words = `${c.state === "over" ? "⊗ " : c.state === "open" ? "✓ " : ""}${c.name}: ${WORDS[c.state]}${c.state === "open" && !Number.isNaN(c.by_ms) ? ", for" : ""}`;
    const figure = c.state === "open" && Number.isNaN(c.by_ms) ? clockText(c.ms) : clockText(Math.abs(c.ms));
    return html`<div class="clock-box ${c.state} ${c.before ? "before" : ""}"><span>${words}</span><div class="clock">${figure}</div></div>`;
  };
  return html`
    <section class="drawing"><h1 class="aside">Pull</h1><div class="pulling">
      ${notice}
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      ${pending ? html`<p role="status">${pending} kept on this phone, sent when the connection is back</p>` : ""}
      ${next && (sides || several && go) ? html`<div class="way side">${[several && go ? `go ${go}` : "", sides ? html`<b>${side}</b>` : ""].filter(Boolean).map((x, k) => html`${k ? " · " : ""}${x}`)}</div>` : ""}
      ${due.length ? html`<div class="clocks">${due.map(clock)}</div>` : ""}
      ${untimed ? html`<p class="soft">Nobody kept when the ${end} was shot: no clock for pulling, go by the paint. Unmasking is counted from when you said so.</p>` : ""}
      ${toShoot && pieces.some((p) => p.go < go) ? html`<p class="gone" role="status">✓ Go ${go - 1} is pulled. Unmask it in its window; then go ${go}${goes.get(go) ? `, ${goes.get(go)}` : ""}${sides ? `, ${sidesOf(ofNow).join(" and ")}` : ""}: edge tape, coats, and pull on from here.</p>` : ""}
      ${toShoot ? html`<div class="shoot"><p>${go && several ? `Go ${go}: tap` : "Tap"} each coat as it is shot</p>${chips}</div>` : ""}
      ${next ? html`
        <div class="one">
          <div><div class="way">${char ? html`letter <b>${char}</b>` : mark && mark.stripe ? (next.with.length ? "one mask" : "stripe") : "whole mark"}</div><div>${[mark ? mark.text.replace(/\n/g, " ") : next.of, ...next.with].join(", ")}${next.paint ? `, ${next.paint}` : ""}</div>
          <div class="piece" aria-live="assertive">${next.id}</div></div>
          <${Look} piece=${next} mark=${mark} done=${done} pieces=${pieces} />
        </div>
        <div class="way">${next.tab.kind === "flag" ? "flag" : "tab"} <b>${where || next.tab.at}</b></div>
        <p>${next.kind === "plug" ? "straight up" : next.tab.kind === "flag" && next.kind !== "film" ? "straight away from the paint" : "back over itself, away from the paint"} · ${pieces.filter((p) => done.has(p.about)).length} of ${pieces.length} pulled${several && go ? html` · go ${go} of ${goes.size}${goes.get(go) ? ` (${goes.get(go)})` : ""}: ${doneNow} of ${ofNow.length}` : ""}${then && then.go === next.go ? html` · then <b>${then.id}</b>` : ""}</p>` : pieces.length ? html`<div class="way">All ${pieces.length} pieces are pulled.</div>` : html`<p>No tape is planned yet: say under Marks what is painted, and under Mask what tape is on the shelf.</p>`}
      ${later.length ? html`<div class="clocks">${later.map(clock)}</div>` : ""}
      ${last ? html`<button onclick=${() => say("undone", last[0])}>Not pulled after all: ${last[0].split("/").pop()}</button>` : ""}
    </div>
    ${next ? html`<div class="hand">
      ${toShoot ? html`<p class="held" id="held"><span>Held until the ${end}${several && go ? ` of go ${go}` : ""} is tapped.</span><button onclick=${() => say("shot", end, kept(false))}>I have shot it</button></p>` : ""}
      <button class="next" disabled=${toShoot} aria-describedby=${toShoot ? "held" : undefined} onclick=${() => pulled(next.about)}>Pulled</button></div>` : ""}
    </section>
    <section class="column" aria-label="Coats and clocks">
      <h2>Done just now</h2>
      <p class="soft">${toShoot ? "The coats stand above. " : ""}Each starts the clock of what follows: flash, tack-up, pull, unmask.</p>
      ${toShoot ? "" : chips}
      ${list.length ? html`<div class="chips">${masked.map((m) => html`<button aria-pressed=${m.off} onclick=${() => say(m.off ? "undone" : "unmasked", "unmask", ofGo(m.go))}>${m.go ? `go ${m.go} ` : ""}${m.off ? "unmasked ✓" : "unmasked: paper and strips off"}</button>`)}</div>` : html`<p class="soft">The paint has no coats yet: they are said under Spray.</p>`}
      ${lastShot ? html`<p><button onclick=${() => say("undone", lastShot, kept())}>Not shot after all: ${lastShot}</button></p>` : ""}
      <h2>A clock of your own</h2>
      <div class="chips">${[5, 10, 20, 45].map((m) => html`<button onclick=${() => say("timer", `${m} min`, String(m))}>${m} min</button>`)}</div>
      <p><button aria-pressed=${heard} onclick=${() => { sound.current = sound.current || new AudioContext(); setHeard(true); ring(2); }}>${heard ? "Sound is on: try it" : "Let it be heard"}</button></p>
      <p class="soft">Sound needs one tap on each phone. The clocks go by the machine that serves this page and run on while a phone sleeps; the calendar file under Record is the back-up. Keep the phone out of the spray area: the wall card works alone.</p>
      ${(plan && plan.day || []).length ? html`<p><a href=${server.fileAt(seen.name, "day.ics")} download="day.ics">The day for the calendar</a></p>` : html`<p class="soft">No day for the calendar: ${whyNoDay(job, plan)}.</p>`}
    </section>
    ${blockAt(mark && mark.surface)}`;
}

/** Why no day is planned: what the day needs and the job does not say, or that none works. */
function whyNoDay(job, plan) {
  const paints = job.paint || [], bare = paints.filter((p) => !(p.coats || []).length);
  if (!paints.length) return "no paint is said yet";
  if (bare.length) return bare.length === paints.length ? "the paint has no coats yet" : `${bare.map((p) => p.id).join(", ")} has no coats yet`;
  if (!(job.shop || {}).date) return "the day of the first spraying is not said yet";
  return plan && plan.findings.some((f) => f.id === "no-day") ? "no day works; why stands under Spray" : "what it still needs stands under Spray";
}

/** Events of the server, with those that still wait to be sent. */
function withWaiting(events, name) {
  const there = new Set(events.map((e) => e.key));
  const more = waiting().filter(([job, said]) => job === name && !there.has(said.key)).map(([, said]) => ({ at_ms: Date.now(), ...said }));
  return [...events, ...more];
}

/** The letter as it is read, the piece on it, and an arrow the way it is pulled. */
function Look({ piece, mark, done, pieces }) {
  if (!mark) return "";
  const up = upright(mark);
  const glyph = mark.glyphs[piece.glyph];
  const rings = (glyph ? glyph.rings_flat_mm : mark.glyphs.flatMap((g) => g.rings_flat_mm)).map(up);
  const tab = tabAt(piece), way = pullWay(piece);
  const foot = up((piece.footprint_flat_mm || []).flat()), [tx, ty] = up([tab])[0], reach = 4 * mark.height_mm;
  // Of a stripe the stretch round the tab; it is too long to be seen whole.
  const whole = box([...rings.flat(), ...foot]), long = 0.45 * Math.max(whole[2] - whole[0], whole[3] - whole[1]);
  // The arrow is a hand wide on the screen: it must not point out of the picture.
  const [tip] = up([[tab[0] + way[0] * long, tab[1] + way[1] * long]]);
  const show = mark.stripe ? [tx - reach, ty - reach, tx + reach, ty + reach] : widened(box([...rings.flat(), ...foot, tip]), 0.06);
  const on = pieces.filter((p) => p.of === piece.of && p.paint === piece.paint && p.glyph === piece.glyph && !done.has(p.about) && p.about !== piece.about);
  return html`<div class="look"><${Sheet} show=${show} label="Where ${piece.id} lies and which way it is pulled">${(px) => {
    const [a, b] = up([tab, [tab[0] + way[0] * 70 * px, tab[1] + way[1] * 70 * px]]);
    const turn = Math.atan2(-(b[1] - a[1]), b[0] - a[0]) * 180 / Math.PI;
    return html`<path class="mark" style="cursor:default" fill-rule="evenodd" d=${path(rings)} />
      ${on.map((p) => html`<path class="tape" d=${path(p.footprint_flat_mm.map(up))} />`)}
      <path class="tape now" d=${path(piece.footprint_flat_mm.map(up))} />
      ${piece.tab.area_flat_mm.length ? html`<path class="tab now" d=${path([up(piece.tab.area_flat_mm)])} />` : ""}
      <g transform="translate(${a[0]} ${-a[1]}) rotate(${turn}) scale(${px})"><circle r="9" style="fill:var(--accent)" /><path d="M9 0H52" style="stroke:var(--accent);stroke-width:7px" /><path d="M48 -14L74 0L48 14Z" style="fill:var(--accent)" /></g>`;
  }}</${Sheet}></div>`;
}
