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

/**
 * Windows that run: [{name, from_ms, by_ms, key}]. `events` are the record's; `paint` the job's.
 * A coat's window says when the next coat may and must follow, the last coat's when to pull and unmask.
 */
export function windows(events, paint) {
  // Taken back and shot again counts as shot again.
  let shot = [];
  for (const e of events) {
    if (e.what === "shot") shot.push(e);
    if (e.what === "undone") shot = shot.filter((s) => s.about !== e.about);
  }
  const all = steps(paint);
  const found = [];
  const last = shot[shot.length - 1];
  const off = last && last.at_ms <= unmaskedAt(events);
  const put = (name, e, from, by) => found.push({ name, key: `${e.key} ${name}`, from_ms: e.at_ms + 60000 * (from || 0), by_ms: Number.isFinite(by) ? e.at_ms + 60000 * by : NaN });
  if (last && paint) {
    const n = all.indexOf(last.about), coats = paint.coats || [];
    const coatOf = (k) => { let c = 0; for (const coat of coats) { c += coat.count || 1; if (k < c) return coat; } return null; };
    const next = all[n + 1] && coatOf(n + 1), own = coatOf(n);
    if (n >= 0 && next) {
      if (next === own && own.flash) put(all[n + 1], last, minutesOf(own.flash.least), minutesOf(own.flash.most));
      else if (next.after) put(`${all[n + 1]}, after the tack-up`, last, minutesOf(next.after), NaN);
      else if (own && own.flash) put(all[n + 1], last, minutesOf(own.flash.least), minutesOf(own.flash.most));
    }
    if (n === all.length - 1) {
      if (paint.pull_edge) put("pull", last, minutesOf(paint.pull_edge.from), minutesOf(paint.pull_edge.by));
      if (paint.unmask && !off) put("unmask", last, minutesOf(paint.unmask.from), minutesOf(paint.unmask.by));
    }
  }
  // A go shot and pulled before the last coat may still wait to be unmasked.
  const bare = unmaskedAt(events);
  if (paint && paint.unmask) for (const e of shot.slice(0, -1)) if (e.about === all[all.length - 1] && bare < e.at_ms) put("unmask the go before", e, minutesOf(paint.unmask.from), minutesOf(paint.unmask.by));
  for (const e of events.filter((x) => x.what === "timer").slice(-3)) put(e.about, e, +e.value, NaN);
  return found;
}

/** When what was masked came off last, ms; 0 if it has not, or was taken back. */
export function unmaskedAt(events) {
  let at = 0;
  for (const e of events) { if (e.what === "unmasked") at = e.at_ms; if (e.what === "undone" && e.about === "unmask") at = 0; }
  return at;
}

/** How a window stands: {state: "wait" | "open" | "over", ms left of that state (negative = late)}. */
export function stands(w, now) {
  // The last second belongs to what follows: two clocks a blink apart must not say “not before 0:00”.
  if (now < w.from_ms - 1000) return { state: "wait", ms: w.from_ms - now };
  if (Number.isNaN(w.by_ms)) return { state: "open", ms: w.from_ms - now };
  return now <= w.by_ms ? { state: "open", ms: w.by_ms - now } : { state: "over", ms: w.by_ms - now };
}
