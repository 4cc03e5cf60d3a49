// Lines of a build file tried on the tab's build: figures before and after, the drawing's outline as a ghost; kept or dropped.
import { ask, make } from "./ask.js";
import { tab } from "./tab.js";
import { figure, why, why_within } from "./why.js";

// A change made elsewhere, by undo or redo say, drops what is being tried: to keep it would undo that change.
let drop = null;
tab.watch(() => drop?.());

// `after` is what the card is put behind, `says` one line on it, `living` the drawing (null: none), `done(kept)` runs at the end.
export async function try_it(card, { lines, says, after, living, done }) {
  const text = tab.text, got = await ask("/api/build/try", { text, lines }, { lane: "try" });
  if (text !== tab.text) { done?.(false); return; }
  drop?.();
  living?.ghost(got.look.svg);
  const end = (keep) => {
    drop = null;
    living?.ghost(null); card.hidden = true;
    if (keep) tab.put(got.text);
    done?.(keep);
  };
  drop = () => end(false);
  const cell = (row, says, where, of, when) => why_within(make("td", { class: "num" }, figure(row.key, says), " ", why(row.key, `${row.label}, ${when}`), where ? make("div", { class: "where" }, where) : null), { text: of, plate_degC: got.look.usual_plate_degC });
  const rows = got.changes.map((row) => make("tr", {}, make("th", { scope: "row" }, row.label), cell(row, row.before, row.before_of, text, "before"), cell(row, row.after, row.after_of, got.text, "after")));
  const table = make("div", { class: "scroll" }, make("table", {}, make("thead", {}, make("tr", {}, make("th", { scope: "col" }, "figure"), make("th", { scope: "col", class: "num" }, "before"), make("th", { scope: "col", class: "num" }, "after"))), make("tbody", {}, ...rows)));
  const nodes = [make("h3", {}, "Tried, not kept"), make("p", {}, says),
    parts("To get or to make", got.wanted), parts("No longer wanted", got.left_over),
    make("div", { class: "stack" }, make("button", { type: "button", class: "main", onclick: () => end(true) }, "Keep it"), make("button", { type: "button", onclick: () => end(false) }, "Drop it")),
    rows.length ? table : make("p", {}, "None of the key figures changes by as much as is shown."),
    make("details", {}, make("summary", {}, "Lines of the file"), make("pre", { class: "mono scroll", tabindex: "0", "aria-label": "Lines of the file" }, lines.join("\n")))];
  card.replaceChildren(...nodes.filter((one) => one !== null));
  card.hidden = false; after.after(card); card.focus();
}

function parts(title, rows) {
  return rows.length ? make("div", {}, make("strong", {}, title), make("ul", {}, ...rows.map((one) => make("li", {}, one)))) : null;
}
