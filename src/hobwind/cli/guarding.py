"""Commands about what keeps a fan alive: guards side by side, and the fault drill."""

from __future__ import annotations

from typing import Annotated

import typer

from .shared import BuildFile, Json, Out, app, load, say, say_json, warm_up


@app.command()
def guards(
    build: BuildFile,
    every: Annotated[
        bool, typer.Option("--all", help="Also what stands against each, and its lines of the build file.")
    ] = False,
    out: Out = None,
    as_json: Json = False,
) -> None:
    """Size every kind of guard for a build, judge them side by side, recommend one.

    Exit code 0 when one serves, 3 when none does, 2 for bad input.
    """
    made = load(build)
    warm_up()
    from ..guards_screen import guards_text
    from ..studies.guards import guards as compare
    from ..studies.guards_report import guards_report

    found = compare(made)
    say_json(guards_report(found)) if as_json else say(guards_text(found, every))
    if out is not None:
        from ..guards_pictures import write_guards

        written = write_guards(found, guards_text(found, True), out)
        say("Wrote " + ", ".join(str(path) for path in written), error=as_json)
    raise typer.Exit(0 if found.best is not None else 3)


@app.command()
def faults(
    build: BuildFile,
    every: Annotated[bool, typer.Option("--all", help="Also what is assumed of each fault, and every pair.")] = False,
    out: Out = None,
    as_json: Json = False,
) -> None:
    """Let one thing after another go wrong in the over-fired evening: what kills, and which sign shows it in time.

    Exit code 0 when the fan lives with nothing wrong, 3 when it does not, 2 for bad input.
    """
    made = load(build)
    warm_up()
    from ..guards_screen import drill_text
    from ..studies.drill import drill
    from ..studies.guards_report import drill_report

    found = drill(made)
    say_json(drill_report(found)) if as_json else say(drill_text(found, every))
    if out is not None:
        from ..guards_pictures import write_drill

        written = write_drill(found, drill_text(found, True), out)
        say("Wrote " + ", ".join(str(path) for path in written), error=as_json)
    raise typer.Exit(0 if found.healthy.lives else 3)
