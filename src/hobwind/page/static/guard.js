// Guard: kinds side by side, the element's place and stroke, the fault drill.
import { ask, make, tell, Overtaken } from "./ask.js";
import { put_chart } from "./chart.js";
import { put_drawing, put_scale } from "./drawing.js";
import "./guard_fan.js";
import "./guard_logs.js";
import { follow, solver_ready } from "./jobs.js";
import { figure_list, panels } from "./panels.js";
import { no_build, tab } from "./tab.js";
import { try_it } from "./try.js";
import { figure, why, why_of, why_within } from "./why.js";

const SVG = "http://www.w3.org/2000/svg", id = (name) => document.getElementById(name);
const card = make("div", { class: "card sheet", tabindex: "-1", hidden: true });
const LEFT = { "drill-chart": 190 };
const waiting = new Map(); // charts of panels that are not shown yet
let living = null, look = null, compared = null, drilled = null, panel = "kinds";

why_of(() => ({ text: tab.text }));
const picture = (kind) => document.querySelector(`template[data-kind="${kind}"]`).content.firstElementChild.cloneNode(true);

function chart(name, specification) { if (specification) waiting.set(name, specification); draw_waiting(); }
function draw_waiting() {
  for (const [name, specification] of waiting) {
    const box = id(name);
    if (box.clientWidth === 0) continue;
    waiting.delete(name);
    put_chart(box, specification, LEFT[name] ?? 90).catch((error) => tell(id("compare-wrong"), error));
  }
}

// What is known at once.
async function refresh() {
  const text = tab.text;
  if (!text) return;
  try {
    look = await ask("/api/guard/look", { text }, { lane: "guard-look" });
    card.hidden = true;
    living = put_drawing(id("board"), look.svg);
    living.svg.querySelector("#bands")?.setAttribute("display", "none");
    put_scale(id("scale"), living);
    id("guard-sentence").textContent = look.sentence;
    const stroke = look.stroke;
    id("stroke-says").replaceChildren(...(stroke ? stroke.says.map((one) => make("p", {}, one)) : [make("p", { class: "sentence" }, "This build has no wax element. Where one could sit, and how warm it gets there, stands below; Kinds sizes a whole guard.")]));
    id("stroke-figures").replaceChildren(...(stroke ? figure_list(stroke.figures, text).children : []));
    id("stroke-charts").hidden = !stroke;
    if (stroke) { chart("loop", stroke.loop); chart("along", stroke.along); }
    id("usual-head").textContent = `plate ${look.usual_plate_degC.toFixed(0)} °C`; id("worst-head").textContent = `plate ${look.worst_plate_degC.toFixed(0)} °C`;
    const degrees = (value) => value === null ? "–" : `${value.toFixed(0)} °C`;
    id("places").replaceChildren(...look.places.map((one) => why_within(make("tr", { class: one.here ? "here" : "" }, make("td", {}, one.number), make("th", { scope: "row" }, one.says + (one.here ? ", as in this build" : "")),
      make("td", { class: "num" }, figure("guard_place", degrees(one.usual_degC)), " ", why("guard_place", `how warm ${one.says}`)), make("td", { class: "num" }, figure("guard_place_worst", degrees(one.worst_degC)), " ", why("guard_place_worst", `how warm ${one.says}, over-fired`)), make("td", {}, one.elements ? `wax ${one.elements}` : "none that is sold")),
      { text, which: one.number - 1 })));
    mark_places();
    id("compare-wrong").textContent = "";
  } catch (error) { if (!(error instanceof Overtaken)) { tell(id("compare-wrong"), error); if (error.problems?.length) id("compare-wrong").textContent = error.problems.map((one) => `${one.place}: ${one.says}`).join(" "); } }
  stale();
}

function node(tag, attributes, text) {
  const made = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text !== undefined) made.textContent = text;
  return made;
}
// Every place on the drawing: those on the stove plate beside the fan share one mark, the others sit along its middle.
function mark_places() {
  const svg = living?.svg;
  if (!svg) return;
  svg.querySelector(".places")?.remove();
  id("drawing-says").textContent = panel === "element" ? "Marks: where the element could sit, and how warm it gets there on the usual plate." : "To scale, on the usual plate; joints drawn thicker than they are.";
  for (const item of svg.querySelectorAll(".item")) { if (panel === "element") item.setAttribute("display", "none"); else item.removeAttribute("display"); }
  if (panel !== "element") return;
  const [edge, ground] = svg.dataset.edge.split(" ").map(Number), middle = edge + Number(svg.dataset.foot) / 2;
  const group = node("g", { class: "places", "aria-hidden": "true" });
  const beside = look.places.filter((one) => one.held_in === "plate");
  const mark = (x, y, words, here, from) => {
    const one = node("g", here ? { class: "here" } : {});
    if (from) one.append(node("line", { x1: from[0], y1: from[1], x2: x, y2: y }));
    one.append(node("circle", { cx: x, cy: y, r: 3 }), node("text", { x: x + 4.5, y: y + 2.6 }, words));
    group.append(one);
  };
  if (beside.length) {
    const span = `${beside[0].usual_degC?.toFixed(0)}–${beside.at(-1).usual_degC?.toFixed(0)}°`;
    mark(edge - 16, ground - 20, `${beside[0].number}–${beside.at(-1).number}: ${span}`, beside.some((one) => one.here), [edge - 16, ground]);
  }
  for (const one of look.places) if (one.held_in !== "plate") mark(middle, ground - one.height_mm, `${one.number}: ${one.usual_degC?.toFixed(0) ?? "–"}°`, one.here);
  svg.append(group);
}

// Kinds side by side.
function kind_card(row, text) {
  const taken = row.lines.length === 0;
  const button = taken ? null : make("button", { type: "button", class: row.best ? "main" : "", "aria-label": `Try it: ${row.title}`, onclick: () => attempt(row.lines, `${row.title}: ${row.sizes}`, box, button) }, "Try it");
  const box = make("article", { class: `kind${row.best ? " best" : ""}`, "aria-label": row.title }, make("h3", {}, row.title), row.best ? make("p", { class: "mark" }, "Recommended") : null, picture(row.kind),
    make("p", {}, row.how), make("p", { class: "quiet" }, row.sizes), figure_list(row.figures, row.text),
    make("p", { class: row.against.length ? "against" : "nothing" }, row.against.length ? `Against it: ${row.against.join("; ")}.` : "Nothing against it while all its parts work."),
    row.parts.length ? make("p", { class: "quiet" }, `Needs: ${row.parts.join(", ")}.`) : null,
    taken ? make("p", { class: "quiet" }, "So it is in the build now.") : make("div", { class: "stack" }, button));
  return box;
}
async function attempt(lines, says, after, button) {
  try {
    button.disabled = true;
    await try_it(card, { lines, says, after, living, done: (kept) => { button.disabled = false; if (!kept) button.focus(); else tab.say("Kept: it is in the build; Undo takes it out again."); } });
  } catch (error) { button.disabled = false; tell(id(after.closest("#drill") ? "drill-wrong" : "compare-wrong"), error); }
}
async function compare() {
  const wrong = id("compare-wrong"), text = tab.text;
  wrong.textContent = ""; id("compare").disabled = true;
  try {
    await solver_ready(id("waiting"));
    const got = await follow(await ask("/api/guard/compare", { text }, { lane: "compare" }), id("compare-job"));
    if (got === null) return;
    compared = text;
    const best = got.rows.find((one) => one.best);
    id("recommended").replaceChildren(make("p", { class: "sentence", id: "advice" }, make("strong", {}, best ? `Recommended: ${best.title[0].toLowerCase()}${best.title.slice(1)}. ` : "None serves. "), `${got.reason[0].toUpperCase()}${got.reason.slice(1)}.`),
      make("p", { class: "quiet" }, `${got.sizes_tried} sizes tried. Over-fired: the plate gets as hot as the build's worst.`));
    id("kind-list").replaceChildren(...[...got.rows].sort((a, b) => Number(b.best) - Number(a.best) || Number(a.against.length > 0) - Number(b.against.length > 0)).map((row) => kind_card(row, text)));
    id("peaks-box").hidden = false;
    chart("peaks", got.chart);
    stale();
  } catch (error) { tell(wrong, error); } finally { id("compare").disabled = false; }
}

// What can go wrong.
function fault(one, text) {
  const button = one.lines.length ? make("button", { type: "button", "aria-label": `Try what makes it harmless: ${one.name}`, onclick: () => attempt(one.lines, `Against ${one.name}: ${one.cure}`, box, button) }, "Try it") : null;
  const box = why_within(make("article", { class: `fault ${one.lives ? "lives" : "kills"}`, "aria-label": one.name }, make("h3", {}, one.name, make("span", { class: "word" }, one.lives ? "lives" : "kills")), make("p", { class: "quiet" }, `${one.assumed[0].toUpperCase()}${one.assumed.slice(1)}.`),
    make("p", {}, figure("guard_fault", one.nearest), " ", why("guard_fault", `${one.name}: what is in hand`), "; face up to ", figure("guard_fault_face", `${one.peak_degC.toFixed(0)} °C`), " ", why("guard_fault_face", `${one.name}: hottest face`),
      ...(one.minutes_above > 0.05 ? [", ", figure("guard_fault_minutes", `${one.minutes_above.toFixed(0)} min`), " ", why("guard_fault_minutes", `${one.name}: how long above its limit`), " above its limit."] : ["."])),
    make("p", { class: one.in_time ? "" : "against" }, `Seen first: ${one.sign}.`),
    one.cure ? make("p", {}, `Harmless by ${one.cure}. `) : null, button), { text, which: one.which });
  return box;
}
async function drill() {
  const wrong = id("drill-wrong"), text = tab.text;
  wrong.textContent = ""; id("drill-go").disabled = true;
  try {
    await solver_ready(id("waiting"));
    const got = await follow(await ask("/api/guard/drill", { text }, { lane: "drill" }), id("drill-job"));
    if (got === null) return;
    drilled = text;
    id("drill-sentence").textContent = got.sentence;
    const killers = got.faults.filter((one) => !one.lives), others = got.faults.filter((one) => one.lives);
    id("drill-found").replaceChildren(...(got.lives ? [] : [make("p", {}, make("a", { class: "button", href: "#kinds" }, "See the kinds of guard"))]),
      ...(killers.length ? [make("h2", {}, `Kills (${killers.length})`), ...killers.map((one) => fault(one, text))] : []),
      ...(others.length ? [make("h2", {}, `Lives (${others.length})`), ...others.map((one) => fault(one, text))] : []),
      make("h2", {}, "Two at once"), make("p", {}, got.pairs), ...(got.fatal.length ? [make("details", {}, make("summary", {}, "Pairs that kill although neither does alone"), make("ul", {}, ...got.fatal.map((one) => make("li", {}, `${one.name}: ${one.nearest}`))))] : []));
    id("drill-chart").hidden = false;
    chart("drill-chart", got.chart);
    stale();
  } catch (error) { tell(wrong, error); } finally { id("drill-go").disabled = false; }
}

function stale() {
  for (const [before, button, first, anew, box] of [[compared, "compare", "Compare every kind of guard", "Compare anew", "recommended"], [drilled, "drill-go", "Run the fault drill", "Run it anew", "drill-found"]]) {
    id(button).textContent = before === null ? first : anew;
    id(`${box}-old`)?.remove();
    if (before !== null && before !== tab.text) id(box).prepend(make("p", { class: "note", id: `${box}-old` }, "The build has changed since: this is of the one before."));
  }
}

id("compare").addEventListener("click", compare);
id("drill-go").addEventListener("click", drill);
panels(["kinds", "element", "drill", "fan"], (wanted) => {
  panel = wanted;
  id("guard-bench").hidden = wanted === "fan";
  id("guard-bench").classList.toggle("drawing-first", wanted === "element");
  mark_places(); draw_waiting();
});
tab.watch(refresh);
solver_ready(id("waiting")).then(() => { if (tab.text) refresh(); else if (panel !== "fan") no_build(); }).catch((error) => tell(id("waiting"), error));
