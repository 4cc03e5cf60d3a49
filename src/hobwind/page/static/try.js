// Lines of a build file tried on the tab's build: figures before and after, the drawing's outline as a ghost; kept or dropped.
import { ask, make } from "./ask.js";
import { tab } from "./tab.js";
import { figure, why, why_within } from "./why.js";

// `after` is what the card is put behind, `says` one line on it, `living` the drawing (null: none), `done(kept)` runs at the end.
export async function try_it(card, { lines, says, after, living, done }) {
  const text = tab.text, got = await ask("/api/build/try", { text, lines }, { lane: "try" });
  living?.ghost(got.look.svg);
  const end = (keep) => {
    living?.ghost(null); card.hidden = true;
    if (keep) tab.put(got.text);
    done?.(keep);
  };
  const cell = (row, says, of, when) => why_within(make("td", { class: "num" }, figure(row.key, says), " ", why(row.key, `${row.label}, ${when}`)), { text: of, plate_degC: got.look.usual_plate_degC });
  const rows = got.changes.map((row) => make("tr", {}, make("th", { scope: "row" }, row.label), cell(row, row.before, text, "before"), cell(row, row.after, got.text, "after")));
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
