// The clocks of the day, from what was shot and when, by the server's clock: so every phone shows the same.

import { minutesOf } from "./units.mjs";

/** The steps that start a clock: [name, what to say of it]. From the coats of the paint in the job. */
export function steps(paint) {
  const coats = (paint && paint.coats) || [];
  const found = [];
  for (const coat of coats) {
    const count = coat.count || 1;
    for (let n = 1; n <= count; n++) found.push(count > 1 ? `${coat.kind} coat ${n}` : `${coat.kind} coat`);
  }
  return found;
}

/** What an event says beside its name: the go it was of, and that nobody kept its time. */
const UNTIMED = "time not kept";
const goSaid = (e) => Number((/^go (\d+)/.exec(e.value || "") || [])[1]) || 0;

/** What is kept with a coat or an unmasking: "go 2", "go 2, time not kept", "". @param {number} go 0 where there is only one */
export const ofGo = (go, timed = true) => [go ? `go ${go}` : "", timed ? "" : UNTIMED].filter(Boolean).join(", ");

/**
 * Coats that were shot and not taken back, in order, each with its `go` and whether it is `timed`. One that does not
 * say its go is of the go that was being pulled then: the first with a piece of `pieces` still on. 0: no goes.
 */
export function shots(events, pieces = []) {
  const done = new Set();
  let found = [];
  for (const e of events) {
    if (e.what === "pulled") done.add(e.about);
    if (e.what === "shot") found.push({ ...e, go: goSaid(e) || (pieces.find((p) => !done.has(p.about)) || { go: 0 }).go, timed: !(e.value || "").includes(UNTIMED) });
    if (e.what === "undone") {
      done.delete(e.about);
      // Of the go it names, or the last one: a coat of the go before, of the same name, stays shot.
      const of = [...found].reverse().find((s) => s.about === e.about && (!goSaid(e) || s.go === goSaid(e)));
      if (of) found = found.filter((s) => s.about !== of.about || s.go !== of.go);
    }
  }
  return found;
}

/** Of a coat that was shot, whether its paper and strips are off: those of its go, or those of all that was shot by then. */
export function unmasked(events) {
  const off = new Map();
  for (const e of events) {
    if (e.what === "unmasked") off.set(goSaid(e), e.at_ms);
    if (e.what === "undone" && e.about === "unmask") off.delete(goSaid(e));
  }
  return (shot) => shot.at_ms <= Math.max(off.get(0) || 0, (shot.go && off.get(shot.go)) || 0);
}

/**
 * Windows that run: [{name, from_ms, by_ms, key, before}]. `events` are the record's; `paint` the job's.
 * A coat's window says when the next coat may and must follow, the last coat's when to pull and unmask. With `pieces`
 * and the `go` that is on now, null once all is pulled, and the paint of each go, earlier goes are told by their number, marked `before`.
 */
export function windows(events, paint, { pieces = [], go = /** @type {number | null} */ (0), paintOf = (_go) => paint } = {}) {
  const shot = shots(events, pieces), off = unmasked(events), found = [];
  const last = shot[shot.length - 1];
  const put = (name, e, from, by, before = false) => found.push({ name, before, key: `${e.key} ${name}`, from_ms: e.at_ms + 60000 * (from || 0), by_ms: Number.isFinite(by) ? e.at_ms + 60000 * by : NaN });
  const paintLast = last && paintOf(last.go);
  if (last && paintLast) {
    const all = steps(paintLast), n = all.indexOf(last.about), coats = paintLast.coats || [];
    const coatOf = (k) => { let c = 0; for (const coat of coats) { c += coat.count || 1; if (k < c) return coat; } return null; };
    const next = all[n + 1] && coatOf(n + 1), own = coatOf(n);
    if (n >= 0 && next) {
      if (next === own && own.flash) put(all[n + 1], last, minutesOf(own.flash.least), minutesOf(own.flash.most));
      else if (next.after) put(`${all[n + 1]}, after the tack-up`, last, minutesOf(next.after), NaN);
      else if (own && own.flash) put(all[n + 1], last, minutesOf(own.flash.least), minutesOf(own.flash.most));
    }
    // Once what was shot is pulled, nothing is late to be pulled; of a coat nobody timed there is no telling.
    if (n === all.length - 1 && last.timed && paintLast.pull_edge && last.go === go) put("pull", last, minutesOf(paintLast.pull_edge.from), minutesOf(paintLast.pull_edge.by));
  }
  // Each go waits to be unmasked by itself, from its own last coat.
  for (const e of shot) {
    const own = paintOf(e.go), all = steps(own), again = e.go > 0 && shot.slice(shot.indexOf(e) + 1).some((s) => s.go === e.go && s.about === e.about);
    if (!own || !own.unmask || off(e) || again || e.about !== all[all.length - 1]) continue;
    const earlier = e !== last || go !== null && e.go !== go;
    put(!earlier && (go !== null || !e.go) ? "unmask" : e.go ? `unmask go ${e.go}` : "unmask the go before", e, minutesOf(own.unmask.from), e.timed ? minutesOf(own.unmask.by) : NaN, earlier);
  }
  return found.sort((a, b) => Number(a.before) - Number(b.before));
}

/** How a window stands: {state: "wait" | "open" | "over", ms left of that state (negative = late)}. */
export function stands(w, now) {
  // The last second belongs to what follows: two clocks a blink apart must not say “not before 0:00”.
  if (now < w.from_ms - 1000) return { state: "wait", ms: w.from_ms - now };
  if (Number.isNaN(w.by_ms)) return { state: "open", ms: w.from_ms - now };
  return now <= w.by_ms ? { state: "open", ms: w.by_ms - now } : { state: "over", ms: w.by_ms - now };
}
