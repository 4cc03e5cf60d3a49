"""Sheets read back by other people's readers: ElementTree, ezdxf, pypdf and poppler."""

from __future__ import annotations

import io
import math
import re
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from drawn_pdf import MM, paths
from drawn_pdf import Path as Drawn
from pypdf import PdfReader
from shop_builds import round_riser, wide_spreader, with_changes

from builds import NAMES, example
from hobwind.build import Build
from hobwind.build import geometry as g
from hobwind.scene.forms import Circle, Polyline, Rect, Text
from hobwind.shop.ink import FAULT, SMALL, box_of, wide
from hobwind.shop.paper import SHEETS, Page
from hobwind.shop.sheets import all_pages, shop_files, shop_sections
from hobwind.shop.sheets_dxf import template_dxf
from hobwind.shop.sheets_pdf import pages_pdf
from hobwind.shop.sheets_svg import page_svg
from hobwind.shop.templates import Template, strip_length, strip_place, templates
from hobwind.studies.headline import headline

SVG = "{http://www.w3.org/2000/svg}"
FINE = 0.01  # mm, what a careful maker could still see under a glass
BUILDS = {**{name: example(name) for name in NAMES}, "round": round_riser(), "wide": wide_spreader()}


def template(build: Build, key: str) -> Template:
    return next(one for one in templates(build) if one.key == key)


def page(build: Build, key: str, paper: str = "A4") -> Page:
    return next(one for one in all_pages(build, paper) if one.key == key)


def circles(root: ET.Element, layer: str) -> list[tuple[float, float, float]]:
    found = [one for one in root.iter(f"{SVG}circle") if one.get("data-layer") == layer]
    return [(float(str(c.get("cx"))), float(str(c.get("cy"))), 2.0 * float(str(c.get("r")))) for c in found]


@pytest.mark.parametrize("paper", SHEETS)
def test_svg_page_bar_and_holes(paper: str) -> None:
    """Pages are A4 (ISO 216) or Letter (ANSI Y14.1); the bar is 100 mm; four M4 holes of 3.3 mm stand 90 x 50 mm apart."""
    root = ET.fromstring(page_svg(page(example(), "hot-plate", paper)))
    width, height = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[paper]
    assert (root.get("width"), root.get("height")) == (f"{width:g}mm", f"{height:g}mm")
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}"
    (bar,) = [one for one in root.iter(f"{SVG}line") if one.get("data-part") == "proof bar"]
    assert float(str(bar.get("x2"))) - float(str(bar.get("x1"))) == pytest.approx(100.0, abs=FINE)
    holes = [one for one in circles(root, "CUT") if one[2] < 3.35]  # the plate screws' pass at 3.4
    assert [size for _, _, size in holes] == pytest.approx([3.3] * 4, abs=FINE)
    across, up = {round(x, 3) for x, _, _ in holes}, {round(y, 3) for _, y, _ in holes}
    assert max(across) - min(across) == pytest.approx(90.0, abs=FINE)
    assert max(up) - min(up) == pytest.approx(50.0, abs=FINE)
    plate = next(one for one in root.iter(f"{SVG}rect") if one.get("data-part") == "hot plate")
    assert float(str(plate.get("x"))) + 50.0 == pytest.approx(0.5 * (min(across) + max(across)), abs=FINE)
    assert (float(str(plate.get("width"))), float(str(plate.get("height")))) == pytest.approx((100.0, 60.0), abs=FINE)


@pytest.mark.parametrize("name", BUILDS)
def test_dxf_passes_its_audit_and_holes_stand_where_the_build_has_them(name: str) -> None:
    build = BUILDS[name]
    assert build.screws is not None
    low = "hot-plate" if build.hot_plate is not None else "riser-1"
    for one in templates(build):
        document = ezdxf.read(io.StringIO(template_dxf(one)))
        assert not document.audit().errors and not document.audit().fixes
        assert document.units == ezdxf.units.MM
        space = document.modelspace()
        assert {entity.dxf.layer for entity in space} <= {"CUT", "MARK", "TEXT", "FAULT"}
        assert document.layers.get("FAULT").color == 1  # red
        assert all(line.closed for line in space.query('LWPOLYLINE[layer=="CUT"]'))
        bars = [line for line in space.query("LINE") if line.dxf.start.distance(line.dxf.end) == pytest.approx(100.0, abs=1e-9)]
        assert len(bars) >= 1
        if one.key == low:
            wanted = sorted((x * 1e3, y * 1e3) for x, y in g.screw_places(build.screws))
            tap = {"M4": 3.3, "M6": 5.0}[build.screws.part.thread]
            got = sorted(
                (c.dxf.center.x, c.dxf.center.y) for c in space.query("CIRCLE") if c.dxf.radius == pytest.approx(0.5 * tap)
            )
            assert np.allclose(got, wanted, atol=FINE)


def found_circle(drawn: list[Drawn], x: float, y: float, size: float) -> bool:
    wanted = (x - 0.5 * size, y - 0.5 * size, x + 0.5 * size, y + 0.5 * size)
    return any(one.curved and one.closed and one.box == pytest.approx(wanted, abs=FINE) for one in drawn)


@pytest.mark.parametrize("name", BUILDS)
def test_pdf_page_bar_and_holes(name: str) -> None:
    sheets = all_pages(BUILDS[name], "A4")
    pdf = pages_pdf(sheets, "sheets")
    reader = PdfReader(io.BytesIO(pdf))
    assert len(reader.pages) == len(sheets)
    for sheet, box, drawn in zip(sheets, (one.mediabox for one in reader.pages), paths(pdf), strict=True):
        assert (float(box.width) * MM, float(box.height) * MM) == pytest.approx((sheet.width, sheet.height), abs=FINE)
        bars = [one.box for one in drawn if len(one.points) == 2 and abs(one.box[2] - one.box[0] - 100.0) < FINE]
        assert any(box[3] == pytest.approx(box[1]) for box in bars), sheet.key
        for shape in sheet.clipped:
            if isinstance(shape, Circle) and shape.part.startswith("hole"):
                assert found_circle(drawn, shape.x, shape.y, shape.diameter), (sheet.key, shape)


def test_poppler_measures_the_bar_and_reads_the_words(tmp_path: Path) -> None:
    """At 600 dots an inch a dot is 0.042 mm; the bar is as long as its own line, with its butt ends."""
    pdf = tmp_path / "sheets.pdf"
    pdf.write_bytes(pages_pdf([page(example(), "hot-plate")], "sheets"))
    subprocess.run(["pdftoppm", "-r", "600", "-gray", str(pdf), str(tmp_path / "at")], check=True)
    (picture,) = tmp_path.glob("at*.pgm")
    head, wide_, tall, most, data = re.split(rb"\s", picture.read_bytes(), maxsplit=4)
    assert (head, most) == (b"P5", b"255")
    dots = np.frombuffer(data, np.uint8).reshape(int(tall), int(wide_)) < 128
    assert (int(wide_) * 25.4 / 600.0, int(tall) * 25.4 / 600.0) == pytest.approx((210.0, 297.0), abs=0.05)
    bottom = dots[
        -int(25.0 / 25.4 * 600) :, : int(112.0 / 25.4 * 600)
    ]  # the lowest 25 mm hold the bar, words stand to its right
    row = bottom[np.argmax(bottom.sum(axis=1))]
    dark = np.flatnonzero(row)
    assert (dark[-1] - dark[0] + 1) * 25.4 / 600.0 == pytest.approx(100.16, abs=0.09)  # half a tick at each end; two dots
    words = subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    assert words.count(">M4<") == 4 and words.count("Ø3.3<") == 4
    place = re.search(r'xMin="([\d.]+)" yMin="([\d.]+)"[^>]*>A1<', words)
    assert place is not None
    hole = next(c for c in page(example(), "hot-plate").clipped if isinstance(c, Circle) and c.part == "hole A1")
    apart = math.hypot(float(place[1]) * MM - hole.x, 297.0 - float(place[2]) * MM - hole.y)
    assert apart < 30.0  # written beside its hole


@pytest.mark.parametrize("name", ["boat-shed", "wide"])
def test_same_bytes_twice(name: str) -> None:
    build = BUILDS[name]
    sections = shop_sections(build, headline(build))
    first, second = shop_files(build, sections), shop_files(build, sections)
    assert first == second
    assert {"sheets.pdf", "hot-plate.dxf", "arrangement-section.svg", "text-holes.svg"} <= set(first)


def test_strip_goes_round() -> None:
    """Ø75 under paper 0.1 mm thick: π·75.1 = 235.93 mm; with none, π·75 = 235.62 and 45° at 37.5·π/4 = 29.45."""
    assert strip_length(75.0) == pytest.approx(235.93, abs=FINE)
    assert strip_length(75.0, 0.0) == pytest.approx(235.62, abs=FINE)
    assert strip_place(75.0, math.pi / 4.0, 0.0) == pytest.approx(29.45, abs=FINE)
    one = template(round_riser(), "riser-1-strip")
    document = ezdxf.read(io.StringIO(template_dxf(one)))
    (outline,) = document.modelspace().query('LWPOLYLINE[layer=="CUT"]')
    right, top = (max(p[i] for p in outline.get_points("xy")) for i in (0, 1))
    assert (right, top) == pytest.approx((235.93 + 12.0, 90.0), abs=FINE)
    marks = [line for line in one.shapes if line.part.startswith("hole A") and not isinstance(line, Text)]
    assert [mark.x1 for mark in marks] == pytest.approx([235.93 * k / 8.0 for k in (1, 3, 5, 7)], abs=FINE)  # type: ignore[union-attr]


def test_wrapped_marks_meet_the_holes_on_the_end() -> None:
    """Rolled round the bar, print outward, each mark stands at the side its hole has in the view from above."""
    build = round_riser()
    assert build.screws is not None
    long = strip_length(75.0)
    marks = [s.x1 for s in template(build, "riser-1-strip").shapes if s.part.startswith("hole A") and not isinstance(s, Text)]  # type: ignore[union-attr]
    for mark, (x, y) in zip(marks, g.screw_places(build.screws), strict=True):
        turn = 2.0 * math.pi * mark / long
        assert (math.cos(turn), math.sin(turn)) == pytest.approx((x / math.hypot(x, y), y / math.hypot(x, y)), abs=1e-6)


@pytest.mark.parametrize("paper", SHEETS)
def test_tiles_go_together(paper: str) -> None:
    """Every hole is whole on some tile; each match mark stands on two or more, at the same place of the drawing."""
    build = wide_spreader()
    tiles = [one for one in all_pages(build, paper) if one.key.startswith("spreader")]
    assert len(tiles) == 4
    whole, marks = set[tuple[float, float]](), dict[tuple[float, float], int]()
    for tile in tiles:
        left, bottom, right, top = tile.window
        assert left >= 5.0 and bottom >= 5.0 and right <= tile.width - 5.0 and top <= tile.height - 5.0
        for shape in tile.clipped:
            if not isinstance(shape, Circle):
                continue
            at = (round(shape.x - tile.place[0], 2), round(shape.y - tile.place[1], 2))
            r = 0.5 * shape.diameter
            inside = left <= shape.x - r and shape.x + r <= right and bottom <= shape.y - r and shape.y + r <= top
            if shape.part.startswith("hole") and inside:
                whole.add(at)
            if shape.part == "match mark" and inside:
                marks[at] = marks.get(at, 0) + 1
    assert build.screws is not None
    assert whole == {(round(x * 1e3, 2), round(y * 1e3, 2)) for x, y in g.screw_places(build.screws)}
    assert len(marks) >= 4 and min(marks.values()) >= 2


def test_sink_is_drawn_from_below() -> None:
    """Two screws on a diagonal are one-handed: laid on the bare face, the pattern must be turned over."""
    build = with_changes(("screws", "count", "2"))
    above = [(c.x, c.y) for c in template(build, "hot-plate").shapes if isinstance(c, Circle) and c.part.startswith("hole")]
    below = [(c.x, c.y) for c in template(build, "sink").shapes if isinstance(c, Circle) and c.part.startswith("hole")]
    assert (45.0, 25.0) in above and (-45.0, 25.0) not in above
    assert (-45.0, 25.0) in below and (45.0, 25.0) not in below


@pytest.mark.parametrize("name", BUILDS)
@pytest.mark.parametrize("paper", SHEETS)
def test_no_words_lie_on_each_other_or_leave_the_page(name: str, paper: str) -> None:
    for sheet in all_pages(BUILDS[name], paper):
        boxes = []
        tiled = re.search(r"-\d$", sheet.key) and "riser" not in sheet.key
        for shape in (*sheet.clipped, *sheet.shapes):
            if isinstance(shape, Text):
                tall = 0.73 * shape.height  # capitals of this lettering
                boxes.append((shape.x, shape.y, shape.x + wide(shape.text, shape.height), shape.y + tall, shape.text))
        for i, one in enumerate(boxes):
            if not tiled:
                assert one[0] >= 4.0 and one[2] <= sheet.width - 4.0 and one[1] >= 4.0, (sheet.key, one)
            for other in boxes[i + 1 :]:
                across = min(one[2], other[2]) - max(one[0], other[0])
                up = min(one[3], other[3]) - max(one[1], other[1])
                assert across <= 0.0 or up <= 0.05, (sheet.key, one, other)


def test_what_cannot_be_made_is_red() -> None:
    build = round_riser("71 mm")
    red = [s for s in template(build, "riser-1").shapes if s.layer == FAULT]
    assert {s.part for s in red} >= {"hole A1", "hole A2", "hole A3", "hole A4"}
    text = page_svg(page(build, "riser-1"))
    assert 'stroke="#d00000"' in text and "wall of" in text
    assert not [c for c in circles(ET.fromstring(text), "CUT") if c[2] == pytest.approx(3.3)]


def test_arrangement_shows_the_lift_and_every_part() -> None:
    build = example()
    sheet = page(build, "arrangement-section")
    low = [s for s in sheet.shapes if s.part == "riser 1" and s.layer in ("CUT", "MARK")]
    solid = next(s for s in low if s.layer == "CUT")
    dashed = next(s for s in low if s.layer == "MARK" and s.style == "hidden")  # type: ignore[union-attr]
    assert dashed.y - solid.y == pytest.approx(0.5 * 2.0)  # type: ignore[union-attr]  # 2 mm at 1:2
    numbers = {s.text for s in sheet.shapes if isinstance(s, Text) and s.part == "number"}
    assert numbers == {str(i) for i in range(1, 15)}
    said = " ".join(s.text for s in sheet.shapes if isinstance(s, Text))
    for word in ("1:2", "aluminium 6082", "60 x 60 x 110", "305", "230", "110", "thin foot", "14 mm over the stove plate"):
        assert word in said


def test_tilt_and_guard_lie_in_the_plane_of_their_sheet() -> None:
    """6 mm at 50 mm from the edge turn the fan by atan(0.12) = 6.843°, about its foot's left edge; the pin is 20 mm right of its middle."""
    build = with_changes(
        ("guard", "kind", '"edge tilt"'), ("guard", "stop", '"6 mm"'), ("guard", "pivot_distance", '"50 mm"'),
        name="boat-shed-hunting",
    )  # fmt: skip
    sheet = page(build, "arrangement-tilt")
    turned = next(s for s in sheet.shapes if s.part == "riser 1" and isinstance(s, Polyline))
    (x0, y0), (x1, y1), *_ = turned.points
    assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(6.843, abs=1e-3)
    riser, pin = (next(s for s in sheet.shapes if s.part == part and isinstance(s, Rect)) for part in ("riser 1", "push pin"))
    assert (x0, y0) == pytest.approx((riser.x, riser.y))
    assert 2.0 * (pin.x + 0.5 * pin.width - riser.x) == pytest.approx(50.0)  # at 1:2


@pytest.mark.parametrize(("wide", "deep"), [("60 mm", "60 mm"), ("40 mm", "60 mm"), ("70 mm", "50 mm")])
@pytest.mark.parametrize("kind", ["edge tilt", "lever tilt"])
def test_a_tilting_guard_is_drawn_where_it_stands(kind: str, wide: str, deep: str) -> None:
    """Half the foot, 4 mm and half of an element of 16 mm off its middle; with a lever of 25 and 50 mm arms 25 + 4 mm."""
    levers = kind == "lever tilt"
    half = 0.5 * float(wide.split()[0])
    pushed, lifted = (half + 29.0, half + 4.0) if levers else (half + 12.0, half + 12.0)
    build = with_changes(
        ("guard", "kind", f'"{kind}"'), ("riser", "width", f'"{wide}"'), ("riser", "depth", f'"{deep}"'),
        ("guard", "pivot_distance", f'"{half + lifted} mm"'), ("guard", "lever_ratio", '"2"' if levers else '"1"'),
        ("guard", "pin_length", '"50 mm"'),
    )  # fmt: skip
    sheets = all_pages(build)
    said = " ".join(s.text for one in sheets for s in one.shapes if isinstance(s, Text))
    assert "aside, so that" not in said and "drawn aside" not in said
    tilt = next(one for one in sheets if one.key == "arrangement-tilt")
    riser, element = (
        next(s for s in tilt.shapes if s.part == part and isinstance(s, Rect)) for part in ("riser 1", "wax element")
    )
    middle = riser.x + 0.5 * riser.width
    assert 2.0 * (element.x + 0.5 * element.width - middle) == pytest.approx(pushed)
    # What is pushed up and what pushes it meet, lifted as when cold: the underside over that place has risen by the stop.
    plate = next(s for s in tilt.shapes if s.part == "hot plate" and isinstance(s, Polyline)).points
    (x0, y0), (x1, y1), *_ = plate
    cold = next(s for s in tilt.shapes if s.part == "hot plate" and isinstance(s, Rect))
    place = middle + 0.5 * lifted
    rise = y0 + (y1 - y0) * (place - x0) / (x1 - x0) - cold.y
    # The plate is 110 mm up and turned too: over one place its underside is at 110/cos + distance·tan.
    angle = math.atan(2.0 / (half + lifted))
    assert 2.0 * rise == pytest.approx(2.0 + 110.0 * (1.0 / math.cos(angle) - 1.0), abs=1e-6)
    raised = next(s for s in tilt.shapes if s.part == "push pin" and s.layer == "MARK" and isinstance(s, Rect))
    still = next(s for s in tilt.shapes if s.part == "push pin" and s.layer == "CUT")
    assert 2.0 * (raised.y - still.y) == pytest.approx(1.0 if levers else 2.0)  # type: ignore[union-attr]
    if levers:
        bar = next(s for s in tilt.shapes if s.part == "lever" and isinstance(s, Polyline)).points
        turns = math.degrees(math.atan2(bar[1][1] - bar[0][1], bar[1][0] - bar[0][0]))
        assert turns == pytest.approx(-math.degrees(math.asin(1.0 / 25.0)), abs=1e-6)  # its inner end rises

    def figures(key: str) -> set[str]:
        shapes = next(one for one in sheets if one.key == key).shapes
        return {s.text for s in shapes if isinstance(s, Text) and re.fullmatch(r"[0-9.]+", s.text) and s.part != "number"}

    assert {f"{half + lifted:g}", f"{half + pushed:g}"} <= figures("arrangement-tilt")
    plan = figures("arrangement-guard-plan")
    assert {f"{pushed:g}", f"{half + lifted:g}"} <= plan
    assert ({"25", "50"} <= plan) == levers


def test_user_text_does_no_harm() -> None:
    build = with_changes()
    from dataclasses import replace

    named = replace(build, name='Hut <&"> #eval("1") $x$ 4%%d ' + "long " * 40)
    sheets = all_pages(named)
    pdf = pages_pdf(sheets, named.name)
    said = PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    assert '#eval("1")' in re.sub(r"\s+", " ", said)
    for one in templates(named):
        assert not ezdxf.read(io.StringIO(template_dxf(one))).audit().errors


def test_box_counts_the_figures_of_sizes() -> None:
    one = template(example(), "hot-plate")
    assert box_of(one.shapes)[0] <= -50.0 - 8.0 - wide("60", SMALL)
