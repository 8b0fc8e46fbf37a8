// The start: the sample, a job of the folder, or a new one from few questions.

import { html, useState, useEffect } from "../html.mjs";
import * as server from "../fetch.mjs";

const KINDS = [["wing", "A wing or tail surface", "span, chord and section; unrolls true"], ["flat", "A flat panel", "a fin, a side, a bow, a truck door"],
  ["demo", "The sample job", "a parasol floatplane's right wing panel; invented"]];

export function Start({ go }) {
  const [there, setThere] = useState(null);
  const [name, setName] = useState("");
  const [kind, setKind] = useState("wing");
  const [told, setTold] = useState("");
  useEffect(() => {
    server.jobs().then((t) => { setThere(t); if (t.first && !sessionStorage.getItem("opened")) { sessionStorage.setItem("opened", "1"); go(t.first); } })
      .catch((e) => setTold(e.message));
  }, []);
  const make = async (e) => {
    e.preventDefault();
    const file = (name.trim() || (kind === "demo" ? "parasol-wing" : "my-first-mark")).replace(/\.toml$/, "").replace(/[^A-Za-z0-9._-]+/g, "-") + ".toml";
    try { await server.make(file, kind); go(file); } catch (why) { setTold(why.message); }
  };
  return html`<div class="board"><main class="paper"><div class="wide">
    <h1>Maskwright</h1>
    <p>Sizes the law allows, a place that crosses nothing, every piece of tape in its order, paint, and a day on which every window is met.</p>
    ${told ? html`<p class="told" role="alert">${told}</p>` : ""}
    <h2>Jobs in this folder</h2>
    ${!there ? html`<p class="soft">Looking …</p>` : there.jobs.length === 0 ? html`<p class="soft">None yet.</p>` : html`<div class="cards">
      ${there.jobs.map((j) => html`<button onclick=${() => go(j.name)}>${j.title || j.name}<small>${j.name}</small></button>`)}</div>`}
    <h2>A new job</h2>
    <form onsubmit=${make}>
      <div class="cards" role="radiogroup" aria-label="What is painted on">${KINDS.map(([k, title, small]) => html`<button type="button" role="radio" aria-checked=${kind === k} class=${kind === k ? "chosen" : ""} onclick=${() => setKind(k)}>${title}<small>${small}</small></button>`)}</div>
      <div class="field" style="max-width:34rem"><label for="new-name">Name of its file</label><input id="new-name" value=${name} oninput=${(e) => { setName(e.target.value); setTold(""); }} placeholder=${kind === "demo" ? "parasol-wing" : "my-first-mark"} autocomplete="off" /></div>
      <p><button type="submit">Make it</button></p>
    </form>
    ${there && there.lan ? html`<h2>On the phone</h2><p>Point its camera here, on the same network:</p><img src="/pair.svg" alt="Square code with the address for a phone" width="220" height="220" />
      <p class="soft">Plain http: others on the network could listen, and the phone may fall asleep. The clocks run on this machine and go on; the calendar file is the back-up.</p>` : ""}
  </div></main></div>`;
}
