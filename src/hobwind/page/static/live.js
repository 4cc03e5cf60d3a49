// A fire as it burns: figures each second, what is coming, and an alarm in colour, words and sound.
import { ask, make, tell } from "./ask.js";
import { tab } from "./tab.js";
import { put_figures } from "./why.js";

const id = (name) => document.getElementById(name), SVG = "http://www.w3.org/2000/svg";
let sound = null, watching = null, last = "calm", rang = 0;

// Two notes made here; only after a hand has touched the page does a browser let them be heard.
export function wake_sound() { sound ??= new AudioContext(); sound.resume(); }
export function ring(alarm) {
  if (!sound || sound.state !== "running") return;
  const notes = alarm === "above" ? [880, 660, 880, 660, 880, 660] : alarm === "close" ? [880, 660, 880] : [660];
  notes.forEach((pitch, k) => {
    const tone = sound.createOscillator(), loud = sound.createGain(), at = sound.currentTime + 0.22 * k;
    tone.frequency.value = pitch; tone.type = "triangle";
    loud.gain.setValueAtTime(0.0001, at); loud.gain.exponentialRampToValueAtTime(0.4, at + 0.02); loud.gain.exponentialRampToValueAtTime(0.0001, at + 0.2);
    tone.connect(loud).connect(sound.destination); tone.start(at); tone.stop(at + 0.21);
  });
}
export function show_alarm(box, ahead, loud) {
  box.hidden = !ahead;
  if (!ahead) return;
  const says = ahead.says[0].toUpperCase() + ahead.says.slice(1);
  if (box.textContent !== says) box.textContent = says;
  box.className = `alarm ${ahead.alarm}`;
  const now = Date.now(), wait = ahead.alarm === "above" ? 3000 : ahead.alarm === "close" ? 8000 : 60000;
  if (loud && ahead.alarm !== "calm" && (ahead.alarm !== last || now - rang > wait)) { ring(ahead.alarm); rang = now; }
  last = ahead.alarm;
}

function node(tag, attributes, text = "") { const one = document.createElementNS(SVG, tag); for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, value); one.textContent = text; return one; }
function curve(got) {
  const past = got.course_min.map((m, i) => [m, got.course_degC[i]]), now = past.at(-1)?.[0] ?? 0, ahead = got.ahead;
  const on = (ahead?.minutes ?? []).map((m, i) => [now + m, ahead.plate_degC[i], ahead.face_degC[i]]);
  const last_minute = Math.max(now + 30, 30), top = Math.max(100, ahead?.limit_degC ?? 0, ...past.map((p) => p[1]), ...on.map((p) => p[1])) * 1.08;
  const x = (m) => 46 + m / last_minute * 636, y = (d) => 176 - d / top * 166, line = (points) => points.map(([m, d]) => `${x(m).toFixed(1)},${y(d).toFixed(1)}`).join(" ");
  const nodes = [];
  for (let d = 0; d < top; d += 100) nodes.push(node("line", { class: "grid", x1: 46, x2: 684, y1: y(d), y2: y(d) }), node("text", { class: "words", x: 2, y: y(d) + 4 }, `${d} °C`));
  const step = last_minute > 180 ? 60 : last_minute > 60 ? 30 : 10;
  for (let m = 0; m <= last_minute; m += step) nodes.push(node("text", { class: "words", x: x(m) - 10, y: 196 }, `${m} min`));
  if (ahead) nodes.push(node("line", { class: "limit", x1: 46, x2: 684, y1: y(ahead.limit_degC), y2: y(ahead.limit_degC) }), node("text", { class: "words", x: 52, y: y(ahead.limit_degC) - 4 }, "limit of the hot face"));
  if (past.length > 1) nodes.push(node("polyline", { class: "curve", points: line(past) }));
  if (past.length && !on.length) nodes.push(node("text", { class: "words", x: x(now) + 6, y: y(past.at(-1)[1]) + 4 }, "plate"));
  if (on.length && past.length) nodes.push(node("polyline", { class: "curve ahead", points: line([past.at(-1), ...on.map((p) => [p[0], p[1]])]) }), node("polyline", { class: "face", points: line(on.map((p) => [p[0], p[2]])) }),
    node("text", { class: "words", x: x(on.at(-1)[0]) - 60, y: y(on.at(-1)[1]) - 6 }, "plate"), node("text", { class: "words", x: x(on.at(-1)[0]) - 60, y: y(on.at(-1)[2]) - 6 }, "hot face"));
  id("live-curve").replaceChildren(...nodes);
}

function show(got) {
  id("live-start").hidden = got.running; id("live-stop").hidden = !got.running; id("live-board").hidden = !got.running;
  for (const one of id("live-form").elements) one.disabled = got.running;
  show_alarm(id("alarm"), got.running ? got.ahead : null, id("sound").checked);
  if (!got.running) { id("live-says").textContent = got.said; return; }
  id("live-says").textContent = got.said;
  put_figures(id("live-figures"), [got.ahead?.face, ...got.newest, got.ahead?.then].filter(Boolean));
  id("live-lines").textContent = `${got.fan}: ${got.lines} lines kept${got.unread ? `, ${got.unread} not understood` : ""}. ` + got.ports.map((one) => `${one.name}: ${one.says}`).join("; ");
  curve(got);
}

async function look() {
  try {
    const got = await ask("/api/trial/live");
    show(got);
    if (!got.running) { clearInterval(watching); watching = null; }
  } catch (error) { tell(id("live-says"), error); }
}
function watch() { look(); watching ??= setInterval(look, 1000); }

async function start() {
  wake_sound();
  id("live-says").textContent = "";
  const limit = id("limit").value;
  try {
    show(await ask("/api/trial/live", { text: tab.text, ports: id("port").value.split(",").map((one) => one.trim()).filter(Boolean), baud: Number(id("baud").value), names: id("names").value, limit_degC: limit === "" ? null : Number(limit) }));
    watch();
  } catch (error) { tell(id("live-says"), error); }
}
async function stop() {
  id("live-stop").disabled = true;
  try { show(await ask("/api/trial/live", undefined, { method: "DELETE" })); } catch (error) { tell(id("live-says"), error); }
  id("live-stop").disabled = false;
}

function unfold(wanted) {
  const box = id("live");
  if (box.hidden !== wanted) return;
  box.hidden = !wanted; id("to-live").setAttribute("aria-expanded", String(wanted));
  if (!wanted) return;
  ask("/api/trial/ports").then((got) => {
    id("ports").replaceChildren(...got.ports.map((one) => make("option", { value: one.name }, one.says)));
    if (!id("port").value && got.ports.length) id("port").value = got.ports[0].name;
    const seen = got.ports.length ? `Plugged in here: ${got.ports.map((one) => one.name).join(", ")}. ` : "No port is plugged in here that this machine knows of; type its name. ";
    const others = got.lan ? " Other devices may come in with this run's key, and whoever holds it may start and stop the log." : "";
    id("port-says").textContent = seen + "Lines may be bare numbers, names with numbers, or JSON. Logging goes on when this page is closed, until it is stopped or hobwind ends." + others;
  }).catch((error) => tell(id("port-says"), error));
  box.scrollIntoView({ block: "start" });
}

export function begin_live() {
  id("to-live").addEventListener("click", () => unfold(id("live").hidden));
  id("live-start").addEventListener("click", start);
  id("live-stop").addEventListener("click", stop);
  id("live-form").addEventListener("submit", (event) => { event.preventDefault(); start(); });
  id("try-sound").addEventListener("click", () => { wake_sound(); sound.resume().then(() => ring("close")); });
  ask("/api/trial/live").then((got) => { id("live-left").hidden = !got.left; id("live-left").textContent = got.left; if (got.running) { unfold(true); watch(); } }).catch(() => {});
}
