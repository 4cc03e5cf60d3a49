// Trial: logs read and put right, laid over the prediction, the guesses corrected, the diary written. Live logging is in live.js.
import { ask, make, tell } from "./ask.js";
import { put_chart } from "./chart.js";
import { follow, solver_ready } from "./jobs.js";
import { begun, choices_of, log_card, sent } from "./log_card.js";
import { tab } from "./tab.js";
import { bytes_of, drop_zone } from "./upload.js";
import { figure, put_figures, why, why_of } from "./why.js";
import { begin_live } from "./live.js";

const id = (name) => document.getElementById(name), KEY = "hobwind-trial", MOST_LOGS = 5, MOST_EVENINGS = 9;
const choices = choices_of(id("choices"));
let logs = [], result = null; // a log: { name, data, columns: {header: [channel, unit]}, surfaces, offset, other, read }
why_of(() => ({ text: tab.text }));

function keep() {
  try { sessionStorage.setItem(KEY, JSON.stringify(logs)); } catch { sessionStorage.removeItem(KEY); /* too large to be kept over a change of section */ }
}
const asked = () => ({ text: tab.text, file: tab.file || "build", logs: logs.filter((one) => !one.other).map(sent), evenings: logs.filter((one) => one.other).map(sent), hold_back_percent: Number(id("held").value) });

async function look(one) { one.read = await ask("/api/trial/read", { log: sent(one) }); }

async function add(name, data) {
  const say = id("file-says");
  say.textContent = "";
  if (logs.length >= MOST_LOGS + MOST_EVENINGS) { say.textContent = `At most ${MOST_LOGS + MOST_EVENINGS} logs are taken at once; take one out first.`; return; }
  const one = begun(name, data);
  try { await look(one); logs.push(one); show_logs(); } catch (error) { tell(say, error); }
}
async function take(files) {
  for (const file of files) {
    try { await add(file.name.slice(0, 120), await bytes_of(file)); } catch (error) { tell(id("file-says"), error); }
  }
  id("files").value = "";
}

async function again(one, back) {
  try { await look(one); id("file-says").textContent = ""; } catch (error) { back(); tell(id("file-says"), error); }
  show_logs();
}

function card_of(one, n) {
  const card = log_card(one, n, choices, again);
  if (n > 0) card.append(joining(one, n));
  card.append(make("p", { class: "stack" }, make("button", { type: "button", class: "quietly", onclick: () => { logs.splice(n, 1); show_logs(); } }, `Take ${one.name} out`)));
  return card;
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
  id("logs").replaceChildren(...logs.map(card_of));
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
begin_live();
begin().catch((error) => tell(id("file-says"), error));
