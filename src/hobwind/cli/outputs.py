"""Files that a command is to write: looked at while the command line is read, so that nobody waits for what cannot be kept.

One callback for folders, one for files; every `--out`, `--take`, `--as`, `--sheet` and `--save-to` names one of them.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from ..errors import FileError, InputError

# Endings of what hobwind writes or reads: a folder called so was meant as a file.
OF_FILES = (".png", ".svg", ".pdf", ".json", ".txt", ".csv", ".toml", ".zip", ".dxf", ".html", ".jpg", ".jpeg")


def _named(path: Path) -> str:
    text = str(path)
    return "".join(letter if letter.isprintable() else "?" for letter in (text if len(text) <= 200 else f"{text[:150]}..."))


def writable(option: str, path: Path, folder: Path) -> None:
    """Refuse a path whose folder neither takes a file nor can be made, by trying it.

    Raises:
        FileError: why, and what to do.
    """
    try:
        at = folder
        while not at.exists() and at != at.parent:
            at = at.parent
        if not at.is_dir():
            why = f"{_named(at)} is no folder"
        else:
            with tempfile.TemporaryFile(dir=at):
                return
    except (OSError, ValueError) as error:
        why = str(getattr(error, "strerror", None) or error)
    raise FileError(
        f"{option}: got {_named(path)}, where nothing can be written ({why}); a place that you may write to is wanted: name another"
    )


def into_folder(param: typer.CallbackParam, path: Path | None) -> Path | None:
    """Callback of an option that names a folder to write into; it is made when missing.

    Raises:
        InputError: it is called like a file, or is one.
        FileError: nothing can be written there.
    """
    if path is None:
        return None
    option = param.opts[0]
    if path.suffix.lower() in OF_FILES and not path.is_dir():
        raise InputError(
            f"{option}: got {_named(path)}, called like a file; a folder is wanted, several files go into it, such as "
            f"{_named(path.with_suffix(''))}"
        )
    writable(option, path, path)
    return path


def into_file(*endings: str, folders: bool = False) -> Callable[[typer.CallbackParam, Path | None], Path | None]:
    """A callback of an option that names a file to write.

    Args:
        endings: that it may have, such as ".toml"; any when none is given.
        folders: whether a name without an ending is a folder to write into.

    Returns:
        The callback; it raises InputError for another ending, FileError where nothing can be written.
    """

    def checked(param: typer.CallbackParam, path: Path | None) -> Path | None:
        if path is None:
            return None
        option, wanted = param.opts[0], " or ".join(endings)
        if folders and not path.suffix:
            writable(option, path, path)
            return path
        if endings and path.suffix.lower() not in endings:
            or_folder = ", or a folder" if folders else ""
            called = f"{_named(path.with_suffix(endings[0]))}" if path.stem else f"a name before {endings[0]}"
            raise InputError(f"{option}: got {_named(path)}; a file ending in {wanted} is wanted{or_folder}, such as {called}")
        writable(option, path, path.parent)
        if path.is_dir():
            raise FileError(f"{option}: {_named(path)} is a folder; name a file in it")
        return path

    return checked


Out = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Also write pictures and figures into this folder.", callback=into_folder),
]
