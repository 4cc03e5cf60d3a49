// Shop: sheets at scale, files to carry away, topics, the build order with its ticks, the dossier.
import { ask, make, tell, Refused, Overtaken } from "./ask.js";
import { follow, solver_ready } from "./jobs.js";
import { no_build, tab } from "./tab.js";
import { put_figures, why, why_of } from "./why.js";

const id = (name) => document.getElementById(name);
const PANELS = ["sheets", "make", "order", "dossier"], DOTS = 96 / 25.4; // CSS dots to the millimetre, if the screen keeps to it
const ZOOM = "hobwind-zoom";
let shop = null, shown = [];
why_of(() => ({ text: tab.text }));

function show_panel() {
  const wanted = PANELS.includes(location.hash.slice(1)) ? location.hash.slice(1) : "sheets";
  for (const one of PANELS) id(one).hidden = one !== wanted;
  for (const link of document.querySelectorAll("[data-panel]")) { if (link.dataset.panel === wanted) link.setAttribute("aria-current", "true"); else link.removeAttribute("aria-current"); }
}
const asked = () => ({ text: tab.text, paper: id("paper").value, inch: id("inch").checked });
const kept = (key) => { try { return localStorage.getItem(key); } catch { return null; } };
const keep = (key, value) => { try { localStorage.setItem(key, value); } catch { /* private browsing: kept for this page only */ } };

// Files: fetched as they are and handed to the browser under their names.
function hand_over(blob, name) {
  const link = make("a", { href: URL.createObjectURL(blob), download: name });
  document.body.append(link); link.click(); link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
async function fetch_file(address, body) {
  let answer;
  try { answer = await fetch(address, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) }); }
  catch { throw new Refused("hobwind does not answer; is it still running in its window?", [], 0, null); }
  if (!answer.ok) { const got = await answer.json().catch(() => null); throw new Refused(got?.says ?? "That did not work.", got?.problems ?? [], answer.status, got); }
  const name = /filename="([^"]+)"/.exec(answer.headers.get("Content-Disposition") ?? "")?.[1] ?? "hobwind";
  hand_over(await answer.blob(), name);
  return name;
}
function getting(button, work) {
  button.addEventListener("click", async () => {
    const said = id("got");
    button.disabled = true; said.classList.remove("bad"); said.textContent = "Drawing …";
    try { said.textContent = `${await work()} is in your downloads.`; } catch (error) { tell(said, error); } finally { button.disabled = false; }
  });
  return button;
}

// Sheets.
function show_zoom() {
  const zoom = Number(id("zoom").value) / 100;
  id("zoom-text").textContent = `${id("zoom").value} %`;
  const real = id("life").checked;
  id("zoom-box").hidden = !real;
  for (const [image, sheet] of shown) {
    image.classList.toggle("whole", !real);
    if (real) image.width = Math.round(sheet.width_mm * DOTS * zoom); else image.removeAttribute("width");
  }
  // A phone has no room for 100 mm at life size: the longest bar that fits, and its length in words.
  const room = id("zoom-box").clientWidth - 4, mm = [100, 50].find((one) => one * DOTS * zoom <= room) ?? 20;
  id("bar-mm").textContent = `${mm} mm`;
  const long = mm * DOTS * zoom, ticks = Array.from({ length: mm / 10 + 1 }, (_, i) => `M${(1 + 10 * DOTS * zoom * i).toFixed(2)} 12v${i % 5 ? -5 : -10}`).join("");
  id("bar").setAttribute("width", String(Math.ceil(long + 2)));
  id("bar").firstElementChild.setAttribute("d", `M1 12h${long.toFixed(2)}${ticks}`);
}
// A large sheet opens on its middle, where the part is, not on an empty corner.
function to_the_middle() {
  for (const [image] of shown) {
    const view = image.parentElement;
    view.scrollLeft = (view.scrollWidth - view.clientWidth) / 2;
    view.scrollTop = (view.scrollHeight - view.clientHeight) / 2;
  }
}
function show_sheets() {
  for (const [image] of shown) URL.revokeObjectURL(image.src);
  shown = [];
  id("sheet-list").replaceChildren(...shop.sheets.map((sheet) => {
    const blob = new Blob([sheet.svg], { type: "image/svg+xml" });
    const image = make("img", { src: URL.createObjectURL(blob), alt: sheet.title });
    shown.push([image, sheet]);
    const svg = make("button", { type: "button", "aria-label": `SVG: ${sheet.title}` }, "SVG"), dxf = make("button", { type: "button", "aria-label": `DXF: ${sheet.title}` }, "DXF");
    getting(svg, async () => { const name = `${shop.stem}-${sheet.key}.svg`; hand_over(blob, name); return name; });
    if (sheet.template) getting(dxf, () => fetch_file("/api/shop/template", { text: tab.text, key: sheet.template }));
    return make("figure", {}, make("figcaption", {}, sheet.title), make("div", { class: "paperview", tabindex: "0", role: "region", "aria-label": `Sheet: ${sheet.title}` }, image),
      make("div", { class: "sheet-files" }, svg, sheet.template ? dxf : null));
  }));
  show_zoom();
}

// Holes, clamp, wiring.
function table(one) {
  return make("div", {}, make("h3", {}, one.title, " ", why(one.key, one.title)), make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": one.title }, make("table", { "data-figure": one.key },
    make("thead", {}, make("tr", {}, ...one.head.map((says) => make("th", { scope: "col" }, says)))), make("tbody", {}, ...one.rows.map((row) => make("tr", {}, ...row.map((says) => make("td", {}, says))))))));
}
// Lines set in on paper belong to the line above them.
function listed(lines) {
  const rows = [];
  for (const line of lines) {
    const above = rows.at(-1), item = make("li", {}, line.trim());
    if (!line.startsWith(" ") || !above) { rows.push(item); continue; }
    if (!above.querySelector("ul")) above.append(make("ul", {}));
    above.querySelector("ul").append(item);
  }
  return rows;
}
function show_topics() {
  id("topics").replaceChildren(...shop.topics.map((topic) => {
    const figures = make("dl", { class: "figures" });
    put_figures(figures, topic.figures);
    const diagram = topic.key === "wiring" && shop.wiring_svg ? make("img", { class: "diagram", alt: "Wiring diagram: modules, motor, polarity", src: URL.createObjectURL(new Blob([shop.wiring_svg], { type: "image/svg+xml" })) }) : null;
    const rows = listed(topic.lines);
    const said = rows.length > 6 && topic.tables.length ? make("details", {}, make("summary", {}, "In words"), make("ul", {}, ...rows)) : make("ul", {}, ...rows);
    return make("section", { class: "topic", "aria-label": topic.title }, make("h2", {}, topic.title), topic.figures.length ? figures : null, diagram, ...topic.tables.map(table), said);
  }));
}

// The build order.
const order_key = () => `hobwind-order:${shop.name}`;
function ticks() { try { return new Set(JSON.parse(kept(order_key()) ?? "[]")); } catch { return new Set(); } }
function tick(name, on) { const now = ticks(); if (on) now.add(name); else now.delete(name); keep(order_key(), JSON.stringify([...now])); show_order(name); }
function box(name, says, on, classed) {
  const field = make("input", { type: "checkbox", "data-tick": name });
  field.checked = on;
  field.addEventListener("change", () => tick(name, field.checked));
  return make("label", { class: classed }, field, make("span", {}, says));
}
function show_order(back_to = "") {
  const done = ticks(), left = shop.steps.filter((step) => !done.has(step.key));
  const minutes = left.reduce((sum, step) => sum + step.minutes, 0);
  const closing = left.find((step) => step.closes.length);
  id("order-bar").value = (shop.steps.length - left.length) / shop.steps.length;
  id("order-says").textContent = left.length === 0 ? "All steps are ticked. First fire next: attended, gloves at hand."
    : `${shop.steps.length - left.length} of ${shop.steps.length} steps done, about ${Math.floor(minutes / 60)} h ${minutes % 60} min left.`
      + (closing ? ` Step ${shop.steps.indexOf(closing) + 1} puts ${closing.closes.join(", ")} out of reach.` : "");
  id("steps").replaceChildren(...shop.steps.map((step, i) => {
    const checks = step.checks.map((says) => ({ name: `${step.key}: ${says}`, says }));
    const open = checks.filter((one) => !done.has(one.name)).length, is_done = done.has(step.key);
    const about = [step.fits.length ? `parts: ${step.fits.join(", ")}` : "", step.tools.length ? `tools: ${step.tools.join(", ")}` : "", `about ${step.minutes} min`].filter(Boolean).join("; ");
    return make("li", { class: is_done ? "done" : step === left[0] ? "next" : "" },
      ...checks.map((one) => box(one.name, `Check first: ${one.says}`, done.has(one.name), "check")),
      box(step.key, make("span", { class: "do" }, `${i + 1}. ${step.says}`), is_done, is_done ? "done-step" : ""),
      make("p", { class: "quiet" }, about),
      is_done && open ? make("p", { class: "wrong" }, `${open === 1 ? "One check" : `${open} checks`} before this step ${open === 1 ? "is" : "are"} not ticked.`) : null,
      step.closes.length ? make("p", { class: "note" }, `From here on out of reach: ${step.closes.join(", ")}.${open && !is_done ? " Tick the checks first." : ""}`) : null);
  }));
  if (back_to) id("steps").querySelector(`[data-tick="${CSS.escape(back_to)}"]`)?.focus();
  id("backs").replaceChildren(make("ul", {}, ...shop.ways_back.map((one) => make("li", {}, `${one.part}: undo and redo steps ${one.steps.join(", ")}; about ${one.minutes} min${one.spent.length ? `, uses up ${one.spent.join(" and ")}` : ""}.`))));
}

async function show() {
  try {
    shop = await ask("/api/shop/look", asked(), { lane: "shop" });
    id("shop-name").textContent = `Shop: ${shop.name}`;
    const count = shop.findings.length;
    id("shop-says").classList.remove("bad");
    id("shop-says").textContent = count ? `${count} ${count === 1 ? "thing" : "things"} to look at before it is made.` : "Nothing stands against making it; whether it lives, Build says.";
    id("shop-findings").replaceChildren(...shop.findings.map((says) => {
      const level = /^(danger|fault|advice)/.exec(says)?.[1] ?? "advice";
      return make("div", { class: `finding ${level}` }, make("span", { class: "level" }, level), `: ${says.replace(/^(danger|fault|advice): /, "")}`);
    }));
    show_sheets(); show_topics(); show_order();
  } catch (error) {
    if (error instanceof Overtaken) return;
    tell(id("shop-says"), error);
    if (error.problems?.length > 1) id("shop-findings").replaceChildren(make("ul", {}, ...error.problems.map((one) => make("li", {}, `${one.place}: ${one.says}`))));
  }
}

id("make-dossier").addEventListener("click", async () => {
  const says = id("dossier-says"), button = id("make-dossier");
  button.disabled = true; says.classList.remove("bad"); says.textContent = "";
  try {
    const got = await follow(await ask("/api/shop/dossier", asked()), id("dossier-job"));
    if (got === null) return;
    says.replaceChildren(make("a", { class: "button main", href: `/api/shop/dossier/${got.id}`, download: got.name }, `Fetch ${got.name}`), ` ${(got.bytes / 1e6).toFixed(1)} MB; kept by the server for a while.`);
  } catch (error) { tell(says, error); } finally { button.disabled = false; }
});

async function begin() {
  const before = Number(kept(ZOOM));
  if (before >= 30 && before <= 220) id("zoom").value = String(before);
  id("zoom").addEventListener("input", () => { show_zoom(); keep(ZOOM, id("zoom").value); });
  id("life").addEventListener("change", () => { show_zoom(); to_the_middle(); });
  window.addEventListener("resize", show_zoom);
  id("paper").value = kept("hobwind-paper") === "Letter" ? "Letter" : "A4";
  id("paper").addEventListener("change", () => { keep("hobwind-paper", id("paper").value); show(); });
  id("inch").addEventListener("change", show);
  getting(id("get-pdf"), () => fetch_file("/api/shop/sheets", asked()));
  getting(id("get-zip"), () => fetch_file("/api/shop/everything", asked()));
  id("untick").addEventListener("click", () => { if (confirm("Take every tick out of this list?")) { keep(order_key(), "[]"); show_order(); } });
  window.addEventListener("hashchange", show_panel);
  show_panel(); show_zoom();
  await solver_ready(id("waiting"));
  if (!tab.text) { no_build(); return; }
  tab.watch(show);
  await show();
}
begin().catch((error) => tell(id("waiting"), error));
