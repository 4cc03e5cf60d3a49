"""Files are read with plain complaints, and written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from hobwind.errors import BuildError, FileError, HobwindError, PartError, Problem, SolveError
from hobwind.files import read_text, toml_table, write_whole


def test_text_comes_back_without_its_mark(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes("\ufeffwidth = '40 ± 1 mm'\n".encode())
    assert read_text(path) == "width = '40 ± 1 mm'\n"


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="There is no file"):
        read_text(tmp_path / "missing.toml")
    with pytest.raises(FileError, match="is a folder"):
        read_text(tmp_path)
    path = tmp_path / "a.toml"
    path.write_bytes(b"x" * 101)
    with pytest.raises(FileError, match="holds 101 bytes; at most 100"):
        read_text(path, 100)
    path.write_bytes(b"abc\xff")
    with pytest.raises(FileError, match=r"byte 4 is 0xff"):
        read_text(path)
    with pytest.raises(FileError):
        read_text(tmp_path / ("n" * 5000))


def test_a_pipe_is_refused_rather_than_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileError, match="not an ordinary file"):
        read_text(tmp_path / "pipe")


@pytest.mark.parametrize("data", ["40 ± 1 mm\n", b"\x00\xff"])
def test_written_whole(tmp_path: Path, data: str | bytes) -> None:
    path = tmp_path / "new" / "a.out"
    write_whole(path, "before")
    write_whole(path, data)
    assert path.read_bytes() == (data.encode() if isinstance(data, str) else data)
    assert list(path.parent.iterdir()) == [path]


def test_permissions_stay(tmp_path: Path) -> None:
    path = tmp_path / "a.out"
    write_whole(path, "before")
    path.chmod(0o600)
    write_whole(path, "after")
    assert path.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    ("fault", "seen"), [(OSError(28, "No space left"), FileError), (KeyboardInterrupt(), KeyboardInterrupt)]
)
def test_a_failure_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: BaseException, seen: type[BaseException]
) -> None:
    path = tmp_path / "a.out"
    write_whole(path, "before")

    def fail(*_: object) -> None:
        raise fault

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(seen):
        write_whole(path, "after")
    assert path.read_text() == "before" and list(tmp_path.iterdir()) == [path]


def test_what_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="is a folder"):
        write_whole(tmp_path, "x")
    (tmp_path / "file").write_text("")
    with pytest.raises(FileError, match="cannot be written"):
        write_whole(tmp_path / "file" / "below", "x")
    with pytest.raises(FileError, match="cannot be written"):
        write_whole(tmp_path / "a.out", "\ud800")
    assert [entry.name for entry in tmp_path.iterdir()] == ["file"]


def test_errors_are_also_what_they_resemble() -> None:
    error = BuildError("a.toml", (Problem("fan.blade", "missing"), Problem("fan.motor", "missing")))
    assert isinstance(error, ValueError) and isinstance(error, HobwindError)
    assert str(error).splitlines() == ["a.toml: fan.blade: missing", "a.toml: fan.motor: missing"]
    assert issubclass(PartError, LookupError) and issubclass(FileError, OSError) and issubclass(SolveError, RuntimeError)


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        (b"#" * 3_000_000, "holds 3000000 bytes; at most 2000000 are read. Is it the right file?"),
        ("name = 'Öl'".encode("latin-1"), "is not UTF-8 text (byte 9 is 0xd6); save it as UTF-8"),
        ("name = 1".encode("utf-16"), "is not UTF-8 text (byte 1 is 0xff)"),
        (b"\x80", "byte 1 is 0x80"),
    ],
)
def test_wrong_bytes_are_told(tmp_path: Path, raw: bytes, told: str) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(raw)
    with pytest.raises(FileError) as caught:
        read_text(path)
    assert str(caught.value).startswith(f"{path} ") and told in str(caught.value)


@pytest.mark.parametrize("name", ["n" * 300, "a\0b", "\ud800", "a/" * 3000 + "b"])
def test_impossible_names_are_told_shortly(tmp_path: Path, name: str) -> None:
    for act in (lambda path: read_text(path), lambda path: write_whole(path, "x")):
        with pytest.raises(FileError) as caught:
            act(tmp_path / name)
        assert len(str(caught.value)) < 400 and "Errno" not in str(caught.value)
        assert "\0" not in str(caught.value) and "\ud800" not in str(caught.value)


def test_a_file_that_may_not_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.toml"
    path.write_text("x")

    def deny(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", deny)
    with pytest.raises(FileError, match="cannot be read: Permission denied. Check the name and its permissions"):
        read_text(path)


def test_a_link_to_nowhere_is_a_missing_file(tmp_path: Path) -> None:
    (tmp_path / "link.toml").symlink_to(tmp_path / "gone.toml")
    with pytest.raises(FileError, match="There is no file"):
        read_text(tmp_path / "link.toml")


def test_tables_are_read_or_told() -> None:
    assert toml_table("a.b = [1, { c = 'd' }]") == {"a": {"b": [1, {"c": "d"}]}}
    for text, told in (
        ("a = ", "is not readable as TOML: "),
        ("a = 1\na = 2", "Mend that line"),
        ("a = " + "[" * 9000, "too deeply"),
        ("a." * 9000 + "a = 1", "too deeply"),
        ("a = " + "7" * 9000, "beyond all reason"),
        ("a = 0b" + "1" * 90000, "beyond all reason"),
    ):
        with pytest.raises(ValueError, match=told):
            toml_table(text)
