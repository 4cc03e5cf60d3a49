"""The command line: `hobwind ...`. Text in, text out; every figure comes from the studies."""

from __future__ import annotations

import contextlib
import json
import os
import re
import sys
from pathlib import Path
from typing import Annotated, Any

import typer

from . import __version__
from .errors import FileError, HobwindError, InputError, SolveError
from .files import write_whole
from .units import QuantityError, printable, read_quantity

ENGINEERS = "For engineers"
app = typer.Typer(
    name="hobwind",
    help="Design, judge and prove small fans that stand on a wood stove and run on its heat alone.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

BuildFile = Annotated[Path, typer.Argument(metavar="BUILD", help="A build file; make one with: hobwind begin NAME")]
Json = Annotated[bool, typer.Option("--json", help="Print the figures as JSON instead of text.")]
Out = Annotated[Path | None, typer.Option("--out", metavar="DIR", help="Also write pictures and figures into this folder.")]
Inches = Annotated[bool, typer.Option("--inch", help="Show °F, inches and cfm.")]
GuardMode = Annotated[str, typer.Option("--guard", help="free, held-down or held-up.", rich_help_panel=ENGINEERS)]


def say(text: str, error: bool = False) -> None:
    """Print text as the screen can show it."""
    stream = sys.stderr if error else sys.stdout
    typer.echo(printable(text, getattr(stream, "encoding", None)), nl=not text.endswith("\n"), err=error)


def say_json(data: dict[str, Any]) -> None:
    """Print data as JSON, plain ASCII."""
    typer.echo(json.dumps(data, indent=1, allow_nan=False))


def _version(wanted: bool) -> None:
    if wanted:
        say(f"hobwind {__version__}")
        raise typer.Exit


@app.callback()
def top(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
    debug: Annotated[
        bool, typer.Option("--debug", help="Show where in the program an error arose.", rich_help_panel=ENGINEERS)
    ] = False,
) -> None:
    """Design, judge and prove small fans that stand on a wood stove and run on its heat alone."""


def _warm_up() -> None:
    from .compiled import is_cold

    if is_cold():
        say("First run: compiling the solver for this machine, once; this takes some twenty seconds ...", error=True)
        from .warm import compile_all

        compile_all()


def _load(path: Path) -> Any:
    from .build import load_build

    return load_build(path)


def _plates(text: str | None, usual: tuple[float, ...], option: str = "--at") -> tuple[float, ...]:
    if text is None:
        return usual
    found = []
    for word in text.split(","):
        typed = word.strip()
        try:
            kelvin = read_quantity(typed if re.search(r"[A-Za-z°]", typed) else f"{typed} °C", "temperature").value
        except QuantityError as error:
            raise InputError(f"{option}: got {typed[:40]!r}; plates such as 200 or 120,200,300 are wanted, °C") from error
        if not 253.15 - 1e-6 <= kelvin <= 773.15 + 1e-6:
            raise InputError(f"{option}: got {typed}; plates from -20 to 500 °C are allowed")
        found.append(kelvin)
    if len(found) > 200:
        raise InputError(f"{option}: got {len(found)} plates; at most 200 are allowed")
    return tuple(sorted(set(found)))


def _guard(word: str) -> str:
    modes = {"free": "free", "held-down": "held down", "held-up": "held up"}
    if word not in modes:
        raise InputError(f'--guard: got "{word}"; one of {", ".join(modes)} is wanted')
    return modes[word]


@app.command()
def begin(
    name: Annotated[str, typer.Argument(help="What to call the fan; the file is named after it.")],
    force: Annotated[bool, typer.Option("--force", help="Write over a file of that name.")] = False,
) -> None:
    """Write a commented build file to start from."""
    from .build import starter_text

    stem = re.sub(r"[^\w-]+", "-", name.removesuffix(".toml").strip().lower()).strip("-")[:60] or "fan"
    path = Path(f"{stem}.toml")
    if path.exists() and not force:
        raise FileError(f"{path} is there already; choose another name, or add --force to write over it")
    clean = "".join(letter for letter in name if letter.isprintable())[:80]
    write_whole(path, starter_text(clean, path.name))
    say(f"Wrote {path}. Change it to what lies on your bench, then: hobwind check {path}")


@app.command()
def parts(
    kind: Annotated[str | None, typer.Argument(help="A kind of part, such as module; all kinds when left out.")] = None,
    name: Annotated[str | None, typer.Argument(help="One part, to see all its numbers and their sources.")] = None,
    sources: Annotated[bool, typer.Option("--sources", help="Show every number's source.")] = False,
    as_json: Json = False,
) -> None:
    """List the parts in the catalogue, in your parts folder and beside this folder."""
    from .listing import parts_json, parts_text

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
    from .bench.readings import measure
    from .bench_screen import find_test, keep_part, procedure_text, result_json, result_text, tests_text

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
    made = _load(build)
    if values:
        from .build import whole_text

        say(whole_text(made))
        return
    _warm_up()
    from .screens import everything_text, verdict_text
    from .studies.headline import AIR_AT
    from .studies.report import check_report
    from .studies.verdict import verdict

    judged = verdict(made, _plates(at, AIR_AT))
    setting = "inch" if inch else "metric"
    text = verdict_text(judged, setting)
    if as_json:
        say_json(check_report(judged))
    else:
        say(text + (everything_text(judged) if every else ""))
    if out is not None:
        from .pictures import write_check

        written = write_check(judged, text + everything_text(judged), out)
        say("Wrote " + ", ".join(str(path) for path in written), error=as_json)
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
    from .fires import read_fire

    made = _load(build)
    mode = _guard(guard)
    if not 1.0 <= every <= 3600.0:
        raise InputError(f"--every: got {every:g} s; 1 to 3600 s is allowed")
    if not 0.1 <= hours <= 48.0:
        raise InputError(f"--hours: got {hours:g} h; 0.1 to 48 h is allowed")
    from .stack.curves import SHAPES, built_in
    from .stack.curves import held as held_curve

    stove = made.stove
    if held is not None and fire is not None:
        raise InputError("--held and --fire: got both; give one of them")
    fire = fire or "over-fired"
    if held is not None:
        curve = held_curve(_plates(held, (), "--held")[0], stove.room.value, hours, min(40.0, 30.0 * hours))
    elif fire in SHAPES:
        curve = built_in(fire, stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    elif fire.endswith(".csv") or Path(fire).exists():
        curve = read_fire(Path(fire))
    else:
        raise InputError(f'--fire: got "{fire[:80]}"; one of {", ".join(SHAPES)} or a CSV file is wanted')
    _warm_up()
    from .screens import evening_text
    from .stack.evening import evening as run_evening
    from .stack.prepare import prepare
    from .studies.report import evening_report

    ran = run_evening(prepare(made), curve, every, mode)
    if as_json:
        say_json(evening_report(made, ran))
    else:
        say(evening_text(made, ran))
    if out is not None:
        from .pictures import write_evening

        written = write_evening(made, ran, out)
        say("Wrote " + ", ".join(str(path) for path in written), error=as_json)
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
    made = _load(build)
    kelvin = _plates(plate, (), "--plate")[0]
    mode = _guard(guard)
    _warm_up()
    from .screens import network_text
    from .stack.network import network as open_network
    from .stack.prepare import prepare
    from .stack.steady import Rest
    from .studies.report import network_report

    net = open_network(prepare(made), kelvin, mode)
    if net.outcome in (Rest.NOT_SETTLED.value, Rest.RESTLESS.value):
        raise SolveError(net.outcome)
    if as_json:
        say_json(network_report(made, net))
    else:
        say(net.netlist if form == "spice" else network_text(made, net))


@app.command()
def demo(out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Where to write.")] = Path("out")) -> None:
    """Judge the boat-shed fan (invented), draw it, and say where the pictures are."""
    from .examples import example

    made = _load(example("boat-shed"))
    _warm_up()
    from .pictures import write_check
    from .screens import everything_text, verdict_text
    from .studies.verdict import verdict

    judged = verdict(made)
    say(verdict_text(judged))
    say("Drawing ...", error=True)
    for path in write_check(judged, verdict_text(judged) + everything_text(judged), out):
        say(f"Wrote {path}")
    say("Next: hobwind begin my-fan")


def main() -> None:
    """Run the command line: every error in one plain sentence, never a traceback unless --debug asks for it."""
    debug = "--debug" in sys.argv
    try:
        code = app(standalone_mode=False)
        sys.stdout.flush()
    except (HobwindError, typer.Exit, typer.Abort, Exception) as error:
        if debug:
            raise
        code = _complain(error)
    sys.exit(code if isinstance(code, int) else 0)


def _hush() -> None:
    """Keep Python from trying once more to write what nobody can take."""
    with contextlib.suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _complain(error: BaseException) -> int:
    usage = getattr(error, "format_message", None)  # every usage error of the command line has one
    if isinstance(error, typer.Exit):
        return int(error.exit_code)
    if isinstance(error, typer.Abort):
        say("Stopped.", error=True)
        return 130
    if callable(usage):
        told = str(usage()).strip()
        if told:  # a bare `hobwind` has shown its help already
            say(f"Error: {told if told[-1] in '.?' else told + '.'} See: hobwind --help", error=True)
        return 2
    if isinstance(error, SolveError):
        say(f"Error: {error}", error=True)
        return 1
    if isinstance(error, HobwindError):
        from .errors import BuildError

        lines = str(error).splitlines()
        if isinstance(error, BuildError) and len(lines) > 1:
            say(f"Error: {len(lines)} problems", error=True)
            say("\n".join(lines[:40]), error=True)
            if len(lines) > 40:
                say(f"and {len(lines) - 40} more", error=True)
        else:
            say(f"Error: {error}", error=True)
        return 2
    if isinstance(error, BrokenPipeError):
        _hush()
        return 0
    if isinstance(error, OSError):
        _hush()
        say(f"Error: the output cannot be written: {error.strerror or error}. Send it somewhere else", error=True)
        return 1
    if isinstance(error, KeyboardInterrupt):
        return 130
    say(
        f"Error: hobwind itself went wrong ({type(error).__name__}: {str(error)[:300]}). Run it again with --debug and "
        "report what it prints; your files are untouched.",
        error=True,
    )
    return 1
