// Sentences are shared with the command line; where one names a bench command, the page leads to that test instead.
const BENCH = /hobwind bench ([a-z-]+)/;

function link(text) {
  let found = BENCH.exec(text.data), rest = text;
  while (found) {
    const command = rest.splitText(found.index), made = document.createElement("a");
    rest = command.splitText(found[0].length);
    made.href = `/bin#test-${found[1]}`;
    made.title = `At a command line: ${found[0]}`;
    made.textContent = `the bench test "${found[1]}"`;
    command.replaceWith(made);
    found = BENCH.exec(rest.data);
  }
}
function look(root) {
  const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT), found = [];
  for (let text = walker.nextNode(); text; text = walker.nextNode()) {
    if (BENCH.test(text.data) && !text.parentElement.closest("code, pre, textarea, a, svg")) found.push(text);
  }
  found.forEach(link);
}
const main = document.getElementById("main");
new MutationObserver((seen) => { for (const one of seen) for (const added of one.addedNodes) if (added.isConnected) look(added.nodeType === Node.TEXT_NODE ? added.parentElement : added); })
  .observe(main, { childList: true, subtree: true });
look(main);
