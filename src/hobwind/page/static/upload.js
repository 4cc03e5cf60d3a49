import { ask } from "./ask.js";

// A file's bytes as base64, for JSON.
export const MOST = 12000000;
export async function bytes_of(file) {
  if (file.size > MOST) throw new Error(`${file.name} holds ${file.size} bytes; at most ${MOST} are taken here. Use hobwind on the command line for it.`);
  const url = await new Promise((done, fail) => {
    const reader = new FileReader();
    reader.addEventListener("load", () => done(reader.result)); reader.addEventListener("error", () => fail(new Error(`${file.name} cannot be read.`)));
    reader.readAsDataURL(file);
  });
  return url.slice(url.indexOf(",") + 1);
}
// The text of a build file, or of the one that lies in a dossier.
const MOST_TEXT = 200000;
export async function build_text(file) {
  if (/\.pdf$/i.test(file.name)) return (await ask("/api/files/dossier", { name: file.name, data: await bytes_of(file) })).text;
  if (file.size > MOST_TEXT) throw new Error(`${file.name} holds ${file.size} bytes; a build file has at most ${MOST_TEXT}. Is it the right file?`);
  const text = await file.text();
  if (text.includes("\uFFFD")) throw new Error(`${file.name} is not UTF-8 text; save it as UTF-8.`);
  if (!text.trim()) throw new Error(`${file.name} is empty.`);
  return text;
}
export function drop_zone(zone, take) {
  zone.addEventListener("dragover", (event) => { event.preventDefault(); zone.classList.add("over"); });
  zone.addEventListener("dragleave", () => zone.classList.remove("over"));
  zone.addEventListener("drop", (event) => { event.preventDefault(); zone.classList.remove("over"); take([...event.dataTransfer.files]); });
}
