// The start: the sample, a job of the folder, or a new one from few questions.

import { html, useState, useEffect } from "../html.mjs";
import { typed } from "../units.mjs";
import { words } from "../words.mjs";
import * as server from "../fetch.mjs";

const KINDS = [["wing", "A wing or tail surface", "span, chord and section; unrolls true"], ["flat", "A flat panel", "a fin, a side, a bow, a truck door"],
  ["body", "A body that curves both ways", "a fuselage, cowl or hull: the same ring all along, then station by station"], ["mesh", "A scan", "STL, OBJ or PLY, put into the folder"],
  ["demo", "The sample job", "a parasol floatplane's right wing panel; invented"]];
const EMPTY = { title: "", text: "", height: "largest", units: "in", rules: "us-14cfr45", category: "fixed-wing", long: "", high: "", tip: "", half_width: "", top: "", bottom: "", file: "", unit: "mm", at: "", toward: "", section: "naca2412", half: "right", face: "upper", side: "left" };

export function Start({ go }) {
  const [there, setThere] = useState(null);
  const [kind, setKind] = useState("wing");
  const [says, setSays] = useState(EMPTY);
  const [packs, setPacks] = useState([]);
  const [told, setTold] = useState("");
  const look = () => server.jobs().then((t) => { setThere(t); setTold(""); return t; }).catch((e) => setTold(e.message));
  useEffect(() => {
    look().then((t) => { if (t && t.first && !sessionStorage.getItem("opened")) { sessionStorage.setItem("opened", "1"); go(t.first); } });
    server.packs().then(setPacks).catch(() => {});
    // A code is used up by the phone that shows it: the next phone needs the next one.
    const t = setInterval(() => { if (!document.hidden) look(); }, 5000);
    return () => clearInterval(t);
  }, []);
  const make = async (e) => {
    e.preventDefault();
    const named = (says.title.trim() || (kind === "demo" ? "parasol-wing" : "my-first-mark")).toLowerCase().replace(/[^a-z0-9._-]+/g, "-").replace(/^[.-]+|-+$/g, "").slice(0, 60) || "job";
    const taken = new Set((there ? there.jobs : []).map((j) => j.name));
    let file = `${named}.toml`;
    for (let n = 2; taken.has(file); n++) file = `${named}-${n}.toml`;
    try {
      const made = await server.make(file, kind);
      if (kind !== "demo") await server.edit(file, made.revision, answers(made.job, kind, says));
      go(file, "Survey");
    } catch (why) {
      // Made, but a figure cannot be: it is told on the sheet's own fields.
      setTold([why.message, ...(why.problems || []).map((p) => p.hint).filter(Boolean)].join("; "));
      look();
    }
  };
  const ask = (name, label, more = {}) => html`<div class="field" style="max-width:34rem"><label for="new-${name}">${label}</label>
    ${more.choices ? html`<select id="new-${name}" value=${says[name]} onchange=${(e) => setSays({ ...says, [name]: e.target.value })}>${more.choices.map((c) => html`<option value=${c} selected=${c === says[name]}>${more.words && more.words[c] ? `${more.words[c]} (${c})` : c || "none"}</option>`)}</select>`
      : html`<input id="new-${name}" value=${says[name]} placeholder=${more.hint || ""} autocomplete="off" required=${!!more.required} oninput=${(e) => { setSays({ ...says, [name]: e.target.value }); setTold(""); }} />`}</div>`;
  // A sample must not look like an answer.
  const eg = (inches, mm) => `such as ${({ in: `${inches}`, ft: `${Math.round(inches / 12 * 10) / 10}` })[says.units] || `${mm} mm`}`;
  return html`<div class="board start"><main class="paper"><div class="wide">
    <h1>Maskwright</h1>
    <p>Sizes the law allows, a place that crosses nothing, every piece of tape in its order, paint, and a day on which every window is met.</p>
    ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
    <h2>Jobs in this folder</h2>
    ${!there ? html`<p class="soft">Looking …</p>` : there.jobs.length === 0 ? html`<p class="soft">None yet.</p>` : html`<div class="cards">
      ${there.jobs.map((j) => html`<button onclick=${() => go(j.name)}>${j.title || j.name}<small>${j.name}</small></button>`)}</div>`}
    <h2>A new job</h2>
    <form onsubmit=${make}>
      <div class="cards" role="radiogroup" aria-label="What is painted on">${KINDS.map(([k, title, small]) => html`<button type="button" role="radio" aria-checked=${kind === k} class=${kind === k ? "chosen" : ""} onclick=${() => setKind(k)}>${title}<small>${small}</small></button>`)}</div>
      ${kind === "demo" ? "" : html`<div class="questions"><div>
        ${ask("title", "What is the job called", { hint: "such as Right wing, upper face" })}
        ${ask("units", "You measure in", { choices: words("job", "units") })}
        ${kind === "wing" ? html`${ask("long", "Span, root rib to tip", { required: true, hint: eg(168, 4200) })}${ask("high", "Chord", { required: true, hint: eg(60, 1500) })}${ask("tip", "Chord at the tip", { hint: "if it is another" })}${ask("section", "Wing section", { hint: "naca2412, or a file of ordinates in the folder" })}${ask("half", "Which half, as the pilot sees it", { choices: words("surface", "half") })}${ask("face", "Which face", { choices: words("surface", "side", "wing") })}`
          : kind === "body" ? html`${ask("long", "Length that is measured", { required: true, hint: eg(120, 3000) })}${ask("half_width", "Half width", { required: true, hint: eg(20, 500) })}${ask("top", "Top above the waterline", { required: true, hint: eg(20, 500) })}${ask("bottom", "Bottom below it", { required: true, hint: eg(22, 550) })}${ask("side", "Which side of the craft", { choices: words("surface", "side", "body") })}`
          : kind === "mesh" ? html`${ask("file", "File of the scan", { required: true, hint: "such as fairing.stl, in the folder" })}${ask("unit", "Its unit", { choices: words("surface", "unit") })}${ask("at", "Middle of the mark, x y z of the scan", { required: true, hint: "such as 330, 120, 0" })}${ask("toward", "A point its baseline runs toward", { required: true, hint: "such as 200, 120, 0" })}`
          : html`${ask("long", "Length of the panel", { required: true, hint: eg(60, 1500) })}${ask("high", "Height of the panel", { required: true, hint: eg(20, 500) })}${ask("side", "Which side of the craft", { choices: words("surface", "side", "body") })}`}
        </div><div>
        ${ask("text", "What is to be painted", { required: true, hint: "such as N417RW" })}
        ${ask("height", "How high", { hint: kind === "mesh" ? "a length, such as 3 in" : "a length, or largest, or legal" })}
        ${ask("category", "It is a", { choices: words("craft", "category") })}
        ${ask("rules", "Which rule", { choices: ["", ...packs.map((p) => p.id)], words: Object.fromEntries(packs.map((p) => [p.id, p.title])) })}
        </div></div>`}
      <p><button type="submit">Make it</button></p>
    </form>
    ${there && there.lan ? html`<h2>On the phone</h2><p>On the same network, point its camera here, or type <b>${there.lan}/pair</b> and the code <b>${there.code}</b>. A code lets one phone in; then there is a new one.</p><img src=${`/pair.svg?${there.code}`} alt="Square code with the address and code for a phone" width="220" height="220" style="background:#fff" />
      <p class="soft">Plain http: others on the network could listen, and the phone may fall asleep. The clocks run on this machine and go on; the calendar file is the back-up.</p>` : html`<p class="soft">For a phone in the hangar start with --lan: an address and a square code then stand here.</p>`}
  </div></main></div>`;
}

/** The answers as edits of the bare template. */
function answers(job, kind, says) {
  const value = (text) => typed(text.trim(), says.units);
  const edits = [];
  const put = (path, v) => edits.push({ path, value: v });
  put(["title"], says.title.trim() || "A new job");
  if (says.units !== job.units) put(["units"], says.units);
  put(["rules"], says.rules || null);
  put(["craft", "category"], says.category);
  const numbers = (text) => text.split(/[\s,;]+/).filter(Boolean).map(Number);
  if (kind === "wing") {
    put(["surface", 0, "span"], value(says.long));
    put(["surface", 0, "chord"], [value(says.high), value(says.tip || says.high)]);
    put(["surface", 0, "section"], says.section.trim() || "naca2412");
    put(["surface", 0, "half"], says.half);
    put(["surface", 0, "side"], says.face);
  } else if (kind === "body") {
    const down = value(says.bottom), ring = { half_width: value(says.half_width), top: value(says.top), bottom: typeof down === "number" ? -Math.abs(down) : `-${down}`, power: 2 };
    put(["surface", 0, "stations"], [{ s: 0, ...ring }, { s: value(says.long), ...ring }]);
    put(["surface", 0, "side"], says.side);
  } else if (kind === "mesh") {
    put(["surface", 0, "file"], says.file.trim());
    put(["surface", 0, "unit"], says.unit);
  } else {
    put(["surface", 0, "corners"], [[0, 0], [value(says.long), 0], [value(says.long), value(says.high)], [0, value(says.high)]]);
    put(["surface", 0, "side"], says.side);
  }
  put(["mark", 0, "text"], says.text.trim());
  put(["mark", 0, "height"], value(kind === "mesh" && !/\d/.test(says.height) ? "50 mm" : says.height || "largest"));
  put(["mark", 0, "place"], kind === "mesh" ? { at: numbers(says.at), toward: numbers(says.toward) } : "nearest");
  return edits;
}
