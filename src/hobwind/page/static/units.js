// Figures shown in °F, inches and cfm: what stands on the page is reworded, what was typed and the build itself stay.
import { ask } from "./ask.js";

const KEY = "hobwind-units", button = document.getElementById("units");
const LEFT = "script, style, textarea, input, option, pre, .mono, .equation, [data-own-units]";
const ATTRIBUTES = ["aria-valuetext", "aria-label"];
const FIGURE = "[+-]?\\d+(?:\\.\\d+)?";
const as_written = new WeakMap(), as_shown = new WeakMap();
let rules = null, names = [], inch = false;

// What is typed in the other unit, to the page's own and back.
export const TYPED = {
  "°C": { unit: "°F", own: (f) => (f - 32) / 1.8, other: (c) => 1.8 * c + 32, places: 1 },
  mm: { unit: "in", own: (inches) => 25.4 * inches, other: (mm) => mm / 25.4, places: 3 },
};
export const in_inch_units = () => inch;

function chosen() { try { return localStorage.getItem(KEY) === "inch"; } catch { return inch; } }
function choose(on) { inch = on; try { localStorage.setItem(KEY, on ? "inch" : "metric"); } catch { /* this page alone */ } }

function changed(figure, rule, shift) {
  const places = Math.max((figure.split(".")[1] ?? "").length + rule.more, 0);
  const value = Number(figure) * rule.factor + shift;
  return (figure.startsWith("+") && value >= 0 ? "+" : "") + value.toFixed(places);
}

export function in_inches(text) {
  names.forEach((name, k) => { text = text.replaceAll(name, `\0${k}\0`); });
  for (const rule of rules) {
    text = text.replace(rule.pattern, (whole, before, between, last, gap) => {
      const told = before === undefined ? "" : changed(before, rule, rule.shift) + between;
      return `${told}${changed(last, rule, between === " ± " ? 0 : rule.shift)}${gap}${rule.instead}`;
    });
  }
  names.forEach((name, k) => { text = text.replaceAll(`\0${k}\0`, name); });
  return text;
}

// One text, whoever holds it: `read` and `write` get at a text node or at an attribute.
function show(kept, shown, key, read, write) {
  const now = read();
  if (kept.get(key) === undefined || now !== shown.get(key)) kept.set(key, now);
  const wanted = inch ? in_inches(kept.get(key)) : kept.get(key);
  shown.set(key, wanted);
  if (wanted !== now) write(wanted);
}
function show_text(node) {
  if (node.parentElement?.closest(LEFT)) return;
  show(as_written, as_shown, node, () => node.data, (text) => { node.data = text; });
}
const attributes = new WeakMap();
function show_attributes(element) {
  for (const name of ATTRIBUTES) {
    if (!element.hasAttribute(name)) continue;
    if (!attributes.has(element)) attributes.set(element, { kept: new Map(), shown: new Map() });
    const { kept, shown } = attributes.get(element);
    show(kept, shown, name, () => element.getAttribute(name), (text) => element.setAttribute(name, text));
  }
}
function show_all(root) {
  if (root.nodeType === Node.TEXT_NODE) { show_text(root); return; }
  if (root.nodeType !== Node.ELEMENT_NODE) return;
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) show_text(node);
  for (const element of [root, ...root.querySelectorAll(ATTRIBUTES.map((name) => `[${name}]`).join(","))]) show_attributes(element);
}

const watcher = new MutationObserver((changes) => {
  for (const one of changes) {
    if (one.type === "childList") one.addedNodes.forEach(show_all);
    else if (one.type === "attributes") show_attributes(one.target);
    else show_text(one.target);
  }
});

async function apply() {
  button.setAttribute("aria-pressed", inch);
  if (inch && !rules) {
    const got = await ask("/api/units");
    names = got.names;
    rules = got.rules.map((rule) => ({ ...rule, pattern: new RegExp(`(?<![\\w.])(?:(${FIGURE})( ± | to |\\.\\.|-|–))?(${FIGURE})(\\s+)${rule.unit}(?![\\w²³/])`, "gu") }));
  }
  watcher.disconnect();
  if (rules) show_all(document.body);
  if (inch) watcher.observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true, attributeFilter: ATTRIBUTES });
}

if (button) {
  button.hidden = false;
  button.addEventListener("click", () => { choose(!inch); apply(); document.dispatchEvent(new Event("units")); });
  inch = chosen();
  if (inch) apply().catch(() => { choose(false); });
}
