"""The command that sets a real fire beside the computed one and corrects the guesses by it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from ..errors import InputError
from ..files import write_whole
from .logs import ColdEnd, Column, Infrared, checked_cold_end, keep_columns, read_one
from .outputs import Out, into_file
from .shared import BuildFile, Inches, Json, app, load, say, say_json, shown_progress, tell, tell_written, warm_up

MOST_OTHERS = 4
MOST_TOGETHER = 9


@app.command()
def trial(
    build: BuildFile,
    log: Annotated[Path, typer.Argument(metavar="LOG", help="A CSV of one evening: times, the plate, and what else was read.")],
    also: Annotated[
        list[Path] | None, typer.Option("--also", help="Another logger of the same evening; may be repeated.")
    ] = None,
    offset: Annotated[
        list[float] | None, typer.Option("--offset", help="Seconds to add to that logger's times, instead of those found.")
    ] = None,
    column: Column = None,
    infrared: Infrared = None,
    cold_end: ColdEnd = 20.0,
    fit: Annotated[bool, typer.Option("--fit", help="Correct what was guessed by what the fire says.")] = False,
    unknown: Annotated[
        list[str] | None, typer.Option("--unknown", help="Correct only this input; may be repeated. Else all that matter.")
    ] = None,
    hold_back: Annotated[
        int, typer.Option("--hold-back", help="Percent of the evening's end to be foretold from the rest.")
    ] = 0,
    foretell: Annotated[
        Path | None, typer.Option("--foretell", metavar="LOG", help="Another evening to be foretold from this one.")
    ] = None,
    take: Annotated[
        Path | None,
        typer.Option(
            "--take", metavar="FILE", help="Write the corrected build into this new file.", callback=into_file(".toml")
        ),
    ] = None,
    together: Annotated[
        list[Path] | None,
        typer.Option(
            "--together", metavar="LOG", help="Another evening of this fan, fitted together with it; may be repeated."
        ),
    ] = None,
    walk: Annotated[
        bool, typer.Option("--walk", help='Also walk through all corrections that fit: minutes; wants the extra "walks".')
    ] = False,
    diary: Annotated[bool, typer.Option("--diary", help="Enter the trial, and what it showed, into the diary.")] = False,
    every: Annotated[bool, typer.Option("--all", help="Every line left out, every input, every cause.")] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
) -> None:
    """Prove it on a real fire: what it showed, measured on predicted, and the guesses corrected."""
    made = load(build)
    others, columns, surfaces, names = also or [], column or [], infrared or [], unknown or []
    if len(others) > MOST_OTHERS:
        raise InputError(f"--also: got {len(others)} logs; at most {MOST_OTHERS} are joined to the first")
    if offset and len(offset) != len(others):
        raise InputError(f"--offset: got {len(offset)}; one for each --also is wanted, {len(others)} in all")
    if not 0 <= hold_back <= 80:
        raise InputError(f"--hold-back: got {hold_back}; 0 to 80 percent are allowed")
    checked_cold_end(cold_end)
    if take is not None and (take.exists() and take.samefile(build)):
        raise InputError(f"--take: {take.name} is the build itself; name a new file")
    if len(together or []) > MOST_TOGETHER:
        raise InputError(f"--together: got {len(together or [])} evenings; at most {MOST_TOGETHER} are fitted with the first")
    fitting = fit or take is not None or hold_back > 0 or foretell is not None or bool(names) or bool(together) or walk
    logs, given = [], []
    for k, path in enumerate([log, *others]):
        one, kept = read_one(path, columns, surfaces, cold_end, k == 0 or not others)
        logs.append(one)
        if k > 0:
            given.append(offset[k - 1] if offset else kept)
    from ..trial.fit import STEPS
    from ..trial.together import gather, run_trial
    from ..trial_screen import trial_text

    def evening(path: Path) -> Any:
        return gather(made, [read_one(path, columns, surfaces, cold_end, False)[0]], [])[0]

    another = None if foretell is None else evening(foretell)
    more = [evening(path) for path in together or []]
    warm_up()
    with shown_progress("Fitting ..." if fitting else "Comparing ...") as bar:

        def show(share: float, says: str) -> None:
            if bar is not None:
                bar(int(1000.0 * share), 1000)

        found = run_trial(made, logs, given, fitting, names, hold_back / 100.0, another, more, STEPS if walk else 0, show)
    for k, path in enumerate([log, *others]):
        said = keep_columns(path, logs[k], found.offsets[k - 1].seconds if k > 0 else None)
        if said:
            tell(said, True, [path])
    if as_json:
        from ..trial.report import trial_report

        say_json(trial_report(found))
    else:
        say(trial_text(found, every, "inch" if inch else "metric"))
    if take is not None and found.fit is not None:
        from ..trial.fitted import fitted_text

        write_whole(take, fitted_text(made, found.fit, found.measured))
        tell_written([take], as_json)
    if diary:
        from ..diary.store import open_diary
        from ..trial_entry import enter_trial

        with open_diary() as book:
            tell(enter_trial(book, found), as_json)
    if out is not None:
        from ..charts_trial import write_trial

        written = write_trial(found, trial_text(found, every=True), out)
        tell_written(written, as_json)
