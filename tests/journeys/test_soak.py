"""A storm of slider moves and many tabs: nothing piles up, nothing breaks, the rotor never jumps."""

from __future__ import annotations

from playwright.sync_api import Page

MOVE = """async (count) => {
  const slider = document.getElementById("plate"), most = Number(slider.max);
  for (let i = 0; i < count; i += 1) {
    slider.value = (i * 37) % (most + 1);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    if (i % 20 === 0) await new Promise((done) => setTimeout(done, 0));
  }
}"""
ALIKE = 1.05  # the specification's own figure


def heap(page: Page) -> float:
    client = page.context.new_cdp_session(page)
    client.send("HeapProfiler.collectGarbage")
    used = client.send("Runtime.getHeapUsage")["usedSize"]
    client.detach()
    return float(used)


def test_two_thousand_moves_leave_nothing_behind(opened) -> None:
    page: Page = opened("/build?file=boat-shed.toml")
    page.locator(".caution").first.wait_for(timeout=20000)
    nodes = page.evaluate("document.querySelectorAll('*').length")
    page.evaluate(MOVE, 1000)
    first = heap(page)
    page.evaluate(MOVE, 1000)
    assert heap(page) <= ALIKE * first
    assert page.evaluate("document.querySelectorAll('*').length") == nodes


def test_the_rotor_is_never_rebuilt_or_thrown_back(opened) -> None:
    page: Page = opened("/build?file=boat-shed.toml")
    page.locator(".caution").first.wait_for(timeout=20000)
    page.evaluate("window.kept = document.getElementById('turning')")
    page.wait_for_timeout(300)
    before = page.evaluate("hobwind.angle()")
    page.evaluate(MOVE, 40)
    assert page.evaluate("window.kept === document.getElementById('turning')")
    assert page.evaluate("hobwind.angle()") != 0 and before != 0


def test_twenty_tabs_two_thousand_moves_each(opened) -> None:
    """All tabs together, after the last thousand moves of each against after the first; every tab keeps its own build."""
    first: Page = opened("/example/boat-shed")
    tabs = [first, *(first.context.new_page() for _ in range(19))]
    for i, page in enumerate(tabs):
        page.goto(first.url.rsplit("/", 1)[0] + ("/example/boat-shed" if i % 2 else "/example/boat-shed-no-guard"))
    for page in tabs:
        page.locator("#findings .caution").first.wait_for(timeout=120000)
        page.evaluate(MOVE, 1000)
    after_first = sum(heap(page) for page in tabs)
    for page in tabs:
        page.evaluate(MOVE, 1000)
    assert sum(heap(page) for page in tabs) <= ALIKE * after_first
    for i, page in enumerate(tabs):
        wax = page.locator("#parts").get_by_text("wax element")
        assert wax.count() == (1 if i % 2 else 0)
