// What the words on this page mean: those that occur in it now, looked for when the list is opened.
import { ask, make, tell } from "./ask.js";

const box = document.getElementById("words"), list = box?.querySelector("dl");
const letter = "[\\p{L}\\p{N}]";

// Short names of units count only behind a figure; other words whatever their case and with an s.
function pattern(name) {
  const plain = name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  return name.length < 3 || /[·³]/.test(name) ? new RegExp(`\\d ${plain}(?!${letter})`, "u") : new RegExp(`(?<!${letter})${plain}s?(?!${letter})`, "iu");
}

async function look() {
  if (!box.open) return;
  try {
    const words = await ask("/api/words", undefined, { lane: "words" });
    const text = [...document.querySelectorAll("main > *:not(#words)")].map((one) => one.innerText).join("\n");
    const found = words.filter((one) => one.names.some((name) => pattern(name).test(text)));
    found.sort((a, b) => a.names[0].localeCompare(b.names[0]));
    list.replaceChildren(...found.map((one) => make("div", {}, make("dt", {}, one.names.join(", ")), make("dd", {}, one.says))));
  } catch (error) { tell(list, error); }
}
box?.addEventListener("toggle", look);

// What comes while the list is open, a mend that is tried say, brings its words too.
let again;
new MutationObserver((seen) => {
  if (!box?.open || seen.every((one) => box.contains(one.target))) return;
  clearTimeout(again); again = setTimeout(look, 400);
}).observe(document.getElementById("main"), { childList: true, subtree: true });
