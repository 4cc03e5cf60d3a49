"""Shop without a browser: files opened by independent readers, figures against whys, dossiers kept within bounds."""

from __future__ import annotations

import html
import io
import re
import time
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path

import httpx
import pytest
from pypdf import PdfReader

from builds import ROOT, example
from hobwind.build import build_from_text
from hobwind.dossier_maker import check_photos
from hobwind.errors import InputError
from hobwind.page.kept import Kept
from hobwind.page.shopping import stem_of
from hobwind.page.whys import WHYS, Look
from hobwind.studies.headline import headline

TEXT = (ROOT / "examples" / "boat-shed.toml").read_text("utf-8")
SHEETS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm, ISO 216 and ANSI Y14.1


def look(page: httpx.Client, text: str = TEXT, **more: object) -> dict:
    got = page.post("/api/shop/look", json={"text": text, **more})
    assert got.status_code == 200, got.text
    return got.json()


@pytest.mark.parametrize("paper", SHEETS)
def test_previews_and_the_pdf_have_the_paper_that_was_asked_for(page: httpx.Client, paper: str) -> None:
    wide, tall = SHEETS[paper]
    for sheet in look(page, paper=paper)["sheets"]:
        root = ET.fromstring(sheet["svg"])
        assert (root.get("width"), root.get("height")) == (f"{wide:g}mm", f"{tall:g}mm")
        assert root.get("viewBox") == f"0 0 {wide:g} {tall:g}"
    got = page.post("/api/shop/sheets", json={"text": TEXT, "paper": paper})
    assert 'filename="boat-shed-sheets.pdf"' in got.headers["content-disposition"]
    for sheet in PdfReader(io.BytesIO(got.content)).pages:
        assert [float(x) * 25.4 / 72 for x in sheet.mediabox[2:]] == pytest.approx([wide, tall], abs=0.01)  # printed to 0.01 mm
    packed = zipfile.ZipFile(io.BytesIO(page.post("/api/shop/everything", json={"text": TEXT, "paper": paper}).content))
    assert packed.read("boat-shed-sheets.pdf") == got.content


def test_everything_in_one_archive_and_its_dxf_is_to_scale(page: httpx.Client) -> None:
    import ezdxf

    got = page.post("/api/shop/everything", json={"text": TEXT})
    packed = zipfile.ZipFile(io.BytesIO(got.content))
    names = packed.namelist()
    assert packed.testzip() is None and all(re.fullmatch(r"boat-shed-[a-z0-9-]+\.(pdf|svg|dxf)", name) for name in names)
    one = page.post("/api/shop/template", json={"text": TEXT, "key": "hot-plate"})
    assert one.content == packed.read("boat-shed-hot-plate.dxf")
    drawing = ezdxf.read(io.StringIO(one.text))
    holes = [circle for circle in drawing.modelspace().query("CIRCLE") if abs(circle.dxf.radius - 3.3 / 2) < 1e-6]
    xs, ys = ({round(circle.dxf.center[i], 3) for circle in holes} for i in (0, 1))
    assert max(xs) - min(xs) == pytest.approx(90.0) and max(ys) - min(ys) == pytest.approx(50.0)  # as the file has them
    assert 'across = "90 mm"' in TEXT and 'along = "50 mm"' in TEXT
    assert page.post("/api/shop/template", json={"text": TEXT, "key": "no"}).status_code == 422


def test_a_name_becomes_a_file_name_and_nothing_else(page: httpx.Client) -> None:
    text = TEXT.replace('name = "Boat shed"', "name = '../\"x\\r\\n: <b>Ö'")
    got = page.post("/api/shop/sheets", json={"text": text})
    assert got.headers["content-disposition"] == 'attachment; filename="x-r-n-b-o-sheets.pdf"'
    assert stem_of("") == "build" and len(stem_of("a" * 500)) == 60
    assert "<b>" not in look(page, text)["sheets"][0]["svg"]


def test_whys_of_the_shop_come_to_what_it_shows(page: httpx.Client) -> None:
    solved = headline(example("boat-shed"))
    at, topics = Look(solved, solved.usual_point.seen), look(page)["topics"]
    shown = {one["key"]: one["text"] for topic in topics for one in topic["figures"]}
    tables = {one["key"]: one["rows"] for topic in topics for one in topic["tables"]}
    # Of each table the one figure that its why comes to, read off the table itself.
    shown["shop_holes"] = tables["shop_holes"][0][3]
    shown["shop_thread"] = tables["shop_thread"][0][1]
    shown["shop_saw"] = tables["shop_saw"][0][1]
    shown["shop_parts"] = str(sum(int(row[1]) for row in tables["shop_parts"]))
    shown["shop_chain"] = f"{sum(float(row[2]) * (1 if row[0] == '+' else -1) for row in tables['shop_chain']):.2f}"
    assert set(tables) <= set(shown)
    assert set(shown) == {key for key in WHYS if key.startswith("shop_")}
    for key, text in shown.items():
        number = re.findall(r"[\d.]+\d|\d", text)[-1]  # of a lapped foot what it comes to
        places = len(number.partition(".")[2])
        assert WHYS[key].fill(at).value == pytest.approx(float(number), abs=0.51 * 10.0**-places), key  # as shown
        asked = page.post("/api/learn/why", json={"text": TEXT, "key": key})
        assert asked.status_code == 200 and asked.json()["numbers"]


def test_the_torque_by_hand(page: httpx.Client) -> None:
    """VDI 2230, M4: F (P/2π + 0.577 µ d₂ + µ D_m/2) with P 0.7, d₂ 3.545, D_m (7 + 4.5)/2 mm, µ of the build."""
    build = example("boat-shed")
    mu = build.tightening.friction.value
    force = 1.1e6 * 2 * 0.04**2 / 4  # 1.1 MPa on two modules of 40 mm by four screws: 880 N
    by_hand = force * (0.7 / 6.28319 + 0.577 * mu * 3.545 + mu * 0.5 * (7.0 + 4.5) / 2) * 1e-3
    clamp = next(topic for topic in look(page)["topics"] if topic["key"] == "clamp")
    shown = {one["key"]: one["text"] for one in clamp["figures"]}
    assert shown["shop_preload"] == "880 N"
    assert float(shown["shop_torque"].split()[0]) == pytest.approx(by_hand, abs=0.006)  # shown to a hundredth


def test_the_order_names_each_part_that_gets_out_of_reach(page: httpx.Client) -> None:
    got = look(page)
    closed = {part for step in got["steps"] for part in step["closes"]}
    assert closed == {one["part"] for one in got["ways_back"]} and "modules" in closed
    for step in got["steps"]:
        assert not step["closes"] or step["checks"], step["key"]
    for one in got["ways_back"]:
        assert one["steps"] == sorted(one["steps"], reverse=True) and max(one["steps"]) <= len(got["steps"])


def test_a_dossier_is_made_kept_and_fetched(page: httpx.Client) -> None:
    job = page.post("/api/shop/dossier", json={"text": TEXT, "paper": "Letter"}).json()
    end = time.monotonic() + 120
    while job["state"] in ("waiting", "running") and time.monotonic() < end:
        time.sleep(0.1)
        job = page.get(f"/api/jobs/{job['id']}").json()
    assert job["state"] == "done", job
    got = page.get(f"/api/shop/dossier/{job['result']['id']}")
    assert got.status_code == 200 and len(got.content) == job["result"]["bytes"]
    assert 'filename="boat-shed-dossier.pdf"' in got.headers["content-disposition"]
    read = PdfReader(io.BytesIO(got.content))
    assert len(read.pages) > 5 and read.attachments
    assert page.get("/api/shop/dossier/nobody").status_code == 404


def test_what_is_kept_is_bounded() -> None:
    kept = Kept[str, bytes](2)
    for name in "abc":
        kept.get(name, lambda: b"x")
    assert kept.there("a") is None and kept.there("b") == kept.there("c") == b"x"


def test_a_photo_that_links_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    inside = tmp_path / "in"
    inside.mkdir()
    (tmp_path / "secret.jpg").write_bytes(b"x")
    (inside / "photo.jpg").symlink_to(tmp_path / "secret.jpg")
    build = build_from_text(TEXT + '\n[hand_on]\nphotos = ["photo.jpg"]\n')
    with pytest.raises(InputError, match="outside the build's folder"):
        check_photos(build, inside)


def test_without_scripts_the_sheets_are_shown(page: httpx.Client) -> None:
    got = page.get("/shop?file=boat-shed.toml&plain=true").text
    assert got.count("data:image/svg+xml;base64,") == len(look(page)["sheets"])
    assert "Check first" in got and "out of reach" in got and "100 mm" in got


def test_without_scripts_the_sheets_of_a_saved_build_are_fetched_by_links(page: httpx.Client) -> None:
    links = re.findall(r'href="(/api/shop/[^"]+)"', page.get("/shop?file=boat-shed.toml&plain=true").text)
    assert len(links) == 3
    a4, letter, everything = (page.get(html.unescape(one)) for one in links)
    assert a4.content.startswith(b"%PDF") and letter.content.startswith(b"%PDF") and everything.content.startswith(b"PK")
    typed = page.post("/api/shop/sheets", json={"text": TEXT, "paper": "A4"})
    assert [one.mediabox for one in PdfReader(io.BytesIO(a4.content)).pages] == [
        one.mediabox for one in PdfReader(io.BytesIO(typed.content)).pages
    ]
    assert page.get("/api/shop/sheets?file=none.toml").status_code == 422
    assert page.get("/api/shop/sheets?file=../boat-shed.toml").status_code == 422
