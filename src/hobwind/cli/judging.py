"""Commands that judge one build: its verdict, one evening, one settled state."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ..errors import InputError, SolveError
from .outputs import Out, into_folder
from .shared import (
    ENGINEERS,
    BuildFile,
    GuardMode,
    Inches,
    Json,
    app,
    guard_mode,
    load,
    plates,
    say,
    say_json,
    tell_written,
    warm_up,
)


@app.command()
def check(
    build: BuildFile,
    at: Annotated[str | None, typer.Option("--at", metavar="120,200,300", help="Plate temperatures to report, °C.")] = None,
    every: Annotated[bool, typer.Option("--all", help="Every finding, margin, caution and source.")] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
    values: Annotated[
        bool,
        typer.Option(
            "--values",
            help="Print the build made whole: a build file with every looked-up value and its source.",
            rich_help_panel=ENGINEERS,
        ),
    ] = False,
) -> None:
    """Judge a build: starts at, air, hottest face, margins, findings with mends that were tried.

    Exit code 0 when no danger stands, 3 when one does, 2 for bad input, 1 when no answer was found.
    """
    made = load(build)
    if values:
        from ..build import whole_text

        say(whole_text(made))
        return
    warm_up()
    from ..screens import everything_text, verdict_text
    from ..studies.headline import AIR_AT
    from ..studies.report import check_report
    from ..studies.verdict import verdict

    judged = verdict(made, plates(at, AIR_AT))
    setting = "inch" if inch else "metric"
    text = verdict_text(judged, setting)
    if as_json:
        say_json(check_report(judged))
    else:
        say(text + (everything_text(judged) if every else ""))
    if out is not None:
        from ..pictures import write_check

        written = write_check(judged, text + everything_text(judged), out)
        tell_written(written, as_json)
    raise typer.Exit(3 if judged.dangers else 0)


@app.command()
def evening(
    build: BuildFile,
    fire: Annotated[
        str | None,
        typer.Option("--fire", help="gentle, usual or over-fired (when left out); or a CSV file with time_min,plate_degC."),
    ] = None,
    held: Annotated[
        str | None, typer.Option("--held", metavar="PLATE", help="Instead: a plate held at this temperature, °C.")
    ] = None,
    hours: Annotated[float, typer.Option("--hours", help="How long a held plate is watched.")] = 4.0,
    every: Annotated[float, typer.Option("--every", help="Seconds between the figures kept.")] = 20.0,
    guard: GuardMode = "free",
    out: Out = None,
    as_json: Json = False,
) -> None:
    """Run one evening over time: what the fan does while the fire comes and goes."""
    from ..fires import read_fire

    made = load(build)
    mode = guard_mode(guard)
    if not 1.0 <= every <= 3600.0:
        raise InputError(f"--every: got {every:g} s; 1 to 3600 s is allowed")
    if not 0.1 <= hours <= 48.0:
        raise InputError(f"--hours: got {hours:g} h; 0.1 to 48 h is allowed")
    from ..stack.curves import SHAPES, built_in
    from ..stack.curves import held as held_curve

    stove = made.stove
    if held is not None and fire is not None:
        raise InputError("--held and --fire: got both; give one of them")
    fire = fire or "over-fired"
    if held is not None:
        curve = held_curve(plates(held, (), "--held")[0], stove.room.value, hours, min(40.0, 30.0 * hours))
    elif fire in SHAPES:
        curve = built_in(fire, stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    elif fire.endswith(".csv") or Path(fire).exists():
        curve = read_fire(Path(fire))
    else:
        raise InputError(f'--fire: got "{fire[:80]}"; one of {", ".join(SHAPES)} or a CSV file is wanted')
    warm_up()
    from ..screens import evening_text
    from ..stack.evening import evening as run_evening
    from ..stack.prepare import prepare
    from ..studies.report import evening_report

    ran = run_evening(prepare(made), curve, every, mode)
    if as_json:
        say_json(evening_report(made, ran))
    else:
        say(evening_text(made, ran))
    if out is not None:
        from ..pictures import write_evening

        written = write_evening(made, ran, out)
        tell_written(written, as_json)
    if not ran.finished:
        raise SolveError(f"the evening {ran.outcome.value}")


@app.command(rich_help_panel=ENGINEERS)
def network(
    build: BuildFile,
    plate: Annotated[str, typer.Option("--plate", help="Plate temperature, °C.")] = "200",
    guard: GuardMode = "free",
    form: Annotated[str, typer.Option("--as", help="table or spice: a netlist for a circuit simulator.")] = "table",
    as_json: Json = False,
) -> None:
    """Show every node and link of one settled state, with watts and formulas."""
    if form not in ("table", "spice"):
        raise InputError(f'--as: got "{form[:40]}"; table or spice is wanted')
    made = load(build)
    kelvin = plates(plate, (), "--plate")[0]
    mode = guard_mode(guard)
    warm_up()
    from ..screens import network_text
    from ..stack.network import network as open_network
    from ..stack.prepare import prepare
    from ..stack.steady import Rest
    from ..studies.report import network_report

    net = open_network(prepare(made), kelvin, mode)
    if net.outcome in (Rest.NOT_SETTLED.value, Rest.RESTLESS.value):
        raise SolveError(net.outcome)
    if as_json:
        say_json(network_report(made, net))
    else:
        say(net.netlist if form == "spice" else network_text(made, net))


@app.command()
def demo(
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Where to write.", callback=into_folder)] = Path("out"),
) -> None:
    """Judge the boat-shed fan (invented), draw it, and say where the pictures are."""
    from ..examples import example

    made = load(example("boat-shed"))
    warm_up()
    from ..pictures import write_check
    from ..screens import everything_text, verdict_text
    from ..studies.verdict import verdict

    judged = verdict(made)
    say(verdict_text(judged))
    say("Drawing ...", error=True)
    for path in write_check(judged, verdict_text(judged) + everything_text(judged), out):
        tell_written([path])
    say("Next: hobwind begin my-fan")
