// Learn: the heat ledger at any plate.
import { ask, make, tell } from "./ask.js";
import { solver_ready } from "./jobs.js";
import { no_build, tab } from "./tab.js";
import { figure, why, why_of } from "./why.js";

const id = (name) => document.getElementById(name), slider = id("plate");
let low = 20, plate = 230;
why_of(() => ({ text: tab.text, plate_degC: plate }));

function bar(watts, whole, past) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg"), rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  svg.setAttribute("class", "bar"); svg.setAttribute("viewBox", "0 0 120 12"); svg.setAttribute("width", "120"); svg.setAttribute("aria-hidden", "true");
  for (const [key, value] of Object.entries({ x: 0, y: 0, height: 12, width: Math.max(Math.min(watts / whole, 1), 0) * 120, class: past ? "past" : "" })) rect.setAttribute(key, value);
  svg.append(rect);
  return svg;
}

async function show() {
  try {
    const got = await ask("/api/learn/ledger", { text: tab.text, plate_degC: plate }, { lane: "ledger" });
    id("plate-text").textContent = `${got.plate_degC.toFixed(0)} °C`;
    slider.setAttribute("aria-valuetext", `${got.plate_degC.toFixed(0)} °C`);
    const whole = Math.max(got.watts[0], 1e-9);
    id("ledger").tBodies[0].replaceChildren(...got.lines.map((one, i) => make("tr", {}, make("th", { scope: "row" }, one.label),
      make("td", { class: "num" }, figure(one.key, one.text)), make("td", {}, why(one.key, one.label)), make("td", {}, bar(got.watts[i], whole, i === 1 || i === 2 || i === 3 || i === 5)))));
  } catch (error) { tell(id("waiting"), error); id("waiting").hidden = error.message === ""; }
}

async function begin() {
  await solver_ready(id("waiting"));
  if (!tab.text) { no_build(); return; }
  const look = await ask("/api/build/look", { text: tab.text });
  low = look.settled.plate_degC[0];
  slider.min = low; slider.max = look.settled.plate_degC.at(-1); slider.step = 2;
  plate = look.usual_plate_degC; slider.value = plate;
  await show();
}
slider.addEventListener("input", () => { plate = Number(slider.value); show(); });
tab.watch(show);
begin().catch((error) => tell(id("waiting"), error));
