// The bin of this tab: its text, undo and redo, its file. Like the tab's build, it is written to disk only when saved.
import { ask, make, tell } from "./ask.js";

const KEY = "hobwind-bin", MOST_STEPS = 40, MOST_TEXT = 200000;
const said = document.getElementById("bin-said");
const watchers = [];
const EMPTY = { text: "", saved: "", file: "", digest: "", undo: [], redo: [] };
let state = read() ?? { ...EMPTY };
let autosaving;

function read() { try { return JSON.parse(sessionStorage.getItem(KEY)); } catch { return null; } }
function keep() {
  try { sessionStorage.setItem(KEY, JSON.stringify(state)); }
  catch { state.undo = state.undo.slice(-5); state.redo = []; try { sessionStorage.setItem(KEY, JSON.stringify(state)); } catch { say("This browser has no room to keep the bin; save it now.", true); } }
}
function say(text, bad = false) { said.textContent = text; said.classList.toggle("bad", bad); }
function told() { keep(); for (const f of watchers) f(); }
function changed() {
  told();
  clearTimeout(autosaving);
  if (state.file) autosaving = setTimeout(autosave, 700);
}
const place = (file) => `/api/files/${encodeURIComponent(file)}`;
async function autosave() {
  if (!state.file || state.text === state.saved) return;
  try { await ask(`${place(state.file)}/autosave`, { text: state.text }, { method: "PUT", lane: "bin-autosave" }); } catch (error) { tell(said, error); }
}

export const bin = {
  get text() { return state.text; },
  get file() { return state.file; },
  get is_changed() { return state.text !== state.saved; },
  get can_undo() { return state.undo.length > 0; },
  get can_redo() { return state.redo.length > 0; },
  put(text, says = "") {
    if (text === state.text) return;
    state.undo.push(state.text);
    if (state.undo.length > MOST_STEPS) state.undo.shift();
    state.redo = []; state.text = text;
    say(says); changed();
  },
  undo() { if (state.undo.length) { state.redo.push(state.text); state.text = state.undo.pop(); say(""); changed(); } },
  redo() { if (state.redo.length) { state.undo.push(state.text); state.text = state.redo.pop(); say(""); changed(); } },
  begin(text) { state = { ...EMPTY, text }; say(""); changed(); },
  close() { state = { ...EMPTY, undo: [] }; say(""); told(); },
  watch(f) { watchers.push(f); },
  say,

  // A file of the folder; what was typed and never saved is offered back.
  async open(file) {
    const got = await ask(place(file));
    state = { ...EMPTY, text: got.text, saved: got.text, file, digest: got.digest };
    say(""); told();
    if (got.autosaved === null) return;
    say(`There is work on ${file} that was never saved. `);
    const drop = async () => { try { await ask(`${place(file)}/autosave`, undefined, { method: "DELETE" }); say(""); } catch (error) { tell(said, error); } };
    said.append(make("button", { type: "button", onclick: () => bin.put(got.autosaved) }, "Bring it back"), " ", make("button", { type: "button", onclick: drop }, "Throw it away"));
  },
  async take_file(file) {
    if (file.size > MOST_TEXT) throw new Error(`${file.name} holds ${file.size} bytes; a bin file has at most ${MOST_TEXT}. Is it the right file?`);
    const text = await file.text();
    if (text.includes("\uFFFD")) throw new Error(`${file.name} is not UTF-8 text; save it as UTF-8.`);
    await ask("/api/bin/look", { bin: text });
    bin.begin(text);
  },
  async save(loaded = state.digest) {
    let file = state.file;
    if (!file) { file = await ask_name(); loaded = ""; if (!file) return; }
    clearTimeout(autosaving);
    try {
      const { digest } = await ask(place(file), { text: state.text, loaded }, { method: "PUT" });
      Object.assign(state, { file, digest, saved: state.text });
      told(); say(`Saved as ${file}.`);
    } catch (error) {
      if (error.status !== 409) { tell(said, error); return; }
      clash(file, error.message, error.body);
    }
  },
  as_text() {
    const field = make("textarea", { id: "bin-whole", rows: "24", cols: "90", spellcheck: "false", class: "mono" });
    field.value = state.text;
    const wrong = make("p", { class: "wrong", role: "status" });
    const take = async () => {
      try { await ask("/api/bin/look", { bin: field.value }); bin.put(field.value); box.close(); } catch (error) { tell(wrong, error); }
    };
    const box = make("dialog", { "aria-labelledby": "bin-whole-head" }, make("h2", { id: "bin-whole-head" }, "The bin file"),
      make("label", { for: "bin-whole" }, "Its text; comments are kept"), field, wrong,
      make("div", { class: "stack" }, make("button", { type: "button", class: "main", onclick: take }, "Take this text"),
        make("button", { type: "button", onclick: () => box.close() }, "Leave it as it was")));
    box.addEventListener("close", () => box.remove());
    document.body.append(box); box.showModal();
  },
};

function ask_name() {
  return new Promise((done) => {
    const field = make("input", { type: "text", id: "bin-new-name", value: "my-bin.toml", autocomplete: "off" });
    const box = make("dialog", { "aria-labelledby": "bin-name-head" },
      make("h2", { id: "bin-name-head" }, "Save the bin in this folder as"), make("label", { for: "bin-new-name" }, "File name"), field,
      make("div", { class: "stack" }, make("button", { type: "button", class: "main", onclick: () => box.close(field.value) }, "Save"),
        make("button", { type: "button", onclick: () => box.close("") }, "Not now")));
    field.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); box.close(field.value); } });
    box.addEventListener("close", () => { const name = box.returnValue.trim(); box.remove(); done(name && !name.endsWith(".toml") ? `${name}.toml` : name); });
    document.body.append(box); box.showModal(); field.select();
  });
}

function clash(file, says, there) {
  say(`${says} `, true);
  const mine = make("button", { type: "button", onclick: () => { state.file = file; bin.save(there.digest); } }, "Keep mine: write over the file");
  const theirs = there.text === null ? "" : make("button", { type: "button", onclick: () => {
    bin.put(there.text); Object.assign(state, { file, digest: there.digest, saved: there.text }); told(); say("Taken from the file; undo brings yours back.");
  } }, "Take the file's");
  said.append(mine, " ", theirs);
}
