"""Bin at work: journeys 2 (what is in this scrap), 3 (what to build) and 11 (follow it), and what landed in the files."""

from __future__ import annotations

import io
import math
import re
import tomllib
import wave
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from hobwind.build import load_build
from hobwind.build.bin_file import load_bin
from serving import PHONE, WIDE, each_figure_has_its_why

LONG = 60_000  # ms; a busy machine compiles and solves slowly
SMALL = """\
# The boat shed's bin with little in it. Invented, for the tests.
format = 1
name = "Small bin"

[stove]
usual_plate = "230 °C"
worst_plate = "330 °C"

[wish]
starts_by = "130 °C"
air = "30 m³/h"

[[module]]
name = "coolbox pair"
part = "cooler 40 mm 6 A"
count = 2

[[motor]]
part = "CD spindle motor"

[[blade]]
part = "blade 150 mm 4"

[[sink]]
part = "amplifier sink 150 x 100"

[[bar]]
name = "square end"
shape = "block"
width = "60 mm"
depth = "60 mm"
length = "180 mm"
material = "aluminium 6082"
lengths = ["80 mm", "110 mm"]

[[plate]]
name = "jig plate"
width = "100 mm"
depth = "60 mm"
thickness = "10 mm"
material = "aluminium 6082"
serves = "hot plate"

[[screws]]
part = "M4 stainless"
count = 4

[[element]]
part = "wax 88"

[[guard]]
kind = "central lift"
held_in = "plate"
lost_motion = "1.0 mm"
stop = "2 mm"
over_travel = "10 mm"
pin_length = "60 mm"
"""


@pytest.fixture
def small(folder: Path) -> Path:
    path = folder / "small-bin.toml"
    path.write_text(SMALL, "utf-8")
    return path


def begin(page: Page, name: str = "small-bin.toml") -> None:
    page.get_by_role("button", name=name).click()
    expect(page.locator("#bin-items")).to_contain_text("square end", timeout=LONG)


def panel(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="In this section").get_by_role("link", name=name).click()


def test_readings_become_a_part_in_the_bin_and_in_the_build(opened, folder: Path, small: Path) -> None:
    """Journey 2: a spring by hand is refused a bin, a wax element goes into the bin's file and into the build."""
    page: Page = opened("/bin?file=boat-shed.toml")
    begin(page)
    panel(page, "Bench tests")
    card = page.locator("#test-wax")
    card.locator("summary").first.click()
    expect(card.locator(".caution")).to_be_visible()
    expect(card.get_by_role("img", name=re.compile("set-up"))).to_be_visible()
    card.get_by_role("button", name="Fill in example readings").click()
    expect(card.locator(".fit")).to_have_text("Fit for use. ", timeout=LONG)
    row = card.get_by_label("up 3, stroke, mm")
    row.fill("much")
    expect(card.locator(".row-says").filter(has_text='"much"')).to_be_visible(timeout=LONG)
    expect(row).to_have_attribute("aria-invalid", "true")
    expect(card.locator(".outcome")).to_have_count(0)
    row.fill("0.1")
    expect(card.locator(".found")).to_contain_text("opens at", timeout=LONG)
    expect(card.locator(".chart canvas")).to_be_visible(timeout=LONG)
    opens = card.locator(".found tr").filter(has_text="opens at").locator(".value").inner_text()
    card.get_by_label("Call it").fill("tractor element")
    card.get_by_role("button", name="Put it in the bin").click()
    expect(card.get_by_text("It is in the bin")).to_be_visible()
    assert small.read_text("utf-8") == SMALL  # nothing is written until it is saved
    page.get_by_role("button", name="Save the bin").click()
    expect(page.locator("#bin-said")).to_contain_text("Saved as small-bin.toml")
    kept = tomllib.loads(small.read_text("utf-8"))["element"][-1]
    assert kept["name"] == "tractor element" and kept["opens"] == opens and small.read_text("utf-8").startswith(SMALL.rstrip())
    assert [one.name for one in load_bin(small).of("element")] == ["wax 88", "tractor element"]
    card.get_by_role("button", name="Use it in my build").click()
    expect(card.get_by_text("Your build has it")).to_be_visible()
    page.locator("#undo").click()
    expect(page.locator("#redo")).to_be_enabled()
    page.locator("#redo").click()
    page.get_by_role("link", name="Build", exact=True).click()
    expect(page.locator("#sentence")).to_contain_text("turns from about", timeout=LONG)
    page.get_by_role("button", name="As text").click()
    assert f'opens = "{opens}"' in page.get_by_label("Its text").input_value()


def test_a_part_is_put_in_taken_out_undone_and_a_change_on_disk_noticed(opened, small: Path) -> None:
    page: Page = opened("/bin?file=boat-shed.toml")
    begin(page)
    page.get_by_label("kind of part").select_option("motor")
    page.get_by_label("like, in the catalogue").select_option("cassette motor")
    page.get_by_label("call it").fill("deck's motor")
    page.get_by_role("button", name="Put it in", exact=True).click()
    expect(page.locator("#bin-items")).to_contain_text("deck's motor")
    page.get_by_role("button", name="Take out CD spindle motor").click()
    expect(page.locator("#bin-items")).not_to_contain_text("CD spindle")
    page.get_by_role("button", name="Take out deck's motor").click()
    expect(page.locator("#bin-wanting")).to_contain_text("motors")
    for _ in range(2):
        page.get_by_role("button", name="Undo in the bin").click()
    expect(page.locator("#bin-items")).to_contain_text("CD spindle")
    page.get_by_label("turns by a plate of").fill("99 m")
    page.get_by_label("turns by a plate of").press("Tab")
    expect(page.locator("#wish-form .wrong").filter(has_text='"99 m"')).to_be_visible()
    page.get_by_label("turns by a plate of").fill("110 °C")
    page.get_by_label("turns by a plate of").press("Tab")
    expect(page.locator("#wish-form .wrong").filter(has_text='"99 m"')).to_have_count(0)
    page.reload()  # the bin stays in the tab
    expect(page.locator("#bin-items")).to_contain_text("deck's motor", timeout=LONG)
    outside = SMALL + "\n# changed outside\n"
    small.write_text(outside, "utf-8")
    page.get_by_role("button", name="Save the bin").click()
    expect(page.locator("#bin-said")).to_contain_text("changed")
    assert small.read_text("utf-8") == outside
    page.get_by_role("button", name=re.compile("Keep mine")).click()
    expect(page.locator("#bin-said")).to_contain_text("Saved")
    saved = tomllib.loads(small.read_text("utf-8"))
    assert [one.get("name", one["part"]) for one in saved["motor"]] == ["CD spindle motor", "deck's motor"]
    assert saved["wish"]["starts_by"] == "110 °C" and "changed outside" not in small.read_text("utf-8")


def test_a_bin_is_ranked_and_one_answer_becomes_the_build(opened, folder: Path, small: Path) -> None:
    """Journey 3: saw length, wiring and reasons; taken as the build, undone, saved under a name of its own."""
    page: Page = opened("/bin?file=boat-shed.toml")
    before = (folder / "boat-shed.toml").read_text("utf-8")
    begin(page)
    page.get_by_role("link", name="What can it become?").click()
    page.get_by_role("button", name="Try every combination").click()
    first = page.get_by_role("article", name="Answer 1")
    expect(first).to_be_visible(timeout=4 * LONG)
    expect(first).to_contain_text(re.compile(r"square end sawn to (80|110) mm"))
    expect(first).to_contain_text("Limited by")
    expect(first).to_contain_text("Odds:")
    wiring = first.locator("tr").filter(has_text="wiring").locator("td").inner_text()
    assert re.fullmatch("in (series|parallel)", wiring)
    each_figure_has_its_why(page.locator("#pick-found"), 3)
    shown = first.locator("[data-figure=starts_at]").inner_text()
    first.get_by_role("button", name=re.compile("Why: starts at")).click()
    expect(page.get_by_role("dialog")).to_contain_text("Source:", timeout=LONG)
    page.keyboard.press("Escape")
    saw = int(re.search(r"sawn to (\d+) mm", first.inner_text()).group(1))
    first.get_by_role("button", name="Take answer 1").click()
    page.wait_for_url("**/build")
    expect(page.locator(f'#drawing rect[data-part="riser 1"][height="{saw}"]')).to_be_attached(timeout=LONG)
    expect(page.locator("#overall [data-figure=starts_at]")).to_have_text(shown, timeout=LONG)
    page.locator("#undo").click()
    expect(page.locator("#build-name")).to_have_text("Boat shed", timeout=LONG)
    page.locator("#redo").click()
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_label("File name").fill("picked")
    page.get_by_role("dialog").get_by_role("button", name="Save").click()
    expect(page.locator("#said")).to_contain_text("Saved as picked.toml")
    built = load_build(folder / "picked.toml")
    assert built.riser[0].length.value == pytest.approx(saw * 1e-3)
    assert built.motor.part.name == "CD spindle motor" and built.wiring.arrangement == wiring.removeprefix("in ")
    assert (folder / "boat-shed.toml").read_text("utf-8") == before
    (folder / "picked.toml").unlink()


def test_a_pick_can_be_stopped(opened) -> None:
    page: Page = opened("/bin")
    page.get_by_role("button", name=re.compile("boat shed's bin")).click()
    page.get_by_role("link", name="What can it become?").click()
    page.get_by_role("button", name="Try every combination").click()
    expect(page.locator("#pick-job")).to_contain_text(re.compile(r"[\d,]+ of [\d,]+ solved"), timeout=LONG)
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#pick-job")).to_contain_text("Stopped.", timeout=LONG)
    expect(page.get_by_role("button", name="Try every combination")).to_be_enabled()
    expect(page.get_by_role("article")).to_have_count(0)


def test_a_pick_ended_early_shows_the_best_so_far(opened) -> None:
    page: Page = opened("/bin")
    page.get_by_role("button", name=re.compile("boat shed's bin")).click()
    page.get_by_role("link", name="What can it become?").click()
    page.get_by_text("For engineers").click()
    page.get_by_label("combinations to try, at most").fill("20000")
    page.get_by_label("answers").fill("1")
    page.get_by_role("button", name="Try every combination").click()
    expect(page.locator("#pick-job")).to_contain_text(re.compile("judged in full|solved"), timeout=2 * LONG)
    page.get_by_role("button", name="Enough").click()
    expect(page.get_by_role("article", name="Answer 1")).to_be_visible(timeout=2 * LONG)
    expect(page.locator("#pick-found")).to_contain_text("out of 1,456,000 these were drawn")


def test_somebodys_build_is_followed_with_my_bin(opened, folder: Path, small: Path) -> None:
    """Journey 11: part by part, what to saw and wire, what it does to start, air and margin; beside my own build."""
    page: Page = opened("/bin?file=boat-shed-hunting.toml")
    begin(page)
    panel(page, "Follow a build")
    page.get_by_label("Their build").select_option("file:boat-shed.toml")
    page.get_by_role("button", name="Follow it with my bin").click()
    found = page.locator("#follow-found")
    expect(found).to_contain_text("What becomes of it", timeout=2 * LONG)
    parts = page.get_by_role("region", name="Part by part")
    expect(parts.locator("tr").filter(has_text="motor").first).to_contain_text("CD spindle motor")
    expect(parts.locator("tr").filter(has_text="bush")).to_contain_text("none")  # the small bin has no bushes
    expect(found.locator("li").filter(has_text="saw the square end to 110 mm")).to_be_visible()
    expect(found.locator("li").filter(has_text="wire the modules in series")).to_be_visible()
    both = page.get_by_role("region", name="theirs, on your stove")
    for words in ("starts at a plate of", "air at the usual plate", "least margin"):
        expect(both.locator("tr").filter(has_text=words)).to_be_visible()
    expect(page.get_by_role("heading", name="Beside the build in this tab")).to_be_visible()
    each_figure_has_its_why(found, 10)
    told = found.locator(".sentence").inner_text()
    page.get_by_role("button", name="Take the rebuilt fan").click()
    page.wait_for_url("**/build")
    expect(page.locator("#sentence")).to_have_text(told, timeout=LONG)
    expect(page.locator('#drawing rect[data-part="riser 1"][height="110"]')).to_be_attached()
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_label("File name").fill("rebuilt.toml")
    page.get_by_role("dialog").get_by_role("button", name="Save").click()
    expect(page.locator("#said")).to_contain_text("Saved as rebuilt.toml")
    built = load_build(folder / "rebuilt.toml")
    assert built.screws is not None and built.screws.bush is None and built.riser[0].length.value == pytest.approx(0.11)
    (folder / "rebuilt.toml").unlink()


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["desk", "phone"])
def test_every_panel_is_named_and_fits_the_screen(opened, small: Path, size: tuple[int, int]) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page: Page = opened("/bin?file=boat-shed.toml", size, reduced_motion="reduce")
    begin(page)
    page.evaluate("window.scrollTo(0, 0)")
    for name in ("Parts on hand", "Bench tests", "What to build", "Follow a build"):
        panel(page, name)
        if name == "Bench tests":
            page.locator("#test-motor summary").first.click()
            page.locator("#test-motor").get_by_role("button", name="Fill in example readings").click()
            expect(page.locator("#test-motor .outcome")).to_be_visible(timeout=LONG)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], name
        found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]})
        assert found.violations_count == 0, (name, found.generate_report())


def test_without_scripts_the_tests_are_listed(opened) -> None:
    page: Page = opened("/bin", java_script_enabled=False)
    page.wait_for_url("**plain=true**")
    expect(page.locator("#test-wax")).to_contain_text("pan of water")
    expect(page.locator(".caution").first).to_be_visible()


def hum(vanes: int, rpm: float) -> bytes:
    """Four seconds of a blade's tone with two overtones, as a phone would hear it."""
    rate = 16_000
    time = np.arange(4 * rate) / rate
    tone = sum(np.sin(2.0 * np.pi * k * vanes * rpm / 60.0 * time) / k for k in (1, 2, 3))
    noise = np.random.default_rng(1).normal(0.0, 0.2, time.size)
    out = io.BytesIO()
    with wave.open(out, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(rate)
        sound.writeframes((4000.0 * (tone + noise)).astype("<i2").tobytes())
    return out.getvalue()


def test_a_recording_made_at_the_bench_tells_the_speed(opened, folder: Path) -> None:
    """0.0075 V·s, 7.7 Ω and 20 mA: at 1, 1.5 and 2 V a motor turns at (U − I R)/k; heard through a flag of two vanes."""
    page: Page = opened("/bin?file=boat-shed.toml#test-motor")
    box = page.locator("#test-motor")
    expect(box).to_be_visible()
    for i, volts in enumerate((1.0, 1.5, 2.0), start=1):
        rpm = (volts - 0.02 * 7.7) / 7.5e-3 * 30.0 / math.pi
        if i > 1:
            box.locator("fieldset", has_text="running").get_by_role("button", name="One more row").click()
        box.locator(f'[data-place="running[{i}].volts"]').fill(f"{volts}")
        box.locator(f'[data-place="running[{i}].amperes"]').fill("0.02")
        file = box.locator('input[type="file"]').nth(i - 1)
        file.set_input_files({"name": f"Run {i}.wav", "mimeType": "audio/wav", "buffer": hum(2, rpm)})
        expect(box.get_by_text("Kept beside the builds.")).to_have_count(i)
    box.locator('[data-place="file.ohms"]').fill("7.7; 7.7; 7.6")
    box.locator('[data-place="file.blades"]').fill("2")
    expect(box.locator(".result")).to_contain_text("motor.torque_constant", timeout=LONG)
    kept = sorted(path.name for path in folder.glob("run-*.wav"))
    assert [name.split("-")[1] for name in kept] == ["1", "2", "3"]
    shown = box.locator(".result").inner_text().replace("\n", " ")
    constant = re.search(r"twist per ampere\s*([\d.]+)", shown)
    assert constant is not None and float(constant[1]) == pytest.approx(7.5, rel=0.02), shown
    for name in kept:
        (folder / name).unlink()
