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
// As wide as its place, legends below.
function fit(specification, width) {
  for (const panel of specification.vconcat ?? [specification]) panel.width = width;
  specification.config = { ...specification.config, legend: { ...specification.config?.legend, orient: "bottom", columns: width > 480 ? 5 : 2, direction: "horizontal" } };
  const turn = (one) => { if (one && typeof one === "object") { if (one.legend) { one.legend = { ...one.legend, orient: "bottom", columns: width > 480 ? 5 : 2, symbolSize: 160 }; } Object.values(one).forEach(turn); } };
  turn(specification.vconcat ?? specification);
}
// `left` is the room for what stands beside the plot, such as long names of rows, px.
export async function put_chart(box, specification, left = 90) {
  const embed = await load();
  const before = box.view;
  fit(specification, Math.max(box.clientWidth - left, 230));
  const made = await embed(box, specification, { ast: true, actions: false, tooltip: false, renderer: "canvas", defaultStyle: false });
  before?.finalize?.();
  box.view = made.view;
  return made.view;
}
