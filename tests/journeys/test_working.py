"""Build, Evening and Learn at work: edits, undo, mends, saving; what landed in the file."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from builds import example
from hobwind.page.drawing import draw
from hobwind.units import plain
from serving import each_figure_has_its_why


def ready(page: Page) -> None:
    expect(page.locator("svg#drawing")).to_be_visible(timeout=20000)


def card(page: Page, name: str) -> None:
    page.locator("#parts").get_by_role("button", name=re.compile(name)).click()


def test_an_edit_moves_the_drawing_and_only_save_touches_the_file(opened, folder: Path) -> None:
    path = folder / "boat-shed.toml"
    before = path.read_text("utf-8")
    page: Page = opened("/build?file=boat-shed.toml")
    ready(page)
    expect(page.locator("#sentence")).to_contain_text("turns from about", timeout=20000)
    card(page, "riser 1")
    field = page.get_by_label("length", exact=True)
    field.fill("9 km")
    field.press("Tab")
    expect(page.locator("#card .wrong").filter(has_text="allowed")).to_be_visible()
    field.fill("140 mm")
    field.press("Tab")
    expect(page.locator('#drawing rect[data-part="riser 1"]')).to_have_attribute("height", "140")
    assert path.read_text("utf-8") == before
    page.get_by_role("button", name="Undo").click()
    expect(page.locator('#drawing rect[data-part="riser 1"]')).to_have_attribute("height", "110")
    page.get_by_role("button", name="Redo").click()
    expect(page.locator('#drawing rect[data-part="riser 1"]')).to_have_attribute("height", "140")
    expect(page.locator("#said")).to_have_text("")
    spare = folder / ".boat-shed.autosave.toml"
    page.wait_for_timeout(1100)  # autosave waits 0.7 s for the hand to rest
    assert 'length = "140 mm"' in spare.read_text("utf-8")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#said")).to_contain_text("Saved")
    assert path.read_text("utf-8") == before.replace('length = "110 mm"', 'length = "140 mm"')
    assert not spare.exists()
    path.write_text(before, "utf-8")


def test_a_change_on_disk_is_noticed_and_nothing_is_lost(opened, folder: Path) -> None:
    path = folder / "boat-shed-soft-solder.toml"
    page: Page = opened("/build?file=boat-shed-soft-solder.toml")
    ready(page)
    expect(page.locator("#sentence")).to_contain_text("turns from about", timeout=60000)
    card(page, "blade")
    page.get_by_role("textbox", name="hub above the plate").fill("240 mm")
    page.get_by_role("textbox", name="hub above the plate").press("Tab")
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    outside = path.read_text("utf-8") + "\n# changed outside\n"
    path.write_text(outside, "utf-8")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#said")).to_contain_text(re.compile("changed"))
    assert path.read_text("utf-8") == outside
    page.get_by_role("button", name=re.compile("Keep mine")).click()
    expect(page.locator("#said")).to_contain_text("Saved")
    assert "240 mm" in path.read_text("utf-8") and "changed outside" not in path.read_text("utf-8")


def test_words_of_the_page_are_told(opened) -> None:
    page: Page = opened("/build?file=boat-shed.toml")
    expect(page.locator("#sentence")).to_contain_text("turns from about", timeout=60000)
    page.get_by_text("What the words on this page mean").click()
    told = page.locator("#words dl")
    expect(told).to_contain_text("the riser's foot face on the plate")
    expect(told.locator("dt", has_text=re.compile("^K$"))).to_be_visible()
    expect(told.locator("dt", has_text="rainflow")).to_have_count(0)
    expect(told.locator("dt", has_text="price list")).to_have_count(0)  # of the Bin; nothing here speaks of it


def test_save_as_leaves_the_file_that_was_opened(opened, folder: Path) -> None:
    first, second, third = (folder / name for name in ("boat-shed-steel-screws.toml", "other.toml", "other 2.toml"))
    before = first.read_text("utf-8")
    page: Page = opened("/build?file=boat-shed-steel-screws.toml")
    ready(page)
    card(page, "blade")
    page.get_by_role("textbox", name="hub above the plate").fill("241 mm")
    page.get_by_role("textbox", name="hub above the plate").press("Tab")
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    for name in (second.name, third.name):
        page.get_by_role("button", name="Save as").click()
        if name == second.name:
            page.get_by_label("File name").fill(name)
        page.get_by_role("dialog").get_by_role("button", name="Save", exact=True).click()
        expect(page.locator("#said")).to_contain_text(f"Saved as {name};")
    assert first.read_text("utf-8") == before and not list(folder.glob(".boat-shed-steel-screws*"))
    assert second.read_text("utf-8") == third.read_text("utf-8") and "241 mm" in third.read_text("utf-8")
    page.get_by_role("button", name="Save as").click()
    page.get_by_label("File name").fill(first.name)  # one that is there is never written over unasked
    page.get_by_role("dialog").get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#said")).to_contain_text("is in the folder already")
    assert first.read_text("utf-8") == before
    second.unlink(), third.unlink()


@pytest.mark.parametrize("keep", [True, False])
def test_a_mend_is_tried_as_a_ghost_and_kept_or_dropped(opened, keep: bool) -> None:
    page: Page = opened("/example/boat-shed-no-guard")
    ready(page)
    expect(page.locator(".finding.danger").first).to_be_visible(timeout=20000)
    page.locator(".finding.danger").first.get_by_role("button", name=re.compile("Try")).click()
    expect(page.locator("#ghost")).to_contain_text("before")
    expect(page.locator("#drawing .ghost").first).to_be_attached()
    page.get_by_role("button", name="Keep it" if keep else "Drop it").click()
    expect(page.locator("#drawing .ghost")).to_have_count(0)
    if keep:
        expect(page.locator("#sentence")).not_to_contain_text("would cook", timeout=20000)
        expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    else:
        expect(page.get_by_role("button", name="Undo")).to_be_disabled()


def test_the_evening_follows_the_finger_the_keys_and_the_drawn_curve(opened) -> None:
    page: Page = opened("/evening?file=boat-shed.toml")
    ready(page)
    expect(page.locator("#closing")).to_contain_text("°C")
    expect(page.locator("#bears")).to_contain_text("the modules live through this fire")
    expect(page.locator("#chart canvas")).to_be_visible(timeout=20000)
    line = page.get_by_role("slider", name="Time line")
    line.focus()
    for _ in range(12):
        page.keyboard.press("PageUp")
    expect(page.locator("#at-speed")).to_contain_text("rpm")
    before = page.locator("#closing").inner_text()
    corner = page.get_by_role("slider", name=re.compile("^corner 14"))
    corner.focus()
    for _ in range(20):
        page.keyboard.press("ArrowDown")
    expect(page.get_by_role("radio", name="drawn by hand")).to_be_checked()
    expect(page.locator("#closing")).not_to_have_text(before)
    page.get_by_role("button", name="Play").click()
    expect(page.get_by_role("button", name="Pause")).to_be_visible()
    page.get_by_role("button", name="Pause").click()
    page.get_by_role("button", name="Run the drill").click()
    expect(page.locator("#drill-result")).to_contain_text("stuck down", timeout=60000)
    expect(page.locator("#drill-result tr.wrong")).to_contain_text(["stuck down: cooks"])


def test_why_opens_the_equation_with_its_numbers(opened) -> None:
    for where in ("/build?file=boat-shed.toml", "/evening?file=boat-shed.toml", "/learn?file=boat-shed.toml", "/show"):
        page: Page = opened(where)
        page.locator("button.why").first.wait_for(timeout=20000)
        each_figure_has_its_why(page.locator("body"), 3)
        page.locator("button.why").nth(2).click()
        expect(page.get_by_role("dialog")).to_contain_text("Source:")
        page.keyboard.press("Escape")
        expect(page.get_by_role("dialog")).to_have_count(0)


def test_without_scripts_drawing_figures_and_findings_are_there(opened) -> None:
    page: Page = opened("/build?file=boat-shed-no-guard.toml", java_script_enabled=False)
    page.wait_for_url("**plain=true**")
    expect(page.locator("svg#drawing")).to_be_visible()
    expect(page.locator("#overall")).to_contain_text("°C")
    expect(page.locator(".finding.danger").first).to_be_visible()


def test_a_tilting_fan_turns_about_its_foots_edge_in_the_drawing(opened) -> None:
    """Pin 72 mm from the edge, at its stop of 2 mm drawn 2.4 times as far: atan(4.8/72) = 3.814°, the lever asin(2.4/25) = 5.509°."""
    guard = replace(example().guard, kind="lever tilt", lever_ratio=plain(2.0), pivot_distance=plain(0.072))
    svg = draw(replace(example(), guard=guard), {}, {}, 20.0).svg
    page: Page = opened("/doors")
    script = """async (svg) => {
        const { put_drawing } = await import("/own/drawing.js");
        const board = document.body.appendChild(document.createElement("div"));
        put_drawing(board, svg).set({ heats: {}, flows: {}, lift: 2, speed: 0 });
        return ["#lifting", "#lever", "#pushing", "#sizes-fan"].map((one) => board.querySelector(one).getAttribute("transform"));
    }"""
    fan, lever, pin, sizes = page.evaluate(script, svg)
    x, y, _ = (float(one) for one in re.search(r'data-pivot="([^"]*)"', svg)[1].split())  # type: ignore[index]
    angle, *about = (float(one) for one in re.findall(r"-?[\d.]+", fan))
    assert (angle, *about) == pytest.approx((-3.814, x, y), abs=1e-3)  # anticlockwise: the pin's side rises
    assert float(re.findall(r"-?[\d.]+", lever)[0]) == pytest.approx(5.509, abs=1e-3)
    assert pin == "translate(0 -2.400)" and sizes is None
