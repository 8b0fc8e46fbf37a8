// Further surfaces of a job: another one of each kind, the other side of one there is; what one is called; taking one out.

import { html, useState } from "./html.mjs";
import { Act, Field, Fold } from "./field.mjs";
import { words } from "./words.mjs";

const OTHER = { left: "right", right: "left", upper: "lower", lower: "upper" };

/** Measures to start from, inches; a hand then types its own. */
const FRESH = {
  flat: { corners: [[0, 0], [60, 0], [60, 20], [0, 20]], side: "left" },
  wing: { half: "right", side: "upper", span: 150, chord: [54, 54], section: "naca2412" },
  body: { side: "left", stations: [{ s: 0, half_width: 18, top: 20, bottom: -22, power: 2 }, { s: 120, half_width: 12, top: 14, bottom: -14, power: 2 }] },
};
const KINDS = { flat: "a flat panel", wing: "a wing or tail surface", body: "a body that curves both ways" };

/** Figures in inches as the job's units have them; text stays. */
function inJobUnits(v, per) {
  if (typeof v === "number") return Math.round(v * per * 1000) / 1000;
  if (Array.isArray(v)) return v.map((x) => inJobUnits(x, per));
  if (v && typeof v === "object") return Object.fromEntries(Object.entries(v).map(([k, x]) => [k, k === "power" ? x : inJobUnits(x, per)]));
  return v;
}

/** @param {any} p job, surface of the job file, at(...more) its path, edit, units, setSurface */
export function MoreSurfaces({ job, surface, at, edit, units, setSurface }) {
  const [kind, setKind] = useState("flat");
  const all = job.surface || [];
  const free = (stem) => { let id = stem, n = 2; while (all.some((s) => s.id === id)) id = `${stem}-${n++}`; return id; };
  const used = [...(job.mark || []), ...(job.stripe || [])].filter((m) => m.surface === surface.id);
  // What is painted on it goes by its name: both change at once.
  const rename = (edits, merge) => {
    const to = edits[0].value, follow = (list) => (job[list] || []).flatMap((m, k) => m.surface === surface.id ? [{ path: [list, k, "surface"], value: to }] : []);
    return edit([...edits, ...follow("mark"), ...follow("stripe")], merge).then((p) => { if (!p) setSurface(String(to)); return p; });
  };
  /** @type {any} */
  const mirrored = () => {
    const { feature: _f, part: _p, panel, ...own } = surface, side = OTHER[own.side] || own.side;
    // Seen facing it, the other side of a flat panel is its mirror image; wings and bodies are measured alike on both.
    if (own.kind === "flat" && own.corners.every((c) => c.every((v) => typeof v === "number"))) { const xs = own.corners.map((c) => c[0]), sum = Math.min(...xs) + Math.max(...xs); own.corners = own.corners.map(([x, y]) => [sum - x, y]).reverse(); }
    return { ...own, id: free(surface.id.includes(own.side) ? surface.id.replace(own.side, side) : `${surface.id}-${side}`), side, ...(panel && surface.kind === "wing" ? { panel } : {}) };
  };
  const per = { in: 1, ft: 1 / 12, mm: 25.4, cm: 2.54, m: 0.0254 }[units] || 1;
  const [other, fresh] = [surface.side ? mirrored() : null, { id: free(kind === "flat" ? "panel" : kind), kind, ...inJobUnits(FRESH[kind], per) }];
  return html`<${Fold} title="Surfaces of the job" says=${`${all.length}: ${all.map((s) => s.id).join(", ")}`}>
    <${Field} key=${`${surface.id}id`} label="This one is called" path=${at("id")} value=${surface.id} edit=${rename} required words note="a short word without blanks; what is painted on it goes along" />
    ${other ? html`<p><${Act} edit=${edit} edits=${() => [{ path: ["surface", all.length], value: other }]} done=${() => setSurface(other.id)}>Add its ${other.side} side</${Act}> <span class="soft">with the same measures; its features are surveyed there</span></p>` : ""}
    <div class="row"><select aria-label="Kind of a further surface" style="width:auto" value=${kind} onchange=${(e) => setKind(e.target.value)}>${words("surface", "kind").filter((k) => FRESH[k]).map((k) => html`<option value=${k} selected=${k === kind}>${KINDS[k]}</option>`)}</select><${Act} edit=${edit} edits=${() => [{ path: ["surface", all.length], value: fresh }]} done=${() => setSurface(fresh.id)}>Add a surface</${Act}></div>
    <p><${Act} disabled=${all.length < 2 || used.length > 0} edit=${edit} edits=${() => [{ path: at(), value: null }]} done=${() => setSurface("")}>Take ${surface.id} out</${Act}>${used.length ? html` <span class="soft">not while something is painted on it</span>` : ""}</p></${Fold}>`;
}
