"""Where parts are found: beside the build, in the user's folder, in the catalogue."""

from __future__ import annotations

from pathlib import Path

import pytest

from hobwind.errors import BuildError, FileError, PartError
from hobwind.parts.catalogue import BESIDE, CATALOGUE, KINDS, USERS, Shelf


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty place of the user's own."""
    place = tmp_path / "home"
    monkeypatch.setenv("HOBWIND_HOME", str(place))
    return place


def put(folder: Path, kind: str, text: str) -> None:
    (folder / "parts").mkdir(parents=True, exist_ok=True)
    (folder / "parts" / f"{kind}.toml").write_text(text, "utf-8")


def finish(name: str, emissivity: float) -> str:
    return f'["{name}"]\nemissivity = "{emissivity}"\n'


def test_nearest_shelf_wins(tmp_path: Path, home: Path) -> None:
    assert Shelf(tmp_path).origin("finish", "stove paint") == CATALOGUE
    put(home, "finish", finish("stove paint", 0.5) + finish("rust of mine", 0.7))
    assert Shelf(tmp_path).find("finish", "stove paint").emissivity.value == 0.5
    put(tmp_path, "finish", finish("stove paint", 0.4))
    shelf = Shelf(tmp_path)
    assert shelf.find("finish", "stove paint").emissivity.value == 0.4
    assert [shelf.origin("finish", name) for name in ("stove paint", "rust of mine", "enamel")] == [BESIDE, USERS, CATALOGUE]
    assert shelf.names("finish")[:2] == ["stove paint", "rust of mine"] and len(set(shelf.names("finish"))) == len(
        shelf.names("finish")
    )
    assert Shelf().find("finish", "stove paint").emissivity.value == 0.5


def test_an_own_finish_reaches_the_catalogues_material(tmp_path: Path) -> None:
    put(tmp_path, "finish", finish("machined aluminium", 0.33))
    assert Shelf(tmp_path).find("material", "aluminium 6082").finish.emissivity.value == 0.33


def test_a_wrong_name_is_told_with_its_neighbours() -> None:
    with pytest.raises(PartError) as caught:
        Shelf().find("module", "cooler-40")
    assert 'no module named "cooler-40". Nearest: "cooler 40 mm"' in str(caught.value)
    assert str(caught.value).endswith("List all with: hobwind parts module")
    with pytest.raises(PartError, match="no kind of part"):
        Shelf().names("../module")


def test_parts_are_made_once_and_kept() -> None:
    shelf = Shelf()
    assert shelf.find("wax", "wax 71") is shelf.find("wax", "wax 71")
    assert all(shelf.names(kind) for kind in KINDS) and len(KINDS) == 14


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[broken", "not readable as TOML"),
        ("loose = 3\n", "is not a section"),
        ('["mine"]\nemissivity = "1.5"\n', "mine.emissivity"),
    ],
)
def test_a_wrong_file_of_ones_own_is_a_build_error(tmp_path: Path, text: str, told: str) -> None:
    put(tmp_path, "finish", text)
    with pytest.raises(BuildError) as caught:
        Shelf(tmp_path).find("finish", "mine")
    assert told in str(caught.value)


def test_a_file_that_is_no_text_is_told(tmp_path: Path) -> None:
    put(tmp_path, "finish", "")
    (tmp_path / "parts" / "finish.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(FileError, match="not UTF-8"):
        Shelf(tmp_path).find("finish", "stove paint")
