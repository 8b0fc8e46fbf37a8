// Fit: the mark under the hand, every feature's distance live, the room it has, the best places as one tap.

import { html, useState, useRef, useEffect } from "../html.mjs";
import { Drawing, box, ringsOn, toSpare, widened } from "../drawing.mjs";
import { Says } from "../says.mjs";
import { Edges, TapeLies } from "../stripes.mjs";
import { Surfaces, useUnder } from "../surfaces.mjs";
import { limits } from "../limits.mjs";
import { both, one, inUnits, mmOf } from "../units.mjs";
import * as server from "../fetch.mjs";

const WHY = { nearest: "Nearest to the aim", roomiest: "Roomiest", largest: "Largest that fits", easiest: "Easiest to paint", crossing: "Cleanest crossing", gap: "With another gap" };
const STATUS = { placed: "found, and proved", given: "where you put it", none: "no place was found" };

const VIEWS = [["all", "Whole surface"], ["mark", "The mark"], ["room", "The room"]];

/** Round the mark's cross and the part of its room that is about it; at least a hand wide. */
function roomBox(room, mark) {
  const [x, y] = mark.centre_flat_mm;
  const near = (room || []).map(box).filter(([a, b, c, d]) => a <= x + 1 && x - 1 <= c && b <= y + 1 && y - 1 <= d);
  return widened(box([[x - 60, y - 60], [x + 60, y + 60], ...near.flatMap(([a, b, c, d]) => [[a, b], [c, d]])]), 0.15);
}

export function Fit({ seen, edit, inch, units, shown, setSurface, setScale, notice, block }) {
  const [live, setLive] = useState(null);
  const [which, setWhich] = useState("");
  const [told, setTold] = useState("");
  const [room, setRoom] = useState(null);
  const [close, setClose] = useState("all");
  const [tall, setTall] = useState(0);
  const [size, setSize] = useState(1);
  const busy = useRef(false), queued = useRef(null);
  const under = useUnder(seen, shown);
  const plan = seen.plan;
  const marks = plan && shown ? plan.marks.filter((m) => m.surface === shown.id) : [];
  const mark = marks.find((m) => m.id === which) || marks[0];
  const job = seen.job || {};
  const n = (job.mark || []).findIndex((m) => mark && m.id === mark.id);
  const markId = mark ? mark.id : "";
  useEffect(() => {
    setTall(0); setLive(null);
    if (markId) ask(markId, mark.centre_flat_mm);
    if (markId) server.room(seen.name, markId).then(setRoom).catch(() => setRoom(null));
  }, [seen.name, seen.revision, markId]);

  // One question at a time; while it is on its way only the newest place waits.
  const ask = async (id, centre, height) => {
    queued.current = [id, centre, height];
    if (busy.current) return;
    busy.current = true;
    while (queued.current) {
      const [m, c, h] = queued.current;
      queued.current = null;
      const t0 = performance.now();
      try { setLive({ id: m, ...(await server.tryPlace(seen.name, m, c, h)) }); } catch (e) { setTold(e.message); }
      // What a drag costs, there and back, is read by the tests and reported.
      document.documentElement.dataset.tryMs = `${document.documentElement.dataset.tryMs || ""} ${(performance.now() - t0).toFixed(1)}`.trim();
    }
    busy.current = false;
  };
  const onMark = async (id, centre, done) => {
    if (id !== markId) setWhich(id);
    if (!done) { ask(id, centre); return; }
    queued.current = null;
    await put(id, centre, []);
    setLive(null);
  };
  /** Saves a place, as the job file takes it: a reading of the skin; on a scan a point of its own axes, and one ahead of it. */
  const put = async (id, centre, more) => {
    const i = job.mark.findIndex((m) => m.id === id);
    try {
      const tried = await server.tryPlace(seen.name, id, centre);
      const scan = (job.surface || []).find((s) => shown && s.id === shown.id && s.kind === "mesh");
      // To a thousandth of a millimetre, whatever the scan's unit.
      const own = (p) => { const u = mmOf(1, scan.unit || units), per = 10 ** (3 + Math.ceil(Math.log10(u) - 1e-9)); return p.map((v) => Math.round(v / u * per) / per); };
      const place = tried.place_mm && scan ? { at: own(tried.place_mm.at), toward: own(tried.place_mm.toward) } : { at: tried.centre_skin_mm.map((v) => inUnits(v, units)) };
      const problems = await edit([{ path: ["mark", i, "place"], value: place }, ...more]);
      setTold(problems ? problems[0].message : "");
    } catch (e) { setTold(e.message); }
  };
  const stripes = plan && shown ? (plan.stripes || []).filter((x) => x.surface === shown.id) : [];
  const stripe = stripes.find((x) => x.id === which) || (mark ? null : stripes[0]);
  const picks = marks.length + stripes.length > 1 ? html`<div class="chips">${marks.map((m) => html`<button aria-pressed=${!stripe && m === mark} onclick=${() => setWhich(m.id)}>${m.text}<small>${m.id}</small></button>`)}${stripes.map((x) => html`<button aria-pressed=${x === stripe} onclick=${() => setWhich(x.id)}>${x.id}<small>stripe</small></button>`)}</div>` : "";
  if (!mark && !stripe) return html`<section class="drawing"><${Surfaces} seen=${seen} shown=${shown} setSurface=${setSurface} /><${Drawing} plan=${plan} surface=${shown} under=${under} marks=${[]} inch=${inch} setScale=${setScale} /></section><section class="column" aria-label="Fit">${notice}<h1>Fit</h1><p>Nothing is painted on this surface. Say what under Marks.</p></section>${block}`;
  if (stripe) return html`<${StripeFit} stripe=${stripe} seen=${seen} shown=${shown} setSurface=${setSurface} marks=${marks} under=${under} inch=${inch} setScale=${setScale} notice=${notice} block=${block} picks=${picks} />`;
  const choose = (a) => put(mark.id, a.centre_flat_mm, Math.abs(a.height_mm - mark.height_mm) > 0.01 ? [{ path: ["mark", n, "height"], value: inUnits(a.height_mm, units) }] : []);
  const set = (path, value) => edit([{ path: ["mark", n, path], value }]).then((p) => setTold(p ? p[0].message : ""));
  const sizes = inch ? [25.4 / 16, 25.4 / 8, 25.4] : [1, 2, 20], step = sizes[size];
  const shove = (x, y) => onMark(mark.id, [mark.centre_flat_mm[0] + x * step, mark.centre_flat_mm[1] + y * step], true);
  const lie = live && live.id === mark.id ? live : mark.fit;
  const relations = Object.fromEntries(lie.features.map((f) => [f.id, { ...f }]));
  // What a cut line may be off by; where the skin is laid flat piece by piece what a steel tape reads.
  const least = /flat|wing/.test(shown.kind) ? 0.05 : 0.5;
  const inWay = lie.features.filter((f) => f.wall !== false && f.clearance_mm < -0.001);
  const law = limits(plan, mark.id, "height", inch);
  const mm = tall || mark.height_mm, largest = mark.fit.alternatives.find((a) => a.why === "largest");
  const top = Math.max(mark.height_mm * 1.3, ...law.map((l) => l.mm * 1.1), largest ? largest.height_mm * 1.1 : 0);
  const written = (job.mark[n] || {}).height, place = (job.mark[n] || {}).place;
  const asked = typeof place === "string" ? place : "";
  const here = (a) => Math.hypot(a.centre_flat_mm[0] - mark.centre_flat_mm[0], a.centre_flat_mm[1] - mark.centre_flat_mm[1]) < 0.5 && Math.abs(a.height_mm - mark.height_mm) < 0.5;
  return html`
    <section class="drawing">
      <${Surfaces} seen=${seen} shown=${shown} setSurface=${setSurface}>${VIEWS.map(([v, words]) => html`<button aria-pressed=${close === v} onclick=${() => setClose(v)}>${words}</button>`)}</${Surfaces}>
      <${Drawing} plan=${plan} surface=${shown} under=${under} marks=${marks} relations=${relations} onMark=${onMark} inch=${inch} room=${room} setScale=${setScale}
        show=${close === "mark" ? widened(box(ringsOn(mark, under).flat()), 0.08) : close === "room" ? roomBox(room, mark) : null} grown=${tall ? { id: mark.id, by: tall / mark.height_mm } : null} />
      <p class="soft" style="margin:.3rem 0 0">Drag the mark, or move it with the arrow keys (${inch ? "1/8 in; with Shift 1 in" : "2 mm; with Shift 20 mm"}). A figure at a feature is the distance beyond the clearance asked (the dashed line). ${room && room.length ? "Wherever its cross lies in the tinted room, every wall is kept." : ""}</p>
    </section>
    <section class="column" aria-label="Fit">
      ${notice}
      <h1>Fit</h1>
      ${picks}
      ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
      <p class="figure" aria-live="polite">${lie.clearance_mm === null ? "Nothing here asks for distance." : inWay.length === 0 && !(lie.beyond_mm > least)
        ? lie === mark.fit && mark.fit.certain === "re-measure" ? html`<span class="word-caution">▮ clear</span> by ${both(lie.clearance_mm, inch)} only: measure again`
          : html`<span class="word-pass">✓ clear</span> by ${both(lie.clearance_mm, inch)}`
        : html`<span class="word-fail">⊗ in the way</span>`}</p>
      ${inWay.map((f) => html`<p>${f.id}: ${f.relation === "crossed" ? "a paint edge crosses it" : f.relation === "inside-paint" ? "it lies in the paint" : "too near"}, ${both(-f.clearance_mm, inch)} short of what is asked.</p>`)}
      ${lie.beyond_mm > least ? html`<p>It reaches ${both(lie.beyond_mm, inch)} beyond where it may go.</p>` : ""}
      ${room && !room.length ? html`<p>At this height no place keeps every wall with room to move.</p>` : ""}
      <p class="soft">${mark.text}: ${STATUS[mark.fit.status]}${mark.fit.certain === "re-measure" ? "; the distance is smaller than the error of the survey: measure again before you trust it" : ""}.</p>
      ${mark.fit.alternatives.length || shown.kind !== "mesh" ? html`<h2 class="noprint">Places, one tap</h2>` : ""}
      <div class="chips">${mark.fit.alternatives.map((a) => html`<button aria-pressed=${here(a)} onclick=${() => choose(a)}>${WHY[a.why] || a.why}<small>${one(a.height_mm, inch)} high${a.clearance_mm === null ? "" : `, ${a.clearance_mm < -0.001 ? "crosses by" : "clear by"} ${one(Math.abs(a.clearance_mm), inch)}`}</small></button>`)}</div>
      ${shown.kind === "mesh" && !job.mark[n].toward ? "" : html`<div class="chips" role="group" aria-label="Keep its place">${[["nearest", "Keep it nearest"], ["roomiest", "Keep it roomiest"]].map(([p, words]) => html`<button aria-pressed=${asked === p} onclick=${() => set("place", p)}>${words}<small>found anew after each change</small></button>`)}</div>`}
      <h2 class="noprint">Move it</h2>
      <div class="pad">${[["←", -1, 0, "left"], ["↑", 0, 1, "up"], ["↓", 0, -1, "down"], ["→", 1, 0, "right"]].map(([sign, x, y, way]) => html`<button aria-label="Move it ${way} by ${one(step, inch)}" onclick=${() => shove(x, y)}>${sign}</button>`)}</div>
      <div class="chips" role="group" aria-label="Step of a move">${sizes.map((s, k) => html`<button aria-pressed=${size === k} onclick=${() => setSize(k)}>${one(s, inch)}</button>`)}</div>
      <h2>Height</h2>
      <label class="figure" for="fit-height">${both(mm, inch)}</label>${typeof written === "string" && /largest|legal/.test(written) ? html` <span class="soft">(${written})</span>` : ""}
      <input id="fit-height" type="range" min="25.4" max=${top} step=${inch ? 25.4 / 8 : 2} value=${mm} list="fit-law" aria-valuetext=${both(mm, inch)}
        oninput=${(e) => { setTall(+e.target.value); ask(mark.id, mark.centre_flat_mm, +e.target.value); }} onchange=${(e) => set("height", inUnits(+e.target.value, units))} />
      <datalist id="fit-law">${law.map((l) => html`<option value=${l.mm} />`)}${largest ? html`<option value=${largest.height_mm} />` : ""}</datalist>
      <ul class="says">${law.map((l) => html`<li class=${l.bound === "min" && mm < l.mm - 0.001 || l.bound === "max" && mm > l.mm + 0.001 ? "fail" : "pass"}>${l.words}</li>`)}
        ${largest ? html`<li class="note">largest that fits: ${both(largest.height_mm, inch)}</li>` : ""}</ul>
      ${shown.kind === "mesh" ? "" : html`<div class="chips">${["largest", "legal"].map((h) => html`<button aria-pressed=${written === h} onclick=${() => set("height", h)}>${h === "largest" ? "As large as fits" : "Least legal"}</button>`)}</div>`}
      <h2>Features</h2>
      <table><thead><tr><th>feature</th><th>lies</th><th class="n">beyond clearance</th></tr></thead><tbody>
        ${[...lie.features].sort((a, b) => a.clearance_mm - b.clearance_mm).map((f) => html`<tr><td>${f.id}</td><td>${f.relation.replace("-", " ")}</td><td class="n">${toSpare(f, inch)}</td></tr>`)}</tbody></table>
      <h2>What the plan says</h2>
      <${Says} findings=${plan.findings.filter((f) => f.about === mark.id && (!f.cite || /^on-part/.test(f.id)))} />
    </section>
    ${block}`;
}

/** A stripe in its place: where its edges are, how its tape lies, what is near. */
function StripeFit({ stripe, seen, shown, setSurface, marks, under, inch, setScale, notice, block, picks }) {
  const near = [...(stripe.features || [])].sort((a, b) => a.clearance_mm - b.clearance_mm);
  const clear = stripe.clearance_mm;
  return html`<section class="drawing">
      <${Surfaces} seen=${seen} shown=${shown} setSurface=${setSurface} />
      <${Drawing} plan=${seen.plan} surface=${shown} under=${under} marks=${marks} which=${stripe.id} inch=${inch} setScale=${setScale} />
      <p class="soft" style="margin:.3rem 0 0">Its points are moved by their figures, under Marks.</p>
    </section>
    <section class="column" aria-label="Fit">
      ${notice}
      <h1>Fit</h1>
      ${picks}
      <p class="figure">${clear === null || clear === undefined || !near.length ? "Nothing here asks for distance." : clear < -0.001 ? html`<span class="word-fail">⊗ in the way</span> by ${both(-clear, inch)}` : html`<span class="word-pass">✓ clear</span> by ${both(clear, inch)}`}</p>
      <p>${both(stripe.width_mm, inch)} wide, ${both(stripe.length_mm, inch)} along its middle${stripe.paint ? `, in ${stripe.paint}` : ""}.</p>
      <${TapeLies} stripe=${stripe} inch=${inch} />
      <${Edges} stripe=${stripe} kind=${shown.kind} inch=${inch} />
      ${near.length ? html`<h2>Features</h2><table><thead><tr><th>feature</th><th>lies</th><th class="n">beyond clearance</th></tr></thead><tbody>${near.map((f) => html`<tr><td>${f.id}</td><td>${f.relation.replace("-", " ")}</td><td class="n">${toSpare(f, inch)}</td></tr>`)}</tbody></table>` : ""}
      <h2>What the plan says</h2>
      <${Says} findings=${seen.plan.findings.filter((f) => f.about === stripe.id)} />
    </section>
    ${block}`;
}
