"""°F and inches on the page: everything shown is reworded as the command line does, and back; nothing typed or saved is touched."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from hobwind.parts.catalogue import sized_names
from hobwind.units import in_inches
from serving import home_of, serving

TEXTS = """() => [...document.querySelectorAll("#sentence, #at-plate dd span, #overall dd span, .finding, .caution, #parts button")]
  .map((one) => one.textContent)"""
PUT = """(lines) => document.querySelector("main").append(
  ...lines.map((line) => Object.assign(document.createElement("p"), { className: "said-here", textContent: line })))"""
SAID = [
    "141 ± 9 °C and 19 ± 3 K", "8..11 K", "60 to 85 °C", "80-100 K", "112 mm, 9.5 mm, 0.2 mm², 3 mm/s", "+12 K, -12.5 °C",
    "24.1 m³/h at 1.25 m/s", "T2.5 K", "cooler 40 mm 6 A at 40 mm",
]  # fmt: skip


def test_the_setting_rewords_keeps_and_goes_back(opened, folder: Path) -> None:
    page: Page = opened("/build?file=boat-shed.toml")
    expect(page.locator("#sentence")).to_contain_text("turns from about", timeout=60000)
    expect(page.locator(".caution").first).to_be_visible(timeout=60000)
    before = page.evaluate(TEXTS)
    setting = page.get_by_role("button", name="°F, in")
    setting.click()
    expect(setting).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#sentence")).to_contain_text("°F")
    assert page.evaluate(TEXTS) == [in_inches(one, sized_names()) for one in before]
    assert not re.search(r"\d °C", page.locator("main").inner_text())
    page.locator("#plate").focus()
    page.keyboard.press("ArrowRight")  # what is written later is reworded too
    expect(page.locator("#plate-text")).to_contain_text("°F")
    assert "°F" in (page.locator("#plate").get_attribute("aria-valuetext") or "")
    page.locator("#parts").get_by_role("button", name=re.compile("riser 1")).click()
    expect(page.get_by_label("length", exact=True)).to_have_value("110 mm")  # as it stands in the file
    page.reload()
    expect(page.locator("#sentence")).to_contain_text("°F", timeout=60000)
    setting.click()
    expect(page.locator("#sentence")).to_have_text(before[0])
    assert page.evaluate(TEXTS)[0] == before[0]


def test_the_page_and_the_command_line_reword_alike(opened) -> None:
    page: Page = opened("/doors")
    page.get_by_role("button", name="°F, in").click()
    page.evaluate(PUT, SAID)
    expect(page.locator(".said-here").first).to_contain_text("°F")
    assert page.locator(".said-here").all_inner_texts() == [in_inches(one, sized_names()) for one in SAID]


def test_the_pad_takes_fahrenheit_and_inches_and_writes_its_own_units(browser: Browser, tmp_path: Path) -> None:
    with serving(tmp_path) as address:
        context = browser.new_context(viewport={"width": 390, "height": 844})
        page = context.new_page()
        page.goto(f"{address}/trial/pad")
        page.get_by_role("button", name="°F, in").click()

        def kept(place: str, figures: str) -> None:
            page.get_by_role("button", name=place, exact=True).click()
            for figure in figures:
                page.get_by_role("button", name=figure, exact=True).click()
            page.get_by_role("button", name="Keep", exact=True).click()

        kept("stove plate", "450")
        expect(page.locator("#entries")).to_contain_text("stove plate 450 °F")
        page.get_by_role("button", name=re.compile("^more")).click()
        kept("gap under the foot", ".08")
        expect(page.locator("#entries")).to_contain_text("gap under the foot 0.08 in")
        kept("stove plate", "2000")
        expect(page.locator("#wrong")).to_contain_text("got 2000 °F; -22 °F to 1472 °F is allowed")
        page.get_by_role("button", name="°F, in").click()
        expect(page.locator("#entries")).to_contain_text("stove plate 232.22 °C")
        expect(page.locator("#link")).to_contain_text("2 written down, all on the machine")
        (path,) = (home_of(tmp_path) / "typed").glob("fire-*.csv")
        head, *lines = path.read_text("utf-8").splitlines()
        assert head == "time,plate [°C],gap [mm],note"
        plate, gap = (float(one) for line in lines for one in line.split(",")[1:] if one)
        assert abs(plate - (450.0 - 32.0) / 1.8) < 1e-3 and abs(gap - 0.08 * 25.4) < 1e-3
        context.close()
