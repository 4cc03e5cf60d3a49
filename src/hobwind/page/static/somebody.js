// A build file or a dossier dropped or chosen: taken as this tab's build, saved only on Save.
import { tell } from "./ask.js";
import { build_text, drop_zone } from "./upload.js";

const says = document.getElementById("file-says");

async function take(file) {
  if (!file) return;
  try {
    const text = await build_text(file);
    sessionStorage.setItem("hobwind-tab", JSON.stringify({ text, saved: "", file: "", digest: "", undo: [], redo: [] }));
    location.href = "/build";
  } catch (error) { tell(says, error); }
}
document.getElementById("file").addEventListener("change", (event) => take(event.target.files[0]));
drop_zone(document.getElementById("drop"), ([file]) => take(file));
