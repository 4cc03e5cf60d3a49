"""The dossier as a PDF: read back with poppler and pypdf, hostile words, photos, the same bytes twice, true scale."""

from __future__ import annotations

import io
import re
import subprocess
from functools import cache
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter

from builds import example, judged, text_of
from hobwind.build import build_from_text, digest
from hobwind.dossier import ATTACHED, dossier_pdf, from_dossier, stripped
from hobwind.dossier.composing import content, figures
from hobwind.dossier_maker import build_file, make_dossier
from hobwind.errors import BuildError, FileError, InputError
from hobwind.shop.topics import topics
from hobwind.studies.verdict import Verdict, verdict

HOSTILE = '#read("/etc/passwd") ] $x^2$ *bold* _it_ <a> @b \\\\ // 😀 #import "@preview/x:1.0.0": * `raw` = head'
NAMES = ("boat-shed", "boat-shed-hunting", "boat-shed-no-guard", "boat-shed-soft-solder")


@cache
def pdf(name: str = "boat-shed", paper: str = "A4") -> bytes:
    return make_dossier(judged(name), Path(), paper)


def words(data: bytes) -> str:
    """All text as poppler reads it, runs of blanks as one."""
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=data, capture_output=True, check=True)
    return re.sub(r"\s+", " ", done.stdout.decode())


@cache
def hostile() -> Verdict:
    said = HOSTILE.replace('"', '\\"')
    text = text_of().replace('name = "Boat shed"', f'name = "{said[:70]}"')
    build = build_from_text(f'{text}\n[hand_on]\nmaker = "{said[:60]}"\nnotes = "{said}"\nterms = "{said}"\n', "hostile.toml")
    return verdict(build)


@pytest.mark.parametrize("name", NAMES)
def test_everything_stands_in_it(name: str) -> None:
    said = words(pdf(name))
    titles = ("Before you begin", "Verdict", "Clamp", "Guard stack-up", "Flat foot", "Wiring", "Build order", "Parts and tools",
              "The first fire", "What was read", "Every value and where it is from")  # fmt: skip
    for title in titles:
        assert title in said
    assert judged(name).sentence[:60] in said and digest(example(name)) in said
    assert "never replaces a flue" in said and "single figures" in said
    for _, what, value, unit in figures(judged(name).solved):
        assert what in said and (value is None or unit in said)


@pytest.mark.parametrize(("paper", "points"), [("A4", (595.28, 841.89)), ("Letter", (612.0, 792.0))])
def test_paper_sizes(paper: str, points: tuple[float, float]) -> None:
    """ISO 216: 210 x 297 mm; ANSI letter: 8.5 x 11 in; at 72 points an inch."""
    for page in PdfReader(io.BytesIO(pdf(paper=paper))).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(points, abs=0.01)


def test_nothing_runs_off_the_page() -> None:
    """Every word poppler finds lies inside the margins of 18 mm (less a millimetre for overhanging letters)."""
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf(), capture_output=True, check=True)
    boxes = re.findall(r'xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)"', done.stdout.decode())
    assert len(boxes) > 1000
    edge = 17.0 / 25.4 * 72.0
    assert min(float(left) for left, _ in boxes) > edge and max(float(right) for _, right in boxes) < 595.28 - edge


def test_the_same_bytes_twice() -> None:
    assert make_dossier(judged(), Path(), "A4") == pdf()


def test_only_fonts_of_its_own_package() -> None:
    done = subprocess.run(["pdffonts", "-"], input=pdf(), capture_output=True, check=True).stdout.decode()
    names = [line.split()[0].split("+")[-1] for line in done.splitlines()[2:]]
    assert names and all(re.match(r"Libertinus|DejaVuSansMono|NewCM", name) for name in names), names


def test_words_stay_words() -> None:
    """What people wrote is set letter by letter: nothing is read, run, set bold or left out."""
    said = words(make_dossier(hostile(), Path()))
    for piece in ('#read("/etc/passwd")', "$x^2$", "*bold*", "_it_", "<a>", "@b", '#import "@preview/x:1.0.0": *', "`raw`"):
        assert piece in said, piece
    assert "root:" not in said


def test_the_build_comes_back_byte_for_byte(tmp_path: Path) -> None:
    for made in (judged(), hostile()):
        file = tmp_path / "one.pdf"
        file.write_bytes(make_dossier(made, Path()))
        found = from_dossier(file)
        assert found.text == build_file(made.build)
        assert digest(found.build) == digest(made.build) and found.build.hand_on == made.build.hand_on
        assert re.fullmatch(r"[a-z0-9-]+", found.stem)


def test_photos_lose_their_place(tmp_path: Path) -> None:
    picture = Image.new("RGB", (2400, 1200), "orange")
    exif = picture.getexif()
    exif[0x010F] = "Maker of cameras"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0)})
    exif[0x0112] = 6  # lying: to be turned upright
    picture.save(tmp_path / "bench.jpg", exif=exif, comment=b"secret")
    assert b"Maker of cameras" in (tmp_path / "bench.jpg").read_bytes()
    bare = stripped(tmp_path / "bench.jpg")
    with Image.open(io.BytesIO(bare)) as opened:
        assert not opened.getexif() and opened.size == (800, 1600)
    assert b"Maker of cameras" not in bare and b"secret" not in bare and b"Exif" not in bare
    build = build_from_text(text_of() + '\n[hand_on]\nphotos = ["bench.jpg"]\n', "with-photo.toml")
    (tmp_path / "one.pdf").write_bytes(make_dossier(verdict(build), tmp_path))
    assert from_dossier(tmp_path / "one.pdf").photos == (bare,)


def test_a_photo_behind_a_link_out_of_the_folder_is_not_handed_on(tmp_path: Path) -> None:
    folder = tmp_path / "fan"
    folder.mkdir()
    Image.new("RGB", (40, 30), "blue").save(tmp_path / "private.jpg")
    (folder / "bench.jpg").symlink_to(tmp_path / "private.jpg")
    build = build_from_text(text_of() + '\n[hand_on]\nphotos = ["bench.jpg"]\n', "with-photo.toml")
    with pytest.raises(InputError, match=r"bench\.jpg lies outside the build's folder; copy it there"):
        make_dossier(verdict(build), folder)


def test_photos_that_cannot_be_taken(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"no photo none\.jpg beside the build"):
        stripped(tmp_path / "none.jpg")
    (tmp_path / "no.jpg").write_bytes(b"GIF89a")
    with pytest.raises(FileError, match=r"no\.jpg cannot be read as a JPEG or PNG"):
        stripped(tmp_path / "no.jpg")
    for name in ("/etc/passwd.jpg", "../up.jpg", "C:\\\\x.jpg", "notes.txt"):
        with pytest.raises(BuildError, match=r"hand_on\.photos: got .*in the build's own folder is wanted"):
            build_from_text(text_of() + f'\n[hand_on]\nphotos = ["{name}"]\n')


def _pdf_with(name: str, data: bytes) -> bytes:
    writer, out = PdfWriter(), io.BytesIO()
    writer.add_blank_page(100, 100)
    writer.add_attachment(name, data)
    writer.write(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "cannot be read as a PDF"),
        (b"format = 1", "cannot be read as a PDF"),
        (b"%PDF-1.7\n%%EOF", "cannot be read as a PDF"),
        (_pdf_with("../../evil.toml", b"x"), "no build of hobwind lies in it"),
        (_pdf_with(ATTACHED, b"\xff\xfe\x00"), "is not UTF-8"),
        (_pdf_with(ATTACHED, b"#" * 2_000_001), "at most 2000000 are read"),
    ],
)
def test_what_is_no_dossier(data: bytes, told: str, tmp_path: Path) -> None:
    (tmp_path / "some.pdf").write_bytes(data)
    with pytest.raises(FileError, match=told):
        from_dossier(tmp_path / "some.pdf")


def test_a_wrong_build_inside_is_told_as_one(tmp_path: Path) -> None:
    (tmp_path / "some.pdf").write_bytes(_pdf_with(ATTACHED, b"format = 1\n[stove]\nroom = 'hot'\n"))
    with pytest.raises(BuildError, match=r"the build inside some\.pdf: stove\.room"):
        from_dossier(tmp_path / "some.pdf")


def test_sheets_come_out_at_true_scale() -> None:
    """A 100 mm bar on a sheet is 100 mm on paper: seen by poppler at 254 dots an inch, ten dots a millimetre."""
    bar = ('<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">'
           '<rect x="50" y="100" width="100" height="10" fill="#000"/></svg>')  # fmt: skip
    data = content(judged(), (), (), [bar])
    made = dossier_pdf(data, b"")
    last = len(PdfReader(io.BytesIO(made)).pages)
    done = subprocess.run(
        ["pdftoppm", "-r", "254", "-f", str(last), "-l", str(last), "-gray", "-singlefile", "-"],
        input=made,
        capture_output=True,
        check=True,
    )
    page = Image.open(io.BytesIO(done.stdout)).point(lambda level: 255 if level < 128 else 0)
    left, top, right, bottom = page.getbbox() or (0, 0, 0, 0)
    assert (right - left, bottom - top) == pytest.approx((1000, 100), abs=1)  # a dot is a tenth of a millimetre
    assert (left, top) == pytest.approx((500, 1000), abs=2)


def test_bands_are_shown_where_there_are_any() -> None:
    sections = topics(example(), judged().solved)
    data = content(judged(), sections, (), (), {"starts_at_plate_degC": (58.0, 81.0)})
    said = words(dossier_pdf(data, b""))
    assert "19 in 20 lie between" in said and "58 °C to 81 °C" in said and "single figures" not in said
    assert "bands judge the two evenings only" in said
