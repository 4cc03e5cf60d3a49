// Bench tests: reading tables, what they come to while one types, and where the part goes.
import { ask, make, tell, Overtaken } from "./ask.js";
import { put_chart } from "./chart.js";
import { bin } from "./bin_text.js";
import { tab } from "./tab.js";
import { bytes_of } from "./upload.js";
import { figure, why } from "./why.js";

const WAIT = 350;
let tests = null;
const load = () => (tests ??= ask("/api/bin/tests").then((got) => new Map(got.tests.map((one) => [one.name, one]))));

function hint(blank) {
  if (blank.usual) return `don't know: ${blank.usual}`;
  return blank.needed ? "" : "don't know: leave it blank";
}
function cell(blank, value, place, label) {
  const shared = { "data-place": place, "data-key": blank.key, "aria-label": label };
  if (blank.choices.length) {
    const first = blank.needed ? "choose" : blank.usual || "don't know";
    const field = make("select", shared, make("option", { value: "" }, first), ...blank.choices.map((one) => make("option", { value: one }, one)));
    field.value = value ?? "";
    return field;
  }
  if (blank.key === "recording") return recording(shared, value ?? "");
  return make("input", { ...shared, type: "text", inputmode: blank.unit ? "decimal" : null, value: value ?? "", maxlength: "400", autocomplete: "off" });
}
// A recording's name in the folder, or one chosen here (a phone records at once) and sent there.
function recording(shared, value) {
  const name = make("input", { ...shared, type: "text", value, maxlength: "400", autocomplete: "off" }), says = make("span", { role: "status", class: "quiet" });
  const file = make("input", { type: "file", accept: "audio/*,video/*", "aria-label": `${shared["aria-label"] ?? "recording"}: choose or record` });
  file.addEventListener("change", async (event) => {
    event.stopPropagation();
    if (!file.files[0]) return;
    try {
      says.classList.remove("bad"); says.textContent = "Going over …";
      name.value = (await ask("/api/bin/recording", { name: file.files[0].name, data: await bytes_of(file.files[0]) })).name;
      says.textContent = "Kept beside the builds.";
      name.dispatchEvent(new Event("input", { bubbles: true }));
    } catch (error) { tell(says, error); }
  });
  return make("span", { class: "stack" }, name, file, says);
}
const titled = (blank) => (blank.unit ? `${blank.key.replaceAll("_", " ")}, ${blank.unit}` : blank.key.replaceAll("_", " "));

class Bench {
  constructor(test, box) {
    this.test = test; this.box = box; this.tables = new Map();
    this.form = make("form", { autocomplete: "off", onsubmit: (event) => event.preventDefault() });
    this.form.addEventListener("input", () => this.later());
    this.form.addEventListener("change", () => this.later());
    this.says = make("p", { role: "status" });
    this.out = make("div", { class: "result" });
    const fill = make("button", { type: "button", onclick: () => { this.fill(test.example); this.read(); } }, "Fill in example readings");
    const clear = make("button", { type: "button", class: "quietly", onclick: () => { this.fill({ top: {}, rows: {} }); this.read(); } }, "Clear");
    box.replaceChildren(make("h3", {}, "Readings"), make("p", { class: "quiet" }, "A bare figure takes the unit above it; leave blank what you don't know."),
      make("div", { class: "stack" }, fill, clear), make("div", { class: "bench" }, this.form, make("div", { class: "beside" }, this.says, this.out)));
    this.fill({ top: {}, rows: {} });
  }
  fill(answers) {
    this.tables.clear(); this.typed = "";
    const singles = this.test.blanks.length ? [this.fields("", this.test.blanks, answers.top)] : [];
    const groups = this.test.groups.map((group) => this.group(group, answers.rows[group.key] ?? []));
    this.form.replaceChildren(...singles, ...groups);
    this.out.replaceChildren(); this.nothing_yet();
  }
  nothing_yet() { this.says.classList.remove("wrong"); this.says.textContent = "What the readings come to appears here while you type."; }
  fields(group, blanks, values) {
    const box = make("div", { class: "measures", "data-single": group });
    for (const blank of blanks) {
      const place = group ? `${group}.${blank.key}` : `file.${blank.key}`;
      const field = cell(blank, values[blank.key], place, null);
      field.id = `${this.test.name}-${place}`;
      box.append(make("div", {}, make("label", { for: field.id }, titled(blank)), make("span", { class: "quiet" }, [blank.says, hint(blank)].filter(Boolean).join("; ")), field, make("div", { class: "row-says", "data-says": place })));
    }
    return box;
  }
  group(group, rows) {
    const open = group.single ? rows.length > 0 || group.least > 0 : true;
    if (group.single) {
      const more = make("details", {}, make("summary", {}, `${group.key.replaceAll("_", " ")}: ${group.says}`), this.fields(group.key, group.blanks, rows[0] ?? {}));
      more.open = open && group.key !== "instruments";
      return more;
    }
    const body = make("tbody");
    this.tables.set(group.key, { group, body });
    const head = make("tr", {}, make("th", { scope: "col" }, "no."), ...group.blanks.map((b) => make("th", { scope: "col" }, make("strong", {}, titled(b)), b.says, b.usual ? make("span", { class: "quiet" }, `, else ${b.usual}`) : b.needed ? "" : make("span", { class: "quiet" }, ", or blank"))));
    const add = make("button", { type: "button", onclick: () => { this.row(group, body, {}); body.lastElementChild.previousElementSibling.querySelector("input, select").focus(); } }, "One more row");
    const table = make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": `Readings: ${group.key}` }, make("table", {}, make("caption", { class: "skip" }, group.says), make("thead", {}, head), body));
    const wanted = Math.max(rows.length, group.least, group.least ? 4 : 1);
    for (let i = 0; i < wanted; i += 1) this.row(group, body, rows[i] ?? {});
    return make("fieldset", {}, make("legend", { class: "quiet" }, make("strong", {}, group.key.replaceAll("_", " ")), `: ${group.says}${group.least ? "" : " (may be left out)"}`), table, add);
  }
  row(group, body, values) {
    const number = body.querySelectorAll("tr[data-row]").length + 1;
    body.append(
      make("tr", { "data-row": number }, make("th", { scope: "row" }, String(number)), ...group.blanks.map((blank) => make("td", {}, cell(blank, values[blank.key], `${group.key}[${number}].${blank.key}`, `${group.key} ${number}, ${titled(blank)}`)))),
      make("tr", {}, make("td", { class: "row-says", colspan: String(group.blanks.length + 1), "data-says": `${group.key}[${number}]` })));
  }
  answers() {
    const take = (node) => Object.fromEntries([...node.querySelectorAll("[data-key]")].map((one) => [one.dataset.key, one.value]).filter(([, value]) => value.trim()));
    const rows = {};
    let top = {};
    for (const node of this.form.querySelectorAll("[data-single]")) {
      if (!node.dataset.single) top = take(node);
      else { const one = take(node); if (Object.keys(one).length) rows[node.dataset.single] = [one]; }
    }
    for (const [key, { body }] of this.tables) {
      const found = [...body.querySelectorAll("tr[data-row]")].map(take);
      while (found.length && !Object.keys(found.at(-1)).length) found.pop();
      if (found.length) rows[key] = found;
    }
    return { top, rows };
  }
  later() { clearTimeout(this.waiting); this.waiting = setTimeout(() => this.read(), WAIT); }
  async read() {
    clearTimeout(this.waiting);
    const answers = this.answers(), typed = JSON.stringify(answers);
    if (typed === this.typed) return; // leaving a field changes nothing
    this.typed = typed;
    for (const one of this.form.querySelectorAll("[data-says]")) one.textContent = "";
    for (const one of this.form.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
    if (!Object.keys(answers.top).length && !Object.keys(answers.rows).length) { this.out.replaceChildren(); this.nothing_yet(); return; }
    try {
      const got = await ask("/api/bin/bench", { test: this.test.name, answers }, { lane: `bench-${this.test.name}` });
      this.complain(got.problems);
      if (got.found) await this.show(got.found, answers); else this.out.replaceChildren();
    } catch (error) { if (!(error instanceof Overtaken)) this.typed = ""; tell(this.says, error); }
  }
  // What is wrong stands at its row; what is merely not typed yet is listed quietly.
  complain(problems) {
    const wanting = [], rest = [];
    let named = 0;
    for (const one of problems) {
      const field = this.form.querySelector(`[data-place="${CSS.escape(one.place)}"]`);
      if (field && !field.value.trim()) { wanting.push(field.getAttribute("aria-label") ?? this.form.querySelector(`label[for="${CSS.escape(field.id)}"]`)?.textContent ?? one.place); continue; }
      if (field) field.setAttribute("aria-invalid", "true");
      const spot = this.form.querySelector(`[data-says="${CSS.escape(one.place)}"]`) ?? this.form.querySelector(`[data-says="${CSS.escape(one.place.replace(/\.[a-z_]+$/, ""))}"]`);
      if (spot) { spot.textContent = `${spot.textContent} ${one.says}`.trim(); named += 1; }
      else if (/^(missing|got \d+);/.test(one.says)) wanting.push(`${one.place}: ${one.says.replace(/^(missing|got \d+); /, "")}`);
      else rest.push(one.says);
    }
    this.says.classList.toggle("wrong", rest.length + named > 0);
    this.says.textContent = rest.length ? rest.join(" ") : named ? `${named === 1 ? "One reading cannot be used; it is" : `${named} readings cannot be used; each is`} named at its row.` : wanting.length ? `Still wanted: ${wanting.slice(0, 8).join("; ")}${wanting.length > 8 ? `; and ${wanting.length - 8} more` : ""}.` : "";
  }
  async show(found, answers) {
    const rows = found.figures.map((one) => make("tr", {}, make("th", { scope: "row" }, one.label), make("td", { class: "value" }, figure(one.key, one.text)), make("td", {}, why(one.key, one.label, one.why))));
    const chart = make("div", { class: "chart", role: "img", "aria-label": `${found.title}: readings and the curve through them` });
    this.out.replaceChildren(make("div", { class: "outcome" },
      make("h3", {}, found.title),
      make("p", {}, make("span", { class: found.fit ? "fit" : "unfit" }, found.fit ? "Fit for use. " : "Not fit for use as it is. "), found.verdict),
      make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "What was found" }, make("table", { class: "found" }, make("tbody", {}, ...rows))),
      ...found.doubts.map((one) => make("p", { class: "note" }, `Mind: ${one}`)), ...found.steps.map((one) => make("p", {}, `Next: ${one}`)),
      found.chart ? chart : null, this.keeping(found, answers)));
    if (found.chart) await put_chart(chart, found.chart);
  }
  keeping(found, answers) {
    const said = make("p", { role: "status" }), box = make("div");
    if (found.bin_heading) {
      const name = make("input", { type: "text", id: `name-${this.test.name}`, value: `my ${this.test.name}`, maxlength: "80", autocomplete: "off" });
      const put = async () => {
        try {
          const into = bin.text || (await ask("/api/bin/starter")).bin, fresh = !bin.text;
          const got = await ask("/api/bin/keep-in-bin", { test: this.test.name, answers, bin: into, name: name.value.trim() || `my ${this.test.name}` });
          if (fresh) bin.begin(got.bin); else bin.put(got.bin);
          said.classList.remove("wrong");
          said.textContent = fresh ? "A bin was begun with it; its other parts are invented, take them out." : "It is in the bin; undo takes it out again.";
        } catch (error) { said.classList.add("wrong"); tell(said, error); }
      };
      box.append(make("div", { class: "stack" }, make("label", { for: name.id }, "Call it"), name, make("button", { type: "button", class: "main", onclick: put }, "Put it in the bin")));
    }
    if (found.build_lines.length) {
      const use = async () => {
        try {
          const got = await ask("/api/bin/keep-in-build", { test: this.test.name, answers, text: tab.text });
          tab.put(got.text); said.classList.remove("wrong");
          said.replaceChildren("Your build has it; Undo above takes it out again. ", make("a", { href: "/build" }, "Look at the build"));
        } catch (error) { said.classList.add("wrong"); tell(said, error); }
      };
      if (tab.text) box.append(make("p", {}, make("button", { type: "button", onclick: use }, "Use it in my build")));
      box.append(make("details", {}, make("summary", {}, "As lines of a build"), make("pre", { class: "mono" }, found.build_lines.join("\n"))));
    }
    if (found.part) box.append(make("details", {}, make("summary", {}, "As a part file"), make("p", { class: "quiet" }, `Goes into the folder parts beside your builds; what was not measured is filled in from "${found.like}".`), make("pre", { class: "mono" }, found.part)));
    box.append(said);
    return box;
  }
}

const made = new Map();
export async function open_test(box) {
  const name = box.dataset.test;
  if (made.has(name)) return;
  made.set(name, null);
  try {
    const test = (await load()).get(name);
    made.set(name, new Bench(test, box.querySelector(".readings")));
  } catch (error) { made.delete(name); tell(box.querySelector(".readings"), error); }
}
