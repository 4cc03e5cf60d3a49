// Boxes that can be slid sideways say so while there is more to see than fits.
const watched = new WeakSet();
const sizes = new ResizeObserver((seen) => { for (const { target } of seen) told(target.closest(".scroll")); });

function told(box) { box?.classList.toggle("more", box.scrollWidth > box.clientWidth + 2); }
function look() {
  for (const box of document.querySelectorAll(".scroll")) {
    if (watched.has(box)) continue;
    watched.add(box); sizes.observe(box);
    for (const inner of box.children) sizes.observe(inner);
  }
}
new MutationObserver(look).observe(document.body, { childList: true, subtree: true });
look();
