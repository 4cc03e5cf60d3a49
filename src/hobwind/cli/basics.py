"""Commands that begin a build, list parts and measure scrap."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from ..errors import FileError
from ..files import write_whole
from .shared import Json, app, say, say_json


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
    say(f"Wrote {path}. Change it to what lies on your bench, then: hobwind {'pick' if bin else 'check'} {path}")


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


@app.command()
def bench(
    test: Annotated[str | None, typer.Argument(help="A bench test, such as wax; the list when left out.")] = None,
    readings: Annotated[Path | None, typer.Argument(help="The readings; the procedure when left out.")] = None,
    part: Annotated[str | None, typer.Option("--part", metavar="NAME", help="Keep the result as a part of this name.")] = None,
    like: Annotated[str | None, typer.Option("--like", metavar="PART", help="What fills in for figures not measured.")] = None,
    as_json: Json = False,
) -> None:
    """Measure scrap: household readings in, part values with their spread out."""
    from ..bench.readings import measure
    from ..bench_screen import find_test, keep_part, procedure_text, result_json, result_text, tests_text

    if test is None:
        say(tests_text())
        return
    found = find_test(test)
    if readings is None:
        say(procedure_text(found))
        return
    result = measure(found, readings)
    say_json(result_json(found, result)) if as_json else say(result_text(result))
    if part is not None:
        path, model, filled = keep_part(result, part, like)
        say(f"Wrote {part} into {path}; not measured and taken from {model}: {', '.join(filled) or 'nothing'}.", error=as_json)
