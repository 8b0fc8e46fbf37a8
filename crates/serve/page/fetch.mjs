// The only file that speaks to the server.

let token = document.querySelector('meta[name="maskwright-token"]').getAttribute("content");

/** The token of a server that was started anew while this page stood open; false if it lets this page in no more. */
async function newToken() {
  const now = /name="maskwright-token" content="([^"]+)"/.exec(await (await fetch("/", { cache: "no-store" })).text());
  if (!now || now[1] === token) return false;
  token = now[1];
  return true;
}

/** A refusal, with the server's words and the problems it names. */
export class Refused extends Error {
  /** @param {number} status @param {{message?: string, problems?: any[]}} said */
  constructor(status, said) {
    super(said.message || "the server did not answer");
    this.status = status;
    this.problems = said.problems || [];
  }
}

/** @param {string} method @param {string} path @param {any} [body] @param {boolean} [again] */
async function ask(method, path, body, again) {
  let answer;
  try {
    answer = await fetch(path, {
      method,
      headers: body === undefined ? {} : { "content-type": "application/json", "x-maskwright-token": token },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch {
    throw new Refused(0, { message: "no connection to the machine that serves this page" });
  }
  const text = await answer.text();
  let said;
  try { said = JSON.parse(text); } catch { said = { message: text }; }
  if (answer.status === 403 && !again && await newToken().catch(() => false)) return ask(method, path, body, true);
  if (!answer.ok) throw new Refused(answer.status, said);
  return said;
}

const at = (name, more = "") => `/api/jobs/${encodeURIComponent(name)}${more}`;

export const jobs = () => ask("GET", "/api/jobs");
export const make = (name, kind) => ask("POST", "/api/jobs", { name, kind });
/** The job, planned; `{same: true}` if it is still at the revision `known`. */
export const job = (name, known = "") => ask("GET", at(name, known ? `?known=${known}` : ""));
/** Edits with one `merge` key in a row are taken back as one. */
export const edit = (name, revision, edits, merge = "") => ask("PUT", at(name), { revision, edits, merge });
export const retype = (name, revision, text) => ask("PUT", at(name), { revision, text });
export const undo = (name) => ask("POST", at(name, "/undo"), {});
export const redo = (name) => ask("POST", at(name, "/redo"), {});
/** An answer that must not be nothing. */
const something = (a) => { if (a === null) throw new Refused(404, { message: "the job cannot be planned as it stands" }); return a; };
export const tryPlace = (name, mark, centre, height) => ask("POST", at(name, "/try"), { mark, centre_flat_mm: centre, height_mm: height || null }).then(something);
const id = encodeURIComponent;
export const room = (name, mark) => ask("GET", at(name, `/room/${id(mark)}`)).then((a) => a && a.rings_flat_mm);
export const section = (name, surface, s) => ask("GET", at(name, `/section/${id(surface)}?s_mm=${s}`));
export const space = (name, surface) => ask("GET", at(name, `/space/${id(surface)}`));
export const under = (name, surface) => ask("GET", at(name, `/under/${id(surface)}`));
export const words = () => ask("GET", "/api/words");
export const packs = () => ask("GET", "/api/packs");
export const skinAt = (name, surface, flat) => ask("POST", at(name, "/where"), { surface, flat_mm: flat }).then((a) => something(a).skin_mm);
export const record = (name) => ask("GET", at(name, "/record"));
export const say = (name, said) => ask("POST", at(name, "/record"), said);
export const files = (name) => ask("GET", at(name, "/files"));
export const fileAt = (name, path) => at(name, `/files/${path}`);

/** Hears what changes; `told` gets {job, what, now}, `there` true or false as the line comes and goes. */
export function listen(told, there) {
  const news = new EventSource("/api/news");
  news.onmessage = (e) => told(JSON.parse(e.data));
  news.onopen = () => there(true);
  news.onerror = () => there(false);
  return () => news.close();
}
