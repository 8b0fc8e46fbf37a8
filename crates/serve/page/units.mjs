// Lengths as they are read aloud: inches as a tape measure reads them, millimetres beside.

const PER = { in: 25.4, ft: 304.8, mm: 1, cm: 10, m: 1000 };

/** Inches to the nearest 1/32, as a tape measure reads: `24 3/8 in`; what it reads as nothing and is not: `under 1/32 in`. @param {number} mm */
export function inches(mm) {
  const sign = mm < 0 ? "−" : "";
  const n = Math.round(Math.abs(mm) / 25.4 * 32);
  if (n === 0 && metric(mm) !== metric(0)) return "under 1/32 in";
  const whole = Math.floor(n / 32);
  let top = n % 32, bottom = 32;
  while (top && top % 2 === 0) { top /= 2; bottom /= 2; }
  const fraction = top ? `${top}/${bottom}` : "";
  return `${sign}${whole || !fraction ? whole : ""}${whole && fraction ? " " : ""}${fraction} in`;
}

/** Millimetres, to a tenth. @param {number} mm */
export const metric = (mm) => `${(Math.round(mm * 10) / 10).toString().replace("-", "−")} mm`;

/** Both, the reader's own first. @param {number} mm @param {boolean} inchFirst */
export const both = (mm, inchFirst) => inchFirst ? `${inches(mm)} (${metric(mm)})` : `${metric(mm)} (${inches(mm)})`;

/** A long run of tape, as it comes off a roll: feet and metres to a tenth. */
export const run = (mm, inchFirst) => { const [ft, m] = [`${(mm / 304.8).toFixed(1)} ft`, `${(mm / 1000).toFixed(1)} m`]; return inchFirst ? `${ft} (${m})` : `${m} (${ft})`; };

/** The reader's own only. */
export const one = (mm, inchFirst) => inchFirst ? inches(mm) : metric(mm);

/** A bare number in a job's units, rounded to what a hand can lay: 1/32 in or 0.5 mm. */
export function inUnits(mm, units) {
  const step = units === "in" || units === "ft" ? 25.4 / 32 : 0.5;
  const rounded = Math.round(mm / step) * step / (PER[units] || 1);
  return Math.round(rounded * 1e6) / 1e6;
}

/** Millimetres of a value in a job file: a bare number in its units, or text with a unit. NaN if neither. */
export function mmOf(value, units) {
  if (typeof value === "number") return value * (PER[units] || 1);
  const text = String(value).trim();
  // Feet and inches: `1 ft 6 1/2 in`, `1' 6-1/2"`.
  const feet = /^(\d+)\s*(?:ft|')\s*(.+)$/.exec(text);
  if (feet) return +feet[1] * PER.ft + mmOf(feet[2], "in");
  const m = /^(?:(\d+)[\s-]+(?=\d+\/))?(\d+(?:\.\d+)?)(?:\/(\d+))?\s*(in|ft|mm|cm|m|"|')?$/.exec(text);
  if (!m || m[3] === "0") return NaN;
  const n = (m[1] ? +m[1] : 0) + (m[3] ? +m[2] / +m[3] : +m[2]);
  return n * PER[{ '"': "in", "'": "ft" }[m[4]] || m[4] || units];
}

/** The same of a reading that may lie below zero: `-5 1/2 in`. */
export function signedMm(value, units) {
  const m = /^\s*[-−]\s*(.*)$/.exec(String(value));
  return m ? -mmOf(m[1], units) : mmOf(value, units);
}

/** What a person typed, as a job file takes it: a plain number stays a number; so does a fraction of the job's own unit. */
export function typed(text, unit = "") {
  const t = text.trim(), m = /^(-?)(?:(\d+)[ -])?(\d+)\/([1-9]\d*)$/.exec(t);
  if (/^-?\d+(\.\d+)?$/.test(t)) return Number(t);
  if (m && (unit === "in" || unit === "ft")) return (m[1] ? -1 : 1) * (+(m[2] || 0) + +m[3] / +m[4]);
  return t;
}

/** A bare number of a job file as a tape measure reads it: 31.90625 in inches is `31 29/32`; other than that as it is. */
export function asRead(value, unit) {
  const n = Math.round(value * 32);
  if (unit !== "in" || Math.abs(n - value * 32) > 1e-9) return String(value);
  return inches(value * 25.4).replace(/ in$/, "").replace("−", "-");
}

/** Minutes as a clock reads them. @param {number} ms */
export function clockText(ms) {
  const s = Math.max(0, Math.round(Math.abs(ms) / 1000));
  const h = Math.floor(s / 3600), m = Math.floor(s / 60) % 60;
  const two = (n) => String(n).padStart(2, "0");
  return `${ms < 0 ? "+" : ""}${h ? `${h}:${two(m)}` : m}:${two(s % 60)}`;
}

/** Minutes of a time in a job file: `"45 min"`, `"6 h"`, `"5 d"`, or {time}. NaN if neither. */
export function minutesOf(value) {
  const m = /^\s*(\d+(?:\.\d+)?)\s*(s|min|h|d)\s*$/.exec(String(value && value.time ? value.time : value));
  return m ? +m[1] * { s: 1 / 60, min: 1, h: 60, d: 1440 }[m[2]] : NaN;
}

/** A temperature in the reader's own degrees. */
export const degrees = (c, inchFirst) => inchFirst ? `${(c * 9 / 5 + 32).toFixed(1)} °F` : `${c.toFixed(1)} °C`;
/** A difference of temperatures. */
export const degreesMore = (c, inchFirst) => inchFirst ? `${(c * 9 / 5).toFixed(1)} °F` : `${c.toFixed(1)} °C`;
