"""What every command uses: the application, its common options, printing, and reading what was typed."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer

from .. import __version__
from ..errors import InputError
from ..folding import HANG, WIDE, columns, folded
from ..units import QuantityError, printable, read_quantity

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
Inches = Annotated[bool, typer.Option("--inch", help="Show °F, inches and cfm.")]
GuardMode = Annotated[str, typer.Option("--guard", help="free, held-down or held-up.", rich_help_panel=ENGINEERS)]


def say(text: str, error: bool = False) -> None:
    """Print text as the screen can show it."""
    stream = sys.stderr if error else sys.stdout
    typer.echo(printable(text, getattr(stream, "encoding", None)), nl=not text.endswith("\n"), err=error)


def tell(text: str, error: bool = False, whole: Iterable[object] = ()) -> None:
    """Print a message folded on words at the screen's width, at most 79 columns; paths among `whole` are never broken."""
    stream = sys.stderr if error else sys.stdout
    say(folded(text, columns(stream), [str(one) for one in whole]), error)


def tell_written(paths: Iterable[Path], error: bool = False, then: str = "") -> None:
    """Say which files were written, and what to do `then`."""
    written = [str(path) for path in paths]
    command = (
        then[then.find("hobwind ") :] if "hobwind " in then else ""
    )  # at the end, to be copied in one go where a line holds it
    tell(f"Wrote {', '.join(written)}{then}", error, [*written, *([command] if len(command) < WIDE - len(HANG) else [])])


def say_figures(text: str, inch: bool) -> None:
    """Print a finished text of figures, in °F, inches and cfm where wished."""
    if inch:
        from ..parts.catalogue import sized_names
        from ..units import in_inches

        text = in_inches(text, sized_names())
    say(text)


def units_of(inch: bool) -> str:
    """What `--inch` comes to for a text that has tables."""
    return "inch" if inch else "metric"


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


def warm_up() -> None:
    from ..compiled import is_cold

    if is_cold():
        tell("First run: compiling the solver for this machine, once; this takes about half a minute ...", error=True)
        from ..warm import compile_all

        compile_all()


def load(path: Path) -> Any:
    from ..build import load_build

    return load_build(path)


def plates(text: str | None, usual: tuple[float, ...], option: str = "--at") -> tuple[float, ...]:
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


def guard_mode(word: str) -> str:
    modes = {"free": "free", "held-down": "held down", "held-up": "held up"}
    if word not in modes:
        raise InputError(f'--guard: got "{word}"; one of {", ".join(modes)} is wanted')
    return modes[word]


@contextmanager
def shown_progress(says: str) -> Iterator[Callable[[int, int], None] | None]:
    """A bar on the error output while something long runs; nothing where nobody watches."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(says)
        yield lambda done, whole: bar.update(task, completed=done, total=whole)
