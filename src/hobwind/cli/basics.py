"""Commands that begin a build and list parts."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from ..errors import FileError
from ..files import write_whole
from .shared import Json, app, say, say_json, tell_written


@app.command()
def begin(
    name: Annotated[str, typer.Argument(help="What to call the fan; the file is named after it.")],
    bin: Annotated[bool, typer.Option("--bin", help="Write a bin file instead: parts on hand, for hobwind pick.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Write over a file of that name.")] = False,
) -> None:
    """Write a commented build file to start from, or a bin file."""
    from ..build import starter_text
    from ..build.bin_starter import bin_starter_text

    stem = re.sub(r"[^\w-]+", "-", name.removesuffix(".toml").strip().lower()).strip("-")[:60] or "fan"
    path = Path(f"{stem}.toml")
    if path.exists() and not force:
        raise FileError(f"{path} is there already; choose another name, or add --force to write over it")
    clean = "".join(letter for letter in name if letter.isprintable())[:80]
    write_whole(path, bin_starter_text(clean, path.name) if bin else starter_text(clean, path.name))
    tell_written([path], then=f". Change it to what lies on your bench, then: hobwind {'pick' if bin else 'check'} {path}")


@app.command()
def parts(
    kind: Annotated[str | None, typer.Argument(help="A kind of part, such as module; all kinds when left out.")] = None,
    name: Annotated[str | None, typer.Argument(help="One part, to see all its numbers and their sources.")] = None,
    sources: Annotated[bool, typer.Option("--sources", help="Show every number's source.")] = False,
    as_json: Json = False,
) -> None:
    """List the parts in the catalogue, in your parts folder and beside this folder."""
    from ..listing import parts_json, parts_text

    say_json(parts_json(kind, name)) if as_json else say(parts_text(kind, name, sources))
