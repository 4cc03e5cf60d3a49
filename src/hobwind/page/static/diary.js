// Diary: one fan's winters shown, things added, the whole carried away, taken in and checked.
import { ask, make, tell } from "./ask.js";
import { put_chart } from "./chart.js";
import { solver_ready } from "./jobs.js";
import { tab } from "./tab.js";
import { bytes_of } from "./upload.js";
import { figure, put_figures, why, why_of } from "./why.js";

const id = (name) => document.getElementById(name), KEY = "hobwind-diary-fan", LONGEST_SIDE = 2400, SMALL_ENOUGH = 4000000;
let fan = sessionStorage.getItem(KEY) ?? "", invented = false, items = [];
why_of(() => ({ text: tab.text }));

function say(text, box = id("add-says")) { box.textContent = text; box.classList.remove("wrong"); }
function complain(error, box = id("add-says")) { tell(box, error); box.classList.add("wrong"); }

async function load() {
  try {
    const { there, fans } = await ask(`/api/diary/fans?invented=${invented}`);
    id("empty").hidden = fans.length > 0; id("there").hidden = fans.length === 0; id("export").hidden = !there || invented;
    id("is-invented").hidden = !invented;
    id("adds").closest("aside").hidden = invented;
    if (!fans.length) return;
    if (!fans.some((one) => one.name === fan)) fan = fans[0].name;
    sessionStorage.setItem(KEY, invented ? "" : fan);
    const many = (n, word) => `${n} ${word}${n === 1 ? "" : "s"}`;
    id("fans").replaceChildren(...fans.map((one) => make("li", {}, make("button", { type: "button", "aria-pressed": String(one.name === fan), onclick: () => { fan = one.name; load(); } }, `${one.name}: ${many(one.evenings, "evening")}, ${many(one.trials, "trial")}`))));
    await solver_ready(id("waiting"));
    await show(await ask(`/api/diary/winters?fan=${encodeURIComponent(fan)}&invented=${invented}`, undefined, { lane: "winters" }));
  } catch (error) { complain(error, id("says")); }
}

async function chart(box, specification) { box.hidden = !specification; if (specification) await put_chart(box, specification); }
async function show(got) {
  say("", id("says"));
  id("fan-name").textContent = got.fan;
  put_figures(id("figures"), got.figures);
  const health = got.health;
  id("health-says").textContent = health ? health.says : got.wanted;
  id("check-next").textContent = health ? `Check next: ${health.check}. Look again by ${health.look_by}.` : "";
  put_figures(id("values"), health?.values ?? []);
  id("spares").textContent = health?.spares.length ? `On hand and would fit: ${health.spares.slice(0, 6).join(", ")}. Judge the changed build before fitting it.` : health?.changed ? "Nothing in your parts folder would take its place." : "";
  const depths = got.figures.find((one) => one.key === "diary_cycles");
  id("cycles").replaceChildren(...(got.cycles.length ? ["Cycles of the hot face by depth: ", figure("diary_cycles", got.cycles.map((one) => `${one.depth}: ${one.count}`).join("; ")), " ", why("diary_cycles", "cycles by depth", depths.why)] : ["No evening lit yet: put a trial into the diary, or enter an evening's log."]));
  items = got.timeline; show_items();
  await chart(id("looks"), got.looks); await chart(id("chart"), got.chart);
}
function show_items() {
  const wanted = [...document.querySelectorAll(".kind:checked")].map((one) => one.value);
  id("timeline").replaceChildren(...items.filter((one) => wanted.includes(one.kind)).slice(0, 300).map((one) => {
    const row = make("li", { class: one.kind }, make("span", { class: "day" }, one.day), make("strong", {}, one.title), one.says ? `: ${one.says} ` : "");
    if (one.why) { row.dataset.figure = `diary_${one.kind}`; row.append(why(`diary_${one.kind}`, `${one.day}, ${one.title}`, one.why)); }
    if (one.photo && !invented) row.append(make("a", { href: `/api/diary/photo/${one.photo}` }, make("img", { src: `/api/diary/photo/${one.photo}?small=true`, alt: one.says || `photo of ${one.day}`, loading: "lazy" })));
    return row;
  }));
}

// A large photo is made smaller here, so that it goes over a slow link; what is small stays as it is.
async function photo_bytes(file) {
  if (file.size <= SMALL_ENOUGH) return bytes_of(file);
  let picture;
  try { picture = await createImageBitmap(file, { imageOrientation: "from-image" }); } catch { return bytes_of(file); }
  const share = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height)), canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * share); canvas.height = Math.round(picture.height * share);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.88));
  return bytes_of(new File([blob], file.name));
}

function form(name, address, body) {
  id(name).addEventListener("submit", async (event) => {
    event.preventDefault();
    const button = id(name).querySelector("button[type=submit]");
    button.disabled = true; say("Writing …");
    try { say((await ask(address, await body())).says); id(name).reset(); await load(); } catch (error) { complain(error); }
    button.disabled = false;
  });
}
form("add-service", "/api/diary/service", () => ({ fan, work: id("work").value, says: id("work-says").value, when: id("work-when").value }));
form("add-look", "/api/diary/look", () => ({ fan, name: id("value-name").value, value: Number(id("value").value), half: Number(id("half").value), when: id("look-when").value }));
form("add-photo", "/api/diary/photo", async () => ({ fan, data: await photo_bytes(id("photo").files[0]), says: id("photo-says").value, when: id("photo-when").value }));
form("add-log", "/api/diary/log", async () => { const file = id("evening").files[0]; return { fan, log: { name: file.name.slice(0, 120), data: await bytes_of(file) }, when: id("evening-when").value }; });
form("add-build", "/api/diary/build", () => { fan = name_of_build(); return { text: tab.text }; });

id("first").addEventListener("click", async () => {
  try { const { says } = await ask("/api/diary/build", { text: tab.text }); fan = name_of_build(); await load(); say(says); } catch (error) { complain(error, id("says")); }
});
id("invented").addEventListener("click", () => { invented = true; say("Two winters are being made up …", id("says")); load(); });
id("own").addEventListener("click", () => { invented = false; load(); });
for (const one of document.querySelectorAll(".kind")) one.addEventListener("change", show_items);
id("import").addEventListener("change", async (event) => {
  const file = event.target.files[0], box = id("carry-says");
  if (!file) return;
  say("Taking it in …", box);
  try { say((await ask("/api/diary/import", { data: await bytes_of(file) })).says, box); await load(); } catch (error) { complain(error, box); }
  event.target.value = "";
});
id("check").addEventListener("click", async () => {
  try { say((await ask("/api/diary/check")).says, id("carry-says")); } catch (error) { complain(error, id("carry-says")); }
});
function name_of_build() { return /^name\s*=\s*["'](.*)["']/m.exec(tab.text)?.[1] ?? fan; }
function fan_of_build() {
  const name = name_of_build();
  id("build-fan").textContent = name ? `It is "${name}".` : "";
  id("first").disabled = !tab.text;
}
tab.watch(fan_of_build); fan_of_build();
load();
