// A found fan: the form, and what comes of it.
import { ask, make, tell } from "./ask.js";
import { put_chart } from "./chart.js";
import { follow, solver_ready } from "./jobs.js";
import { figure_list } from "./panels.js";
import { looks_of } from "./looks.js";
import { tab } from "./tab.js";
import { figure, put_figures, why } from "./why.js";

const id = (name) => document.getElementById(name), form = id("fan-form");
const fields = [...form.querySelectorAll("[data-place]")];
const EXAMPLE = { shows: ["open", "soft joints"], seen: { plate: "180", room: "18", base: "120", sink: "78" } };

id("fan-example").addEventListener("click", () => {
  for (const one of fields) one.value = one.dataset.example;
  id("fan-name").value = "Found fan (invented)";
  for (const one of form.querySelectorAll("[name=shows]")) one.checked = EXAMPLE.shows.includes(one.value);
  for (const [key, value] of Object.entries(EXAMPLE.seen)) id(`seen-1-${key}`).value = value;
});

// `own`: without the readings that a log has filled in.
export function asked(own = false) {
  const looks = looks_of().filter((box) => !own || !box.dataset.log);
  const rows = looks.map((box) => Object.fromEntries([...box.querySelectorAll("[data-seen]")].filter((one) => one.value.trim()).map((one) => [one.dataset.seen, one.value])));
  rows.forEach((row, i) => { if (Object.keys(row).length && looks[i].querySelector("[data-turns]").checked) row.turns = "yes"; });
  const used = looks.filter((_, i) => Object.keys(rows[i]).length);
  return { used, body: { name: id("fan-name").value, values: Object.fromEntries(fields.filter((one) => one.value.trim()).map((one) => [one.dataset.place, one.value])),
    shows: [...form.querySelectorAll("[name=shows]:checked")].map((one) => one.value), seen: rows.filter((row) => Object.keys(row).length) } };
}
export const field_at = (place) => fields.find((one) => one.dataset.place === place);
// A problem is told beside its field; what has no field of its own, below the form.
function field_of(place, used) {
  if (place === "file.name") return id("fan-name");
  const row = place.match(/^seen\[(\d+)\](?:\.(\w+))?$/);
  if (row) { const box = used[Number(row[1]) - 1]; return box?.querySelector(row[2] ? `[data-seen="${row[2]}"]` : "[data-seen]") ?? null; }
  return fields.find((one) => one.dataset.place === place) ?? null;
}
export function wrong(problems, used) {
  const rest = [];
  let first = null;
  for (const one of problems) {
    const field = field_of(one.place, used);
    if (field) { field.setAttribute("aria-invalid", "true"); field.parentElement.querySelector(".wrong").textContent = one.says; field.closest("details")?.setAttribute("open", ""); first ??= field; }
    else if (one.place === "module.shows") id("shows-wrong").textContent = one.says;
    else rest.push(`${one.place}: ${one.says}`);
  }
  id("fan-wrong").textContent = rest.join(" ");
  first?.focus();
}

export function nothing_wrong() {
  for (const one of form.querySelectorAll(".wrong:not(.log .wrong)")) one.textContent = "";
  for (const one of form.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
  id("fan-wrong").textContent = "";
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  nothing_wrong();
  const { used, body } = asked();
  id("fan-go").disabled = true;
  try {
    await solver_ready(id("waiting"));
    const got = await follow(await ask("/api/guard/found", body), id("fan-job"));
    if (got !== null) show(got);
  } catch (error) { if (error.problems?.length) wrong(error.problems, used); else tell(id("fan-wrong"), error); } finally { id("fan-go").disabled = false; }
});

function take(text) { tab.take(text); location.href = "/build"; }
function table(name, head, rows) {
  return make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": name }, make("table", {}, make("thead", {}, make("tr", {}, ...head.map((one) => make("th", { scope: "col" }, one)))), make("tbody", {}, ...rows)));
}
const told = (one) => [figure(one.key, one.text), " ", why(one.key, one.label, one.why)];
const told_list = (rows) => { const list = make("dl", { class: "figures" }); put_figures(list, rows); return list; };
function show(got) {
  const box = id("fan-found"), fits = make("div", { class: "chart sheet", role: "img", tabindex: "0", "aria-label": "How hot each module that fits gets, against what it bears" }), peaks = make("div", { class: "chart sheet", role: "img", tabindex: "0", "aria-label": "Hottest face against the plate for every guard" });
  id("fan-sentence").textContent = got.sentence;
  const capital = (text) => text[0].toUpperCase() + text.slice(1);
  box.replaceChildren(make("h2", {}, got.name), make("p", {}, "Whole modules and no guard; 19 in 20 fans measured like this lie between:"), told_list(got.bands),
    make("details", {}, make("summary", {}, "What it is taken for inside"), make("ul", {}, ...got.rules.map((one) => make("li", {}, one)), ...got.tuned.map((one) => make("li", {}, `tuned to what was seen: ${one}`)))),
    make("h2", {}, "What killed its modules"), told_list(got.heat),
    got.causes.length ? make("ol", { class: "causes" }, ...got.causes.map((one) => make("li", {}, make("strong", {}, ...told(one.likely)), `: ${one.says}. Against it: ${one.mend}.`))) : make("p", {}, "Tick what the modules show to hear what killed them."),
    ...(got.causes.length ? [make("p", { class: "quiet" }, `They show: ${got.signs}. Common practice, weighed with what this fan does when over-fired.`)] : []),
    make("h2", {}, "Modules that fit"),
    table("Modules that fit", ["module", ...got.fit_heads], got.fits.map((one) => make("tr", {}, make("th", { scope: "row" }, one.name),
      ...(one.figures.length ? got.fit_heads.map((_, i) => make("td", { class: (i === 0 && !one.lives) || (i === 3 && !one.all_live) ? "against" : "" }, ...(one.figures[i] ? told(one.figures[i]) : ["–"]))) : [make("td", { colspan: got.fit_heads.length }, `does not fit: ${one.against}`)])))),
    make("p", { class: "quiet" }, "All of it over-fired and without a guard: what a guard must keep away, from the module and from the compound, the motor and the wires beside it."),
    ...(got.fits_chart ? [fits] : []),
    make("h2", {}, "A guard for it"), make("p", { class: "sentence" }, got.sentence),
    ...got.guards.map((one) => make("article", { class: `kind${one.best ? " best" : ""}`, "aria-label": one.title }, make("h3", {}, one.title), one.best ? make("p", { class: "mark" }, "Recommended") : null, make("p", {}, `${capital(one.asks)}. ${capital(one.sizes)}.`),
      figure_list(one.figures, one.text), make("p", { class: one.against.length ? "against" : "nothing" }, one.against.length ? `Against it: ${one.against.join("; ")}.` : "Nothing against it while all its parts work."),
      one.parts.length ? make("p", { class: "quiet" }, `Needs: ${one.parts.join(", ")}.`) : null,
      make("button", { type: "button", class: one.best ? "main" : "", "aria-label": `Take the fan with: ${one.title}`, onclick: () => take(one.text) }, "Take it with this"))),
    peaks, make("p", { class: "stack" }, make("button", { type: "button", onclick: () => take(got.text) }, "Take the fan as it is")), make("p", { class: "quiet" }, "Taken, it is a build like any other: its guesses stand with their spreads, and Odds says which to measure."));
  box.focus();
  if (got.fits_chart) put_chart(fits, got.fits_chart, 240).catch((error) => tell(id("fan-wrong"), error));
  put_chart(peaks, got.guards_chart).catch((error) => tell(id("fan-wrong"), error));
}
