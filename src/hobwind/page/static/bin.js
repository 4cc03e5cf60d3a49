// Bin: panels, parts on hand, wishes, the pick, and somebody's build followed.
import { ask, make, tell } from "./ask.js";
import { open_test } from "./bench.js";
import { bin } from "./bin_text.js";
import { put_chart } from "./chart.js";
import { follow, solver_ready } from "./jobs.js";
import { tab } from "./tab.js";
import { build_text } from "./upload.js";
import { figure, why, why_of, why_within } from "./why.js";

const id = (name) => document.getElementById(name);
const PANELS = ["shelf", "bench", "pick", "follow"];
// What is asked of a new part, kind by kind: key, label, an example; the catalogue's names come as a list.
const ASKED = {
  part: ["like, in the catalogue", ""], name: ["call it", "blank: as it is called there"], count: ["how many", "1"], vanes: ["its vanes", "blank: as of the one it is like"], length: ["length", "180 mm"],
  shape: ["section", ""], width: ["width", "60 mm"], depth: ["depth", "60 mm"], diameter: ["diameter, if round", "55 mm"], material: ["of", ""],
  sawn: ["may it be sawn?", ""], thickness: ["thickness", "10 mm"], serves: ["serves as", ""], price: ["price, if it must be bought", "blank: it lies here"],
};
const KEYS = {
  module: ["part", "name", "count", "price"], motor: ["part", "name", "price"], blade: ["part", "name", "vanes", "price"], sink: ["part", "name", "price"],
  bar: ["name", "shape", "width", "depth", "diameter", "length", "material", "sawn"], plate: ["name", "width", "depth", "thickness", "material", "serves"],
  screws: ["part", "name", "count", "length"], bush: ["part", "name", "count"], element: ["part", "name"],
};
let adding = null, held = null;

why_of(() => ({ text: tab.text }));

function show_panel() {
  const hash = location.hash.slice(1), test = hash.startsWith("test-") ? document.getElementById(hash) : null;
  const wanted = PANELS.includes(hash) ? hash : test ? "bench" : "shelf";
  for (const one of PANELS) id(one).hidden = one !== wanted;
  for (const link of document.querySelectorAll("[data-panel]")) { if (link.dataset.panel === wanted) link.setAttribute("aria-current", "true"); else link.removeAttribute("aria-current"); }
  if (wanted === "follow") list_builds();
  if (test) { test.open = true; test.scrollIntoView(); }
}

// Parts on hand.
function show_bar() {
  id("binbar").hidden = !bin.text; id("no-bin").hidden = Boolean(bin.text); id("has-bin").hidden = !bin.text;
  id("bin-file").textContent = (bin.file || "not saved yet") + (bin.is_changed && bin.file ? ", changed" : "");
  id("bin-undo").disabled = !bin.can_undo; id("bin-redo").disabled = !bin.can_redo;
}
async function show_bin() {
  show_bar();
  if (!bin.text) return;
  try {
    const got = await ask("/api/bin/look", { bin: bin.text }, { lane: "bin-look" });
    held = got;
    id("bin-name").textContent = got.name; id("bin-says").textContent = got.says;
    id("bin-wanting").hidden = got.wanting.length === 0;
    id("bin-wanting").textContent = `A fan still wants: ${got.wanting.join(", ")}.`;
    id("bin-problems").replaceChildren(...got.problems.map((one) => make("li", {}, `${one.place}: ${one.says}`)));
    show_items(got); show_wishes(got.wishes); show_ways(got.ways);
  } catch (error) { tell(id("bin-problems"), error); }
}
function entry(one) {
  const heading = one.price === null ? one.kind : "buy";
  const out = async () => { try { bin.put((await ask("/api/bin/take-out", { bin: bin.text, heading, number: one.number })).bin, `${one.name} is out; undo puts it back.`); } catch (error) { bin.say(error.message, true); } };
  return make("tr", {}, make("td", {}, one.name), make("td", { class: "num" }, one.count > 1 ? `${one.count} ×` : ""), make("td", {}, one.says),
    make("td", {}, make("button", { type: "button", class: "quietly", "aria-label": `Take out ${one.name}`, onclick: out }, "Take out")));
}
function table_of(title, items) {
  return make("div", { class: "bin-kind" }, make("h3", {}, title), make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": title },
    make("table", {}, make("thead", { class: "skip" }, make("tr", {}, ...["name", "how many", "what is known", "take out"].map((one) => make("th", { scope: "col" }, one)))), make("tbody", {}, ...items.map(entry)))));
}
function show_items(got) {
  const here = got.items.filter((one) => one.price === null), dear = got.items.filter((one) => one.price !== null);
  const groups = Object.keys(KEYS).map((kind) => [kind, here.filter((one) => one.kind === kind)]).filter(([, items]) => items.length);
  const words = adding?.kinds ?? {};
  const title = (kind) => { const said = words[kind] ?? kind; return said[0].toUpperCase() + said.slice(1); };
  id("bin-items").replaceChildren(...groups.map(([kind, items]) => table_of(title(kind), items)),
    dear.length ? table_of("May be bought", dear.map((one) => ({ ...one, says: `${one.kind}, ${one.price}${one.says ? `; ${one.says}` : ""}` }))) : "",
    got.guards.length ? make("div", {}, make("h3", {}, "Ways of guarding"), make("ul", {}, ...got.guards.map((one) => make("li", {}, one)))) : "");
}
function show_wishes(wishes) {
  if (id("wish-form").contains(document.activeElement) && document.activeElement.matches("input, select")) { refresh_wishes(wishes); return; }
  id("wish-form").replaceChildren(...wishes.map((one) => {
    if (one.several) return tools_of(one);
    const name = `w-${one.place}`, shared = { id: name, "data-wish": one.place };
    const field = one.choices.length ? make("select", shared, ...one.choices.map((word) => make("option", { value: word }, word))) : make("input", { ...shared, type: "text", autocomplete: "off", maxlength: "80" });
    field.value = one.value;
    const wrong = make("span", { class: "wrong", role: "status" });
    field.addEventListener("change", async () => {
      try { const got = await ask("/api/bin/wish", { bin: bin.text, place: one.place, value: field.value }); wrong.textContent = ""; field.removeAttribute("aria-invalid"); bin.put(got.bin); }
      catch (error) { tell(wrong, error); field.setAttribute("aria-invalid", "true"); }
    });
    return make("div", {}, make("label", { for: name }, one.label), field, wrong);
  }));
}
// Several of a row: a box to tick for each.
function ticks(legend, rows, changed) {
  const wrong = make("span", { class: "wrong", role: "status" });
  const box = make("fieldset", { class: "ticks" }, make("legend", {}, legend), ...rows.map((one) => make("label", {}, make("input", { type: "checkbox", value: one.key, checked: one.on }), ` ${one.label}`)), wrong);
  box.addEventListener("change", async (event) => {
    try { bin.put(await changed(event.target, [...box.querySelectorAll("input:checked")].map((field) => field.value))); wrong.textContent = ""; }
    catch (error) { event.target.checked = !event.target.checked; tell(wrong, error); }
  });
  return box;
}
function tools_of(one) {
  const have = one.value.split(", "), box = ticks(one.label, one.choices.map((word) => ({ key: word, label: word, on: have.includes(word) })),
    async (_, chosen) => (await ask("/api/bin/wish", { bin: bin.text, place: one.place, value: chosen.join(", ") || "none" })).bin);
  box.id = "w-tools";
  return box;
}
function show_ways(ways) {
  const held = document.activeElement?.closest("#ways") ? document.activeElement.value : null;
  id("ways").replaceChildren(ticks("Ways of guarding to try; going without is always tried", ways, async (field) => (await ask("/api/bin/way", { bin: bin.text, key: field.value, on: field.checked })).bin));
  if (held) id("ways").querySelector(`[value="${CSS.escape(held)}"]`)?.focus();
}
function refresh_wishes(wishes) {
  for (const field of id("w-tools").querySelectorAll("input")) field.checked = wishes.find((one) => one.several).value.split(", ").includes(field.value);
  for (const one of wishes) { const field = id(`w-${one.place}`); if (field && field !== document.activeElement) field.value = one.value; }
}
function options_for(kind, key) {
  if (key === "part") return adding.names[kind] ?? [];
  if (key === "material") return adding.materials;
  return { shape: ["block", "cylinder"], sawn: ["yes", "no"], serves: ["hot plate", "spreader"] }[key] ?? [];
}
function show_add(kind = "module") {
  const pick = make("select", { id: "add-kind" }, ...Object.entries(adding.kinds).map(([key, says]) => make("option", { value: key }, says)));
  pick.value = kind;
  pick.addEventListener("change", () => { show_add(pick.value); id("add-kind").focus(); });
  const fields = KEYS[kind].map((key) => {
    const [label, example] = ASKED[key], options = options_for(kind, key), name = `add-${key}`;
    const field = options.length ? make("select", { id: name, "data-add": key }, ...options.map((one) => make("option", { value: one }, one))) : make("input", { type: "text", id: name, "data-add": key, maxlength: "300", placeholder: example });
    if (key === "material") field.value = "aluminium 6082";
    return make("div", {}, make("label", { for: name }, label), field);
  });
  const wrong = make("p", { class: "wrong", role: "status", id: "add-wrong" });
  id("add-form").replaceChildren(make("div", {}, make("label", { for: "add-kind" }, "kind of part"), pick), ...fields,
    make("div", {}, make("button", { type: "submit", class: "main" }, "Put it in"), wrong));
}
id("add-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const kind = id("add-kind").value, values = Object.fromEntries([...id("add-form").querySelectorAll("[data-add]")].map((one) => [one.dataset.add, one.value]));
  const typed = (values.price ?? "").trim().replace(",", ".");
  delete values.price;
  if (values.shape === "block") delete values.diameter; else if (values.shape === "cylinder") { delete values.width; delete values.depth; }
  try {
    if (typed && !(Number(typed) >= 0)) throw new Error(`price: got "${typed}"; a plain number such as 12.5 is wanted`);
    bin.put((await ask("/api/bin/add", { bin: bin.text, kind, values, price: typed ? Number(typed) : null })).bin, "It is in; undo takes it out again.");
    show_add(kind);
  } catch (error) { id("add-wrong").textContent = ""; tell(id("add-wrong"), error); if (error.problems?.length) id("add-wrong").textContent = error.problems.map((one) => `${one.place.replace(/^[a-z]+\[\d+\]\.?/, "")}: ${one.says}`).join(" "); }
});

// What to build.
function answer(one) {
  const take = () => { tab.take(one.text); location.href = "/build"; };
  const list = make("dl", { class: "figures" }, ...one.figures.map((row) => make("div", {}, make("dt", {}, row.label), make("dd", {}, figure(row.key, row.text), why(row.key, `${row.label}, answer ${one.number}`)))));
  const box = make("article", { class: "answer", "aria-label": `Answer ${one.number}` },
    make("h3", {}, `${one.number}. ${one.title}`), one.buys ? make("p", { class: "note" }, `Needs bought: ${one.buys}.`) : null, list,
    one.misses.length ? make("p", { class: "wrong" }, `Not as wished: ${one.misses.join(", ")}.`) : null,
    one.gamble ? make("p", { class: "note" }, "A gamble: within its spreads harm is likelier than 1 in 20.") : null,
    make("table", { class: "made" }, make("tbody", {}, ...one.parts.map((row) => make("tr", {}, make("th", { scope: "row" }, row.what), make("td", {}, row.says))))),
    make("ul", {}, ...one.reasons.map((says) => make("li", {}, says))),
    make("button", { type: "button", class: one.number === 1 ? "main" : "", "aria-label": `Take answer ${one.number}`, onclick: take }, "Take this one"));
  why_within(box, { text: one.text, plate_degC: one.usual_plate_degC });
  return box;
}
id("pick-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const wrong = id("pick-wrong"), found = id("pick-found");
  wrong.textContent = "";
  if (!bin.text) { wrong.textContent = "There is no bin yet: open or begin one under Parts on hand."; return; }
  id("pick-go").disabled = true;
  try {
    await solver_ready(id("waiting"));
    const asked = { bin: bin.text, shown: Number(id("pick-shown").value), most: Number(id("pick-most").value), seed: Number(id("pick-seed").value) };
    const job = await ask("/api/bin/pick", asked);
    id("pick-enough").onclick = () => ask(`/api/jobs/${job.id}/enough`, {}).catch((error) => tell(wrong, error));
    id("pick-enough-row").hidden = false;
    const got = await follow(job, id("pick-job"));
    if (got === null) return;
    const chart = make("div", { class: "chart", role: "img", "aria-label": "Start against air of every fan that lives, the answers numbered" });
    found.replaceChildren(make("p", {}, got.head),
      got.fell.length ? make("details", {}, make("summary", {}, "What fell, and why"), make("ul", {}, ...got.fell.map((row) => make("li", {}, `${row.what}: ${row.says}`)))) : "",
      got.answers.length ? "" : make("p", { class: "wrong" }, "Nothing on hand makes a fan."), ...got.answers.map(answer), make("p", {}, got.buying),
      ...(got.chart ? [make("h2", {}, "What trades against what"), make("p", { class: "quiet" }, "Every fan that lives; the numbered squares are the answers above. Further left starts earlier, higher moves more air."), chart] : []));
    if (got.chart) await put_chart(chart, got.chart);
  } catch (error) { tell(wrong, error); } finally { id("pick-go").disabled = false; id("pick-enough-row").hidden = true; }
});

// Somebody's build.
let listed = false;
async function list_builds() {
  if (listed) return;
  listed = true;
  const which = id("follow-which");
  try {
    const [all, bins] = await Promise.all([ask("/api/files"), ask("/api/bin/files")]);
    const names = all.names.filter((one) => !bins.names.includes(one));
    which.replaceChildren(...(tab.text ? [make("option", { value: "tab" }, `the build in this tab${tab.file ? `, ${tab.file}` : ""}`)] : []),
      ...names.map((one) => make("option", { value: `file:${one}` }, `${one}, in this folder`)), make("option", { value: "own" }, "a file from elsewhere"));
  } catch (error) { tell(id("follow-wrong"), error); }
  which.addEventListener("change", from_elsewhere);
  from_elsewhere();
}
function from_elsewhere() { id("follow-file-row").hidden = id("follow-which").value !== "own"; }
async function their_text() {
  const which = id("follow-which").value;
  if (which === "tab") return tab.text;
  if (which.startsWith("file:")) return (await ask(`/api/files/${encodeURIComponent(which.slice(5))}`)).text;
  const file = id("follow-file").files[0];
  if (!file) throw new Error("Choose their build file or dossier first.");
  return build_text(file);
}
function pairs(compared) {
  const cell = (one, says, text, whose) => {
    if (!one.key) return make("td", {}, says);
    return why_within(make("td", {}, figure(one.key, says), " ", why(one.key, `${one.label}, ${whose}`)), { text, plate_degC: one.plate_degC, ...(one.evening ? { fire: { shape: one.evening } } : {}) });
  };
  const rows = compared.figures.map((one) => make("tr", {}, make("th", { scope: "row" }, one.label), cell(one, one.first, compared.first_text, compared.first), cell(one, one.second, compared.second_text, compared.second)));
  const parts = compared.parts.map((one) => make("tr", {}, make("th", { scope: "row" }, one.label), make("td", {}, one.first), make("td", {}, one.second)));
  return make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": `${compared.first} and ${compared.second}` }, make("table", {},
    make("thead", {}, make("tr", {}, make("td", {}), make("th", { scope: "col" }, compared.first), make("th", { scope: "col" }, compared.second))), make("tbody", {}, ...rows, ...parts)));
}
id("follow-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const wrong = id("follow-wrong"), found = id("follow-found");
  wrong.textContent = "";
  if (!bin.text) { wrong.textContent = "There is no bin yet: open or begin one under Parts on hand."; return; }
  try {
    const text = await their_text();
    await solver_ready(id("waiting"));
    const got = await follow(await ask("/api/bin/follow", { text, bin: bin.text, mine: tab.text }), id("follow-job"));
    if (got === null) return;
    const take = () => { tab.take(got.text); location.href = "/build"; };
    found.replaceChildren(make("h2", {}, `${got.name}, with what is in your bin`),
      make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Part by part" }, make("table", {}, make("thead", {}, make("tr", {}, ...["part", "theirs", "on hand", "differs"].map((one) => make("th", { scope: "col" }, one)))),
        make("tbody", {}, ...got.matches.map((one) => make("tr", {}, make("th", { scope: "row" }, one.what), make("td", {}, one.theirs), make("td", {}, one.on_hand), make("td", {}, one.differs.join("; ") || "as theirs")))))),
      got.let_go.length ? make("p", { class: "note" }, `The nearest parts do not go together; freely chosen instead: ${got.let_go.join(", ")}.`) : "",
      make("h2", {}, "What to do"), make("ul", {}, ...got.todo.map((one) => make("li", {}, one))),
      make("h2", {}, "What becomes of it"), make("p", { class: "sentence" }, got.sentence),
      ...got.findings.filter((one) => one.severity !== "advice").map((one) => make("div", { class: `finding ${one.severity}` }, make("span", { class: "level" }, one.severity), `: ${one.says}`)),
      pairs(got.theirs),
      make("p", {}, make("button", { type: "button", class: "main", "aria-label": "Take the rebuilt fan", onclick: take }, "Take this one")),
      ...(got.mine ? [make("h2", {}, "Beside the build in this tab"), pairs(got.mine)] : []));
  } catch (error) { tell(wrong, error); if (error.problems?.length > 1) wrong.textContent += ` ${error.problems.slice(0, 4).map((one) => `${one.place}: ${one.says}.`).join(" ")}`; }
});

function begin() {
  const trying = (work) => async (event) => { try { await work(event); } catch (error) { id("binbar").hidden = false; bin.say(error.message, true); } };
  id("bin-example").addEventListener("click", trying(async () => bin.begin((await ask("/api/bin/example")).bin)));
  id("bin-starter").addEventListener("click", trying(async () => bin.begin((await ask("/api/bin/starter")).bin)));
  id("bin-open").addEventListener("change", trying(async (event) => { const [file] = event.target.files; if (file) await bin.take_file(file); event.target.value = ""; }));
  for (const button of document.querySelectorAll("[data-bin]")) button.addEventListener("click", trying(() => bin.open(button.dataset.bin)));
  id("bin-undo").addEventListener("click", () => bin.undo()); id("bin-redo").addEventListener("click", () => bin.redo());
  id("bin-save").addEventListener("click", () => bin.save()); id("bin-text").addEventListener("click", () => bin.as_text());
  id("bin-close").addEventListener("click", () => { if (!bin.is_changed || confirm("What was changed in this bin is not saved. Put it away all the same?")) bin.close(); });
  for (const box of document.querySelectorAll("details.test")) box.addEventListener("toggle", () => { if (box.open) open_test(box); });
  // Ctrl-S saves what was changed here: the bin while it is, else the build as everywhere.
  document.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "s" && bin.text && bin.is_changed) { event.preventDefault(); event.stopImmediatePropagation(); bin.save(); }
  }, true);
  window.addEventListener("hashchange", show_panel);
  bin.watch(show_bin);
  show_panel(); show_bin();
  ask("/api/bin/adding").then((got) => { adding = got; show_add(); if (held) show_items(held); }).catch((error) => tell(id("waiting"), error));
}
begin();
