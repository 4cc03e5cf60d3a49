"""The command that makes paper for the bench."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ..errors import InputError
from .outputs import into_folder
from .shared import BuildFile, Json, app, load, say, say_json, tell_written, warm_up


@app.command()
def shop(
    build: BuildFile,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="DIR",
            help="Write sheets.pdf, and SVG and DXF of each drawing, into this folder.",
            callback=into_folder,
        ),
    ] = None,
    paper: Annotated[str, typer.Option("--paper", metavar="A4|Letter", help="What the sheets are printed on.")] = "A4",
    inch: Annotated[bool, typer.Option("--inch", help="Inches and the nearest inch drills beside the millimetres.")] = False,
    every: Annotated[bool, typer.Option("--all", help="Every line, however many.")] = False,
    as_json: Json = False,
) -> None:
    """Paper for the bench: templates at true scale, holes, clamp, stack-up, wiring, order of work.

    Each sheet carries a bar of 100 mm: measure it before you cut. What cannot be made as described is a finding, and is
    drawn in red.
    """
    sizes = {"a4": "A4", "letter": "Letter"}
    if paper.lower() not in sizes:
        raise InputError(f'--paper: got "{paper[:40]}"; A4 or Letter is wanted')
    made, sheet = load(build), sizes[paper.lower()]
    warm_up()
    from ..shop.sheets import shop_files, shop_sections
    from ..shop_screen import shop_text
    from ..studies.headline import headline

    sections = shop_sections(made, headline(made), sheet, inch)
    if as_json:
        from ..shop.report import shop_report

        say_json(shop_report(made, sections))
    else:
        say(shop_text(made, sections, every))
    if out is not None:
        from ..files import write_whole

        files = shop_files(made, sections, sheet)
        for name, data in files.items():
            write_whole(out / name, data)
        others = len(files) - 1
        tell_written([out / "sheets.pdf"], as_json, f" and {others} drawings beside it")
