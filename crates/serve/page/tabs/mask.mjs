// Mask: the tape map, laying stepped through piece by piece, ends and angles, the cut list, what is on the shelf.

import { html, useState } from "../html.mjs";
import { Drawing, Sheet, ScaleBar, Words, box, path, ringsOf, widened } from "../drawing.mjs";
import { FilmDrawing, FilmList } from "../film.mjs";
import { Says, small } from "../says.mjs";
import { Shelf } from "../shelf.mjs";
import { TapeLies, about, painted } from "../stripes.mjs";
import { Surfaces, useUnder } from "../surfaces.mjs";
import { KIND, Tape, endWords, tabAt, tabWhere } from "../pieces.mjs";
import { both, one, run } from "../units.mjs";

const SHOWN = [["letter", "Its letter"], ["mark", "The whole"], ["join", "Close up"]];
/** @type {[string, string, (p: any) => boolean][]} */
const KINDS = [["all", "All", () => true], ["layout", "Layout tape", (p) => p.kind === "layout"], ["tack", "Tack strip", (p) => p.kind === "tack"], ["edge", "Edge tape", (p) => !/layout|tack|film/.test(p.kind)], ["film", "Film", (p) => p.kind === "film"]];
const OFF = { layout: "taken out once the edge tape is laid", tack: "with the paper, at the unmasking" };

export function Mask({ seen, edit, inch, units, shown, setSurface, setScale, notice, block }) {
  const [at, setAt] = useState(0);
  const [which, setWhich] = useState("");
  const [close, setClose] = useState("letter");
  const [kinds, setKinds] = useState("all");
  const [panel, setPanel] = useState("");
  const under = useUnder(seen, shown);
  const plan = seen.plan, job = seen.job || {};
  const name = (m) => `${m.of}/${m.paint}/${m.part || ""}`;
  const here = plan && shown ? (plan.masking || []).filter((m) => { const k = painted(plan, m.of); return k && k.surface === shown.id; }) : [];
  const mask = here.find((m) => name(m) === which) || here[0];
  const marks = plan && shown ? plan.marks.filter((m) => m.surface === shown.id) : [];
  const shelf = html`<${Shelf} job=${job} edit=${edit} unit=${units} />`;
  if (!mask || !mask.pieces.length) {
    return html`<section class="drawing"><${Surfaces} seen=${seen} shown=${shown} setSurface=${setSurface} /><${Drawing} plan=${plan} surface=${shown} under=${under} marks=${marks} inch=${inch} setScale=${setScale} /></section>
      <section class="column" aria-label="Mask">${notice}<h1>Mask</h1><p>${!marks.length && !(plan && (plan.stripes || []).length) ? "Nothing is painted on this surface yet: say what under Marks." : "No tape is planned yet: put edge tape and tack tape on the shelf."}</p>
      <${Says} findings=${plan ? plan.findings.filter((f) => /^(mask|tape|tack|film)/.test(f.id)) : []} none="" />${shelf}</section>${block}`;
  }
  const all = [...mask.pieces].sort((a, b) => a.lay - b.lay);
  const pieces = all.filter(KINDS.find(([k]) => k === kinds)[2]);
  const list = pieces.length ? pieces : all;
  const n = Math.min(at, list.length - 1), piece = list[n];
  const to = (k) => setAt(Math.max(0, Math.min(list.length - 1, k)));
  const mark = painted(plan, mask.of), long = mark.stripe;
  const glyph = mark.glyphs[piece.glyph];
  // A further colour is sprayed as far as it laps under the next.
  const own = ringsOf(mark), sprayed = (mask.sprayed_rings_flat_mm || []).length && mask.part !== "letters" ? mask.sprayed_rings_flat_mm.flat() : own;
  const whole = box(sprayed.flat());
  const foot = (piece.footprint_flat_mm || []).flat().concat(piece.tab.area_flat_mm || []);
  const where = tabWhere(mark, piece), tab = tabAt(piece);
  const show = close === "join" && foot.length ? (long ? about(mark, tab || piece.path_flat_mm[0], 4 * mark.height_mm) : widened(box(foot), 0.15))
    : close === "letter" && glyph && !long ? widened(box([...glyph.rings_flat_mm.flat(), ...foot]), 0.15) : widened(whole, 0.05);
  const laid = all.filter((p) => p.lay < piece.lay);
  const ends = [piece.path_flat_mm[0], piece.path_flat_mm[piece.path_flat_mm.length - 1]];
  const keys = (e) => { const by = { ArrowRight: 1, ArrowLeft: -1 }[e.key]; if (by && !/INPUT|SELECT|SUMMARY/.test(e.target.tagName)) { e.preventDefault(); e.stopPropagation(); to(n + by); } };
  const about_ = plan.findings.filter((f) => f.about === mask.of && /tape|mask|tack|piece|corner|gap-|strip|curve|strain|seal/.test(f.id) && !f.cite.includes("CFR"));
  const film = mask.film && mask.film.panels.length ? mask.film : null, cut = film && close === "panels";
  const held = film && (film.panels.find((p) => p.id === panel) || film.panels[0]).id;
  const stripe = long && plan.stripes.find((s) => s.id === mask.of);
  const letter = (g) => long ? "the stripe" : g < 0 ? "the whole mark" : `letter ${g + 1}, ${mark.glyphs[g].char}`;
  const sorts = [...new Set(list.map((p) => p.glyph))];
  return html`
    <section class="drawing" onkeydown=${keys}>
      <${Surfaces} seen=${seen} shown=${shown} setSurface=${setSurface}>${[...(film ? [["panels", "The film"]] : []), ...SHOWN].filter(([v]) => !long || v !== "letter").map(([v, words]) => html`<button aria-pressed=${close === v || long && close === "letter" && v === "mark"} onclick=${() => setClose(v)}>${words}</button>`)}</${Surfaces}>
      ${here.length > 1 ? html`<div class="chips">${here.map((m) => html`<button aria-pressed=${m === mask} onclick=${() => { setWhich(name(m)); setAt(0); }}>${m.of}<small>${m.paint}${m.part && m.part !== "letters" ? `, ${m.part}` : ""}</small></button>`)}</div>` : ""}
      ${cut ? html`<${FilmDrawing} film=${film} chosen=${held} setChosen=${setPanel} inch=${inch} setScale=${setScale} />` : html`<${Sheet} cls="tall" show=${show} label="Where piece ${piece.id} goes" setScale=${setScale}>${(px, seen) => html`
        <path class="mark" style="cursor:default" fill-rule="evenodd" d=${path(sprayed)} />
        ${sprayed === own ? "" : html`<path class="thin" d=${path(own)} />`}
        ${laid.map((p) => html`<${Tape} key=${p.id} piece=${p} />`)}
        <${Tape} piece=${piece} now=${true} />
        ${tab ? html`<${Words} px=${px} at=${[tab[0], tab[1] + 16 * px]}>tab</${Words}>` : ""}
        ${close !== "mark" && !long ? (Math.hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]) < 48 * px ? [[ends[0], "start, finish"]] : [[ends[0], "start"], [ends[1], "finish"]]).map(([p, words]) => html`<${Words} px=${px} size="12" at=${[p[0], p[1] - 16 * px]}>${words}</${Words}>`) : ""}
        <${ScaleBar} show=${seen} px=${px} inch=${inch} />`}</${Sheet}>`}
    </section>
    <section class="column" aria-label="Mask" onkeydown=${keys}>
      ${notice}
      <h1>Lay ${piece.id}</h1>
      <p class="figure">${both(piece.cut_length_mm, inch)} of ${one(piece.label_width_mm || piece.tape_width_mm, inch)} ${KIND[piece.kind] || piece.kind}<small class="soft"> ${letter(piece.glyph)}</small></p>
      <div class="row"><button onclick=${() => to(n - 1)} disabled=${n === 0}>← Before</button><button style="flex:1;font-weight:600" onclick=${() => to(n + 1)} disabled=${n >= list.length - 1}>Next piece →</button></div>
      <div class="field"><label for="lay-at">${n + 1} of ${list.length}</label><input id="lay-at" type="range" min="0" max=${list.length - 1} value=${n} aria-valuetext="piece ${piece.id}" oninput=${(e) => to(+e.target.value)} /></div>
      <table><tbody>
        <tr><th>start</th><td>${endWords(piece.start, inch)}</td></tr>
        <tr><th>finish</th><td>${endWords(piece.finish, inch)}</td></tr>
        <tr><th>tab</th><td>${piece.tab.at === "none" ? "none" : `${piece.tab.kind} at the ${piece.tab.at}${where && !long ? `, ${where} of the letter` : ""}`}</td></tr>
        <tr><th>lies on</th><td>${piece.over.length ? piece.over.join(", ") : "bare skin"}</td></tr>
        <tr><th>comes off</th><td>${OFF[piece.kind] || (piece.tab.at === "none" ? "with the paper, at the unmasking" : `pulled wet, number ${piece.pull}`)}</td></tr>
        <tr><th>real width</th><td>${both(piece.tape_width_mm, inch)}${piece.strain ? `; stretched side ${(piece.strain * 100).toFixed(1)} %` : ""}</td></tr></tbody></table>
      <div class="chips" role="group" aria-label="Which pieces">${KINDS.filter(([k, , is]) => k === "all" || all.some(is)).map(([k, words]) => html`<button aria-pressed=${kinds === k} onclick=${() => { setKinds(k); setAt(0); }}>${words}</button>`)}</div>
      ${stripe ? html`<${TapeLies} stripe=${stripe} inch=${inch} />` : ""}
      <${Says} findings=${about_} none="" />
      ${film ? html`<${FilmList} film=${film} mark=${mark} chosen=${held} setChosen=${(id) => { setPanel(id); setClose("panels"); }} inch=${inch} />` : ""}
      <h2>To cut</h2>
      <p class="soft">${mask.film ? `${mask.totals.pieces} pieces, of film and tack strip. ${mask.film.panels.length === 1 ? "1 panel" : `${mask.film.panels.length} panels`} of film; the cut files are under patterns.` : html`${mask.totals.pieces} pieces: ${run(mask.totals.edge_mm, inch)} of edge tape, ${run(mask.totals.tack_mm, inch)} of tack strip${mask.totals.layout_mm ? `, ${run(mask.totals.layout_mm, inch)} of layout tape` : ""}; ${mask.totals.pre_cuts} cut ends, ${mask.totals.tabs} tabs.`} Cut on a board, never on the skin.</p>
      ${sorts.map((g) => { const own = list.filter((p) => p.glyph === g); return html`<details class="fold" key=${`${name(mask)}${g}`} open=${g === piece.glyph && !small()}><summary>${letter(g)}<span class="soft"> · ${own.length} piece${own.length > 1 ? "s" : ""}</span></summary>
        <div class="scroll" tabindex="0" role="region" aria-label="Cut list, ${letter(g)}"><table><thead><tr><th>piece</th><th class="n">tape</th><th class="n">length</th><th>start</th><th>finish</th></tr></thead><tbody>
        ${own.map((p) => html`<tr class=${p === piece ? "chosen" : ""}><td><button class="plain" aria-label="Show piece ${p.id}" onclick=${() => setAt(list.indexOf(p))}>${p.id}</button></td><td class="n">${one(p.label_width_mm || p.tape_width_mm, inch)}</td><td class="n">${one(p.cut_length_mm, inch)}</td><td>${short(p.start)}</td><td>${short(p.finish)}</td></tr>`)}</tbody></table></div></details>`; })}
      ${shelf}
    </section>
    ${block}`;
}

const short = (e) => e.end === "pre-cut" && !e.cut_deg ? "cut to shape" : e.end === "pre-cut" ? `${Math.round(e.cut_deg * 2) / 2}°${e.exact ? " exact" : ""}` : e.end;
