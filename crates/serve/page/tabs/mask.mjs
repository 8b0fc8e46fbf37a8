// Mask: the tape map, laying stepped through piece by piece, ends and angles, the cut list.

import { html, useState } from "../html.mjs";
import { Drawing, Sheet, ScaleBar, Words, box, path, ringsOf, widened } from "../drawing.mjs";
import { Says } from "../says.mjs";
import { KIND, Tape, endWords, tabAt, tabWhere } from "../pieces.mjs";
import { both, one } from "../units.mjs";

const SHOWN = [["letter", "Its letter"], ["mark", "Whole mark"], ["join", "Close up"]];

export function Mask({ seen, inch, shown, setScale, notice, block }) {
  const [at, setAt] = useState(0);
  const [which, setWhich] = useState(0);
  const [close, setClose] = useState("letter");
  const [kinds, setKinds] = useState("all");
  const plan = seen.plan;
  const here = plan ? (plan.masking || []).filter((m) => { const k = plan.marks.find((x) => x.id === m.of); return k && shown && k.surface === shown.id; }) : [];
  const mask = here[which] || here[0];
  const marks = plan && shown ? plan.marks.filter((m) => m.surface === shown.id) : [];
  if (!mask || !mask.pieces.length) return html`<section class="drawing"><${Drawing} surface=${shown} marks=${marks} inch=${inch} setScale=${setScale} /></section><section class="column" aria-label="Mask">${notice}<h1>Mask</h1><p>There is no tape plan: the job has no [masking] table, or no mark here.</p></section>${block}`;
  const all = [...mask.pieces].sort((a, b) => a.lay - b.lay);
  const pieces = kinds === "all" ? all : all.filter((p) => (kinds === "tack") === (p.kind === "tack"));
  const n = Math.min(at, pieces.length - 1);
  const piece = pieces[n];
  const to = (k) => setAt(Math.max(0, Math.min(pieces.length - 1, k)));
  const mark = plan.marks.find((m) => m.id === mask.of);
  const glyph = mark && mark.glyphs[piece.glyph];
  const whole = box((mark ? ringsOf(mark) : [piece.path_flat_mm]).flat());
  const foot = (piece.footprint_flat_mm || []).flat().concat(piece.tab.area_flat_mm || []);
  const show = close === "join" && foot.length ? widened(box(foot), 0.15) : close === "letter" && glyph ? widened(box(glyph.rings_flat_mm.flat()), 0.2) : widened(whole, 0.05);
  const laid = all.filter((p) => p.lay < piece.lay);
  const ends = [piece.path_flat_mm[0], piece.path_flat_mm[piece.path_flat_mm.length - 1]];
  const where = tabWhere(mark, piece), tab = tabAt(piece);
  const keys = (e) => { const by = { ArrowRight: 1, ArrowLeft: -1 }[e.key]; if (by && !/INPUT|SELECT/.test(e.target.tagName)) { e.preventDefault(); e.stopPropagation(); to(n + by); } };
  const about = plan.findings.filter((f) => f.about === mask.of && /tape|mask|tack|piece|corner|gap-|strip|curve|strain/.test(f.id) && !f.cite.includes("CFR"));
  return html`
    <section class="drawing" onkeydown=${keys}>
      <div class="chips" style="margin-top:0">${here.length > 1 ? here.map((m, i) => html`<button aria-pressed=${i === which} onclick=${() => { setWhich(i); setAt(0); }}>${m.of}, ${m.paint}</button>`) : ""}
        <span style="margin-left:auto;display:flex;gap:.4rem">${SHOWN.map(([v, words]) => html`<button aria-pressed=${close === v} onclick=${() => setClose(v)}>${words}</button>`)}</span></div>
      <${Sheet} cls="tall" show=${show} label="Where piece ${piece.id} goes" setScale=${setScale}>${(px) => html`
        <path class="mark" style="cursor:default" fill-rule="evenodd" d=${mark ? path(ringsOf(mark)) : ""} />
        ${laid.map((p) => html`<${Tape} key=${p.id} piece=${p} />`)}
        <${Tape} piece=${piece} now=${true} />
        ${tab ? html`<${Words} px=${px} at=${[tab[0], tab[1] + 16 * px]}>tab</${Words}>` : ""}
        ${close !== "mark" ? ends.map((p, i) => html`<${Words} px=${px} size="12" at=${[p[0], p[1] - 16 * px]}>${i ? "finish" : "start"}</${Words}>`) : ""}
        <${ScaleBar} show=${show} px=${px} inch=${inch} />`}</${Sheet}>
    </section>
    <section class="column" aria-label="Mask" onkeydown=${keys}>
      ${notice}
      <h1>Lay ${piece.id}</h1>
      <p class="figure">${both(piece.cut_length_mm, inch)} of ${one(piece.label_width_mm || piece.tape_width_mm, inch)} ${KIND[piece.kind] || piece.kind}</p>
      <div class="row"><button onclick=${() => to(n - 1)} disabled=${n === 0}>← Before</button><button style="flex:1;font-weight:600" onclick=${() => to(n + 1)} disabled=${n >= pieces.length - 1}>Next piece →</button></div>
      <div class="field"><label for="lay-at">${n + 1} of ${pieces.length}</label><input id="lay-at" type="range" min="0" max=${pieces.length - 1} value=${n} aria-valuetext="piece ${piece.id}" oninput=${(e) => to(+e.target.value)} /></div>
      <table><tbody>
        <tr><th>start</th><td>${endWords(piece.start, inch)}</td></tr>
        <tr><th>finish</th><td>${endWords(piece.finish, inch)}</td></tr>
        <tr><th>tab</th><td>${piece.tab.at === "none" ? "none" : `${piece.tab.kind} at the ${piece.tab.at}${where ? `, ${where} of the letter` : ""}`}</td></tr>
        <tr><th>lies on</th><td>${piece.over.length ? piece.over.join(", ") : "bare skin"}</td></tr>
        <tr><th>pulled</th><td>${piece.tab.at === "none" ? "with the paper, at the unmasking" : `number ${piece.pull}`}</td></tr>
        <tr><th>real width</th><td>${both(piece.tape_width_mm, inch)}${piece.strain ? `; stretched side ${(piece.strain * 100).toFixed(1)} %` : ""}</td></tr></tbody></table>
      <div class="chips" role="group" aria-label="Which pieces">${[["all", "All"], ["tack", "Tack strip"], ["edge", "Edge tape"]].map(([k, words]) => html`<button aria-pressed=${kinds === k} onclick=${() => { setKinds(k); setAt(0); }}>${words}</button>`)}</div>
      <${Says} findings=${about} none="" />
      <h2>To cut</h2>
      <p class="soft">${mask.film ? `${mask.totals.pieces} pieces, of film and tack strip. ${mask.film.panels.length === 1 ? "1 panel" : `${mask.film.panels.length} panels`} of film; the cut files are under patterns.` : html`${mask.totals.pieces} pieces: ${both(mask.totals.edge_mm, inch)} of edge tape, ${both(mask.totals.tack_mm, inch)} of tack strip; ${mask.totals.pre_cuts} cut ends, ${mask.totals.tabs} tabs.`} Cut on a board, never on the skin.</p>
      <div class="scroll" tabindex="0" role="region" aria-label="Cut list"><table><thead><tr><th>piece</th><th class="n">tape</th><th class="n">length</th><th>start</th><th>finish</th></tr></thead><tbody>
        ${pieces.map((p, i) => html`<tr class=${i === n ? "chosen" : ""}><td><button class="plain" aria-label="Show piece ${p.id}" onclick=${() => setAt(i)}>${p.id}</button></td><td class="n">${one(p.label_width_mm || p.tape_width_mm, inch)}</td><td class="n">${one(p.cut_length_mm, inch)}</td><td>${short(p.start)}</td><td>${short(p.finish)}</td></tr>`)}</tbody></table></div>
    </section>
    ${block}`;
}

const short = (e) => e.end === "pre-cut" && !e.cut_deg ? "as cut out" : e.end === "pre-cut" ? `${Math.round(e.cut_deg * 2) / 2}°${e.exact ? " exact" : ""}` : e.end;
