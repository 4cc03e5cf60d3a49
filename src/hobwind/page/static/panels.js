import { make } from "./ask.js";
import { figure, why, why_within } from "./why.js";

// Panels of a section: the one named after # is shown, the others are hidden.
export function panels(names, shown = () => {}) {
  const show = () => {
    const wanted = names.includes(location.hash.slice(1)) ? location.hash.slice(1) : names[0];
    for (const one of names) document.getElementById(one).hidden = one !== wanted;
    for (const link of document.querySelectorAll("[data-panel]")) { if (link.dataset.panel === wanted) link.setAttribute("aria-current", "true"); else link.removeAttribute("aria-current"); }
    shown(wanted);
  };
  window.addEventListener("hashchange", show);
  show();
}

// Figures of one build, each with its why; rows say at which plate or on which evening it looks.
export function figure_list(rows, text) {
  return make("dl", { class: "figures" }, ...rows.map((one) => why_within(make("div", {}, make("dt", {}, one.label), make("dd", {}, figure(one.key, one.text), why(one.key, one.label))),
    { text, ...(one.plate_degC === null ? {} : { plate_degC: one.plate_degC }), ...(one.evening ? { fire: { shape: one.evening } } : {}) })));
}
