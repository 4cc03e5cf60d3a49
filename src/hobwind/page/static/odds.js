// Odds: throws with progress, bands, chances, what to measure next; and the worth list, tried into the tab's build.
import { ask, make, tell } from "./ask.js";
import { put_chart } from "./chart.js";
import { follow, solver_ready } from "./jobs.js";
import { panels } from "./panels.js";
import { no_build, tab } from "./tab.js";
import { try_it } from "./try.js";
import { figure, why, why_of, why_within } from "./why.js";

const SVG = "http://www.w3.org/2000/svg", id = (name) => document.getElementById(name);
const COLOURS = { "starts at": "start", "air, usual plate": "air", "hottest face": "face" };
const ghost = make("div", { class: "card sheet", tabindex: "-1", hidden: true });
let thrown = null, tried = null;

why_of(() => ({ text: tab.text }));

function node(tag, attributes) {
  const made = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}
// Twenty dots, so many of them filled; a ring where it happens more seldom than once in forty.
function dots(one) {
  const svg = node("svg", { viewBox: "0 0 200 12", class: "dots", "aria-hidden": "true" });
  for (let i = 0; i < 20; i += 1) svg.append(node("circle", { cx: 6 + 9.8 * i, cy: 6, r: 4, class: i < one.in_twenty ? "on" : i === 0 && one.share > 0 ? "seldom" : "off" }));
  return svg;
}
function bars(shares) {
  return make("div", { class: "shares" }, ...shares.map((one) => {
    const svg = node("svg", { viewBox: "0 0 100 6", preserveAspectRatio: "none", class: "bar share", "aria-hidden": "true" });
    svg.append(node("rect", { x: 0, y: 0, width: Math.min(one.share, 100), height: 6, class: COLOURS[one.figure] ?? "" }));
    return make("div", {}, make("span", {}, `${one.figure}: ${one.share.toFixed(0)} of 100`), svg);
  }));
}

function asked_throw(quick) {
  const typed = id("asked-face").value.trim().replace(",", ".").replace(/\s*°?C$/i, "");
  if (typed && !(Number(typed) >= 20 && Number(typed) <= 500)) throw new Error(`The face: got "${id("asked-face").value}"; 20 to 500 °C is allowed.`);
  return { count: quick ? Number(id("count").options[0].value) : Number(id("count").value), seed: Number(id("seed").value), face_degC: typed ? Number(typed) : null, shares: !quick && id("shares").checked };
}

async function run(quick = false) {
  const wrong = id("odds-wrong"), text = tab.text;
  wrong.textContent = "";
  try {
    const how = asked_throw(quick);
    id("throw").disabled = true;
    const got = await follow(await ask("/api/odds/throw", { text, throw: how }, { lane: "throw" }), id("throw-job"));
    if (got === null || text !== tab.text) return;
    show(got, { text, thrown: how });
  } catch (error) { tell(wrong, error); if (error.problems?.length) wrong.textContent = error.problems.map((one) => `${one.place}: ${one.says}`).join(" "); }
  finally { id("throw").disabled = false; }
}

function show(got, context) {
  thrown = context.text;
  id("odds-found").hidden = false;
  id("odds-sentence").textContent = got.sentence;
  id("odds-head").textContent = got.head;
  id("chances").replaceChildren(...got.chances.map((one) => why_within(make("div", { class: "chance" }, dots(one),
    make("p", {}, make("strong", {}, figure(one.key, one.text)), ": ", one.says, " ", why(one.key, one.says))), context)));
  id("odds-rest").textContent = got.rest; id("odds-judges").textContent = got.judges;
  id("measures").replaceChildren(...(got.measures.length ? got.measures.map((one) => why_within(make("li", {}, make("strong", {}, one.name), make("p", {}, "would narrow ", figure("odds_measure", one.narrows), " ", why("odds_measure", `measuring ${one.name}`)),
    make("p", { class: "quiet" }, "How: ", one.test ? make("a", { href: `/bin#test-${one.test}` }, `the bench test "${one.test}"`) : null, one.how), bars(one.shares)), { ...context, which: one.which })) : [make("li", { class: "none" }, "Nothing stands out; the spread comes from many small things.")]));
  id("measured").textContent = got.measures.length ? `${got.measured} Bars: how much of each figure's spread hangs on it alone.` : "";
  id("bands").replaceChildren(...got.bands.map((one) => why_within(make("tr", { "data-figure": one.key }, make("th", { scope: "row" }, one.label), make("td", {}, make("strong", {}, one.text), " ", why(one.key, one.label)),
    make("td", {}, one.middle), make("td", {}, one.written), make("td", {}, one.settled_to + (one.never ? `, ${one.never}` : ""))), context)));
  id("parts-box").hidden = got.parts.length === 0;
  id("parts").replaceChildren(...got.parts.map((one) => make("div", { class: "part" }, make("strong", {}, one.part), bars(one.shares))));
  if (got.chart) put_chart(id("odds-chart"), got.chart).catch((error) => tell(id("odds-wrong"), error));
}

// The worth list.
function whisker(row, reach) {
  const svg = node("svg", { viewBox: "0 0 120 14", class: "whisker", "aria-hidden": "true" });
  const x = (value) => 60 + 56 * value / reach;
  svg.append(node("line", { x1: 60, x2: 60, y1: 0, y2: 14, class: "nought" }));
  if (row.mean !== null) svg.append(node("line", { x1: x(row.mean - row.half), x2: x(row.mean + row.half), y1: 7, y2: 7, class: "reach" }), node("circle", { cx: x(row.mean), cy: 7, r: 4, class: "mean" }));
  return svg;
}
function gain(one, number, reach, text) {
  const button = one.lines.length ? make("button", { type: "button", "aria-label": `Try it: ${one.says}`, onclick: () => attempt(one, box, button) }, "Try it") : null;
  const box = why_within(make("article", { class: "gain", "aria-label": one.says }, make("h3", {}, number ? `${number}. ${one.says}` : one.says), make("p", { class: "quiet" }, [one.work, one.helps].filter(Boolean).join("; ")),
    one.why_not ? make("p", { class: "why-not" }, `Leave it: ${one.why_not}.`) : make("p", { class: "caution" }, one.caution),
    make("div", { class: "whiskers", "data-figure": one.key }, ...one.changes.map((row) => make("div", {}, make("span", {}, row.name), whisker(row, reach[row.name]), make("span", { class: "amount" }, row.text)))),
    make("div", { class: "stack" }, why(one.key, `what it brings: ${one.says}`), button)), { text, lines: one.lines });
  return box;
}
async function attempt(one, box, button) {
  try {
    button.disabled = true;
    await try_it(ghost, { lines: one.lines, says: one.says, after: box, living: null, done: (kept) => { button.disabled = false; if (!kept) button.focus(); } });
  } catch (error) { button.disabled = false; tell(id("worth-wrong"), error); }
}
async function work() {
  const wrong = id("worth-wrong"), text = tab.text;
  wrong.textContent = ""; id("worth-go").disabled = true;
  try {
    await solver_ready(id("waiting"));
    const got = await follow(await ask("/api/odds/worth", { text }, { lane: "worth" }), id("worth-job"));
    if (got === null) return;
    tried = text;
    const all = [...got.gains, ...got.idle, ...(got.pair ? [got.pair] : [])], reach = {};
    for (const one of all) for (const row of one.changes) if (row.mean !== null) reach[row.name] = Math.max(reach[row.name] ?? 1e-9, Math.abs(row.mean) + row.half);
    id("worth-sentence").textContent = got.gains.length ? `Best first: ${got.gains[0].says[0].toLowerCase()}${got.gains[0].says.slice(1)}.` : "Nothing stands out: no single change is clearly felt.";
    id("worth-found").replaceChildren(make("p", {}, got.head), ...got.gains.map((one, i) => gain(one, i + 1, reach, text)),
      ...(got.pair ? [make("h2", {}, "The best pair"), gain(got.pair, 0, reach, text)] : []),
      ...(got.idle.length ? [make("details", {}, make("summary", {}, `Not worth doing (${got.idle.length})`), ...got.idle.map((one) => gain(one, 0, reach, text)))] : []));
    stale();
  } catch (error) { tell(wrong, error); } finally { id("worth-go").disabled = false; }
}
function stale() {
  id("worth-go").textContent = tried === null ? "Try every kind of work" : "Try every kind of work anew";
  document.getElementById("worth-old")?.remove();
  if (tried !== null && tried !== tab.text) id("worth-found").prepend(make("p", { class: "note", id: "worth-old" }, "The build has changed since: this list is of the one before. Try anew to see what is left to do."));
}

id("throw-form").addEventListener("submit", (event) => { event.preventDefault(); run(); });
id("worth-go").addEventListener("click", work);
panels(["sure", "worth"]);
tab.watch(() => { stale(); if (thrown !== tab.text) run(true); });
solver_ready(id("waiting")).then(() => { if (tab.text) run(true); else no_build(); }).catch((error) => tell(id("waiting"), error));
