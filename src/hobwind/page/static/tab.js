// The build of this tab: its text, undo and redo, its file; autosaved beside the file, saved only on Save.
import { ask, make, tell } from "./ask.js";

const KEY = "hobwind-tab", MOST_STEPS = 60;
const bar = document.getElementById("filebar"), said = document.getElementById("said");
const watchers = [];
let state = { text: "", saved: "", file: "", digest: "", undo: [], redo: [] };

function keep() {
  try { sessionStorage.setItem(KEY, JSON.stringify(state)); } catch { state.undo = state.undo.slice(-5); }
}
function kept() { try { return JSON.parse(sessionStorage.getItem(KEY)); } catch { return null; } }

function say(text, bad = false) { if (said) { said.textContent = text; said.classList.toggle("bad", bad); } }

function show() {
  const changed = state.text !== state.saved;
  const name = document.getElementById("file-name");
  if (name) name.textContent = (state.file || "not saved yet") + (changed && state.file ? ", changed" : "");
  const undo = document.getElementById("undo"), redo = document.getElementById("redo");
  if (undo) undo.disabled = state.undo.length === 0;
  if (redo) redo.disabled = state.redo.length === 0;
}

let autosaving;
function changed() {
  keep(); show();
  clearTimeout(autosaving);
  if (state.file) autosaving = setTimeout(autosave, 700);
  for (const f of watchers) f(state.text);
}
async function autosave() {
  if (!state.file || state.text === state.saved) return;
  try { await ask(`/api/files/${encodeURIComponent(state.file)}/autosave`, { text: state.text }, { method: "PUT", lane: "autosave" }); }
  catch (error) { tell(said, error); }
}

// A section that was opened without a build: the doors say so, and how to open one.
export function no_build() { location.replace(`/doors?asked=${location.pathname.slice(1)}`); }

export const tab = {
  get text() { return state.text; },
  get file() { return state.file; },
  put(text) {
    if (text === state.text) return;
    state.undo.push(state.text);
    if (state.undo.length > MOST_STEPS) state.undo.shift();
    state.redo = []; state.text = text;
    say(""); changed();
  },
  // Another fan takes this one's place: one undo step, and no file until it is saved under a name.
  take(text) { tab.put(text); Object.assign(state, { file: "", digest: "", saved: "" }); keep(); show(); },
  undo() { if (state.undo.length) { state.redo.push(state.text); state.text = state.undo.pop(); changed(); } },
  redo() { if (state.redo.length) { state.undo.push(state.text); state.text = state.redo.pop(); changed(); } },
  watch(f) { watchers.push(f); },
  say,
};

// A file named after the build, as far as letters go that every disk takes.
function named() {
  const name = /^name = "((?:[^"\\]|\\.)*)"/m.exec(state.text)?.[1] ?? "";
  const plain = name.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 40);
  return `${plain || "my-fan"}.toml`;
}

function ask_name() {
  return new Promise((done) => {
    const field = make("input", { type: "text", id: "new-name", value: state.file ? state.file.replace(/( \d+)?\.toml$/, (_, n) => ` ${Number(n ?? 1) + 1}.toml`) : named(), autocomplete: "off" });
    const box = make("dialog", { "aria-labelledby": "name-head" },
      make("h2", { id: "name-head" }, "Save in this folder as"), make("label", { for: "new-name" }, "File name"), field,
      make("div", { class: "stack" }, make("button", { type: "button", class: "main", onclick: () => box.close(field.value) }, "Save"),
        make("button", { type: "button", onclick: () => box.close("") }, "Not now")));
    field.addEventListener("keydown", (event) => { if (event.key === "Enter") box.close(field.value); });
    box.addEventListener("close", () => { const name = box.returnValue.trim(); box.remove(); done(name && !name.endsWith(".toml") ? `${name}.toml` : name); });
    document.body.append(box); box.showModal(); field.select();
  });
}

async function save(file = state.file, loaded = state.digest) {
  if (!file) return save_as();
  clearTimeout(autosaving);
  const left = file === state.file ? "" : state.file;
  try {
    const { digest } = await ask(`/api/files/${encodeURIComponent(file)}`, { text: state.text, loaded }, { method: "PUT" });
    Object.assign(state, { file, digest, saved: state.text });
    keep(); show(); say(left ? `Saved as ${file}; ${left} stays as it was.` : `Saved as ${file}.`);
    const here = new URL(location.href); here.searchParams.set("file", file); history.replaceState(null, "", here);
    if (left) await ask(`/api/files/${encodeURIComponent(left)}/autosave`, undefined, { method: "DELETE" });
  } catch (error) {
    if (error.status !== 409) { tell(said, error); return; }
    clash(file, error.message, error.body);
  }
}

async function save_as() {
  const file = await ask_name();
  if (file) await save(file, file === state.file ? state.digest : "");
}

function clash(file, says, there) {
  say(says, true);
  const mine = make("button", { type: "button", onclick: () => save(file, there.digest) }, "Keep mine: write over the file");
  const theirs = there.text === null ? null : make("button", { type: "button", onclick: () => {
    tab.put(there.text); Object.assign(state, { file, digest: there.digest, saved: there.text }); keep(); show(); say("Taken from the file; Undo brings yours back.");
  } }, "Take the file's");
  said.append(" ", mine, " ", theirs ?? "");
}

async function look_at_disk() {
  if (!state.file || document.hidden) return;
  try {
    const { digest } = await ask(`/api/files/${encodeURIComponent(state.file)}/mark`);
    if (digest !== state.digest && !said.textContent.startsWith("Noticed")) {
      if (digest === "") { say(`Noticed: ${state.file} is gone from the folder. Your text is still here; Save writes it anew.`, true); state.digest = ""; keep(); return; }
      const there = await ask(`/api/files/${encodeURIComponent(state.file)}`);
      clash(state.file, `Noticed: ${state.file} was changed outside. `, there);
    }
  } catch { /* the server is away: Save will say so */ }
}

async function offer_autosave() {
  if (!state.file || state.text !== state.saved) return;
  try {
    const { autosaved } = await ask(`/api/files/${encodeURIComponent(state.file)}`);
    if (autosaved === null) return;
    say(`There is work on ${state.file} that was never saved. `);
    const drop = async () => { await ask(`/api/files/${encodeURIComponent(state.file)}/autosave`, undefined, { method: "DELETE" }); say(""); };
    said.append(make("button", { type: "button", onclick: () => { say(""); tab.put(autosaved); } }, "Bring it back"), " ",
      make("button", { type: "button", onclick: drop }, "Throw it away"));
  } catch { /* nothing to offer */ }
}

function as_text() {
  const field = make("textarea", { id: "whole-text", rows: "24", spellcheck: "false", class: "mono" });
  field.value = state.text;
  field.cols = 90;
  const box = make("dialog", { "aria-labelledby": "text-head" }, make("h2", { id: "text-head" }, "The build file"),
    make("label", { for: "whole-text" }, "Its text; comments are kept"), field,
    make("div", { class: "stack" }, make("button", { type: "button", class: "main", onclick: () => { tab.put(field.value); box.close(); } }, "Take this text"),
      make("button", { type: "button", onclick: () => box.close() }, "Leave it as it was")));
  box.addEventListener("close", () => box.remove());
  document.body.append(box); box.showModal();
}

function begin() {
  const given = document.getElementById("given-text").value, before = kept();
  const { file, digest, fresh } = bar.dataset;
  if (fresh === "1") {
    state = { text: given, saved: "", file: "", digest: "", undo: [], redo: [] };
    history.replaceState(null, "", "/build");
  } else if (before && (!file || (before.file === file && (before.text !== before.saved || before.digest === digest)))) {
    state = before;
  } else {
    state = { text: given, saved: given, file, digest, undo: [], redo: [] };
  }
  keep(); show();
  document.getElementById("undo").addEventListener("click", () => tab.undo());
  document.getElementById("redo").addEventListener("click", () => tab.redo());
  document.getElementById("save").addEventListener("click", () => save());
  document.getElementById("save-as").addEventListener("click", save_as);
  document.getElementById("as-text").addEventListener("click", as_text);
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey)) return;
    const typing = event.target.matches("input[type=text], textarea");
    if (event.key === "s") { event.preventDefault(); save(); }
    if (event.key === "z" && !typing) { event.preventDefault(); event.shiftKey ? tab.redo() : tab.undo(); }
    if (event.key === "y" && !typing) { event.preventDefault(); tab.redo(); }
  });
  window.addEventListener("focus", look_at_disk);
  setInterval(look_at_disk, 5000);
  for (const link of document.querySelectorAll("nav a")) {
    link.addEventListener("click", () => { const to = new URL(link.href); to.searchParams.delete("file"); if (state.file) to.searchParams.set("file", state.file); link.href = to; });
  }
  offer_autosave();
}
if (bar && said) begin();
