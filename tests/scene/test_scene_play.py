"""DXF and SVG read back by somebody else's reader."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET

import ezdxf
import numpy as np
import pytest

from hobwind.build import Build
from hobwind.build import geometry as g
from hobwind.scene.heat import colour
from hobwind.scene.play import section_temperatures, to_dxf, to_svg
from hobwind.scene.shapes import plan, section
from hobwind.stack.fields import Seen

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def temperatures() -> dict[str, float]:
    seen = np.zeros(len(Seen))
    seen[[Seen.plate, Seen.local, Seen.foot, Seen.riser_top, Seen.hot_face]] = 503.15, 460.0, 430.0, 415.0, 405.0
    seen[[Seen.cold_face, Seen.sink, Seen.motor, Seen.element, Seen.hot_plate]] = 355.0, 350.0, 333.0, 360.0, 410.0
    seen[Seen.spreader] = 352.0
    return section_temperatures(seen)


def test_dxf_reads_back_to_scale(build: Build) -> None:
    document = ezdxf.read(io.StringIO(to_dxf(section(build))))
    assert document.dxfversion == "AC1024"
    assert document.units == ezdxf.units.MM
    (riser,) = document.modelspace().query('LWPOLYLINE[layer=="RISER"]')
    points = [(x, y) for x, y in riser.get_points("xy")]
    ups = [y for _, y in points]
    assert max(ups) - min(ups) == pytest.approx(build.riser[0].length.value * 1e3, abs=1e-9)
    assert riser.closed
    measured = sorted(size.get_measurement() for size in document.modelspace().query("DIMENSION"))
    assert len(measured) == 4
    assert measured == pytest.approx(sorted(s for s in measured if s > 1.0))  # millimetres, not metres
    assert not document.audit().errors


def test_dxf_holes_stand_at_their_places(build: Build) -> None:
    document = ezdxf.read(io.StringIO(to_dxf(plan(build))))
    assert build.screws is not None
    holes = sorted((c.dxf.center.x, c.dxf.center.y) for c in document.modelspace().query('CIRCLE[layer=="SCREWS"]'))
    places = sorted((x * 1e3, y * 1e3) for x, y in g.screw_places(build.screws))
    assert np.allclose(holes, places, atol=1e-6)


def test_same_bytes_twice(build: Build, temperatures: dict[str, float]) -> None:
    assert to_dxf(section(build)) == to_dxf(section(build))
    assert to_svg(section(build), temperatures) == to_svg(section(build), temperatures)


@pytest.mark.parametrize("with_heat", [True, False])
def test_svg_page_is_in_millimetres(build: Build, temperatures: dict[str, float], with_heat: bool) -> None:
    scene = section(build)
    root = ET.fromstring(to_svg(scene, temperatures if with_heat else None))
    wide, tall = (float(str(root.get(key)).removesuffix("mm")) for key in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {root.get('width')} {root.get('height')}".replace("mm", "")
    left, bottom, right, top = scene.box
    assert wide > right - left
    assert tall > top - bottom
    riser = next(one for one in root.iter(f"{SVG}rect") if one.get("data-part") == "riser 1")
    assert float(str(riser.get("height"))) == pytest.approx(build.riser[0].length.value * 1e3)


def test_name_survives(build: Build) -> None:
    root = ET.fromstring(to_svg(section(build), None))
    words = " ".join("".join(one.itertext()) for one in root.iter(f"{SVG}text"))
    assert build.name in words
    text = ezdxf.read(io.StringIO(to_dxf(section(build)))).modelspace().query("TEXT").first
    assert text is not None
    assert text.dxf.text.startswith('Hut <&"> 4')


def test_labels_neither_touch_nor_leave_the_page(build: Build, temperatures: dict[str, float]) -> None:
    for scene in (section(build), plan(build)):
        root = ET.fromstring(to_svg(scene, temperatures))
        wide, tall = (float(number) for number in str(root.get("viewBox")).split()[2:])
        labels = [one for one in root.iter(f"{SVG}text") if one.get("class") == "label"]
        assert len(labels) == len(scene.labels)
        ups = sorted(float(str(one.get("y"))) for one in labels)
        assert all(after - before >= 6.0 for before, after in zip(ups, ups[1:], strict=False))
        assert ups[0] > 0.0
        assert ups[-1] < tall
        for one in labels:
            assert float(str(one.get("x"))) + 0.6 * 3.8 * len(str(one.text)) <= wide


def test_temperatures_are_written(build: Build, temperatures: dict[str, float]) -> None:
    assert temperatures["stove plate"] == pytest.approx(230.0)
    text = to_svg(section(build), temperatures)
    for wanted in ("plate 230 °C", "motor, 60 °C", "riser 1, 157 to 142 °C", "module hot face, 132 °C"):
        assert wanted in text


def test_scale_darkens_all_the_way() -> None:
    """In black and white hotter must stay darker: luminance of sRGB falls at every step."""
    shades = [[int(pair, 16) for pair in re.findall("..", colour(i / 40)[1:])] for i in range(41)]
    light = [0.2126 * (r / 255) ** 2.2 + 0.7152 * (g_ / 255) ** 2.2 + 0.0722 * (b / 255) ** 2.2 for r, g_, b in shades]
    assert all(after < before for before, after in zip(light, light[1:], strict=False))
