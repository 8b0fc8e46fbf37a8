// Which surface is on the sheet, and what lies under its skin.

import { html, useState, useEffect } from "./html.mjs";
import * as server from "./fetch.mjs";

/** A row to choose the surface by, with more beside it. */
export function Surfaces({ seen, shown, setSurface, children }) {
  const all = seen.plan ? seen.plan.surfaces : [];
  if (all.length < 2 && !children) return "";
  return html`<div class="chips" style="margin-top:0">${all.length > 1 ? all.map((s) => html`<button aria-pressed=${!!shown && s.id === shown.id} onclick=${() => setSurface(s.id)}>${s.id}</button>`) : ""}<span style="margin-left:auto;display:flex;gap:.4rem">${children}</span></div>`;
}

/** Ribs, parts and girths of the surface shown; null until they are there. */
export function useUnder(seen, shown) {
  const [under, setUnder] = useState(null);
  const id = shown && seen.plan ? shown.id : "";
  useEffect(() => {
    let here = true;
    if (id) server.under(seen.name, id).then((u) => { if (here && u) setUnder({ ...u, id }); }).catch(() => {});
    return () => { here = false; };
  }, [seen.name, seen.revision, id]);
  return under && under.id === id ? under : null;
}
