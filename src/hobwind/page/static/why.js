// The why of a figure: opens the equation with the numbers in it and its source.
import { ask, make, tell } from "./ask.js";

let context = () => ({});
export function why_of(f) { context = f; }

const told = new WeakMap(); // whys that came with their figures
// The why of a figure is asked for with what its nearest box was told, so that rows of several builds can stand side by side.
const within = new WeakMap();
export function why_within(box, asked) { box.setAttribute("data-figures", ""); within.set(box, asked); return box; }

export function why(key, label, given) {
  const button = make("button", { type: "button", class: "why", "data-why": key, "aria-label": `Why: ${label}` }, "why");
  if (given) told.set(button, given);
  return button;
}
export function figure(key, text) { return make("span", { "data-figure": key }, text); }
export function put_figures(list, rows) {
  list.replaceChildren(...rows.map((one) => make("div", {}, make("dt", {}, one.of ? `${one.label}: ${one.of}` : one.label), make("dd", {}, figure(one.key, one.text), why(one.key, one.label, one.why)))));
}

document.addEventListener("click", async (event) => {
  const button = event.target.closest("button.why");
  if (!button) return;
  const body = make("div", {}, "…");
  const head = make("h2", { id: "why-head" }, "Why");
  const box = make("dialog", { "aria-labelledby": "why-head" }, head, body, make("button", { type: "button", onclick: () => box.close() }, "Close"));
  box.addEventListener("close", () => { box.remove(); button.focus(); });
  document.body.append(box); box.showModal();
  try {
    const got = told.get(button) ?? await ask("/api/learn/why", { key: button.dataset.why, ...(within.get(button.closest("[data-figures]")) ?? await context()) });
    head.textContent = got.title;
    body.replaceChildren(make("p", { class: "equation" }, got.equation), make("p", { "data-own-units": true }, "= " + got.numbers),
      make("p", { class: "quiet" }, `At: ${got.at}.`), ...got.sources.map((one) => make("p", { class: "quiet" }, `Source: ${one}`)));
  } catch (error) { tell(body, error); }
});
