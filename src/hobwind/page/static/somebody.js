// A build file dropped or chosen: read in the browser, taken as this tab's build, saved only on Save.
const says = document.getElementById("file-says"), drop = document.getElementById("drop");
const MOST = 200000;

async function take(file) {
  if (!file) return;
  if (file.size > MOST) { says.textContent = `${file.name} holds ${file.size} bytes; a build file has at most ${MOST}. Is it the right file?`; return; }
  const text = await file.text();
  if (text.includes("\uFFFD")) { says.textContent = `${file.name} is not UTF-8 text; save it as UTF-8.`; return; }
  sessionStorage.setItem("hobwind-tab", JSON.stringify({ text, saved: "", file: "", digest: "", undo: [], redo: [] }));
  location.href = "/build";
}
document.getElementById("file").addEventListener("change", (event) => take(event.target.files[0]));
drop.addEventListener("dragover", (event) => event.preventDefault());
drop.addEventListener("drop", (event) => { event.preventDefault(); take(event.dataTransfer.files[0]); });
