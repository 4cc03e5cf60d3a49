"""The four doors, walked by somebody who knows nothing and types nothing."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from builds import judged
from hobwind.dossier import from_dossier
from hobwind.dossier_maker import make_dossier


def test_every_answer_dont_know_still_ends_in_a_verdict(opened) -> None:
    page: Page = opened("/")
    clicks = 1
    page.get_by_role("link", name=re.compile("I have scrap")).click()
    number, last = 1, 99
    while number <= last:
        heading = page.get_by_text(re.compile(rf"^Question {number} of"))
        expect(heading).to_be_visible(timeout=20000)
        last = int(heading.inner_text().split()[-1])
        page.get_by_role("button", name=re.compile("I don't know")).click()
        number, clicks = number + 1, clicks + 1
    assert clicks <= 12
    expect(page.locator("#sentence")).to_contain_text("turn", timeout=20000)
    expect(page.locator("svg#drawing")).to_be_visible()
    expect(page.locator(".finding").first).to_be_visible()
    assert page.url.endswith("/build")


def test_show_me_starts_the_blade_and_then_lifts_the_fan(opened) -> None:
    page: Page = opened("/show")
    slider, sentence = page.get_by_role("slider", name="Stove plate"), page.locator("#sentence")
    expect(page.locator("svg#drawing")).to_be_visible(timeout=20000)
    expect(page.locator("#plate-text")).to_have_text(re.compile("2[01] °C"))
    expect(sentence).to_contain_text("stands still")
    slider.focus()
    said = []
    for _ in range(170):
        page.keyboard.press("ArrowRight")
        said.append(sentence.inner_text())
    started = next(i for i, one in enumerate(said) if "started by itself" in one)
    lifted = next(i for i, one in enumerate(said) if "lifted the fan" in one)
    assert started < lifted
    assert "translate(0 -" in (page.locator("#lifting").get_attribute("transform") or "")


def test_a_fan_measured_from_outside_becomes_a_build(opened) -> None:
    page: Page = opened("/doors")
    page.get_by_role("link", name=re.compile("I have a fan")).click()
    page.get_by_label("sink, across the fins, mm").fill("7 km")
    page.get_by_role("button", name="Draw and judge it").click()
    expect(page.get_by_role("alert")).to_contain_text("sink, across the fins")
    page.get_by_label("sink, across the fins, mm").fill("120")
    page.get_by_role("button", name="Draw and judge it").click()
    expect(page.locator("#sentence")).to_contain_text("turn", timeout=20000)


def test_somebodys_build_is_dropped_in(opened, tmp_path: Path, folder: Path) -> None:
    page: Page = opened("/somebody")
    given = tmp_path / "theirs.toml"
    given.write_text((folder / "boat-shed.toml").read_text("utf-8").replace('"Boat shed"', '"Theirs"'), "utf-8")
    page.get_by_label(re.compile("Drop a build file or a dossier")).set_input_files(given)
    expect(page.get_by_role("heading", name="Theirs")).to_be_visible(timeout=20000)
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_label("File name").fill("theirs.toml")
    page.get_by_role("dialog").get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#said")).to_contain_text("Saved as theirs.toml")
    assert (folder / "theirs.toml").read_text("utf-8") == given.read_text("utf-8")


def test_somebodys_dossier_is_dropped_in(opened, tmp_path: Path) -> None:
    page: Page = opened("/somebody")
    field = page.get_by_label(re.compile("Drop a build file or a dossier"))
    wrong = (
        ("holiday.pdf", b"%PDF-1.4 not one", "cannot be read as a PDF"),
        ("fan.toml", b"name = \xff", "not UTF-8"),
        ("none.toml", b"", "is empty"),
    )
    for name, data, says in wrong:
        (tmp_path / name).write_bytes(data)
        field.set_input_files(tmp_path / name)
        expect(page.locator("#file-says")).to_contain_text(says)
    made = judged("boat-shed-soft-solder")
    (tmp_path / "their-dossier.pdf").write_bytes(make_dossier(made, tmp_path))
    field.set_input_files(tmp_path / "their-dossier.pdf")
    expect(page.get_by_role("heading", name=made.solved.build.name)).to_be_visible(timeout=20000)
    text = page.evaluate("JSON.parse(sessionStorage.getItem('hobwind-tab')).text")
    assert text.encode("utf-8") == from_dossier(tmp_path / "their-dossier.pdf").text
