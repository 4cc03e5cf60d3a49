"""Figures and whys counted in Chromium, section by section, after everything that computes has been pressed."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from bare_figures import is_bare

LONG = 90_000  # ms; a busy machine solves slowly
# Texts that are seen and stand in no sentence, no input, no picture, and in no element with a why; buttons that are names of parts.
BARE = """() => {
  const found = [], walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const text = walk.currentNode, box = text.parentElement;
    if (!text.data.trim() || !box.checkVisibility()) continue;
    if (box.closest("[data-figure], [data-given], p, pre, code, label, option, summary, dialog, canvas, svg, dt, output")) continue;
    if (box.closest(".scale, .wrong, .finding, .caution")) continue;
    found.push(text.data);
  }
  return found;
}"""


def check(page: Page, least: int = 0) -> None:
    bare = [" ".join(text.split()) for text in page.evaluate(BARE)]
    assert [text for text in bare if is_bare(text)] == []
    figures, whys = page.locator("main [data-figure]").count(), page.locator("main button.why").count()
    assert figures == whys >= least


def panel(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="In this section").get_by_role("link", name=name).click()


def test_build_evening_and_learn(opened) -> None:
    page: Page = opened("/build?file=boat-shed.toml")
    expect(page.locator("#findings")).to_contain_text("Cautions", timeout=LONG)
    page.get_by_text("Every part's margin").click()
    page.get_by_role("button", name=re.compile("^Try the mend")).first.click()
    expect(page.get_by_text("Tried, not kept")).to_be_visible(timeout=LONG)
    check(page, 30)
    page.get_by_role("button", name="Why: what module, hot face has left").click()
    expect(page.get_by_role("dialog")).to_contain_text("module, hot face", timeout=LONG)
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Why: how warm the parts are").click()
    expect(page.get_by_role("dialog")).to_contain_text("sink", timeout=LONG)
    page = opened("/evening?file=boat-shed.toml")
    expect(page.locator("#closing")).to_contain_text("turning", timeout=LONG)
    page.get_by_role("button", name="Run the drill").click()
    expect(page.locator("#drill-result")).to_contain_text("stuck up", timeout=LONG)
    check(page, 25)
    shown = page.locator("#at-speed").inner_text().split()[0]
    page.get_by_role("button", name="Why: speed at this moment").click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("after lighting", timeout=LONG)
    turns = float(re.search(r"= ([\d.]+) turns a second", dialog.inner_text())[1])
    assert abs(60.0 * turns - float(shown)) < 1.5  # whole turns a minute; a hundredth of a turn a second
    page = opened("/learn?file=boat-shed.toml")
    expect(page.locator("#ledger")).to_contain_text("W", timeout=LONG)
    check(page, 10)


def test_guard(opened) -> None:
    page: Page = opened("/guard?file=boat-shed.toml")
    page.get_by_role("button", name="Compare every kind of guard").click()
    expect(page.locator("#advice")).to_be_visible(timeout=LONG)
    check(page, 40)
    panel(page, "The element")
    check(page)
    panel(page, "What can go wrong")
    page.get_by_role("button", name="Run the fault drill").click()
    expect(page.locator(".fault")).to_have_count(18, timeout=LONG)
    check(page)
    panel(page, "A found fan")
    page.get_by_role("button", name=re.compile("Fill in the boat shed")).click()
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#fan-found")).to_contain_text("Modules that fit", timeout=2 * LONG)
    check(page)


def test_odds_and_shop(opened) -> None:
    page: Page = opened("/odds?file=boat-shed.toml")
    page.get_by_role("button", name="Throw").click()
    expect(page.locator("#bands tr").first).to_be_visible(timeout=LONG)
    check(page, 10)
    panel(page, "An hour's work")
    page.get_by_role("button", name="Try every kind of work").click()
    expect(page.locator(".gain").first).to_be_visible(timeout=2 * LONG)
    check(page)
    page = opened("/shop?file=boat-shed.toml")
    panel(page, "Holes, clamp, wiring")
    expect(page.locator("#topics")).to_contain_text("Thread", timeout=LONG)
    check(page, 15)
    panel(page, "Build order")
    check(page)


def test_bench(opened) -> None:
    page: Page = opened("/bin?file=boat-shed.toml#bench")
    for name in ("module", "motor", "wax"):
        box = page.locator(f'details.test[data-test="{name}"]')
        box.locator("summary").first.click()
        box.get_by_role("button", name="Fill in example readings").click()
        expect(box.locator(".found button.why").first).to_be_visible(timeout=LONG)
    check(page, 20)


@pytest.mark.parametrize("name", ["trial", "diary"])
def test_trial_and_diary(opened, name: str) -> None:
    page: Page = opened(f"/{name}?file=boat-shed.toml")
    if name == "diary":
        page.get_by_role("button", name="Look at an invented one").click()
        expect(page.locator("#timeline li.evening").first).to_be_visible(timeout=LONG)
        check(page, 20)
        return
    page.get_by_role("button", name="Look at an invented fire").click()
    page.get_by_role("button", name="Lay it over the prediction").click()
    expect(page.locator("#events tbody tr").first).to_be_visible(timeout=LONG)
    page.get_by_role("button", name="Correct the guesses by this fire").click()
    expect(page.locator("#told tbody tr").first).to_be_visible(timeout=2 * LONG)
    check(page, 15)
