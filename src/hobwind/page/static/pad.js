// The pad at the fire: touched, typed, kept here at once, sent when the link is there. Works with gloves, one hand, in the dark.
import { ask, make } from "./ask.js";
import { solver_ready } from "./jobs.js";
import { put_drawing, instant } from "./drawing.js";
import { show_alarm, wake_sound } from "./live.js";
import { tab } from "./tab.js";
import { in_inch_units, TYPED } from "./units.js";
import { put_figures, why_of } from "./why.js";

const id = (name) => document.getElementById(name), KEY = "hobwind-pad", AGAIN = 4000, MOST_FIGURES = 6, FACE_HOLDS = 600;
const places = Object.fromEntries([...document.querySelectorAll("[data-channel]")].map((one) => [one.dataset.channel, one]));
// Which part of the drawing a place is at, and where on it, across and down.
const PARTS = { plate: ["stove plate", 0.1, 0.5], hot_face: ["module hot face", 0, 0.5], cold_face: ["module cold face", 1, 0.5], sink: ["sink", 0.9, 0.1], riser: ["riser 1", 0.5, 0.15], element: ["wax element", 0.5, 0.5], motor: ["motor", 0.5, 0.5], gap: ["seat", 1, 0.5], speed: [".hub", 0.5, 0.5] };
let channel = "plate", typed = "", first = null, sending = false, spots = {}, entered = 0;
why_of(() => ({ text: tab.text }));

function fresh() {
  const now = new Date(), two = (n) => String(n).padStart(2, "0");
  const mark = Array.from(crypto.getRandomValues(new Uint8Array(3)), (n) => n.toString(16).padStart(2, "0")).join("");
  return { name: `fire-${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}-${two(now.getHours())}${two(now.getMinutes())}-${mark}`, entries: [], change: 0, sent: 0 };
}
function kept() { try { const found = JSON.parse(localStorage.getItem(KEY)); return Array.isArray(found?.entries) ? found : null; } catch { return null; } }
let log = kept() ?? fresh();
function keep() {
  try { localStorage.setItem(KEY, JSON.stringify(log)); } catch { id("wrong").textContent = "This browser keeps nothing: leave the page open until all is sent."; }
}

const clock = (seconds) => new Date(1000 * seconds).toLocaleTimeString("en-GB");
// What a place is read in: its own unit, or °F and inches; entries hold their own.
const read_in = (place) => { const own = place?.dataset.unit ?? ""; return in_inch_units() && TYPED[own] || { unit: own, own: (x) => x, other: (x) => x, places: 2 }; };
const shown_as = (place, value) => { const by = read_in(place); return `${Number(by.other(value).toFixed(by.places))} ${by.unit}`; };
const says_of = (one) => one.channel === "note" ? one.mark : `${places[one.channel]?.textContent.trim() ?? one.channel} ${shown_as(places[one.channel], one.value)}`;

function show() {
  const place = places[channel];
  id("place-says").textContent = place.textContent.trim();
  id("figure").textContent = `${typed || "–"} ${read_in(place).unit}`;
  id("when").textContent = first === null ? "" : `at ${clock(first)}`;
  for (const [key, button] of Object.entries(places)) button.setAttribute("aria-pressed", String(key === channel));
  for (const [key, spot] of Object.entries(spots)) spot.classList.toggle("on", key === channel);
}
function show_entries() {
  id("entries").replaceChildren(...[...log.entries].reverse().map((one) => make("li", {}, make("span", { class: "at" }, clock(one.when_s)), ` ${says_of(one)}`)));
  const last = log.entries.at(-1);
  id("undo-last").disabled = !last;
  id("undo-last").textContent = last ? `Take back: ${says_of(last)}` : "Take the last back";
  id("use").disabled = log.entries.length < 2;
  show_link();
}
function show_link(away = false) {
  const waiting = log.change !== log.sent;
  id("link").textContent = !log.entries.length && !waiting ? "Nothing written down yet. Touch a place, type what the thermometer reads, press Keep."
    : waiting ? (away ? "No link: all is kept in this browser and goes over when the link is back." : "Kept here; going over …") : `${log.entries.length} written down, all on the machine that runs hobwind.`;
  id("link").className = `link ${waiting ? (away ? "away" : "") : log.entries.length ? "home" : ""}`;
}

function choose(key) { channel = key; show(); }
function press(key) {
  wake_sound();
  id("wrong").textContent = "";
  if (key === "back") typed = typed.slice(0, -1);
  else if (key === ".") { if (!typed.includes(".")) typed = (typed || "0") + "."; }
  else if (typed.replace(".", "").length < MOST_FIGURES) typed += key;
  if (typed === "") first = null; else first ??= Date.now() / 1000; // when it was read, not when it was sent off
  show();
}
function put(entry) { log.entries.push(entry); log.change += 1; keep(); show_entries(); send(); foresee(); }
function take() {
  const place = places[channel], low = Number(place.dataset.low), high = Number(place.dataset.high);
  const value = Number(read_in(place).own(Number(typed)).toFixed(4));
  if (typed === "" || typed === ".") { id("wrong").textContent = "Type a figure first."; return; }
  if (!(value >= low && value <= high)) { id("wrong").textContent = `${place.textContent.trim()}: got ${typed} ${read_in(place).unit}; ${shown_as(place, low)} to ${shown_as(place, high)} is allowed.`; return; }
  put({ when_s: first, channel, value, mark: "" });
  typed = ""; first = null; show();
}

async function send() {
  if (sending || log.change === log.sent) return;
  sending = true;
  const change = log.change, name = log.name;
  try {
    if (log.entries.length) await ask(`/api/trial/typed/${name}`, { entries: log.entries }, { method: "PUT" });
    if (log.name === name) { log.sent = change; keep(); }
    show_link();
  } catch (error) {
    if (error.status) id("wrong").textContent = error.message;
    show_link(true);
  }
  sending = false;
}

async function foresee() {
  const now = ++entered, plates = log.entries.filter((one) => one.channel === "plate"), face = log.entries.filter((one) => one.channel === "hot_face").at(-1);
  if (!tab.text || plates.length < 2 && !face) { show_alarm(id("alarm"), null, false); put_figures(id("ahead"), []); return; }
  const fresh_face = face && (plates.at(-1)?.when_s ?? 0) - face.when_s < FACE_HOLDS ? face.value : null;
  try {
    const { ahead } = await ask("/api/trial/ahead", { text: tab.text, when_s: plates.map((one) => one.when_s), plate_degC: plates.map((one) => one.value), face_degC: fresh_face }, { lane: "ahead" });
    if (now !== entered) return;
    show_alarm(id("alarm"), ahead?.alarm === "calm" ? null : ahead, true);
    put_figures(id("ahead"), [ahead?.face, ahead?.then].filter(Boolean));
  } catch { /* no link: the hand at the fire goes on without it */ }
}

// Only the fan itself, as large as it goes: no measures, no numbers.
function crop(svg) {
  const back = svg.getScreenCTM().inverse(), corners = [...svg.querySelectorAll(".face, .hub")].flatMap((one) => {
    const box = one.getBoundingClientRect();
    return [[box.left, box.top], [box.right, box.bottom]].map(([x, y]) => new DOMPoint(x, y).matrixTransform(back));
  });
  const xs = corners.map((point) => point.x), ys = corners.map((point) => point.y), edge = 12;
  const [x, y] = [Math.min(...xs) - edge, Math.min(...ys) - edge];
  svg.setAttribute("viewBox", `${x} ${y} ${Math.max(...xs) + edge - x} ${Math.max(...ys) + edge - y}`);
}

async function draw() {
  if (!tab.text) return;
  await solver_ready(id("waiting"));
  const look = await ask("/api/build/look", { text: tab.text }), board = id("board");
  board.hidden = false;
  const living = put_drawing(board, look.svg), svg = living.svg, i = look.settled.plate_degC.findIndex((plate) => plate >= look.usual_plate_degC);
  const at = instant(look.settled.from_rest, Math.max(i, 0));
  living.set({ ...at, speed: 0, lift: 0 });
  svg.setAttribute("aria-label", "The fan: touch the place that is read");
  crop(svg);
  const back = svg.getScreenCTM().inverse();
  for (const [key, [part, across, down]] of Object.entries(PARTS)) {
    const found = part.startsWith(".") ? svg.querySelector(part) : svg.querySelector(`[data-part="${part}"]`);
    if (!found || !places[key]) continue;
    const box = found.getBoundingClientRect(), point = new DOMPoint(box.left + across * box.width, box.top + down * box.height).matrixTransform(back);
    const spot = document.createElementNS("http://www.w3.org/2000/svg", "circle");
    for (const [name, value] of Object.entries({ cx: point.x.toFixed(1), cy: point.y.toFixed(1), r: 7, class: "spot", "data-spot": key })) spot.setAttribute(name, value);
    spots[key] = spot; svg.append(spot);
  }
  svg.addEventListener("click", (event) => {
    const touched = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    const far = (spot) => Math.hypot(Number(spot.getAttribute("cx")) - touched.x, Number(spot.getAttribute("cy")) - touched.y);
    const near = Object.entries(spots).sort((a, b) => far(a[1]) - far(b[1]))[0];
    if (near) { if (places[near[0]].hidden) more(); choose(near[0]); }
  });
  show();
}
function more() {
  const open = id("more").getAttribute("aria-expanded") === "false";
  id("more").setAttribute("aria-expanded", String(open)); id("more").textContent = open ? "fewer" : "more …";
  for (const one of document.querySelectorAll(".rare")) one.hidden = !open && one.dataset.channel !== channel;
}

id("keys").addEventListener("click", (event) => { const key = event.target.closest("[data-key]"); if (key) press(key.dataset.key); });
id("keep").addEventListener("click", take);
id("marks").addEventListener("click", (event) => { const mark = event.target.closest("[data-mark]"); if (mark) { wake_sound(); put({ when_s: Date.now() / 1000, channel: "note", value: null, mark: mark.dataset.mark }); } });
for (const [key, button] of Object.entries(places)) button.addEventListener("click", () => choose(key));
id("more").addEventListener("click", more);
id("undo-last").addEventListener("click", () => { log.entries.pop(); log.change += 1; keep(); show_entries(); send(); foresee(); });
id("use").addEventListener("click", async () => {
  await send();
  if (log.change === log.sent) location.href = `/trial?typed=${log.name}${tab.file ? `&file=${encodeURIComponent(tab.file)}` : ""}`;
  else id("wrong").textContent = "That needs the link; all is kept here meanwhile.";
});
id("fresh").addEventListener("click", () => {
  if (log.change !== log.sent) { id("wrong").textContent = "What is written down has not gone over yet; wait for the link, then begin another."; return; }
  log = fresh(); keep(); show_entries(); foresee();
});
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.target.matches("input, textarea, select")) return;
  if (/^[0-9.]$/.test(event.key)) press(event.key);
  else if (event.key === ",") press(".");
  else if (event.key === "Backspace") press("back");
  else if (event.key === "Enter" && !event.target.matches("button, a")) take();
});
document.addEventListener("units", () => { typed = ""; first = null; show(); show_entries(); });
addEventListener("online", send);
addEventListener("storage", (event) => { if (event.key === KEY) { log = kept() ?? fresh(); show_entries(); } });
setInterval(send, AGAIN);
keep(); show(); show_entries(); send(); foresee();
draw().catch(() => { /* without the drawing the places are still in the list */ });
