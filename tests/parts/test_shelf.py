"""Where parts are found: beside the build, in the user's folder, in the catalogue."""

from __future__ import annotations

from pathlib import Path

import pytest

from builds import text_of
from hobwind.build import build_from_text
from hobwind.errors import BuildError, FileError, InputError, PartError
from hobwind.listing import parts_json, parts_text
from hobwind.parts.catalogue import BESIDE, CATALOGUE, KINDS, USERS, Shelf, user_folder


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
    assert [shelf.origin("finish", name) for name in ("stove paint", "rust of mine", "enamel")] == [
        BESIDE,
        USERS,
        CATALOGUE,
    ]
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


def test_nearest_names_are_told_as_they_are_written(tmp_path: Path) -> None:
    put(tmp_path, "finish", finish("Ola's paint", 0.5))
    with pytest.raises(PartError, match='no finish named "Olas paint". Nearest: "Ola\'s paint"'):
        Shelf(tmp_path).find("finish", "Olas paint")
    with pytest.raises(PartError) as caught:
        Shelf().find("finish", "~" * 500)
    assert "Nearest" not in str(caught.value) and len(str(caught.value)) < 150


def test_single_fields_on_top_of_a_part_from_each_shelf(tmp_path: Path, home: Path) -> None:
    module = Shelf().table("module", "cooler 40 mm 6 A")[0]
    rows = "".join(f'{key} = "{value[0] if isinstance(value, list) else value}"\n' for key, value in module.items())
    put(home, "module", '["from the coolbox"]\n' + rows)
    text = text_of().replace('part = "cooler 40 mm 6 A"', 'part = "from the coolbox"\nseebeck = "47 ± 1 mV/K"')
    build = build_from_text(text, "fan.toml", tmp_path)
    part = build.modules[0].part
    assert (part.name, part.origin, part.seebeck.value) == ("from the coolbox", USERS, pytest.approx(0.047))
    assert part.conductance == Shelf().find("module", "cooler 40 mm 6 A").conductance
    records = {record.place: record for record in build.records}
    assert records["modules[1].part"].origin == USERS and records["modules[1].seebeck"].origin == "given"


def test_home_is_asked_for_anew_by_each_shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(tmp_path / "other", "finish", finish("stove paint", 0.6))
    before = Shelf().find("finish", "stove paint").emissivity.value
    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path / "other"))
    assert Shelf().find("finish", "stove paint").emissivity.value == 0.6 != before
    assert user_folder() == tmp_path / "other" / "parts"
    monkeypatch.setenv("HOBWIND_HOME", "~/stoves")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert user_folder() == tmp_path / "stoves" / "parts"
    monkeypatch.delenv("HOBWIND_HOME")
    assert user_folder().name == "parts" and user_folder().parent.name == "hobwind"


@pytest.mark.parametrize("text", ["a." * 3000 + "a = 1\n", "a = " + "9" * 5000, "a = 0x" + "f" * 5000, "\x00"])
def test_a_monstrous_file_of_ones_own_is_told_shortly(tmp_path: Path, text: str) -> None:
    put(tmp_path, "finish", text)
    with pytest.raises(BuildError) as caught:
        build_from_text(text_of(), "fan.toml", tmp_path)
    assert "finish.toml: file: " in str(caught.value) and len(str(caught.value)) < 400


def test_own_parts_are_listed_with_where_they_are(tmp_path: Path, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(home, "finish", finish("soot of mine", 0.9))
    put(tmp_path, "finish", finish("rust of mine", 0.8))
    monkeypatch.chdir(tmp_path)
    lines = parts_text("finish", None, False).splitlines()
    assert lines[0].startswith(f"rust of mine ({BESIDE})") and lines[1].startswith(f"soot of mine ({USERS})")
    assert parts_text("finishes", "soot of mine", False).startswith(f"finish soot of mine ({USERS})\n")
    found = {row["name"]: row for row in parts_json("finish", None)["parts"]}
    assert found["soot of mine"]["origin"] == USERS
    assert found["soot of mine"]["numbers"] == {"emissivity": {"value": "0.9", "source": ""}}
    with pytest.raises(InputError, match='Did you mean "finish"'):
        parts_text("finnish", None, False)


def test_a_folder_in_place_of_a_part_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "parts" / "finish.toml").mkdir(parents=True)
    with pytest.raises(FileError, match="is a folder"):
        Shelf(tmp_path).find("finish", "stove paint")


@pytest.mark.parametrize("place", ["~nobody-of-that-name/x", "/" + "n" * 300])
def test_an_impossible_home_is_told(place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOBWIND_HOME", place)
    with pytest.raises(FileError) as caught:
        Shelf().find("finish", "stove paint")
    assert len(str(caught.value)) < 400
