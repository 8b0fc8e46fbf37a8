// The words a key of the job file may hold, and what stands if it is empty: from the server, which has them from the reader.

import * as server from "./fetch.mjs";

/** @type {Record<string, Record<string, {words: string[] | null, default: any}>>} */
let all = {};

/** Asks for them, once, before anything is drawn. */
export async function learn() { all = await server.words(); }

const of = (table, key, kind) => { const t = all[table] || {}; return (kind && t[`${key}.${kind}`]) || t[key]; };

/** The words of a key; where they depend on the kind of a surface, those of `kind`. @returns {string[]} */
export const words = (table, key, kind = "") => (of(table, key, kind) || {}).words || [];

/** What stands if a key is empty; "" if the reader says nothing of it. @returns {string} */
export const otherwise = (table, key) => { const d = (of(table, key, "") || {}).default; return d === undefined || d === null ? "" : Array.isArray(d) ? d.join(", ") : String(d); };
