// The readings of a found fan's form: as many rows as are needed, and which of them a log has filled in.
const box = document.getElementById("looks");
export const looks_of = () => [...box.querySelectorAll("[data-look]")];
const inputs = (look) => [...look.querySelectorAll("[data-seen]")];
const empty = (look) => inputs(look).every((one) => !one.value.trim());

function put(look, row, name) {
  for (const one of inputs(look)) one.value = row[one.dataset.seen] ?? "";
  look.querySelector("[data-turns]").checked = row.turns !== undefined;
  if (name) look.dataset.log = name; else delete look.dataset.log;
  const whole = look.closest("details");
  whole.querySelector("[data-from]").textContent = name ? `, from ${name}` : "";
  whole.open = Boolean(name) || whole === box.querySelector("details");
}
function one_more() {
  const last = box.querySelector("details:last-of-type"), made = last.cloneNode(true), n = looks_of().length + 1, look = made.querySelector("[data-look]");
  for (const one of made.querySelectorAll("[id]")) one.id = one.id.replace(/^seen-\d+/, `seen-${n}`);
  for (const one of made.querySelectorAll("label[for]")) one.htmlFor = one.htmlFor.replace(/^seen-\d+/, `seen-${n}`);
  look.dataset.look = n;
  made.querySelector("summary").firstChild.data = `Settled on a warm stove, reading ${n}`;
  box.append(made);
  put(look, {}, "");
  return look;
}
// What a person changes in a row is that person's own.
box.addEventListener("input", (event) => { const look = event.target.closest("[data-look]"); if (look?.dataset.log) { delete look.dataset.log; look.closest("details").querySelector("[data-from]").textContent = ", changed by you"; } });

// Rows that logs filled before make way; `found` are [row, name of its log].
export function fill(found) {
  for (const look of looks_of()) if (look.dataset.log) put(look, {}, "");
  for (const [row, name] of found) put(looks_of().find(empty) ?? one_more(), row, name);
}
