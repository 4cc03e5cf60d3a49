// Logs of a found fan: read and put right, the stretches near rest taken and shown, their readings written into the form.
import { ask, make, tell } from "./ask.js";
import { put_chart } from "./chart.js";
import { asked, field_at, nothing_wrong, wrong } from "./guard_fan.js";
import { follow, solver_ready } from "./jobs.js";
import { begun, choices_of, log_card, sent } from "./log_card.js";
import { fill } from "./looks.js";
import { bytes_of, drop_zone } from "./upload.js";

const id = (name) => document.getElementById(name), MOST_LOGS = 4, choices = choices_of(id("choices"));
let logs = [], taken = true; // whether what the logs tell stands in the form, or was tried to be put there

async function look(one) { one.read = await ask("/api/trial/read", { log: sent(one) }); }
async function add(name, data) {
  id("fan-log-says").textContent = "";
  if (logs.length >= MOST_LOGS) { id("fan-log-says").textContent = `At most ${MOST_LOGS} logs are taken at once; take one out first.`; return; }
  const one = begun(name, data);
  try { await look(one); logs.push(one); taken = false; show_logs(); } catch (error) { tell(id("fan-log-says"), error); }
}
async function take(files) {
  for (const file of files) {
    try { await add(file.name.slice(0, 120), await bytes_of(file)); } catch (error) { tell(id("fan-log-says"), error); }
  }
  id("fan-logs").value = "";
}
async function again(one, back) {
  taken = false;
  try { await look(one); id("fan-log-says").textContent = ""; } catch (error) { back(); tell(id("fan-log-says"), error); }
  show_logs();
}
function show_logs() {
  id("fan-log-cards").replaceChildren(...logs.map((one, n) => {
    const card = log_card(one, n, choices, again);
    card.append(make("p", { class: "stack" }, make("button", { type: "button", class: "quietly", onclick: () => { logs.splice(n, 1); show_logs(); } }, `Take ${one.name} out`)));
    return card;
  }));
  const bad = logs.filter((one) => one.read.problem);
  id("fan-log-go").hidden = logs.length === 0;
  id("fan-stretches").disabled = bad.length > 0;
  id("fan-log-waits").textContent = bad.length ? ` First put right: ${bad.map((one) => one.name).join(", ")}.` : "";
  if (!logs.length) { id("fan-log-found").replaceChildren(); fill([]); }
}

// A log that was dropped and not taken yet is taken before anything is worked out from the form.
document.getElementById("fan-form").addEventListener("submit", (event) => {
  if (taken || !logs.length || id("fan-stretches").disabled) return;
  event.preventDefault(); event.stopImmediatePropagation();
  stretches().then(() => event.target.requestSubmit());
}, true);

async function stretches() {
  const { used, body } = asked(true);
  nothing_wrong();
  taken = true;
  id("fan-stretches").disabled = true;
  try {
    await solver_ready(id("waiting"));
    const got = await follow(await ask("/api/guard/stretches", { fan: body, logs: logs.map(sent) }), id("fan-log-job"));
    if (got !== null) show(got);
  } catch (error) { id("fan-log-found").replaceChildren(); if (error.problems?.length) wrong(error.problems, used); else tell(id("fan-log-says"), error); } finally { id("fan-stretches").disabled = false; }
}
function show(got) {
  fill(got.logs.flatMap((log) => log.stretches.map((one) => [one.row, log.name])));
  for (const [place, value] of Object.entries(got.fills)) { const field = field_at(place); if (field) field.value = value; }
  const charts = [], box = id("fan-log-found");
  box.replaceChildren(...got.logs.flatMap((log) => {
    const chart = make("div", { class: "chart sheet", role: "img", tabindex: "0", "aria-label": `${log.name}: the stretches taken are shaded; beneath, how far the fan lags behind rest` });
    charts.push([chart, log.chart]);
    return [make("h3", {}, `Taken from ${log.name}`), make("p", { class: "quiet" }, log.says), chart,
      make("ul", {}, ...log.stretches.map((one) => make("li", {}, make("strong", {}, one.when), make("br"), one.told.join("; "))))];
  }), make("p", { class: "quiet" }, got.rule), ...got.stove.map((one) => make("p", {}, `Stove: ${one}.`)),
    make("p", {}, "They stand as readings below, and may be changed there; then work it out."));
  box.focus();
  for (const [chart, made] of charts) put_chart(chart, made).catch((error) => tell(id("fan-log-says"), error));
}

id("fan-logs").addEventListener("change", (event) => take([...event.target.files]));
drop_zone(id("fan-drop"), take);
id("fan-stretches").addEventListener("click", stretches);
id("fan-invented").addEventListener("click", async () => {
  try { const got = await ask("/api/guard/invented"); logs = []; await add(got.name, got.data); } catch (error) { tell(id("fan-log-says"), error); }
});
