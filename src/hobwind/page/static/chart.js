// Altair's charts in the browser, without eval: expressions are interpreted. The library comes from this machine.
let library = null;
function load() {
  library ??= new Promise((done, fail) => {
    const tag = document.createElement("script");
    tag.src = "/charts/library.js"; tag.type = "module";
    tag.addEventListener("load", () => done(window.vegaEmbed)); tag.addEventListener("error", () => fail(new Error("The chart library cannot be loaded.")));
    document.head.append(tag);
  });
  return library;
}
export async function put_chart(box, specification) {
  const embed = await load();
  const before = box.view;
  const made = await embed(box, specification, { ast: true, actions: false, tooltip: false, renderer: "canvas", defaultStyle: false });
  before?.finalize?.();
  box.view = made.view;
  return made.view;
}
