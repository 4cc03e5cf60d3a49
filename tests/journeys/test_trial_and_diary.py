"""Journeys 8 and 9 in Chromium: a fire by log, by hand and live; kept over the winters. The diary is looked into after."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from test_looks import RULES

from boards import Board
from builds import ROOT
from hobwind.build import build_from_text
from serving import KEPT, PHONE, WIDE, each_figure_has_its_why, home_of, serving

LONG = 60_000
FIRE = ROOT / "examples" / "boat-shed-fire.csv"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder and a diary of this file's own."""
    place = tmp_path_factory.mktemp("winters")
    (place / "boat-shed.toml").write_bytes((ROOT / "examples" / "boat-shed.toml").read_bytes())
    return place


@pytest.fixture(scope="module")
def address(folder: Path) -> Iterator[str]:
    with serving(folder) as where:
        yield where


def asked(folder: Path, question: str) -> list[Any]:
    """Rows of the diary's file, read by SQLite itself."""
    with sqlite3.connect(home_of(folder) / "diary.sqlite") as diary:
        found = diary.execute(question).fetchall()
    diary.close()
    return found


def looks_right(page: Page, name: str) -> None:
    """A picture kept, nothing wider than the screen, no accessibility fault."""
    KEPT.mkdir(exist_ok=True)
    width = page.viewport_size["width"] if page.viewport_size else 0
    page.screenshot(path=KEPT / f"{name}-{width}.png", full_page=True)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()


def test_a_log_is_laid_over_corrected_taken_and_entered(opened, folder: Path) -> None:
    page: Page = opened("/trial?file=boat-shed.toml")
    page.get_by_label(re.compile("Drop CSV files here")).set_input_files(FIRE)
    expect(page.get_by_role("heading", name="boat-shed-fire.csv")).to_be_visible(timeout=LONG)
    expect(page.get_by_text("line 423:")).to_be_visible()
    sink = page.get_by_label("What Kühlkörper [°C] is")
    expect(sink).to_have_value("sink")
    sink.select_option("-")
    expect(page.get_by_label("Unit of Kühlkörper [°C]")).to_have_count(0, timeout=LONG)
    page.get_by_label("What Kühlkörper [°C] is").select_option("sink")
    expect(page.get_by_label("Unit of Kühlkörper [°C]")).to_have_value("°C", timeout=LONG)
    page.get_by_role("button", name="Lay it over the prediction").click()
    expect(page.locator("#chart canvas")).to_be_visible(timeout=LONG)
    shown = page.locator("#shown")
    expect(shown).to_contain_text("started at a plate of")
    each_figure_has_its_why(page.locator("#found"), 5)
    page.get_by_role("button", name="Why: hottest face").click()
    expect(page.get_by_role("dialog")).to_contain_text("meter may be off")
    page.keyboard.press("Escape")
    expect(page.locator("#found")).to_contain_text("Next fire, attended")
    expect(page.locator("#cautions .caution")).to_have_count(2)
    expect(page.locator("#events")).to_contain_text("the guard lifts")
    page.get_by_label("and hold back its end").select_option("30")
    page.get_by_role("button", name="Correct the guesses by this fire").click()
    expect(page.locator("#fitted")).to_be_visible(timeout=2 * LONG)
    expect(page.locator("#told")).to_contain_text("module conductance")
    expect(page.locator("#foretold")).to_contain_text("Foretold without having seen it")
    looks_right(page, "trial-fitted")
    page.get_by_role("button", name="Put it into the diary").click()
    expect(page.locator("#fit-says")).to_contain_text("Entered into the diary", timeout=LONG)
    page.get_by_role("button", name="Put it into the diary").click()
    expect(page.locator("#fit-says")).to_contain_text("in the diary already", timeout=LONG)
    ((report, when),) = asked(folder, "SELECT report, taken_s FROM trials")
    assert FIRE.name in report and '"told": true' in report
    assert asked(folder, "SELECT count(*) FROM evenings") == [(1,)]
    assert {"starts_at_plate_degC", "lifts_at_plate_degC"} <= {
        name for (name,) in asked(folder, "SELECT name FROM look_values")
    }
    assert when == pytest.approx(1768416000.0, abs=86400.0)  # 14 January 2026, whatever the clock on the wall
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()
    page.get_by_role("button", name="Take the corrected build").click()
    taken = page.evaluate("JSON.parse(sessionStorage.getItem('hobwind-tab'))")
    fitted = build_from_text(taken["text"])
    guessed = build_from_text((folder / "boat-shed.toml").read_text("utf-8"))
    assert FIRE.name in taken["text"] and fitted.modules[0].part.conductance.half < guessed.modules[0].part.conductance.half
    assert len(taken["undo"]) == 1
    page.get_by_role("button", name="Undo").click()
    assert page.evaluate("JSON.parse(sessionStorage.getItem('hobwind-tab'))")["text"] == taken["undo"][0]


def test_a_file_is_dropped_in_and_a_wrong_one_is_told(opened) -> None:
    page: Page = opened("/trial?file=boat-shed.toml")
    drop = """([name, text]) => { const all = new DataTransfer(); all.items.add(new File([text], name));
      document.getElementById("drop").dispatchEvent(new DragEvent("drop", { bubbles: true, cancelable: true, dataTransfer: all })); }"""
    page.evaluate(drop, ["evil.csv", "time_s,<img src=x>,plate [C]\n0,1,20\n60,1,30\n120,1,40\n"])
    expect(page.get_by_role("heading", name="evil.csv")).to_be_visible(timeout=LONG)
    assert page.locator("#logs img").count() == 0  # a header is data
    page.get_by_role("button", name="Lay it over the prediction").click()
    expect(page.locator("#run-says")).to_contain_text("plate readings over", timeout=LONG)
    page.get_by_role("button", name="Take evil.csv out").click()
    expect(page.locator("#looked")).to_be_hidden()
    page.evaluate(drop, ["empty.csv", ""])
    expect(page.locator("#file-says")).to_contain_text("empty.csv", timeout=LONG)


def typed(page: Page, place: str, figures: str) -> None:
    page.get_by_role("button", name=place, exact=True).click()
    for figure in figures:
        page.get_by_role("button", name=figure, exact=True).click()
    page.get_by_role("button", name="Keep", exact=True).click()


def test_typed_at_the_fire_with_the_link_down(browser: Browser, address: str, folder: Path) -> None:
    """A phone in the dark. While the link is down everything is in the browser, over a reload too; then it goes over whole."""
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, color_scheme="dark", has_touch=True)
    page, wrong = context.new_page(), list[str]()
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.clock.install()
    page.goto(f"{address}/trial/pad?file=boat-shed.toml")
    expect(page.locator(".spot").first).to_be_attached(timeout=LONG)
    small = page.evaluate("""[...document.querySelectorAll(".pad button:not(.why)")].filter((one) => !one.hidden).filter((one) => {
      const box = one.getBoundingClientRect(); return Math.min(box.width, box.height) < 15 / 25.4 * 96; }).map((one) => one.textContent)""")
    assert small == []  # 15 mm, an inch being 96 of the browser's pixels
    page.locator('[data-spot="hot_face"]').click()
    expect(page.locator("#place-says")).to_have_text("hot face")
    typed(page, "stove plate", "20")
    expect(page.locator("#link")).to_contain_text("1 written down, all on the machine", timeout=LONG)
    context.set_offline(True)
    firsts: list[str] = []
    for k in range(1, 8):
        page.clock.fast_forward(120_000)
        page.get_by_role("button", name="stove plate", exact=True).click()
        for place, figure in enumerate(str(20 + 30 * k)):
            page.get_by_role("button", name=figure, exact=True).click()
            if place == 0:  # the time is that of the first figure, not of Keep
                firsts.append(page.locator("#when").inner_text().removeprefix("at "))
            page.clock.fast_forward(10_000)
        page.get_by_role("button", name="Keep", exact=True).click()
        typed(page, "hot face", str(20 + 12 * k))
    page.get_by_role("button", name="lit", exact=True).click()
    page.get_by_role("button", name="lifted", exact=True).click()
    expect(page.locator("#link")).to_contain_text("kept in this browser", timeout=LONG)
    typed(page, "stove plate", "999")
    expect(page.locator("#wrong")).to_contain_text("-30 °C to 800 °C is allowed")
    for _ in range(3):
        page.get_by_role("button", name="Rub out the last figure").click()
    typed(page, "stove plate", "777")
    page.get_by_role("button", name=re.compile("Take back: stove plate 777")).click()
    expect(page.locator("#entries li")).to_have_count(17)
    (path,) = (home_of(folder) / "typed").glob("fire-*.csv")
    assert len(path.read_text("utf-8").splitlines()) == 2  # what went over before the link broke
    context.set_offline(False)
    page.reload()
    expect(page.locator("#entries li")).to_have_count(17)
    expect(page.locator("#link")).to_contain_text("17 written down, all on the machine", timeout=LONG)
    lines = path.read_text("utf-8").splitlines()
    assert lines[0] == "time,plate [°C],hot_face [°C],note" and len(lines) == 18
    plates = [line.split(",") for line in lines[1:] if line.split(",")[1]]
    assert [float(cells[1]) for cells in plates] == [20.0 + 30.0 * k for k in range(8)]
    assert [cells[0].split()[1].split(".")[0] for cells in plates[1:]] == firsts
    expect(page.locator("#ahead")).to_contain_text("hot face now", timeout=LONG)
    looks_right(page, "pad-typed-dark")
    page.get_by_role("button", name="Use it as the log").click()
    expect(page.get_by_role("heading", name=path.name)).to_be_visible(timeout=LONG)
    page.get_by_role("button", name="Lay it over the prediction").click()
    expect(page.locator("#shown")).to_contain_text("hottest plate", timeout=LONG)
    expect(page.locator("#notes")).to_contain_text("lifted")
    assert wrong == []
    context.close()


def test_live_from_a_port_with_an_alarm(opened, folder: Path) -> None:
    before = len(asked(folder, "SELECT id FROM logs")) if (home_of(folder) / "diary.sqlite").exists() else 0
    page: Page = opened("/trial?file=boat-shed.toml")
    board = Board()
    try:
        page.get_by_role("button", name="Log live").click()
        page.get_by_label("Port", exact=True).fill("/etc/passwd")
        page.get_by_role("button", name="Start logging").click()
        expect(page.locator("#live-says")).to_contain_text("one of those listed is wanted", timeout=LONG)
        page.get_by_label("Port", exact=True).fill(board.port)
        page.get_by_label("Limit of the hot face, °C").fill("140")
        page.get_by_role("button", name="Start logging").click()
        expect(page.locator("#live-lines")).to_contain_text("reading", timeout=LONG)
        board.say(b"\n" + b"180.0,101.0\n" * 3)
        expect(page.locator("#alarm")).to_contain_text("ell below its limit", timeout=LONG)
        board.say(b"181.0,134.0\n" * 3)
        expect(page.locator("#alarm")).to_contain_text("NEAR ITS LIMIT", timeout=LONG)
        board.say(b"182.0,141.0\n" * 3)
        expect(page.locator("#alarm.above")).to_contain_text("ABOVE ITS LIMIT: fan off onto stone", timeout=LONG)
        expect(page.locator("#live-lines")).to_contain_text("9 lines kept")
        looks_right(page, "trial-live")
        page.get_by_role("button", name="Stop and keep it").click()
        expect(page.locator("#live-says")).to_contain_text("in the diary of", timeout=LONG)
    finally:
        board.close()
    assert asked(folder, "SELECT rows, source FROM logs ORDER BY id")[before:] == [(9, board.port)]


def test_an_invented_diary_shows_what_it_is_for(browser: Browser, tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    with serving(empty) as address:
        for size in (WIDE, PHONE):
            context = browser.new_context(viewport={"width": size[0], "height": size[1]}, reduced_motion="reduce")
            page = context.new_page()
            page.goto(f"{address}/diary")
            page.get_by_role("button", name="Look at an invented one").click()
            expect(page.locator("#looks canvas")).to_be_visible(timeout=LONG)
            expect(page.locator("#health-says")).to_contain_text("the modules are ageing")
            expect(page.locator("#is-invented")).to_be_visible()
            expect(page.locator("#chart canvas")).to_be_visible(timeout=LONG)
            looks_right(page, "diary-invented")
            each_figure_has_its_why(page.locator("#there"), 8)
            page.get_by_role("button", name="Back to your own").click()
            expect(page.get_by_role("button", name="Keep the build that is open here")).to_be_visible()
            page.goto(f"{address}/trial/pad")
            expect(page.locator("#link")).to_contain_text("Nothing written down yet")
            looks_right(page, "pad-empty")
            context.close()
    assert not (home_of(empty) / "diary.sqlite").exists()


def test_a_fan_is_kept_over_the_winters(opened, folder: Path, tmp_path: Path) -> None:
    text = (folder / "boat-shed.toml").read_text("utf-8").replace('"Boat shed"', '"Winter fan"')
    (folder / "winter.toml").write_text(text, "utf-8")
    page: Page = opened("/diary?file=winter.toml")
    first = page.get_by_role("button", name="Keep the build that is open here")
    add = page.get_by_text("The build as it is now")
    expect(page.locator("#first:visible, #adds:visible").first).to_be_visible(timeout=LONG)
    if add.is_visible():
        add.click()
        page.locator("#add-build").get_by_role("button", name="Keep it").click()
    else:
        first.click()
    expect(page.locator("#add-says")).to_contain_text("in the diary as it is now", timeout=LONG)
    expect(page.locator("#fan-name")).to_have_text("Winter fan", timeout=LONG)
    page.get_by_text("What was done to it", exact=True).click()
    page.get_by_label("Work", exact=True).select_option("compound renewed")
    page.get_by_label("In your words").fill("thin, both faces <i>clean</i>")
    page.locator("#add-service").get_by_role("button", name="Enter it").click()
    expect(page.locator("#timeline")).to_contain_text("compound renewed: thin, both faces <i>clean</i>", timeout=LONG)
    page.get_by_text("A photo", exact=True).click()
    page.get_by_label("JPEG or PNG").set_input_files({"name": "fan.png", "mimeType": "image/png", "buffer": picture()})
    page.get_by_label("What it shows").fill("on the stove")
    page.locator("#add-photo").get_by_role("button", name="Keep it").click()
    image = page.get_by_role("img", name="on the stove")
    expect(image).to_be_visible(timeout=LONG)
    page.wait_for_function("(one) => one.complete && one.naturalWidth > 0", arg=image.element_handle())
    page.get_by_text("An evening's log", exact=True).click()
    page.get_by_label("CSV", exact=True).set_input_files(ROOT / "examples" / "boat-shed-second-fire.csv")
    page.locator("#add-log").get_by_role("button", name="Enter it").click()
    expect(page.locator("#add-says")).to_contain_text("Entered as log", timeout=LONG)
    expect(page.locator("#figures")).to_contain_text("evenings lit", timeout=LONG)
    expect(page.locator("#timeline .evening")).to_have_count(1, timeout=LONG)
    looks_right(page, "diary-filled")
    with page.expect_download() as carried:
        page.get_by_role("link", name="Carry it away as a zip").click()
    carried.value.save_as(tmp_path / "diary.zip")
    page.get_by_label("Take one in:").set_input_files(tmp_path / "diary.zip")
    expect(page.locator("#carry-says")).to_contain_text("nothing that was not there already", timeout=LONG)
    page.get_by_role("button", name="Check the file").click()
    expect(page.locator("#carry-says")).to_contain_text("Sound", timeout=LONG)
    of_fan = "FROM {} x JOIN fans f ON f.id = x.fan_id WHERE f.name = 'Winter fan'"
    assert asked(folder, "SELECT work, x.says " + of_fan.format("services")) == [
        ("compound renewed", "thin, both faces <i>clean</i>")
    ]
    assert asked(folder, "SELECT kind, x.says " + of_fan.format("photos")) == [("png", "on the stove")]
    assert asked(folder, "SELECT source " + of_fan.format("logs")) == [("boat-shed-second-fire.csv",)]
    assert asked(folder, "SELECT count(*) " + of_fan.format("builds")) == [(1,)]


def picture() -> bytes:
    """A small PNG."""
    import io

    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (64, 48), "sienna").save(out, "PNG")
    return out.getvalue()


def test_a_log_that_was_cut_off_is_told_where_logs_are_begun(opened, folder: Path) -> None:
    """A journal as kill -9 leaves it: the page says at Trial that it is in the diary, and so it is."""
    left = home_of(folder) / "coming" / "20260114-190000-1.lines"
    left.parent.mkdir(parents=True, exist_ok=True)
    head = {"fan": "Cut off", "build": None, "names": ["plate"], "renamed": {}, "source": "/dev/ttyUSB0"}
    lines = [f"{1.7e9 + k:.4f} 0 {100 + k}" for k in range(5)]
    left.write_text("\n".join([json.dumps(head), *lines, "1700000005.0000 0 1"]), "utf-8")
    page: Page = opened("/trial?file=boat-shed.toml")
    told = page.get_by_text('A live log was cut off. Its 5 readings are in the diary of "Cut off"')
    expect(told).to_be_visible(timeout=LONG)
    looks_right(page, "trial-cut-off")
    assert not left.exists()
    assert asked(folder, "SELECT l.rows FROM logs l JOIN fans f ON f.id = l.fan_id WHERE f.name = 'Cut off'") == [(5,)]


def test_without_scripts_the_diary_shows_its_lists(opened, folder: Path) -> None:
    page: Page = opened("/diary?file=boat-shed.toml", java_script_enabled=False)
    page.wait_for_url("**plain=true**")
    expect(page.locator("main")).to_contain_text("hobwind diary")
    page = opened("/trial?file=boat-shed.toml", java_script_enabled=False)
    page.wait_for_url("**plain=true**")
    expect(page.locator("main")).to_contain_text("hobwind trial boat-shed.toml LOG.csv")
