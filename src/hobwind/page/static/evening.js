// Evening: choose or drag the plate's curve; play, or run a finger along the time line; the drawing follows.
import { ask, make, tell } from "./ask.js";
import { put_chart } from "./chart.js";
import { follow, solver_ready } from "./jobs.js";
import { no_build, tab } from "./tab.js";
import { instant, put_drawing, put_parts, put_scale } from "./drawing.js";
import { figure, put_figures, why, why_of, why_within } from "./why.js";

const SVG = "http://www.w3.org/2000/svg", id = (name) => document.getElementById(name);
const LEFT = 46, RIGHT = 708, TOP = 10, BOTTOM = 182, HOTTEST = 450;
const slider = id("moment"), curve = id("curve");
const AT = { hot_face: ["hot_face_degC", 0, "°C"], speed: ["speed_rpm", 0, "rpm"], air: ["air_m3_per_h", 0, "m³/h"], gap: ["gap_mm", 2, "mm"] };
let ran = null, living = null, corners = null, playing = null, shown_text = null, begun = false;

const chosen = () => document.querySelector("input[name=shape]:checked").value;
const fire = () => ({ shape: chosen(), guard: id("guard-mode").value, ...(chosen() === "drawn" ? corners : {}) });
const now = () => ({ text: tab.text, fire: fire(), ...(ran ? { minute: ran.minutes[Number(slider.value)] } : {}) });
why_of(now);
const clock = (minute) => `${Math.floor(minute / 60)}:${String(Math.round(minute) % 60).padStart(2, "0")}`;

async function run() {
  try {
    const got = await ask("/api/evening/run", { text: tab.text, fire: fire() }, { lane: "evening" });
    ran = got; corners = { minutes: got.corners.minutes, plate_degC: got.corners.plate_degC };
    if (shown_text !== tab.text) {
      shown_text = tab.text;
      living = put_drawing(id("board"), got.look.svg);
      put_parts(id("parts"), got.look.items, null); put_scale(id("scale"), living);
    }
    slider.max = got.minutes.length - 1;
    if (!begun) { // begin where there is something to see: at the hottest face
      begun = true;
      slider.value = got.figures.hot_face_degC.reduce((best, heat, i, all) => heat > all[best] ? i : best, 0);
    }
    put_figures(id("closing"), got.closing);
    id("bears").textContent = got.bears; id("bears").classList.toggle("wrong", got.harm);
    id("hunts").textContent = got.hunts || (got.outcome === "finished" ? "" : `The evening ${got.outcome}.`);
    id("events").replaceChildren(...(got.events.length ? got.events.slice(0, 60).map((one, i) => why_within(make("li", {}, `${clock(one.minute)}  ${one.what}, plate `, figure("evening_event", `${one.plate_degC.toFixed(0)} °C`), " ", why("evening_event", `${one.what} at ${clock(one.minute)}`)), { ...now(), which: i })) : [make("li", {}, "Nothing: the blade never turned.")]));
    draw_curve(); moment();
    await put_chart(id("chart"), got.chart);
  } catch (error) { tell(id("moment-says"), error); }
}

function moment() {
  if (!ran) return;
  const i = Number(slider.value), minute = ran.minutes[i], f = ran.figures;
  living.set(instant(ran, i));
  id("moment-text").textContent = clock(minute);
  slider.setAttribute("aria-valuetext", `${clock(minute)} hours`);
  const plate = ran.heats_degC["stove plate"][i];
  id("moment-says").textContent = `plate ${plate.toFixed(0)} °C`;
  for (const [key, [column, places, unit]] of Object.entries(AT)) id(`at-${key}`).textContent = `${f[column][i].toFixed(places)} ${unit}`;
  const at = x(minute);
  finger?.setAttribute("x1", at); finger?.setAttribute("x2", at);
}

const last = () => Math.max(corners.minutes.at(-1), 30);
const x = (minute) => LEFT + (RIGHT - LEFT) * minute / last();
const y = (degrees) => BOTTOM - (BOTTOM - TOP) * Math.min(Math.max(degrees, 0), HOTTEST) / HOTTEST;
let finger = null;

function node(tag, attributes, text) {
  const made = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text !== undefined) made.textContent = text;
  return made;
}

function draw_curve(focus = -1) {
  const nodes = [];
  for (let d = 0; d <= 400; d += 100) nodes.push(node("line", { class: "grid", x1: LEFT, x2: RIGHT, y1: y(d), y2: y(d) }), node("text", { class: "words", x: 4, y: y(d) + 4 }, `${d} °C`));
  for (let h = 0; h * 60 <= last(); h += 1) nodes.push(node("text", { class: "words", x: x(h * 60) - 6, y: 204 }, `${h} h`));
  nodes.push(node("polyline", { class: "curve", points: corners.minutes.map((m, i) => `${x(m)},${y(corners.plate_degC[i])}`).join(" ") }));
  finger = node("line", { class: "pen", x1: LEFT, x2: LEFT, y1: TOP, y2: BOTTOM });
  nodes.push(finger);
  corners.minutes.forEach((minute, i) => {
    const told = `corner ${i + 1}: ${clock(minute)}, ${corners.plate_degC[i].toFixed(0)} °C`;
    const dot = node("circle", { class: "corner", cx: x(minute), cy: y(corners.plate_degC[i]), r: 9, tabindex: 0, role: "slider", "aria-label": told, "aria-orientation": "vertical",
      "aria-valuenow": Math.round(corners.plate_degC[i]), "aria-valuemin": 0, "aria-valuemax": HOTTEST, "aria-valuetext": told });
    dot.addEventListener("pointerdown", (event) => grab(event, i, dot));
    dot.addEventListener("keydown", (event) => {
      const step = { ArrowUp: [0, 5], ArrowDown: [0, -5], ArrowRight: [1, 0], ArrowLeft: [-1, 0] }[event.key];
      if (step) { event.preventDefault(); move(i, corners.minutes[i] + step[0], corners.plate_degC[i] + step[1]); draw_curve(i); later(); }
    });
    nodes.push(dot);
  });
  curve.replaceChildren(...nodes);
  if (focus >= 0) curve.querySelectorAll(".corner")[focus].focus();
  if (ran) moment();
}

function move(i, minute, degrees) {
  corners = { minutes: [...corners.minutes], plate_degC: [...corners.plate_degC] };
  const m = corners.minutes, low = i ? m[i - 1] + 1 : 0, high = i === 0 ? 0 : i < m.length - 1 ? m[i + 1] - 1 : 1000;
  m[i] = Math.round(Math.min(Math.max(minute, low), Math.max(high, low)) * 10) / 10;
  corners.plate_degC[i] = Math.round(Math.min(Math.max(degrees, 0), HOTTEST));
  document.querySelector("input[value=drawn]").checked = true;
  id("corner-says").textContent = `${clock(m[i])}: ${corners.plate_degC[i]} °C`;
}

let waiting = null;
function later() { clearTimeout(waiting); waiting = setTimeout(run, 120); }

function grab(event, i, dot) {
  event.preventDefault();
  curve.setPointerCapture(event.pointerId);
  const spot = (e) => { const box = curve.getBoundingClientRect(); return [(e.clientX - box.left) / box.width * 720, (e.clientY - box.top) / box.height * 210]; };
  const drag = (e) => { const [px, py] = spot(e); move(i, (px - LEFT) / (RIGHT - LEFT) * last(), (BOTTOM - py) / (BOTTOM - TOP) * HOTTEST); draw_curve(); };
  const drop = () => { curve.removeEventListener("pointermove", drag); curve.removeEventListener("pointerup", drop); curve.removeEventListener("pointercancel", drop); later(); };
  curve.addEventListener("pointermove", drag); curve.addEventListener("pointerup", drop); curve.addEventListener("pointercancel", drop);
}

function play() {
  if (playing) { clearInterval(playing); playing = null; id("play").textContent = "Play"; return; }
  if (Number(slider.value) >= Number(slider.max)) slider.value = 0;
  id("play").textContent = "Pause";
  playing = setInterval(() => { slider.value = Number(slider.value) + 1; moment(); if (Number(slider.value) >= Number(slider.max)) play(); }, 40);
}

async function drill() {
  try {
    const text = tab.text, rows = await follow(await ask("/api/evening/drill", { text }), id("job"));
    if (!rows) return;
    const spoken = { free: "works", "held down": "stuck down", "held up": "stuck up" };
    id("drill-result").replaceChildren(make("table", {}, make("thead", {}, make("tr", {}, ...["evening", "guard", "hottest face", "above limit", "turning"].map((word) => make("th", { scope: "col" }, word)))),
      make("tbody", {}, ...rows.map((row) => { const f = Object.fromEntries(row.figures.map((one) => [one.key, one])); return make("tr", { class: row.harm ? "wrong" : "" }, make("th", { scope: "row" }, row.evening), make("td", {}, `${spoken[row.guard]}${row.harm ? ": cooks" : ""}`), ...["evening_peak", "evening_above", "evening_turning"].map((key) => why_within(make("td", {}, figure(key, f[key].text), " ", why(key, `${f[key].label}, ${row.evening}, guard ${spoken[row.guard]}`)), { text, fire: { shape: row.evening, guard: row.guard } }))); }))));
  } catch (error) { tell(id("job"), error); }
}

slider.addEventListener("input", moment);
id("play").addEventListener("click", play);
id("drill").addEventListener("click", drill);
id("guard-mode").addEventListener("change", run);
for (const one of document.querySelectorAll("input[name=shape]")) one.addEventListener("change", run);
tab.watch(run);
solver_ready(id("waiting")).then(() => { if (tab.text) run(); else no_build(); }).catch((error) => tell(id("waiting"), error));
