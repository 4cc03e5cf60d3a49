"""Files are read with plain complaints, and written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from hobwind.errors import BuildError, FileError, HobwindError, PartError, Problem, SolveError
from hobwind.files import read_text, write_whole


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
