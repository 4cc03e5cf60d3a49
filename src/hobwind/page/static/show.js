// Show me: one slider. Spin and lift are memories: going down, the blade keeps turning where it would not start.
import { ask, tell } from "./ask.js";
import { solver_ready } from "./jobs.js";
import { instant, put_drawing, put_parts, put_scale } from "./drawing.js";
import { put_figures, why_of } from "./why.js";

const id = (name) => document.getElementById(name), slider = id("plate"), text = id("show-text").value;
let look = null, living = null, branch = "from_rest", before = 0;
why_of(async () => ({ text, plate_degC: look.settled.plate_degC[Number(slider.value)], branch }));

function sentence(at, was, i) {
  const plate = look.settled.plate_degC[i].toFixed(0), turns = at.figures.speed_rpm[i] > 0, up = at.figures.lift_mm[i] > 0;
  const turned = was.figures.speed_rpm[before] > 0;
  if (up) return `Plate ${plate} °C: the wax has pushed its pin and lifted the fan. The gap cuts the heat; the modules stay at ${at.figures.hot_face_degC[i].toFixed(0)} °C.`;
  if (turns && (!turned || at.figures.speed_rpm[i] < 400)) return `Plate ${plate} °C: the modules give the motor enough twist, the blade has started by itself.`;
  if (turns) return `Plate ${plate} °C: the blade turns at ${at.figures.speed_rpm[i].toFixed(0)} rpm; its own wind keeps the sink cool.`;
  return plate < 40 ? "The stove is cold, the fan stands still. Move the slider: light the fire." : `Plate ${plate} °C: heat climbs the riser, but there is not enough twist yet; the blade stands.`;
}

function moment() {
  const i = Number(slider.value), was = look.settled[branch];
  if (i < before && was.figures.speed_rpm[before] > 0) branch = "running_down";
  if (look.settled.running_down.figures.speed_rpm[i] === 0) branch = "from_rest";
  if (i > before && look.settled.from_rest.figures.speed_rpm[i] > 0) branch = "from_rest";
  const at = look.settled[branch];
  living.set(instant(at, i));
  const plate = `${look.settled.plate_degC[i].toFixed(0)} °C`;
  id("plate-text").textContent = plate; slider.setAttribute("aria-valuetext", plate);
  id("sentence").textContent = sentence(at, was, i);
  const f = at.figures;
  for (const [key, told] of [["speed", `${f.speed_rpm[i].toFixed(0)} rpm`], ["air", `${f.air_m3_per_h[i].toFixed(0)} m³/h`], ["hot_face", `${f.hot_face_degC[i].toFixed(0)} °C`], ["gap", `${f.gap_mm[i].toFixed(2)} mm`]])
    id("at-plate").querySelector(`[data-figure=${key}]`).textContent = told;
  before = i;
}

async function begin() {
  await solver_ready(id("waiting"));
  look = await ask("/api/build/look", { text });
  living = put_drawing(id("board"), look.svg);
  put_parts(id("parts"), look.items, null); put_scale(id("scale"), living);
  put_figures(id("at-plate"), [["speed", "speed"], ["air", "air"], ["hot_face", "hottest module face"], ["gap", "gap under the foot"]].map(([key, label]) => ({ key, label, text: "" })));
  const plates = look.settled.plate_degC, first = plates.findIndex((plate) => plate >= 20);
  slider.min = first; slider.max = plates.length - 1; slider.step = 1; slider.value = first; before = first;
  moment();
}
slider.addEventListener("input", () => { if (look) moment(); });
begin().catch((error) => tell(id("sentence"), error));
