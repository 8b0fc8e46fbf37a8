// A mask cut from film: its panels with what is cut in them, and the work step by step.

import { html } from "./html.mjs";
import { Sheet, ScaleBar, Words, box, line, path, widened } from "./drawing.mjs";
import { both, one } from "./units.mjs";

/** The panels on the surface, one of them chosen: what is cut, what is lifted where. */
export function FilmDrawing({ film, chosen, setChosen, inch, setScale }) {
  const show = widened(box(film.panels.flatMap((p) => p.box_flat_mm)), 0.06);
  return html`<${Sheet} cls="tall" show=${show} label="Panels of film, with what is cut in them" setScale=${setScale}>${(px, seen) => html`
    ${film.panels.map((p) => { const [x0, , x1, y1] = box(p.box_flat_mm); return html`<g key=${p.id} onclick=${() => setChosen(p.id)} style="cursor:pointer">
      <path class="tape ${p.id === chosen ? "now" : ""}" style="fill-opacity:.25" d=${path([p.box_flat_mm])} />
      <path class="outline" fill-rule="evenodd" d=${path(p.paint_rings_flat_mm)} />
      ${p.weeding_flat_mm.map((l) => html`<path class="rib" d=${line(l)} />`)}
      ${p.relief.map((r) => html`<path class="hinge" d=${line(r.line_flat_mm)} />`)}
      ${p.register_flat_mm.map((l) => html`<path class="thin" d=${line(l)} />`)}
      <path d=${line(p.hinge_flat_mm)} style="fill:none;stroke:var(--accent);stroke-width:4px;vector-effect:non-scaling-stroke" />
      <${Words} px=${px} at=${[(x0 + x1) / 2, y1 - 12 * px]}>${p.id}</${Words}></g>`; })}
    <${ScaleBar} show=${seen} px=${px} inch=${inch} />`}</${Sheet}>
    <p class="soft" style="margin:.3rem 0 0">Thick: cut to the paint. Dotted: weeding cuts. Dash-dotted: relief cuts, along which it peels off in parts. The thick coloured line is the hinge it is laid from.</p>`;
}

/** What each panel is cut from, and the work step by step. */
export function FilmList({ film, mark, chosen, setChosen, inch }) {
  return html`<h2>Panels</h2>
    <div class="scroll" tabindex="0" role="region" aria-label="Panels of film"><table><thead><tr><th>panel</th><th>letters</th><th class="n">film</th><th class="n">long</th><th class="n">across</th></tr></thead><tbody>
      ${film.panels.map((p) => html`<tr class=${p.id === chosen ? "chosen" : ""}><td><button class="plain" aria-label="Show panel ${p.id}" onclick=${() => setChosen(p.id)}>${p.id}</button></td><td>${p.glyphs.map((g) => mark.glyphs[g] ? mark.glyphs[g].char : "").join("")}</td><td class="n">${one(p.film.width_mm, inch)}</td><td class="n">${one(p.length_mm, inch)}</td><td class="n">${one(p.across_mm, inch)}</td></tr>`)}</tbody></table></div>
    <p class="soft">${film.assumed_film ? "No film is on the shelf: a usual width was taken, from memory. " : ""}${film.assumed_application_tape ? "No application tape is on the shelf: a usual width was taken, from memory. " : ""}It reaches ${both(film.rim_mm, inch)} past the paint; panels lap ${both(film.lap_mm, inch)}. Application tape ${both(film.application_tape.width_mm, inch)} wide. Panels stand in the order of pulling; they are laid from the last to the first.</p>
    <h2>The work</h2>
    <ol class="steps-list">${film.steps.map((s) => html`<li>${s}</li>`)}</ol>
    <p class="soft">${film.basis}</p>`;
}
