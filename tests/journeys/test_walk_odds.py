"""Odds at work, journeys 5 and 6: how sure, what to measure, and an hour's work tried, kept, and found in the file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from hobwind.build import load_build
from serving import KEPT, PHONE, WIDE, each_figure_has_its_why

LONG = 60_000  # ms; a busy machine throws slowly, and compiles first
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}


def panel(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="In this section").get_by_role("link", name=name).click()


def test_how_sure_is_that(opened) -> None:
    page: Page = opened("/odds?file=boat-shed.toml")
    expect(page.locator("#odds-head")).to_contain_text("256 fans thrown", timeout=2 * LONG)  # at once, unasked
    expect(page.locator("#odds-sentence")).to_contain_text(re.compile(r"1 in \d+.*passes its limit"))
    expect(page.locator("#odds-chart canvas")).to_be_visible(timeout=LONG)
    expect(page.locator("#measures li").first).to_contain_text("would narrow")
    each_figure_has_its_why(page.locator("body"), 12)
    page.get_by_label("fans to throw").select_option("1024")
    page.get_by_label("how likely is a face above").fill("9000")
    page.get_by_role("button", name="Throw the dice", exact=True).click()
    expect(page.locator("#odds-wrong")).to_contain_text("20 to 500 °C is allowed")
    page.get_by_label("how likely is a face above").fill("140 °C")
    page.get_by_role("button", name="Throw the dice", exact=True).click()
    expect(page.locator("#odds-head")).to_contain_text("1,024 fans thrown", timeout=2 * LONG)
    asked = page.locator(".chance").filter(has_text="passes 140 °C")
    expect(asked).to_be_visible()
    asked.get_by_role("button", name=re.compile("^Why")).click()
    expect(page.get_by_role("dialog")).to_contain_text("of 1,024 thrown fans", timeout=LONG)
    page.keyboard.press("Escape")
    page.locator("#measures li").first.get_by_role("button", name=re.compile("^Why")).click()
    expect(page.get_by_role("dialog")).to_contain_text("√", timeout=LONG)
    page.keyboard.press("Escape")
    test = page.locator("#measures a").first
    name = re.sub(r".*\"(.+)\"", r"\1", test.inner_text())
    test.click()
    expect(page.locator(f"#test-{name}[open]")).to_be_visible()


def test_a_long_throw_is_stopped_and_the_last_answer_stays(opened) -> None:
    page: Page = opened("/odds?file=boat-shed-hunting.toml")
    expect(page.locator("#odds-head")).to_contain_text("256 fans", timeout=2 * LONG)
    page.get_by_label("fans to throw").select_option("4096")
    page.get_by_role("button", name="Throw the dice", exact=True).click()
    page.get_by_role("button", name="Stop", exact=True).click()
    expect(page.locator("#throw-job")).to_contain_text("Stopped", timeout=LONG)
    expect(page.locator("#odds-head")).to_contain_text("256 fans")


def test_what_an_hours_work_is_worth(opened, folder: Path) -> None:
    page: Page = opened("/example/boat-shed")
    expect(page.locator("#sentence")).to_contain_text("turn", timeout=LONG)
    page.get_by_role("navigation", name="Sections").get_by_role("link", name="Odds").click()
    panel(page, "An hour's work")
    page.get_by_role("button", name="Try every kind of work").click()
    first = page.locator(".gain").first
    expect(first).to_contain_text("margin", timeout=2 * LONG)
    says = first.get_by_role("heading").inner_text()
    expect(first.locator(".caution")).to_be_visible()
    expect(page.get_by_text(re.compile(r"Not worth doing \(\d+\)"))).to_be_visible()
    first.get_by_role("button", name=re.compile("^Why")).click()
    expect(page.get_by_role("dialog")).to_contain_text("before and after", timeout=LONG)
    page.keyboard.press("Escape")
    first.get_by_role("button", name=re.compile("^Try it")).click()
    expect(page.get_by_text("Tried, not kept")).to_be_visible(timeout=LONG)
    expect(page.get_by_text("To get or to make").locator("..")).to_contain_text("motor: coreless motor")
    expect(page.get_by_text("No longer wanted").locator("..")).to_contain_text("motor: CD spindle motor")
    page.get_by_text("Lines of the file").click()
    lines = page.get_by_label("Lines of the file").inner_text()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("The build has changed since")).to_be_visible()
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_label("File name").fill("bettered.toml")
    page.get_by_role("dialog").get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#said")).to_contain_text("Saved as bettered.toml", timeout=LONG)
    assert 'motor.part = "coreless motor"' in lines and "coreless motor" in says
    assert load_build(folder / "bettered.toml").motor.part.name == "coreless motor"


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["desk", "phone"])
def test_every_panel_is_named_and_fits_the_screen(opened, size: tuple[int, int]) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page: Page = opened("/odds?file=boat-shed.toml", size, reduced_motion="reduce", color_scheme="dark")
    expect(page.locator("#odds-chart canvas")).to_be_visible(timeout=2 * LONG)
    KEPT.mkdir(exist_ok=True)
    for name in ("How sure", "An hour's work"):
        panel(page, name)
        if name != "How sure":
            page.get_by_role("button", name="Try every kind of work").click()
            expect(page.locator(".gain").first).to_be_visible(timeout=2 * LONG)
        page.screenshot(path=KEPT / f"odds-{name.split()[-1].lower()}-{size[0]}.png", full_page=True)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], name
        found = Axe().run(page, options=RULES)
        assert found.violations_count == 0, (name, found.generate_report())


def test_without_scripts_a_quick_throw_is_there(opened) -> None:
    page: Page = opened("/odds?file=boat-shed.toml", java_script_enabled=False)
    page.wait_for_url("**plain=true**")
    expect(page.get_by_role("heading", name="Measure next")).to_be_visible()
    expect(page.get_by_text("256 fans thrown")).to_be_visible()
