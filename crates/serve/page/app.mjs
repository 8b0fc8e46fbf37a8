// The sheet on the bench: tabs along its upper edge, a drawing, one column of sentences, the title block.

import { html, render, useState, useEffect, useRef, useCallback } from "./html.mjs";
import * as server from "./fetch.mjs";
import { Start } from "./tabs/start.mjs";
import { Survey } from "./tabs/survey.mjs";
import { Marks } from "./tabs/marks.mjs";
import { Fit } from "./tabs/fit.mjs";
import { Mask } from "./tabs/mask.mjs";
import { Spray } from "./tabs/spray.mjs";
import { Pull } from "./tabs/pull.mjs";
import { Record } from "./tabs/record.mjs";
import { InchFirst } from "./says.mjs";
import { TitleBlock } from "./title.mjs";
import { learn } from "./words.mjs";
import { onto } from "./overtaken.mjs";

const TABS = [["Survey", Survey], ["Marks", Marks], ["Fit", Fit], ["Mask", Mask], ["Spray", Spray], ["Pull", Pull], ["Record", Record]];

/** Tabs on which work is done, not planned: a glove that means the last piece must not take back a figure of the job. */
const DOING = ["Pull", "Record"];

/** What the address says: #job/tab */
function fromAddress() {
  const [name, tab] = decodeURIComponent(location.hash.slice(1)).split("/");
  return { name: name || "", tab: TABS.some(([t]) => t === tab) ? tab : "Survey" };
}

function Sheet() {
  const [where, setWhere] = useState(fromAddress());
  const [seen, setSeen] = useState(null);
  const [trouble, setTrouble] = useState("");
  const [connected, setConnected] = useState(true);
  const [inchFirst, setInchFirst] = useState(localStorage.getItem("lengths"));
  const [surface, setSurface] = useState("");
  const [recordNews, setRecordNews] = useState(0);
  const [scale, setScale] = useState(0);
  const latest = useRef(null), open = useRef(where.name);
  open.current = where.name;
  // While the file cannot be planned, the last plan there was stays on the sheet, dimmed: at the wing the next piece
  // must not go away because somebody types at the bench.
  const show = (then) => {
    const was = latest.current;
    // A late answer about a job that was left meanwhile.
    if (then && then.name !== open.current) return;
    if (then && !then.plan && was && was.plan && was.name === then.name) then = { ...then, plan: was.plan, job: then.job || was.job, stale: true };
    latest.current = then;
    setSeen(then);
  };
  // How often something was asked that changes what is shown: an answer that was overtaken is dropped.
  const asked = useRef(0);
  const line = useRef(Promise.resolve());

  useEffect(() => { setScale(0); scrollTo(0, 0); }, [where.tab]);
  const go = useCallback((name, tab) => {
    location.hash = name ? `${encodeURIComponent(name)}/${tab || "Survey"}` : "";
  }, []);
  useEffect(() => {
    const on = () => setWhere(fromAddress());
    addEventListener("hashchange", on);
    // It may have changed since it was first read, before anybody listened.
    on();
    return () => removeEventListener("hashchange", on);
  }, []);

  const look = useCallback(async (name) => {
    const mine = ++asked.current;
    try { const then = await server.job(name); if (mine === asked.current) show(then); } catch (e) { if (e.status || !latest.current) setTrouble(e.message); }
  }, []);
  useEffect(() => { setTrouble(""); if (where.name) look(where.name); else show(null); }, [where.name]);

  // Hand edits are seen when the window comes to the front, and every few seconds while it is there.
  useEffect(() => {
    if (!where.name) return;
    const fresh = async () => {
      if (document.hidden) return;
      try {
        const mine = asked.current;
        const now = await server.job(where.name, latest.current ? latest.current.revision : "");
        if (!now.same && mine === asked.current) show(now);
        setConnected(true);
      } catch (e) { if (e.status === 0) setConnected(false); }
    };
    const beat = setInterval(fresh, 4000);
    addEventListener("focus", fresh);
    return () => { clearInterval(beat); removeEventListener("focus", fresh); };
  }, [where.name]);
  useEffect(() => server.listen((news) => {
    const now = latest.current;
    if (!now || (news.job && news.job !== now.name)) return;
    // Own changes are told in the answer to them; what comes of others is looked at after them.
    if (news.what !== "record") line.current.then(() => { if (latest.current && news.now !== latest.current.revision) look(latest.current.name); });
    if (news.what !== "job") setRecordNews((n) => n + 1);
  }, setConnected), []);

  /** Makes edits of the job as it is shown; gives the problems of a refusal, or nothing. */
  const edit = (edits, merge) => {
    // One after the other: a second edit must know the revision the first one made, and what it did to the lists.
    const from = seen && seen.job;
    const mine = line.current.then(() => {
      const now = latest.current && latest.current.job, meant = from && now ? onto(edits, from, now) : edits;
      return meant ? editNow(meant, merge) : [{ message: "it was taken out meanwhile: look, and do it again", hint: "" }];
    });
    line.current = mine.catch(() => {});
    return mine;
  };
  const editNow = async (edits, merge) => {
    const now = latest.current;
    try {
      asked.current += 1;
      const t0 = performance.now();
      const then = await server.edit(now.name, now.revision, edits, merge);
      document.documentElement.dataset.planMs = (performance.now() - t0).toFixed(0);
      if (now.name === open.current) asked.current += 1;
      show(then); setTrouble("");
      return null;
    } catch (e) {
      if (e.status === 409) {
        await look(now.name);
        setTrouble("The file was changed in another window or by hand; you see it as it is now. Make your change again.");
        return [{ message: "the file was changed elsewhere: look, and type it again", hint: "" }];
      }
      if (e.status !== 422) setTrouble(e.message);
      return e.problems.length ? e.problems : [{ message: e.message, hint: "" }];
    }
  };
  /** Puts a whole text in place, as when it is typed by hand: it may be wrong, and is told so. */
  const retype = async (text) => {
    await line.current;
    const now = latest.current;
    try { const then = await server.retype(now.name, now.revision, text); asked.current += 1; show(then); setTrouble(""); return true; }
    catch (e) { setTrouble(e.status === 409 ? "The file was changed elsewhere since you opened it here; nothing was saved. Take your text along and open it again." : e.message); return false; }
  };
  const step = useCallback((back) => {
    // In the same line as the edits: one that comes after must know what was taken back.
    const mine = line.current.then(async () => {
      asked.current += 1;
      try { const then = await (back ? server.undo : server.redo)(latest.current.name); asked.current += 1; show(then); setTrouble(""); }
      catch (e) { setTrouble(e.message); }
    });
    line.current = mine.catch(() => {});
    return mine;
  }, []);
  useEffect(() => {
    const on = (e) => {
      if (DOING.includes(fromAddress().tab) || !(e.ctrlKey || e.metaKey) || e.key.toLowerCase() !== "z" || /INPUT|TEXTAREA/.test(document.activeElement.tagName)) return;
      e.preventDefault();
      step(!e.shiftKey);
    };
    addEventListener("keydown", on);
    return () => removeEventListener("keydown", on);
  }, []);

  // What scrolls and holds nothing to tab to must itself be reached by the keyboard.
  useEffect(() => {
    for (const e of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".column, .drawing, .pulling"))) {
      if (e.scrollHeight > e.clientHeight && !e.querySelector("button, a, input, select, textarea, [tabindex='0']")) e.tabIndex = 0;
      else e.removeAttribute("tabindex");
    }
  });

  if (!where.name) return html`<${Start} go=${go} />`;
  if (!seen || seen.name !== where.name) return html`<div class="wait" role="status">${trouble || "Laying the sheet out …"} <p><a href="#">All jobs</a></p></div>`;

  const units = (seen.job && seen.job.units) || "in";
  const inch = inchFirst ? inchFirst === "inch" : units === "in" || units === "ft";
  const surfaces = (seen.plan && seen.plan.surfaces) || [];
  const shown = surfaces.find((s) => s.id === surface) || surfaces[0];
  const blockAt = (on) => html`<${TitleBlock} seen=${seen} shown=${surfaces.find((s) => s.id === on) || shown} tab=${where.tab} scale=${scale} connected=${connected} />`;
  const Tab = TABS.find(([t]) => t === where.tab)[1];
  const props = { blockAt, seen, edit, retype, inch, units, shown, setSurface, go, look, recordNews, setScale, tab: where.tab };
  const swap = () => { const next = inch ? "metric" : "inch"; localStorage.setItem("lengths", next); setInchFirst(next); };
  return html`<${InchFirst.Provider} value=${inch}>
    <div class="board">
      <header class="tabs">
        <a class="skip" href="#work" onclick=${(e) => { e.preventDefault(); document.getElementById("work").focus(); }}>To the sheet</a>
        <div role="tablist" class="steps" aria-label="Steps of the job" onkeydown=${(e) => arrows(e, where, go)}>
          ${TABS.map(([t]) => html`<button role="tab" id="tab-${t}" aria-selected=${t === where.tab} tabindex=${t === where.tab ? 0 : -1} onclick=${() => go(seen.name, t)}>${t}</button>`)}
        </div>
        <span class="apart">
          ${DOING.includes(where.tab) ? "" : html`<${Step} word="Undo" name=${seen.undo} title="Take it back (Ctrl Z)" onclick=${() => step(true)} />
          <${Step} word="Redo" name=${seen.redo} title="Do it again (Ctrl Shift Z)" onclick=${() => step(false)} />`}
          <button onclick=${swap} title=${inch ? "Show millimetres first" : "Show inches first"}>${inch ? "To mm" : "To inches"}</button>
          <button onclick=${() => go("")}>All jobs</button>
        </span>
      </header>
      <main class="paper ${seen.stale ? "stale" : ""}" id="work" tabindex="-1"><div role="tabpanel" aria-labelledby="tab-${where.tab}" style="display:contents">
        <${Tab} ...${props} notice=${html`<${Notices} seen=${seen} trouble=${trouble} connected=${connected} />`}
          block=${blockAt("")} />
      </div></main>
    </div></${InchFirst.Provider}>`;
}

/** Undo or redo, with the name of what it takes back or does again. */
const Step = ({ word, name, title, onclick }) => html`<button class="step" disabled=${!name} title=${name ? `${title}: ${name}` : ""} onclick=${onclick}>${word}${name ? html`<small>${name}</small>` : ""}</button>`;

function arrows(e, where, go) {
  const by = { ArrowRight: 1, ArrowLeft: -1 }[e.key];
  if (!by) return;
  const n = (TABS.findIndex(([t]) => t === where.tab) + by + TABS.length) % TABS.length;
  go(where.name, TABS[n][0]);
  setTimeout(() => document.getElementById(`tab-${TABS[n][0]}`)?.focus());
}

function Notices({ seen, trouble, connected }) {
  return html`
    ${connected ? "" : html`<div class="notice" role="alert">No connection to the machine that serves this page. What you see stays; changes wait until it is back.</div>`}
    ${trouble ? html`<div class="notice" role="alert">${trouble}</div>` : ""}
    ${seen.problems.length ? html`<div class="notice" role="alert"><p><b>This job cannot be planned as it stands</b>${seen.stale ? "; the sheet shows it as it last could be." : ""}</p>
      <ul class="says">${seen.problems.map((p) => html`<li class="fail">line ${p.line}: ${p.message}${p.expected ? `; expected ${p.expected}` : ""}<small>${p.hint}</small></li>`)}</ul></div>` : ""}`;
}

// On paper nothing is folded away.
addEventListener("beforeprint", () => { for (const d of document.querySelectorAll("details:not([open])")) d.setAttribute("open", "print"); });
addEventListener("afterprint", () => { for (const d of document.querySelectorAll("details[open='print']")) d.removeAttribute("open"); });

// A fault of ours must not leave an empty sheet: the job is safe in its file, and the page can be loaded anew.
addEventListener("error", (e) => {
  if (!e.error || document.querySelector(".fault")) return;
  const told = document.createElement("p");
  told.className = "notice fault";
  told.setAttribute("role", "alert");
  told.textContent = `The page has a fault (${e.message}). Nothing is lost: the job is in its file. Load the page again, or go to another tab.`;
  document.body.prepend(told);
});

const mode = localStorage.getItem("light");
if (mode) document.documentElement.dataset.theme = mode;
const sheet = document.getElementById("sheet");
// Without them the page has no choices to offer; what they are is told again as soon as it is loaded anew.
await learn().catch(() => {});
sheet.replaceChildren();
render(html`<${Sheet} />`, sheet);
