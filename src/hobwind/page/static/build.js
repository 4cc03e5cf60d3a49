// Build: slider, drawing, figures, cards, findings, mends tried as ghosts.
import { ask, make, tell, Overtaken } from "./ask.js";
import { follow, solver_ready } from "./jobs.js";
import { no_build, tab } from "./tab.js";
import { try_it } from "./try.js";
import { instant, put_drawing, put_parts, put_scale } from "./drawing.js";
import { figure, put_figures, why, why_of, why_within } from "./why.js";

const PLACES = { speed: ["speed_rpm", 0, "rpm"], air: ["air_m3_per_h", 0, "m³/h"], breeze: ["breeze_m_per_s", 2, "m/s"],
  hot_face: ["hot_face_degC", 0, "°C"], margin: ["margin_K", 0, "K"], electric: ["electric_W", 3, "W"],
  seat_heat: ["enters_W", 0, "W"], gap: ["gap_mm", 2, "mm"] };
const LABELS = { speed: "speed", air: "air", breeze: "breeze a metre away", hot_face: "hottest module face", margin: "below the module's limit",
  electric: "power", seat_heat: "heat through the seat", gap: "gap under the foot" };
const id = (name) => document.getElementById(name);
const slider = id("plate"), card = id("card"), ghost = id("ghost");
let look = null, living = null, open_card = null;

const branch = () => document.querySelector("input[name=branch]:checked").value;
let loaded;
const first_look = new Promise((done) => { loaded = done; });
why_of(async () => { await first_look; return context(); });
const context = () => ({ text: tab.text, plate_degC: look.settled.plate_degC[Number(slider.value)], branch: branch() });

function repaint() {
  if (!look) return;  // moved before the first look was there; `show` paints
  const i = Number(slider.value), columns = look.settled[branch()];
  const plate = look.settled.plate_degC[i];
  id("plate-text").textContent = `${plate.toFixed(0)} °C`;
  slider.setAttribute("aria-valuetext", `${plate.toFixed(0)} °C`);
  living.set(instant(columns, i));
  for (const [key, [column, places, unit]] of Object.entries(PLACES)) {
    const value = columns.figures[column][i], spot = id("at-plate").querySelector(`[data-figure=${key}]`);
    spot.textContent = value === null ? "–" : `${value.toFixed(places)} ${unit}`;
  }
  id("plate-says").textContent = columns.outcome[i] === "settled" ? (columns.figures.lift_mm[i] > 0 ? "The guard has lifted it." : "")
    : columns.outcome[i] === "hunts" ? "No rest here: the guard lifts and drops; the figures are its middle. See Evening." : columns.outcome[i];
}

function show(got, keep_plate) {
  const before = look ? look.settled.plate_degC[Number(slider.value)] : got.usual_plate_degC;
  look = got;
  living = put_drawing(id("board"), got.svg);
  put_parts(id("parts"), got.items, (key, number, button) => show_card(key, number, button));
  for (const item of living.svg.querySelectorAll(".item")) item.addEventListener("click", () => show_card(item.dataset.card, item.dataset.item));
  put_scale(id("scale"), living);
  id("build-name").textContent = got.name; id("name-field").value = got.name;
  slider.max = got.settled.plate_degC.length - 1; slider.step = 1;
  const wanted = keep_plate ? before : got.usual_plate_degC;
  slider.value = got.settled.plate_degC.reduce((best, plate, i, all) => Math.abs(plate - wanted) < Math.abs(all[best] - wanted) ? i : best, 0);
  if (!id("at-plate").children.length) put_figures(id("at-plate"), Object.keys(PLACES).map((key) => ({ key, label: LABELS[key], text: "" })));
  put_figures(id("overall"), got.overall);
  living.svg.querySelector("#bands").toggleAttribute("display", false);
  bands();
  repaint();
  loaded();
}

function bands() {
  if (!living) return;
  const group = living.svg.querySelector("#bands");
  if (id("show-bands").checked) group.removeAttribute("display"); else group.setAttribute("display", "none");
}

async function refresh(keep_plate) {
  try {
    const got = await ask("/api/build/look", { text: tab.text }, { lane: "look" });
    show(got, keep_plate);
    problems([]);
    judge();
    if (open_card) show_card(open_card.key, open_card.number, null, true);
  } catch (error) {
    if (error instanceof Overtaken) return;
    id("sentence").textContent = "No verdict: this build cannot be reckoned yet. What stands below is of the one before.";
    problems(error.problems?.length ? error.problems : [{ place: "build", says: error.message }]);
  }
}

function problems(rows) {
  let box = id("problems");
  if (!box) { box = make("div", { id: "problems", role: "alert" }); id("build-name").before(box); }
  box.replaceChildren(...rows.map((one) => make("p", { class: "wrong" }, `${one.place}: ${one.says}`)));
}

async function judge() {
  const text = tab.text;
  stand_back(true);
  try {
    const result = await follow(await ask("/api/build/judge", { text }, { lane: "judge" }), id("job"));
    if (text !== tab.text) return;
    if (result === null) { id("sentence").textContent = "No verdict: it was stopped. What stands below is of the build before."; return; }
    id("sentence").textContent = result.sentence;
    findings(result);
    stand_back(false);
  } catch (error) {
    if (error instanceof Overtaken || text !== tab.text) return;
    id("sentence").textContent = "No verdict: the judging failed. What stands below is of the build before.";
    tell(id("job"), error);
  }
}

// What was found of the build before stands back, in words too, until the new findings are there.
function stand_back(on) {
  const box = id("findings");
  if (on) box.setAttribute("aria-busy", "true"); else box.removeAttribute("aria-busy");
  id("findings-old").hidden = !on || !box.childElementCount;
  if (on) id("sentence").textContent = "Judging …";
  for (const button of box.querySelectorAll("button")) button.disabled = on;
}

function findings(result) {
  const boxes = [];
  for (const one of result.findings) (boxes[one.cure] ??= []).push(one);
  const rows = boxes.map((group) => {
    const one = group[0];
    const box = make("div", { class: `finding ${one.severity}` }, ...group.map((each) => make("p", { class: each.severity }, make("span", { class: "level" }, each.severity), `: ${each.says}.`)));
    if (one.mend) box.append(make("p", {}, `${group.length > 1 ? "Mend, of all of these" : "Mend"}: ${one.mend}.`));
    if (one.lines.length) box.append(make("button", { type: "button", "aria-label": `Try the mend: ${one.mend.slice(0, 80)}`, onclick: (event) => try_mend(one, event.target) }, "Try it"));
    if (one.code === "faults-harm") box.append(make("p", {}, make("a", { href: "/guard#drill" }, "To the fault drill")));
    return box;
  });
  if (!rows.length) rows.push(make("p", {}, "Nothing to find fault with, by these figures."));
  if (result.findings.some((one) => one.severity === "danger")) rows.push(make("p", {}, make("a", { href: "/guard" }, "Compare every kind of guard")));
  const table = make("div", { class: "scroll" }, make("table", {}, make("thead", {}, make("tr", {}, ...["part", "limit", "gets to", "left"].map((word, i) => make("th", { scope: "col", class: i ? "num" : "" }, word)), make("th", { scope: "col" }, "where"))),
    make("tbody", {}, ...result.margins.map((one, i) => why_within(make("tr", { "data-figure": "part_margin" }, make("th", { scope: "row" }, one.part), make("td", { class: "num" }, `${one.limit_degC.toFixed(0)} °C`),
      make("td", { class: "num" }, `${one.peak_degC.toFixed(0)} °C`), make("td", { class: "num" }, `${one.margin_K.toFixed(0)} K `, why("part_margin", `what ${one.part} has left`)), make("td", {}, one.where)), { text: tab.text, which: i })))));
  id("findings").replaceChildren(...rows, make("h2", {}, "Cautions"), make("ul", { class: "cautions" }, ...result.cautions.map((one) => make("li", { class: "caution" }, one))),
    make("details", {}, make("summary", {}, "Every part's margin"), table),
    ...result.notes.map((one) => make("p", { class: "quiet" }, `Note: ${one}`)));
}

async function try_mend(one, button) {
  try {
    button.disabled = true;
    await try_it(ghost, { lines: one.lines, says: one.mend, after: button.closest(".finding"), living, done: (kept) => { button.disabled = false; if (!kept) button.focus(); } });
  } catch (error) { button.disabled = false; tell(id("job"), error); }
}

async function show_card(key, number, button, quiet = false) {
  try {
    const got = await ask("/api/build/card", { text: tab.text, key }, { lane: "card" });
    open_card = { key, number };
    living.open(key, number);
    const shut = () => { card.hidden = true; open_card = null; living.open("", ""); id("parts").querySelector(`[data-item="${number}"]`)?.focus(); };
    const nodes = [make("div", { class: "head" }, make("h2", {}, got.title), make("button", { type: "button", class: "quietly", "aria-label": "Close the card", onclick: shut }, "Close"))];
    if (got.caution) nodes.push(make("p", { class: "caution" }, got.caution));
    for (const group of got.groups) {
      nodes.push(make("h3", {}, group.title), ...group.rows.filter((row) => !row.engineers).map(row_of));
      const rest = group.rows.filter((row) => row.engineers);
      if (rest.length) nodes.push(make("details", {}, make("summary", {}, "For engineers"), ...rest.map(row_of)));
    }
    card.replaceChildren(...nodes);
    card.hidden = false;
    card.onkeydown = (event) => { if (event.key === "Escape") shut(); };
    if (!quiet) { card.focus(); card.scrollIntoView({ block: "nearest" }); }
  } catch (error) { if (!quiet) tell(id("job"), error); }
}

function row_of(row) {
  const name = `f-${row.place.replace(/[^a-z0-9]+/g, "-")}`;
  const wrong = make("p", { class: "wrong", id: `${name}-wrong`, role: "alert" });
  const field = row.choices.length
    ? make("select", { id: name }, ...(row.choices.includes(row.value) ? [] : [make("option", { value: row.value, selected: true }, row.value || "none")]),
      ...row.choices.map((one) => make("option", { value: one, selected: one === row.value }, one)))
    : make("input", { type: "text", id: name, value: row.value, autocomplete: "off", class: row.given ? "" : "guess" });
  field.setAttribute("aria-describedby", `${name}-says ${name}-wrong`);
  const send = async (value) => {
    if (value === row.value) return;
    try {
      const got = await ask("/api/build/edit", { text: tab.text, place: row.place, value }, { lane: "edit" });
      wrong.textContent = ""; field.removeAttribute("aria-invalid");
      sent = got.look;
      tab.put(got.text);
    } catch (error) {
      if (error instanceof Overtaken) return;
      field.setAttribute("aria-invalid", "true");
      wrong.textContent = error.problems?.length ? error.problems.map((one) => one.place === row.place ? one.says : `${one.place}: ${one.says}`).join(" ") : error.message;
    }
  };
  field.addEventListener("change", () => send(field.value));
  return make("div", { class: "row" }, make("label", { for: name }, row.name),
    make("div", { class: "edit" }, field, row.given ? make("button", { type: "button", class: "quietly", "aria-label": `Don't know: ${row.name}`, onclick: () => send(null) }, "don't know") : null),
    make("p", { class: "quiet", id: `${name}-says` }, `${row.says} ${row.given ? "" : "Guess: "}${row.source}.`),
    row.cited ? make("details", { class: "quiet" }, make("summary", {}, "Source in full"), row.cited) : null, wrong);
}

async function rename() {
  const name = id("name-field").value.trim(), wrong = id("name-wrong");
  wrong.textContent = "";
  if (!name) { id("name-field").value = look.name; return; }
  if (name === look.name) return;
  try {
    const got = await ask("/api/build/edit", { text: tab.text, place: "name", value: name }, { lane: "edit" });
    sent = got.look;
    tab.put(got.text);
  } catch (error) {
    if (!(error instanceof Overtaken)) wrong.textContent = error.problems?.length ? error.problems.map((one) => one.says).join(" ") : error.message;
  }
}
id("name-field").addEventListener("change", rename);

let sent = null;
tab.watch(() => {
  stand_back(true);
  if (!sent) { refresh(true); return; }
  const got = sent; sent = null;
  show(got, true); problems([]); judge();
  if (open_card) show_card(open_card.key, open_card.number, null, true);
});
slider.addEventListener("input", repaint);
for (const radio of document.querySelectorAll("input[name=branch]")) radio.addEventListener("change", repaint);
id("show-bands").addEventListener("change", bands);
window.hobwind = { speed: () => living?.speed, angle: () => living?.angle };

solver_ready(id("waiting")).then(() => { if (tab.text) refresh(false); else no_build(); }).catch((error) => tell(id("waiting"), error));
