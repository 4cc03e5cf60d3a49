// The living drawing: numbers in, attributes changed; nothing is rebuilt while a slider moves, so the rotor never jumps.
import { why } from "./why.js";

const SVG = "http://www.w3.org/2000/svg";
const SLOWED = 10; // the blade is drawn turning at a tenth of its speed

export function put_drawing(board, markup) {
  const made = new DOMParser().parseFromString(markup, "image/svg+xml").documentElement;
  const drawing = document.importNode(made, true);
  board.replaceChildren(drawing);
  return new Living(drawing);
}

export class Living {
  constructor(svg) {
    this.svg = svg;
    this.low = Number(svg.dataset.low); this.high = Number(svg.dataset.high);
    this.tones = svg.dataset.tones.split(" ");
    this.faces = [...svg.querySelectorAll("[data-heat]")]; this.stops = [...svg.querySelectorAll("[data-share]")];
    this.bands = [...svg.querySelectorAll("[data-band]")]; this.temps = [...svg.querySelectorAll("[data-temp]")];
    this.lifting = svg.querySelector("#lifting"); this.turning = svg.querySelector("#turning"); this.pushing = svg.querySelector("#pushing");
    this.lever = svg.querySelector("#lever"); this.sized = svg.querySelector("#sizes-fan");
    this.movers = [...svg.querySelectorAll(".item[data-moves]")].map((item) => {
      const dot = item.querySelector(".dot"), leaders = [...item.querySelectorAll(".leader")];
      return { item, dot, leaders, x: Number(dot.getAttribute("cx")), y: Number(dot.getAttribute("cy")), rest: leaders[0].getAttribute("points").split(" ").slice(1).join(" ") };
    });
    this.shares = new Map();
    for (const shade of svg.querySelectorAll("linearGradient")) {
      const all = [...shade.querySelectorAll("stop")].map((one) => Number(one.dataset.share));
      this.shares.set("riser " + shade.id.split("-")[1], (all[0] + all[all.length - 1]) / 2);
    }
    this.speed = 0; this.angle = 0; this.before = null;
    this.still = matchMedia("(prefers-reduced-motion: reduce)");
    this.frame = (now) => this.turn(now);
    requestAnimationFrame(this.frame);
  }
  tone(heat) {
    const share = Math.min(Math.max((heat - this.low) / (this.high - this.low), 0), 1);
    return this.tones[Math.round(share * (this.tones.length - 1))];
  }
  between(heats, share) {
    const foot = heats["riser foot"], top = heats["riser top"];
    return foot === undefined || foot === null ? null : foot + share * (top - foot);
  }
  told(heats, name) {
    const heat = this.shares.has(name) ? this.between(heats, this.shares.get(name)) : heats[name];
    return heat === null || heat === undefined ? "" : `${Math.round(heat)}°`;
  }
  // heats in °C by part, flows in W by band, lift in mm, speed in rpm.
  set({ heats, flows, lift, speed }) {
    for (const face of this.faces) { const heat = heats[face.dataset.heat]; if (heat !== null && heat !== undefined) face.setAttribute("fill", this.tone(heat)); }
    for (const stop of this.stops) { const heat = this.between(heats, Number(stop.dataset.share)); if (heat !== null) stop.setAttribute("stop-color", this.tone(heat)); }
    for (const band of this.bands) {
      const width = Math.max(flows[band.dataset.band] ?? 0, 0) * Number(band.dataset.perWatt);
      band.setAttribute("width", width.toFixed(2)); band.setAttribute("x", (Number(band.dataset.middle) - width / 2).toFixed(2));
    }
    for (const text of this.temps) text.textContent = this.told(heats, text.dataset.temp);
    for (const text of document.querySelectorAll("#parts [data-temp]")) text.textContent = this.told(heats, text.dataset.temp);
    // Drawn several times as far as it is, so that a millimetre can be seen. A tilting fan turns about its foot's far edge, its sizes stay.
    const times = Number(this.svg.dataset.times), up = (lift ?? 0) * times, rise = up * Number(this.svg.dataset.pin);
    const [edge_x, edge_y, reach] = this.svg.dataset.pivot.split(" ").map(Number);
    const turned = reach ? Math.atan(up / reach) : 0;
    const moved = reach ? `rotate(${(-turned * 180 / Math.PI).toFixed(3)} ${edge_x} ${edge_y})` : `translate(0 ${(-up).toFixed(3)})`;
    this.lifting.setAttribute("transform", moved);
    if (!reach) this.sized.setAttribute("transform", moved); // sizes go with what they measure
    this.pushing.setAttribute("transform", `translate(0 ${(-rise).toFixed(3)})`);
    const [pivot_x, pivot_y, arm] = this.svg.dataset.lever.split(" ").map(Number);
    if (arm) this.lever.setAttribute("transform", `rotate(${(Math.asin(Math.min(rise / arm, 1)) * 180 / Math.PI).toFixed(3)} ${pivot_x} ${pivot_y})`);
    for (const one of this.movers) { // leaders follow what they point at
      let x = one.x, y = one.y - (one.item.dataset.moves === "pin" ? rise : up);
      if (reach && one.item.dataset.moves === "fan") {
        const along = one.x - edge_x, high = edge_y - one.y;
        x = edge_x + along * Math.cos(turned) - high * Math.sin(turned); y = edge_y - along * Math.sin(turned) - high * Math.cos(turned);
      }
      one.dot.setAttribute("cx", x.toFixed(2)); one.dot.setAttribute("cy", y.toFixed(2));
      for (const leader of one.leaders) leader.setAttribute("points", `${x.toFixed(2)},${y.toFixed(2)} ${one.rest}`);
    }
    this.speed = speed ?? 0;
    const note = document.getElementById("lift-note");
    const shaded = up > 0 && (heats["plate under the seat"] ?? 0) > (heats["stove plate"] ?? Infinity) + 1;
    if (note) note.textContent = (shaded ? "Under a lifted foot the plate is hotter than round it: the foot takes little heat and keeps the room's air off. " : "") + (up > 0 ? (times === 1 ? "Tilt drawn as it is. " : `${reach ? "Tilt" : "Lift"} drawn ${times} times as ${reach ? "far" : "high"}. `) : "") + (this.speed > 0 && !this.still.matches ? `The blade is drawn at a tenth of its speed.` : "");
  }
  turn(now) {
    if (!this.svg.isConnected) return;
    if (this.before !== null && this.speed > 0 && !this.still.matches) {
      this.angle = (this.angle + this.speed / 60 * 360 / SLOWED * Math.min(now - this.before, 100) / 1000) % 360;
      this.turning.setAttribute("transform", `rotate(${this.angle.toFixed(2)})`);
    }
    this.before = now;
    requestAnimationFrame(this.frame);
  }
  open(card, number) {
    for (const item of this.svg.querySelectorAll(".item")) item.classList.toggle("open", item.dataset.item === String(number));
    for (const button of document.querySelectorAll("#parts button")) button.setAttribute("aria-pressed", String(button.dataset.item === String(number)));
  }
  // The outlines of another drawing over this one, dashed.
  ghost(markup) {
    this.svg.querySelector(".ghosts")?.remove();
    if (!markup) return;
    const other = new DOMParser().parseFromString(markup, "image/svg+xml").documentElement;
    const group = document.createElementNS(SVG, "g");
    group.setAttribute("class", "ghosts");
    const edge = (svg) => svg.dataset.edge.split(" ").map(Number);
    const [ax, ay] = edge(this.svg), [bx, by] = edge(other);
    const shift = [ax + Number(this.svg.dataset.foot) / 2 - bx - Number(other.dataset.foot) / 2, ay - by];
    group.setAttribute("transform", `translate(${shift[0].toFixed(2)} ${shift[1].toFixed(2)})`);
    for (const face of other.querySelectorAll(".face, .sweep")) {
      const copy = document.importNode(face, false);
      copy.setAttribute("class", "ghost"); copy.removeAttribute("fill"); copy.removeAttribute("data-heat"); copy.removeAttribute("data-part");
      if (face.classList.contains("sweep")) copy.setAttribute("transform", other.querySelector("#rotor").getAttribute("transform"));
      group.append(copy);
    }
    this.svg.append(group);
  }
}

export function put_parts(list, items, opened) {
  list.replaceChildren(...items.map((one) => {
    const row = document.createElement("li"), button = document.createElement("button");
    button.type = "button"; button.dataset.card = one.card; button.dataset.item = one.number;
    button.setAttribute("aria-pressed", "false");
    const no = Object.assign(document.createElement("span"), { className: "no", textContent: one.number });
    const deg = Object.assign(document.createElement("span"), { className: "deg" });
    deg.dataset.temp = one.heat;
    button.append(no, " ", one.name, " ", deg);
    if (opened) button.addEventListener("click", () => opened(one.card, one.number, button)); else button.disabled = true;
    row.append(button);
    return row;
  }), Object.assign(document.createElement("li"), { className: "quiet" }));
  list.dataset.figure = "part_heat";
  list.lastElementChild.append("how warm they are ", why("part_heat", "how warm the parts are"));
}

export function put_scale(box, living) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", `0 0 ${living.tones.length} 3`); svg.setAttribute("preserveAspectRatio", "none"); svg.setAttribute("aria-hidden", "true");
  living.tones.forEach((tone, i) => {
    const rect = document.createElementNS(SVG, "rect");
    for (const [key, value] of Object.entries({ x: i, y: 0, width: 1.1, height: 3, fill: tone })) rect.setAttribute(key, value);
    svg.append(rect);
  });
  box.replaceChildren(`${living.low} °C`, svg, `${living.high} °C`);
}

// What the map holds at one row of one branch, as `Living.set` wants it.
export function instant(columns, i) {
  const heats = {}, flows = {};
  for (const [name, values] of Object.entries(columns.heats_degC)) heats[name] = values[i];
  for (const name of ["enters_W", "riser_top_W", "module_W", "sink_W"]) flows[name] = columns.figures[name][i];
  return { heats, flows, lift: columns.figures.lift_mm[i], speed: columns.figures.speed_rpm[i] };
}
