"""The command that measures scrap."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ..errors import FileError, InputError
from ..files import write_whole
from .outputs import into_file, into_folder
from .shared import Inches, Json, app, say, say_figures, say_json, tell, tell_written

if TYPE_CHECKING:
    from ..bench.procedure import BenchTest


@app.command()
def bench(
    test: Annotated[str | None, typer.Argument(help="A bench test, such as wax; keep or scrap when left out.")] = None,
    readings: Annotated[
        Path | None, typer.Argument(help="The readings, TOML or CSV; the procedure when left out. With --ask: written there.")
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option(
            "--sheet",
            metavar="FILE",
            help="Write the procedure as one A4 page, .pdf or .svg; a folder takes all of them.",
            callback=into_file(".pdf", ".svg", folders=True),
        ),
    ] = None,
    ask: Annotated[bool, typer.Option("--ask", help="Type the readings at prompts.")] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="DIR", help="Also write the readings on the fitted curve, and figures.", callback=into_folder
        ),
    ] = None,
    part: Annotated[str | None, typer.Option("--part", metavar="NAME", help="Keep the result as a part of this name.")] = None,
    like: Annotated[str | None, typer.Option("--like", metavar="PART", help="What fills in for figures not measured.")] = None,
    as_json: Json = False,
    inch: Inches = False,
) -> None:
    """Measure scrap: household readings in, part values with their spread out."""
    from ..bench.readings import find_test, measure, measure_table
    from ..bench_screen import keep_part, procedure_text, result_json, result_text, tests_text

    if sheet is not None:
        _sheets(test, sheet)
        return
    if test is None:
        say(tests_text())
        return
    found = find_test(test)
    if ask:
        table = _typed(found, readings, as_json)
        result = measure_table(found, table, readings.name if readings else "typed")
    elif readings is None:
        say(procedure_text(found))
        return
    else:
        result = measure(found, readings)
    say_json(result_json(found, result)) if as_json else say_figures(result_text(result), inch)
    if out is not None:
        from ..pictures_bench import write_bench

        for path in write_bench(found, result, out):
            tell_written([path], as_json)
    if part is not None:
        path, model, filled = keep_part(result, part, like)
        told = f"Wrote {part} into {path}; not measured and taken from {model}: {', '.join(filled) or 'nothing'}."
        tell(told, as_json, [path])


def _typed(test: BenchTest, readings: Path | None, quiet: bool) -> dict[str, Any]:
    """What is typed at prompts, written into `readings` where that is named."""
    from ..bench_ask import ask_form, readings_text

    if readings is not None and readings.exists():
        raise FileError(f"{readings} is there already; name another file for what you type, or leave --ask out to read it")

    def hear(question: str) -> str:
        return str(typer.prompt(question, "", show_default=False, err=quiet))

    table = ask_form(test.form, hear, lambda line: say(line, error=quiet))
    if readings is not None:
        write_whole(readings, readings_text(test.name, table))
        tell_written([readings], quiet)
    return table


def _sheets(test: str | None, place: Path) -> None:
    """Write one procedure, or all of them into a folder."""
    from ..bench.readings import TESTS, find_test
    from ..bench_sheet import sheet_file

    kinds = (".svg", ".pdf")
    if test is None:
        if place.suffix:
            raise InputError(f"--sheet: got {place} without a bench test; name a test such as wax, or a folder for all of them")
        for one in TESTS.values():
            path = place / f"{one.name}.pdf"
            write_whole(path, sheet_file(one, ".pdf"))
            tell_written([path])
        return
    found = find_test(test)
    path = place if place.suffix else place / f"{found.name}.pdf"
    if path.suffix.lower() not in kinds:
        raise InputError(f"--sheet: got {path.name}; a file ending in .pdf or .svg is wanted, or a folder")
    write_whole(path, sheet_file(found, path.suffix.lower()))
    tell_written([path])
