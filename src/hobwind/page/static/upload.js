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
export function drop_zone(zone, take) {
  zone.addEventListener("dragover", (event) => { event.preventDefault(); zone.classList.add("over"); });
  zone.addEventListener("dragleave", () => zone.classList.remove("over"));
  zone.addEventListener("drop", (event) => { event.preventDefault(); zone.classList.remove("over"); take([...event.dataTransfer.files]); });
}
