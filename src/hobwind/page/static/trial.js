// Trial: logs read and put right, laid over the prediction, the guesses corrected, the diary written. Live logging is in live.js.
import { ask, make, tell } from "./ask.js";
import { put_chart } from "./chart.js";
import { follow, solver_ready } from "./jobs.js";
import { tab } from "./tab.js";
import { bytes_of, drop_zone } from "./upload.js";
import { figure, put_figures, why, why_of } from "./why.js";
import { begin_live } from "./live.js";

const id = (name) => document.getElementById(name), KEY = "hobwind-trial", MOST_LOGS = 5, MOST_EVENINGS = 9;
const choices = [...id("choices").options].map((one) => [one.value, one.textContent]);
let logs = [], result = null; // a log: { name, data, columns: {header: [channel, unit]}, surfaces, offset, other, read }
why_of(() => ({ text: tab.text }));

function keep() {
  try { sessionStorage.setItem(KEY, JSON.stringify(logs)); } catch { sessionStorage.removeItem(KEY); /* too large to be kept over a change of section */ }
}
const sent = (one) => ({ name: one.name, data: one.data, surfaces: one.surfaces, offset_s: one.offset,
  columns: Object.entries(one.columns).map(([header, [channel, unit]]) => ({ header, channel, unit })) });
const asked = () => ({ text: tab.text, file: tab.file || "build", logs: logs.filter((one) => !one.other).map(sent), evenings: logs.filter((one) => one.other).map(sent), hold_back_percent: Number(id("held").value) });

async function look(one) { one.read = await ask("/api/trial/read", { log: sent(one) }); }

async function add(name, data) {
  const say = id("file-says");
  say.textContent = "";
  if (logs.length >= MOST_LOGS + MOST_EVENINGS) { say.textContent = `At most ${MOST_LOGS + MOST_EVENINGS} logs are taken at once; take one out first.`; return; }
  const one = { name, data, columns: {}, surfaces: [], offset: null, other: false, read: null };
  try { await look(one); logs.push(one); show_logs(); } catch (error) { tell(say, error); }
}
async function take(files) {
  for (const file of files) {
    try { await add(file.name.slice(0, 120), await bytes_of(file)); } catch (error) { tell(id("file-says"), error); }
  }
  id("files").value = "";
}

async function change(one, header, channel, unit) {
  const before = { ...one.columns };
  if (channel !== "-" && channel !== "note") for (const other of one.read.columns) if (other.channel === channel && other.header !== header) one.columns[other.header] = ["-", ""];
  one.columns[header] = [channel, unit];
  await again(one, () => { one.columns = before; });
}
async function again(one, back) {
  try { await look(one); id("file-says").textContent = ""; } catch (error) { back(); tell(id("file-says"), error); }
  show_logs();
}

function column_head(one, column, k, n) {
  const what = make("select", { "aria-label": `What ${column.header || "column " + (k + 1)} is`, id: `what-${n}-${k}` }, ...choices.map(([key, says]) => make("option", { value: key, selected: key === column.channel }, says)));
  what.addEventListener("change", async () => { await change(one, column.header, what.value, ""); id(`what-${n}-${k}`)?.focus(); });
  const parts = [make("div", {}, column.header || "–"), what];
  if (column.units.length) {
    const unit = make("select", { "aria-label": `Unit of ${column.header}`, id: `unit-${n}-${k}` }, ...column.units.map((key) => make("option", { value: key, selected: key === column.unit }, key)));
    unit.addEventListener("change", async () => { await change(one, column.header, column.channel, unit.value); id(`unit-${n}-${k}`)?.focus(); });
    parts.push(unit);
  }
  parts.push(make("div", { class: "why-so" }, column.why));
  return make("th", { scope: "col" }, ...parts);
}

function log_card(one, n) {
  const { read } = one, rows = Math.max(0, ...read.columns.map((column) => column.cells.length));
  const size = [`${read.lines} lines`, read.minutes ? `over ${read.minutes.toFixed(0)} min` : "", read.date].filter(Boolean).join(", ");
  const card = make("div", { class: "log sheet" }, make("h3", {}, one.name), make("p", {}, size + (read.empty ? `; ${read.empty} empty cells` : "") + (read.notes ? `; ${read.notes} notes` : "")));
  if (read.problem) card.append(make("p", { class: "wrong", role: "alert" }, read.problem));
  card.append(make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": `Columns of ${one.name}` }, make("table", {},
    make("thead", {}, make("tr", {}, ...read.columns.map((column, k) => column_head(one, column, k, n)))),
    make("tbody", {}, ...Array.from({ length: rows }, (_, i) => make("tr", {}, ...read.columns.map((column) => make("td", {}, column.cells[i] ?? ""))))))));
  if (read.bad.length) card.append(make("details", { open: read.bad.length < 6 }, make("summary", {}, `${read.bad.length + read.more_bad} lines or cells left out`),
    make("ul", {}, ...read.bad.slice(0, 60).map((bad) => make("li", {}, `line ${bad.line}: ${bad.says}`)), ...(read.bad.length + read.more_bad > 60 ? [make("li", {}, `and ${read.bad.length + read.more_bad - 60} more`)] : []))));
  for (const gap of read.gaps) card.append(make("p", { class: "quiet" }, gap));
  const infrared = read.columns.filter((column) => ["plate", "hot_face", "cold_face", "sink", "riser", "element", "motor"].includes(column.channel));
  if (infrared.length) card.append(infrared_part(one, infrared, n));
  if (n > 0) card.append(joining(one, n));
  card.append(make("p", { class: "stack" }, make("button", { type: "button", class: "quietly", onclick: () => { logs.splice(n, 1); show_logs(); } }, `Take ${one.name} out`)));
  return card;
}

function infrared_part(one, columns, n) {
  const which = make("select", { id: `ir-which-${n}` }, ...columns.map((column) => make("option", { value: column.channel }, choices.find(([key]) => key === column.channel)[1])));
  const value = make("input", { type: "text", id: `ir-value-${n}`, value: "0.95±0.05 at 0.95", maxlength: "40", autocomplete: "off" });
  const put = make("button", { type: "button", onclick: () => { const before = one.surfaces; one.surfaces = [...before.filter((text) => !text.startsWith(which.value + "=")), `${which.value}=${value.value.trim()}`]; again(one, () => { one.surfaces = before; }); } }, "It was read by infrared");
  const set = one.surfaces.map((text) => make("li", {}, text.replace("=", ": radiates "), " ", make("button", { type: "button", class: "quietly", onclick: () => { one.surfaces = one.surfaces.filter((other) => other !== text); again(one, () => {}); } }, "no, touched")));
  return make("details", { open: one.surfaces.length > 0 }, make("summary", {}, "Read by an infrared thermometer?"),
    make("p", { class: "quiet" }, "How well the surface radiates (black is 1) ± how sure, at the meter's setting. " + (one.read.asks ? one.read.asks[0].toUpperCase() + one.read.asks.slice(1) : "")),
    make("div", { class: "stack" }, make("label", { for: `ir-which-${n}` }, "what"), which, make("label", { for: `ir-value-${n}` }, "radiates"), value, put), make("ul", {}, ...set));
}

function joining(one, n) {
  const role = make("select", { id: `role-${n}` }, make("option", { value: "" , selected: !one.other }, "another logger of this evening"), make("option", { value: "other", selected: one.other }, "another evening of this fan"));
  role.addEventListener("change", () => { one.other = role.value === "other"; show_logs(); });
  const parts = [make("label", { for: `role-${n}` }, "This is"), role];
  if (!one.other) {
    const field = make("input", { type: "number", id: `offset-${n}`, step: "1", value: one.offset ?? "", placeholder: "to be found" });
    field.addEventListener("change", () => { one.offset = field.value === "" ? null : Number(field.value); keep(); });
    parts.push(make("label", { for: `offset-${n}` }, "seconds added to its clock"), field, make("span", { class: "quiet", id: `joined-${n}` }, one.joined ?? ""));
  } else parts.push(make("span", { class: "quiet" }, "used when the guesses are corrected"));
  return make("div", { class: "stack" }, ...parts);
}

function show_logs() {
  keep();
  id("looked").hidden = logs.length === 0;
  id("logs").replaceChildren(...logs.map(log_card));
  const bad = logs.filter((one) => one.read.problem);
  id("run").disabled = bad.length > 0;
  id("waits").textContent = bad.length ? `First put right: ${bad.map((one) => one.name).join(", ")}.` : "";
}

async function run(way, box, says) {
  says.textContent = ""; says.classList.remove("bad");
  try {
    await solver_ready(id("waiting"));
    const got = await follow(await ask(`/api/trial/${way}`, asked()), box);
    if (got) { result = got; await show(got); }
    return got;
  } catch (error) { box.replaceChildren(); tell(says, error); return null; }
}

const items = (list, rows) => list.replaceChildren(...rows.map((text) => make("li", {}, text)));
async function show(got) {
  id("found").hidden = false;
  put_figures(id("shown"), got.figures);
  items(id("missing"), [...got.words, ...got.missing.map((text) => `Not shown: ${text}.`)]);
  id("next-fire").textContent = got.next_fire;
  id("cautions").replaceChildren(...got.cautions.map((text) => make("p", { class: "caution" }, text)));
  id("cause").textContent = got.cause || "Nothing beside the plate was measured, so nothing can be compared. Measure a face, the sink or the speed as well.";
  put_figures(id("inside"), got.inside ? [got.inside] : []);
  put_figures(id("differences"), got.differences);
  id("events").tBodies[0].replaceChildren(...got.events.map((one) => make("tr", {}, make("th", { scope: "row" }, one.what), ...[one.measured, one.predicted].map((told) => make("td", {}, ...(told ? ["at a plate of ", figure(told.key, told.text), " ", why(told.key, told.label, told.why)] : ["–"]))))));
  items(id("notes"), got.notes.map((one) => `${one.minute.toFixed(0)} min: ${one.text}`));
  items(id("causes"), got.causes.map((one) => `${one.percent} %: ${one.says}`));
  id("all-causes").hidden = got.causes.length === 0;
  logs.filter((one, n) => n > 0 && !one.other).forEach((one, k) => {
    const off = got.offsets[k];
    one.joined = off ? `${off.seconds >= 0 ? "+" : ""}${off.seconds.toFixed(0)} s, ${off.says}${off.doubtful ? ": doubtful, type it" : ""}` : "";
    const line = id(`joined-${logs.indexOf(one)}`);
    if (line) line.textContent = one.joined;
  });
  id("fit").disabled = !got.cause;
  id("fitted").hidden = !got.fit;
  if (got.fit) show_fit(got.fit);
  await put_chart(id("chart"), got.chart);
}
function show_fit(fit) {
  put_figures(id("usual"), [fit.usual]);
  id("usual-says").textContent = `It was ${fit.before} with the guesses; 1 is what noise alone makes${fit.evenings > 1 ? `; ${fit.evenings} evenings together` : ""}${fit.settled ? "" : "; not fully settled"}. ${fit.meters.join(" ")}`;
  const rows = fit.told.map((one) => make("tr", { "data-figure": "trial_told" }, make("th", { scope: "row" }, one.name), make("td", {}, one.before), make("td", {}, one.now), make("td", {}, `${one.left} % `, why("trial_told", one.name, one.why))));
  id("told").tBodies[0].replaceChildren(...(rows.length ? rows : [make("tr", {}, make("td", { colspan: "4" }, "Nothing: no guess is narrowed to less than 0.8 of what it was."))]));
  id("foretold").textContent = fit.foretold;
  items(id("untold"), [...fit.together, ...fit.untold]);
}

async function enter() {
  const says = id("fit-says");
  try { says.textContent = (await ask("/api/trial/diary", { mark: result.mark })).says; says.classList.remove("bad"); } catch (error) { tell(says, error); }
}

async function typed() {
  try {
    const { names } = await ask("/api/trial/typed");
    id("typed").replaceChildren(...names.slice(0, 6).map((one) => make("li", {}, make("button", { type: "button", class: "quietly", onclick: () => use_typed(one.name) }, `Use ${one.says}`))));
  } catch { /* the list is a help, not a need */ }
}
async function use_typed(name) {
  try { const got = await ask(`/api/trial/typed/${encodeURIComponent(name)}`); await add(got.name, got.data); } catch (error) { tell(id("file-says"), error); }
}

async function begin() {
  const before = sessionStorage.getItem(KEY);
  if (before) try { logs = JSON.parse(before); show_logs(); } catch { logs = []; }
  if (!tab.text) id("file-says").textContent = "No build is open in this tab yet: open or begin one first, so that there is something to lay the fire over.";
  if (tab.file) id("to-pad").href = `/trial/pad?file=${encodeURIComponent(tab.file)}`;
  await typed();
  const wanted = new URL(location.href).searchParams.get("typed");
  if (wanted && !logs.some((one) => one.name === `${wanted}.csv`)) { logs = []; await use_typed(wanted); }
  begin_live(typed);
}
id("files").addEventListener("change", (event) => take([...event.target.files]));
drop_zone(id("drop"), take);
id("invented").addEventListener("click", async () => {
  try {
    const got = await ask("/api/trial/invented");
    logs = []; await add(got.name, got.data);
    if (!/^name = "Boat shed"/m.test(tab.text)) id("file-says").textContent = "This fire was read on the boat shed's fan; laid over another build it will not fit.";
  } catch (error) { tell(id("file-says"), error); }
});
id("run").addEventListener("click", async () => { if (await run("run", id("job"), id("run-says"))) id("found").scrollIntoView({ block: "start" }); });
id("fit").addEventListener("click", async () => { id("fit-says").textContent = ""; if (await run("fit", id("fit-job"), id("fit-says"))) id("fitted").scrollIntoView({ block: "start" }); });
id("enter").addEventListener("click", enter);
id("take").addEventListener("click", () => { tab.put(result.fit.text); tab.say("The corrected build is in this tab. Undo brings the guesses back; Save writes it."); });
begin().catch((error) => tell(id("file-says"), error));
