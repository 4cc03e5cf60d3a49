"""Commands that say how sure figures are, and what an hour's work is worth."""

from __future__ import annotations

from typing import Annotated

import typer

from ..errors import InputError
from .outputs import Out
from .shared import BuildFile, Inches, Json, app, load, plates, say, say_json, shown_progress, tell, tell_written, warm_up

MOST = 65536  # fans
LARGEST_SEED = 2**31 - 1


def _warm_up_many() -> None:
    """Say so when the kernels that take many fans at once are still to be compiled."""
    from ..warm import many_are_cold

    warm_up()
    if many_are_cold():
        tell("First time: compiling the solver for many fans at once; this takes some thirty seconds ...", error=True)


@app.command()
def odds(
    build: BuildFile,
    count: Annotated[int, typer.Option("--count", help="Fans to throw, each through two evenings.")] = 2048,
    seed: Annotated[int, typer.Option("--seed", help="The same seed gives the same answer.")] = 1,
    shares: Annotated[bool, typer.Option("--shares", help="Share the spread out among the parts; takes longer.")] = False,
    face: Annotated[
        str | None, typer.Option("--face", metavar="150", help="Ask how likely a module face passes this, °C.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Every figure, chance and input.")] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
) -> None:
    """How sure the figures are: bands, chances in plain words, and what to measure next."""
    made = load(build)
    if not 32 <= count <= MOST:
        raise InputError(f"--count: got {count}; 32 to {MOST} fans are allowed")
    _check_seed(seed)
    asked = None if face is None else plates(face, (), "--face")
    if asked is not None and len(asked) != 1:
        raise InputError(f"--face: got {face}; one temperature is wanted, °C")
    _warm_up_many()
    from ..odds_screen import odds_text
    from ..studies.odds import SHARED_OUT
    from ..studies.odds import odds as throw_odds
    from ..studies.odds_report import odds_report

    with shown_progress("Throwing ...") as progress:
        found = throw_odds(made, count, seed, progress, SHARED_OUT if shares else 0, asked[0] if asked else None)
    if as_json:
        say_json(odds_report(found))
    else:
        say(odds_text(found, "inch" if inch else "metric", every))
    if out is not None:
        from ..charts_odds import write_odds

        written = write_odds(found, odds_text(found, every=True), out)
        tell_written(written, as_json)


@app.command()
def worth(
    build: BuildFile,
    count: Annotated[int, typer.Option("--count", help="Fans to throw before and after each change.")] = 32,
    seed: Annotated[int, typer.Option("--seed", help="The same seed gives the same answer.")] = 1,
    every: Annotated[
        bool, typer.Option("--all", help="Everything, with the lines of the build file that carry each change out.")
    ] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
) -> None:
    """What an hour's work is worth: each improvement's gain, minutes and cost, the best pair, and what to leave."""
    made = load(build)
    if not 8 <= count <= 4096:
        raise InputError(f"--count: got {count}; 8 to 4096 fans are allowed")
    _check_seed(seed)
    _warm_up_many()
    from ..studies.worth import worth as try_changes
    from ..studies.worth_report import worth_report
    from ..worth_screen import worth_text

    with shown_progress("Trying changes ...") as progress:
        found = try_changes(made, count, seed, progress)
    if as_json:
        say_json(worth_report(found))
    else:
        say(worth_text(found, "inch" if inch else "metric", every))
    if out is not None:
        from ..charts_odds import write_worth

        written = write_worth(found, worth_text(found, every=True), out)
        tell_written(written, as_json)


def _check_seed(seed: int) -> None:
    if not 0 <= seed <= LARGEST_SEED:
        raise InputError(f"--seed: got {seed}; 0 to {LARGEST_SEED} is allowed")
