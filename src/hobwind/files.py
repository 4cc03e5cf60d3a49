"""Files in and out: read with plain complaints, written whole or not at all."""

from __future__ import annotations

import os
import stat
import tempfile
import tomllib
from pathlib import Path
from typing import Any

from .errors import FileError

MOST_BYTES = 2_000_000
DEEPEST, LARGEST_WHOLE = 20, 10**18


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """Read a file as it stands.

    Args:
        path: of the file.
        most: largest size taken. [bytes]

    Returns:
        Its bytes.

    Raises:
        FileError: missing, a folder, not readable, or too large.
    """
    named = _named(path)
    try:
        if path.is_dir():
            raise FileError(f"{named} is a folder; name a file in it")
        if not path.exists():
            raise FileError(f"There is no file {named}. {_instead(path)}")
        if not path.is_file():
            raise FileError(f"{named} is not an ordinary file; name a text file")
        size = path.stat().st_size
        if size > most:
            raise FileError(f"{named} holds {size} bytes; at most {most} are read. Is it the right file?")
        return path.read_bytes()
    except FileError:
        raise
    except (OSError, ValueError) as error:
        said = f"{named} cannot be read: {_reason(error)}. Check the name and its permissions"
        raise FileError(said) from error


def read_text(path: Path, most: int = MOST_BYTES) -> str:
    """Read a UTF-8 text file.

    Args:
        path: of the file.
        most: largest size taken. [bytes]

    Returns:
        The text, without a byte order mark.

    Raises:
        FileError: as `read_bytes`, or not UTF-8.
    """
    data = read_bytes(path, most)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(
            f"{_named(path)} is not UTF-8 text (byte {error.start + 1} is {data[error.start]:#04x}); save it as UTF-8"
        ) from error


def toml_table(text: str) -> dict[str, Any]:
    """Read TOML.

    Args:
        text: TOML.

    Returns:
        Its table.

    Raises:
        ValueError: why it cannot be read, and what to do.
    """
    deep, huge = "nests brackets or dots too deeply to be one of hobwind's files", "holds a whole number beyond all reason"
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"is not readable as TOML: {error}. Mend that line") from error
    except RecursionError as error:
        raise ValueError(deep) from error
    except ValueError as error:  # more digits than Python turns into a whole number
        raise ValueError(huge) from error
    level: list[Any] = [table]
    for _ in range(DEEPEST):
        if any(isinstance(one, int) and abs(one) > LARGEST_WHOLE for one in level):
            raise ValueError(huge)
        level = [
            inner for one in level if isinstance(one, dict | list) for inner in (one.values() if isinstance(one, dict) else one)
        ]
        if not level:
            return table
    raise ValueError(deep)


def write_whole(path: Path, data: str | bytes) -> None:
    """Write a file so that it is either complete or untouched.

    Args:
        path: of the file; its folder is made when missing.
        data: text (written as UTF-8) or bytes.

    Raises:
        FileError: the folder or file cannot be written.
    """
    spare: Path | None = None
    try:
        raw = data.encode("utf-8") if isinstance(data, str) else data
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.is_dir():
            raise FileError(f"{_named(path)} is a folder; name a file to write")
        # A temporary file is private to its maker; a file for others to read is not, and one that was there stays as it was.
        mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o644
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.")
        spare = Path(name)
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
        spare.chmod(mode)
        spare.replace(path)
        spare = None
    except FileError:
        raise
    except (OSError, ValueError) as error:
        said = f"{_named(path)} cannot be written: {_reason(error)}. Choose another place with --out"
        raise FileError(said) from error
    finally:  # also when interrupted
        if spare is not None:
            spare.unlink(missing_ok=True)


def _named(path: Path) -> str:
    """A path for a message: short, and without letters that would upset a screen."""
    text = str(path)
    text = text if len(text) <= 200 else f"{text[:100]}...{text[-60:]}"
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def _reason(error: Exception) -> str:
    return error.strerror if isinstance(error, OSError) and error.strerror else str(error)


def _instead(path: Path) -> str:
    """What to do when there is no such file: the one that was meant, a way to make one, or a look at the name."""
    meant = path.with_name(path.name + ".toml")
    if not path.suffix and meant.is_file():
        return f"Did you mean {meant.name}?"
    if path.suffix in ("", ".toml"):
        return "Check the name, or make one with: hobwind begin NAME"
    return "Check the name"
