// A logger's file as it was understood: its columns to be put right, lines left out, gaps, what an infrared meter read.
import { make } from "./ask.js";

const HOT = ["plate", "hot_face", "cold_face", "sink", "base", "riser", "element", "motor"];

// What the server is told of a log: { name, data, columns: {header: [channel, unit]}, surfaces, offset }.
export const sent = (one) => ({ name: one.name, data: one.data, surfaces: one.surfaces, offset_s: one.offset,
  columns: Object.entries(one.columns).map(([header, [channel, unit]]) => ({ header, channel, unit })) });
export const begun = (name, data) => ({ name, data, columns: {}, surfaces: [], offset: null, other: false, read: null });
export const choices_of = (list) => [...list.options].map((one) => [one.value, one.textContent]);

// `again(one, back)` looks at a log anew and calls `back` where that cannot be.
async function change(one, header, channel, unit, again) {
  const before = { ...one.columns };
  if (channel !== "-" && channel !== "note") for (const other of one.read.columns) if (other.channel === channel && other.header !== header) one.columns[other.header] = ["-", ""];
  one.columns[header] = [channel, unit];
  await again(one, () => { one.columns = before; });
}

function column_head(one, column, k, n, choices, again) {
  const what = make("select", { "aria-label": `What ${column.header || "column " + (k + 1)} is`, id: `what-${n}-${k}` }, ...choices.map(([key, says]) => make("option", { value: key, selected: key === column.channel }, says)));
  what.addEventListener("change", async () => { await change(one, column.header, what.value, "", again); document.getElementById(`what-${n}-${k}`)?.focus(); });
  const parts = [make("div", {}, column.header || "–"), what];
  if (column.units.length) {
    const unit = make("select", { "aria-label": `Unit of ${column.header}`, id: `unit-${n}-${k}` }, ...column.units.map((key) => make("option", { value: key, selected: key === column.unit }, key)));
    unit.addEventListener("change", async () => { await change(one, column.header, column.channel, unit.value, again); document.getElementById(`unit-${n}-${k}`)?.focus(); });
    parts.push(unit);
  }
  parts.push(make("div", { class: "why-so" }, column.why));
  return make("th", { scope: "col" }, ...parts);
}

function infrared_part(one, columns, n, choices, again) {
  const which = make("select", { id: `ir-which-${n}` }, ...columns.map((column) => make("option", { value: column.channel }, choices.find(([key]) => key === column.channel)[1])));
  const value = make("input", { type: "text", id: `ir-value-${n}`, value: "0.95±0.05 at 0.95", maxlength: "40", autocomplete: "off" });
  const put = make("button", { type: "button", onclick: () => { const before = one.surfaces; one.surfaces = [...before.filter((text) => !text.startsWith(which.value + "=")), `${which.value}=${value.value.trim()}`]; again(one, () => { one.surfaces = before; }); } }, "It was read by infrared");
  const set = one.surfaces.map((text) => make("li", {}, text.replace("=", ": radiates "), " ", make("button", { type: "button", class: "quietly", onclick: () => { one.surfaces = one.surfaces.filter((other) => other !== text); again(one, () => {}); } }, "no, touched")));
  return make("details", { open: one.surfaces.length > 0 }, make("summary", {}, "Read by an infrared thermometer?"),
    make("p", { class: "quiet" }, "How well the surface radiates (black is 1) ± how sure, at the meter's setting. " + (one.read.asks ? one.read.asks[0].toUpperCase() + one.read.asks.slice(1) : "")),
    make("div", { class: "stack" }, make("label", { for: `ir-which-${n}` }, "what"), which, make("label", { for: `ir-value-${n}` }, "radiates"), value, put), make("ul", {}, ...set));
}

// The card of log number `n`; what else belongs on it, and its button to take it out, the caller adds.
export function log_card(one, n, choices, again) {
  const { read } = one, rows = Math.max(0, ...read.columns.map((column) => column.cells.length));
  const size = [`${read.lines} lines`, read.minutes ? `over ${read.minutes.toFixed(0)} min` : "", read.date].filter(Boolean).join(", ");
  const card = make("div", { class: "log sheet" }, make("h3", {}, one.name), make("p", {}, size + (read.empty ? `; ${read.empty} empty cells` : "") + (read.notes ? `; ${read.notes} notes` : "")));
  if (read.problem) card.append(make("p", { class: "wrong", role: "alert" }, read.problem));
  card.append(make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": `Columns of ${one.name}` }, make("table", {},
    make("thead", {}, make("tr", {}, ...read.columns.map((column, k) => column_head(one, column, k, n, choices, again)))),
    make("tbody", {}, ...Array.from({ length: rows }, (_, i) => make("tr", {}, ...read.columns.map((column) => make("td", {}, column.cells[i] ?? ""))))))));
  if (read.bad.length) card.append(make("details", { open: read.bad.length < 6 }, make("summary", {}, read.bad.length === 1 ? "1 line or cell left out" : `${read.bad.length + read.more_bad} lines or cells left out`),
    make("ul", {}, ...read.bad.slice(0, 60).map((bad) => make("li", {}, `line ${bad.line}: ${bad.says}`)), ...(read.bad.length + read.more_bad > 60 ? [make("li", {}, `and ${read.bad.length + read.more_bad - 60} more`)] : []))));
  for (const gap of read.gaps) card.append(make("p", { class: "quiet" }, gap));
  const infrared = read.columns.filter((column) => HOT.includes(column.channel));
  if (infrared.length) card.append(infrared_part(one, infrared, n, choices, again));
  return card;
}
