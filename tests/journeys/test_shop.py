"""Shop at work, journey 7: sheets seen and carried away, the order ticked, the dossier made; the files opened afterwards."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect
from pypdf import PdfReader

from hobwind.dossier import from_dossier
from serving import PHONE, WIDE, each_figure_has_its_why

LONG = 60_000  # ms; a busy machine solves and sets pages slowly


def panel(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="In this section").get_by_role("link", name=name).click()


def fetched(page: Page, button: Locator, into: Path) -> Path:
    with page.expect_download(timeout=2 * LONG) as waiting:
        button.click()
    path = into / waiting.value.suggested_filename
    waiting.value.save_as(path)
    return path


def test_sheets_are_seen_and_carried_away_at_true_scale(opened, tmp_path: Path) -> None:
    import ezdxf

    page: Page = opened("/shop?file=boat-shed.toml")
    expect(page.get_by_role("img", name="2 hot plate, from above")).to_be_visible(timeout=LONG)
    expect(page.get_by_text("A screen is not a print")).to_be_visible()
    page.get_by_label("paper", exact=True).select_option("Letter")
    expect(page.get_by_role("img", name="2 hot plate, from above")).to_be_visible(timeout=LONG)
    pdf = fetched(page, page.get_by_role("button", name="All sheets as a PDF"), tmp_path)
    assert pdf.name == "boat-shed-sheets.pdf"
    pages = PdfReader(pdf).pages
    assert len(pages) > 8
    for one in pages:  # ANSI Y14.1, printed to a hundredth of a millimetre
        assert [float(x) * 25.4 / 72 for x in one.mediabox[2:]] == pytest.approx([215.9, 279.4], abs=0.01)
    svg = fetched(page, page.get_by_role("button", name=re.compile("^SVG: 2 hot plate")), tmp_path)
    root = ET.parse(svg).getroot()
    assert (svg.name, root.get("width"), root.get("height")) == ("boat-shed-hot-plate.svg", "215.9mm", "279.4mm")
    bar = [one for one in root.iter("{http://www.w3.org/2000/svg}line") if one.get("data-part") == "proof bar"]
    assert [abs(float(one.get("x2")) - float(one.get("x1"))) for one in bar] == [100.0]
    dxf = fetched(page, page.get_by_role("button", name=re.compile("^DXF: 2 hot plate")), tmp_path)
    assert dxf.name == "boat-shed-hot-plate.dxf"
    drawing = ezdxf.readfile(dxf)
    holes = [one for one in drawing.modelspace().query("CIRCLE") if one.dxf.radius == pytest.approx(1.65)]
    xs = [one.dxf.center[0] for one in holes]
    assert max(xs) - min(xs) == pytest.approx(90.0)  # across = "90 mm" in the build
    packed = fetched(page, page.get_by_role("button", name=re.compile("Everything as a ZIP")), tmp_path)
    with zipfile.ZipFile(packed) as box:
        assert box.read("boat-shed-hot-plate.dxf") == dxf.read_bytes() and len(box.namelist()) > 10
    shown = page.get_by_role("img", name="2 hot plate, from above")
    page.get_by_label("show them life-size").check()
    assert shown.evaluate("one => one.getBoundingClientRect().width") == pytest.approx(
        215.9 * 96 / 25.4, abs=1.0
    )  # CSS: 96 to the inch
    page.get_by_role("slider", name="Shown at").fill("120")
    assert shown.evaluate("one => one.getBoundingClientRect().width") == pytest.approx(1.2 * 215.9 * 96 / 25.4, abs=1.0)


def test_the_order_is_ticked_and_kept_and_says_what_gets_out_of_reach(opened) -> None:
    page: Page = opened("/shop?file=boat-shed.toml#order")
    expect(page.locator("#order-says")).to_contain_text("0 of 15 steps done", timeout=LONG)
    expect(page.locator("#order-says")).to_contain_text(
        "Step 7 puts modules, leads, riser, hot plate, plate screws out of reach"
    )
    closing = page.locator("#steps > li").nth(6)
    expect(closing).to_contain_text("Tick the checks first")
    closing.get_by_label(re.compile(r"^7\. Sink on")).check()
    expect(closing).to_contain_text("4 checks before this step are not ticked")
    closing.get_by_label(re.compile("bushes in every hole")).check()
    expect(closing).to_contain_text("3 checks before this step are not ticked")
    expect(page.locator("#order-says")).to_contain_text("1 of 15 steps done")
    page.reload()
    expect(page.locator("#order-says")).to_contain_text("1 of 15 steps done", timeout=LONG)
    expect(closing.get_by_label(re.compile(r"^7\. Sink on"))).to_be_checked()
    page.goto(page.url.replace("boat-shed.toml", "boat-shed-no-guard.toml"))  # another build has ticks of its own
    expect(page.locator("#order-says")).to_contain_text(re.compile(r"^0 of \d+ steps done"), timeout=LONG)
    expect(page.locator("#backs")).to_contain_text("uses up compound")


def test_the_dossier_is_made_fetched_and_holds_the_build(opened, tmp_path: Path) -> None:
    page: Page = opened("/shop?file=boat-shed.toml#dossier")
    page.get_by_role("button", name="Make the dossier").click()
    link = page.get_by_role("link", name=re.compile("Fetch boat-shed-dossier.pdf"))
    expect(link).to_be_visible(timeout=2 * LONG)
    path = fetched(page, link, tmp_path)
    assert path.name == "boat-shed-dossier.pdf" and b'name = "Boat shed"' in from_dossier(path).text
    assert "Boat shed" in "".join(one.extract_text() for one in PdfReader(path).pages)


def test_a_build_changed_in_the_tab_changes_the_shop(opened) -> None:
    page: Page = opened("/shop?file=boat-shed.toml#make")
    expect(page.get_by_role("region", name="Saw", exact=True)).to_contain_text("111", timeout=LONG)
    expect(page.get_by_role("region", name="Holes", exact=True)).to_contain_text("45, 25; -45, 25; -45, -25; 45, -25")
    each_figure_has_its_why(page.locator("body"), 5)
    page.get_by_role("button", name="Why: tighten each, cold, to").click()
    expect(page.get_by_role("dialog")).to_contain_text("VDI 2230-1", timeout=LONG)
    page.keyboard.press("Escape")
    page.get_by_role("button", name="As text").click()
    field = page.get_by_label("Its text")
    field.fill(field.input_value().replace('length = "110 mm"', 'length = "90 mm"'))
    page.get_by_role("button", name="Take this text").click()
    expect(page.get_by_role("region", name="Saw", exact=True)).to_contain_text("91", timeout=LONG)
    page.locator("#undo").click()
    expect(page.get_by_role("region", name="Saw", exact=True)).to_contain_text("111", timeout=LONG)


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["desk", "phone"])
def test_every_panel_is_named_and_fits_the_screen(opened, size: tuple[int, int]) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page: Page = opened("/shop?file=boat-shed.toml", size, reduced_motion="reduce")
    expect(page.locator("#sheet-list img").first).to_be_visible(timeout=LONG)
    page.get_by_label("show them life-size").check()
    for name in ("Sheets", "Holes, clamp, wiring", "Build order", "Dossier"):
        panel(page, name)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], name
        found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]})
        assert found.violations_count == 0, (name, found.generate_report())


def test_without_scripts_the_sheets_are_there(opened) -> None:
    page: Page = opened("/shop?file=boat-shed.toml", java_script_enabled=False)
    page.wait_for_url("**plain=true**")
    expect(page.get_by_role("img", name="2 hot plate, from above")).to_be_visible()
    expect(page.get_by_text("Check first").first).to_be_visible()
