"""Commands about what keeps a fan alive: guards side by side, the fault drill, and a found fan mended."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from ..errors import FileError, InputError
from ..files import write_whole
from .logs import ColdEnd, Column, Infrared, checked_cold_end, keep_columns, read_one
from .outputs import Out, into_file
from .shared import BuildFile, Inches, Json, app, load, say, say_figures, say_json, tell, tell_written, units_of, warm_up

MOST_LOGS = 6


@app.command()
def guards(
    build: BuildFile,
    every: Annotated[
        bool, typer.Option("--all", help="Also what stands against each, and its lines of the build file.")
    ] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
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
    say_json(guards_report(found)) if as_json else say_figures(guards_text(found, every, units_of(inch)), inch)
    if out is not None:
        from ..guards_pictures import write_guards

        written = write_guards(found, guards_text(found, True), out)
        tell_written(written, as_json)
    raise typer.Exit(0 if found.best is not None else 3)


@app.command()
def faults(
    build: BuildFile,
    every: Annotated[bool, typer.Option("--all", help="Also what is assumed of each fault, and every pair.")] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
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
    say_json(drill_report(found)) if as_json else say_figures(drill_text(found, every, units_of(inch)), inch)
    if out is not None:
        from ..guards_pictures import write_drill

        written = write_drill(found, drill_text(found, True), out)
        tell_written(written, as_json)
    raise typer.Exit(0 if found.healthy.lives else 3)


@app.command()
def retrofit(
    fan: Annotated[
        Path | None, typer.Argument(metavar="FAN", help="What was measured from outside; without it: what to measure.")
    ] = None,
    logs: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[LOG]...", help="CSVs of evenings with this fan on the stove: times, plate, base, riser, sink, speed."
        ),
    ] = None,
    column: Column = None,
    infrared: Infrared = None,
    cold_end: ColdEnd = 20.0,
    take: Annotated[
        Path | None,
        typer.Option(
            "--take", metavar="BUILD", help="Write the reduced build as this build file.", callback=into_file(".toml")
        ),
    ] = None,
    with_guard: Annotated[
        bool, typer.Option("--with-guard", help="Of --take: with the recommended guard in it, ready for hobwind shop.")
    ] = False,
    module: Annotated[
        str | None, typer.Option("--module", metavar="NAME", help="Of --take: with these modules in place of the dead ones.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Also every module, guard and line of the reduced build.")] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
    force: Annotated[bool, typer.Option("--force", help="Write over a file of that name.")] = False,
    seed: Annotated[int, typer.Option("--seed", help="Of the throws.")] = 1,
) -> None:
    """Mend a found fan: its inside by rule, what killed its modules, which fit, and a guard that bolts on.

    Logs of real fires narrow what is guessed: stretches near enough to rest are taken from them and shown.

    Exit code 0 when a bolt-on guard serves or none is needed, 3 when none does, 2 for bad input.
    """
    if not 0 <= seed < 2**32:
        raise InputError(f"--seed: got {seed}; 0 to {2**32 - 1} is allowed")
    if fan is None:
        if take is not None or out is not None or as_json:
            raise InputError("FAN: missing; give the file of what was measured. What to measure: hobwind retrofit")
        from ..retrofit_screen import TO_MEASURE

        say(TO_MEASURE)
        return
    if take is None and (with_guard or module is not None):
        raise InputError("--with-guard and --module change the build that --take writes; give --take too")
    if module is not None:
        from ..parts.catalogue import Shelf

        if module not in Shelf(None).names("module"):
            raise InputError(f'--module: got "{module}", which is no module of the catalogue. List them with: hobwind parts')
    if take is not None and take.exists() and not force:
        raise FileError(f"{take} is there already; choose another name, or add --force to write over it")
    if len(logs or []) > MOST_LOGS:
        raise InputError(f"LOG: got {len(logs or [])} logs; at most {MOST_LOGS} are taken")
    checked_cold_end(cold_end)
    from ..build.retrofit_file import load_outside

    outside = load_outside(fan)
    read = [read_one(path, column or [], infrared or [], cold_end, len(logs or []) == 1)[0] for path in logs or []]
    warm_up()
    from ..retrofit_screen import retrofit_text
    from ..studies.retrofit import retrofit as work_out
    from ..studies.retrofit_report import retrofit_report
    from ..trial.found_fan_report import logs_report

    logged = _logged(outside, read)
    for path, log in zip(logs or [], read, strict=True):
        said = keep_columns(path, log, None)
        if said:
            tell(said, True, [path])
    found = work_out(outside if logged is None else logged.outside, seed)

    def whole(every: bool, setting: str) -> str:
        if logged is None:
            return retrofit_text(found, every, setting)
        from ..found_fan_screen import logs_text

        return logs_text(logged, read, every) + "\n" + retrofit_text(found, every, setting)

    told = None if logged is None else logs_report(logged)
    say_json(retrofit_report(found, told)) if as_json else say_figures(whole(every, units_of(inch)), inch)
    if out is not None:
        from ..guards_pictures import write_retrofit

        written = write_retrofit(found, whole(True, "metric"), out, logged)
        tell_written(written, as_json)
    if take is not None:
        write_whole(take, _taken(found, with_guard, module))
        then = f"hobwind shop {take}" if with_guard else f"hobwind check {take}"
        tell_written([take], as_json, f"; then: {then}")
    raise typer.Exit(0 if found.best is not None else 3)


def _taken(found: Any, with_guard: bool, module: str | None) -> str:
    """Text of the reduced build, with new modules and the recommended guard where those are asked for."""
    from ..build.editing import put_lines

    lines: list[str] = []
    if module is not None:
        fit = next((one for one in found.fits if one.part.name == module), None)
        if fit is None or fit.against:
            fitting = ", ".join(one.part.name for one in found.fits if not one.against)
            raise InputError(f'--module: "{module}": {fit.against if fit else "not tried"}. These fit: {fitting or "none"}')
        lines += [f'modules[1].part = "{module}"', f"modules[1].count = {fit.count}", 'fan.modules = "new"']
    if with_guard:
        if found.best is None:
            raise InputError("--with-guard: no guard serves that leaves the fan closed; write the build without it")
        lines += found.best.keys
    return put_lines(found.made.text, lines)


def _logged(outside: Any, read: list[Any]) -> Any:
    """The found fan with the looks of its logs; None without logs."""
    if not read:
        return None
    from ..build.retrofit_build import reduced
    from ..trial.found_fan import with_logs
    from ..trial.together import gather

    build = reduced(outside).build
    return with_logs(outside, [gather(build, [log], [])[0] for log in read])
