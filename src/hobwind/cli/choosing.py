"""Commands that choose: what a bin can become, somebody's build with other parts, two builds side by side."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from concurrent.futures import Executor
from pathlib import Path
from typing import Annotated, Any

import typer

from ..errors import FileError, InputError
from ..files import write_whole
from .outputs import Out, into_file, writable
from .shared import ENGINEERS, BuildFile, Inches, Json, app, load, plates, say_figures, say_json, tell_written, warm_up

BinFile = Annotated[Path, typer.Argument(metavar="BIN", help="A bin file; make one with: hobwind begin NAME --bin")]
Force = Annotated[bool, typer.Option("--force", help="Write over a file of that name.")]


def load_bin(path: Path) -> Any:
    """Read a bin file."""
    from ..build.bin_file import load_bin as read

    return read(path)


@contextlib.contextmanager
def executor_at(address: str | None) -> Iterator[Executor | None]:
    """The executor named on the command line; None, this machine's own cores, when none is."""
    if address is None:
        yield None
        return
    scheme, _, rest = address.partition("://")
    host, _, port = rest.rpartition(":")
    if scheme != "dask" or not host or not port.isdigit():
        raise InputError(f'--executor: got "{address[:80]}"; an address such as dask://127.0.0.1:8786 is wanted')
    try:
        import distributed
    except ImportError as error:
        raise InputError("--executor: Dask is not installed; install it with: pip install 'hobwind[cluster]'") from error
    connect: Any = distributed.Client
    try:
        client = connect(f"tcp://{rest}", timeout=10)
    except (OSError, TimeoutError) as error:
        raise InputError(f"--executor: nobody answers at {rest[:60]}; is the scheduler running there?") from error
    try:
        yield client.get_executor()
    finally:
        client.close()


def _new(path: Path, force: bool, option: str) -> Path:
    if path.exists() and not force:
        raise FileError(f"{path} is there already; choose another name, or add --force to write over it")
    writable(option, path, path.parent)
    return path


@app.command()
def pick(
    bin: BinFile,
    take: Annotated[int | None, typer.Option("--take", metavar="N", help="Write answer N as a build file.")] = None,
    as_name: Annotated[
        Path | None, typer.Option("--as", metavar="FILE", help="Name of that build file.", callback=into_file(".toml"))
    ] = None,
    against: Annotated[
        Path | None, typer.Option("--against", metavar="BUILD", help="Say by what the first answer beats this build.")
    ] = None,
    shown: Annotated[int, typer.Option("--show", help="How many different answers.")] = 3,
    every: Annotated[bool, typer.Option("--all", help="Every answer and purchase, however long.")] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
    force: Force = False,
    seed: Annotated[int, typer.Option("--seed", help="Of the order, and of the draw where there are too many.")] = 1,
    most: Annotated[
        int, typer.Option("--most", help="Combinations to try; out of more, so many are drawn.", rich_help_panel=ENGINEERS)
    ] = 5_000_000,
    executor: Annotated[
        str | None,
        typer.Option("--executor", metavar="dask://HOST:PORT", help="Solve on a cluster.", rich_help_panel=ENGINEERS),
    ] = None,
) -> None:
    """Try every combination of a bin and show the best few different ones, with reasons.

    Ctrl-C keeps what was found by then.
    """
    if not 1 <= shown <= 20:
        raise InputError(f"--show: got {shown}; 1 to 20 is allowed")
    if not 1 <= most <= 50_000_000:
        raise InputError(f"--most: got {most}; 1 to 50000000 is allowed")
    if not 0 <= seed < 2**32:
        raise InputError(f"--seed: got {seed}; 0 to {2**32 - 1} is allowed")
    if as_name is not None and take is None:
        raise InputError("--as names the file that --take N writes; give --take too")
    read = load_bin(bin)
    theirs = None if against is None else load(against)
    target = None if take is None else _new(as_name or Path(f"{bin.stem}-pick-{take}.toml"), force, "--as")
    warm_up()
    from ..bin_report import pick_report
    from ..bin_screen import Watch, all_text, pick_text
    from ..studies.pick import pick as run

    watch = Watch()
    with executor_at(executor) as workers:
        found = run(read, workers, seed, most, shown, watch)
    watch.end(found.sieved.stopped)
    held = None if theirs is None else _held_against(read, theirs)
    if as_json:
        say_json(pick_report(found))
    else:
        say_figures(all_text(found, held) if every else pick_text(found, held), inch)
    if out is not None:
        tell_written(_write(found, out), as_json)
    if take is not None and target is not None:
        _take(found, take, target, as_json)


def _held_against(bin: Any, build: Any) -> Any:
    """Somebody's build judged by this bin's wishes."""
    from ..studies.pick.judging import weigh

    return weigh(bin.wishes, build)


def _write(found: Any, out: Path) -> list[Path]:
    from ..bin_report import pick_report
    from ..bin_screen import all_text
    from ..charts import picture
    from ..charts_bin import front_chart

    chart = front_chart(found)
    files: dict[str, str | bytes] = {
        "front.svg": picture(chart, "svg"),
        "front.png": picture(chart, "png"),
        "pick.json": json.dumps(pick_report(found), indent=1, allow_nan=False) + "\n",
        "pick.txt": all_text(found),
    }
    for name, data in files.items():
        write_whole(out / name, data)
    return [out / name for name in files]


def _take(found: Any, number: int, target: Path, quiet: bool) -> None:
    from ..studies.pick.picking import build_text

    if not 1 <= number <= len(found.listed):
        raise InputError(f"--take: got {number}; there are {len(found.listed)} answers")
    write_whole(target, build_text(found, number))
    tell_written([target], quiet, f". Its verdict: hobwind check {target}")


@app.command()
def follow(
    build: BuildFile,
    bin: BinFile,
    take: Annotated[
        Path | None,
        typer.Option("--take", metavar="FILE", help="Write the rebuilt fan as a build file.", callback=into_file(".toml")),
    ] = None,
    force: Force = False,
    as_json: Json = False,
    inch: Inches = False,
) -> None:
    """Rebuild somebody's fan with what is on hand: the nearest parts, what to do differently, and the verdict."""
    theirs, read = load(build), load_bin(bin)
    if take is not None:
        _new(take, force, "--take")
    warm_up()
    from ..bin_report import follow_report
    from ..follow_screen import follow_text
    from ..studies.follow import follow as run

    found = run(theirs, read)
    say_json(follow_report(found)) if as_json else say_figures(follow_text(found), inch)
    if take is not None:
        write_whole(take, found.text)
        tell_written([take], as_json, f". Its verdict: hobwind check {take}")


@app.command()
def compare(
    first: BuildFile,
    second: BuildFile,
    at: Annotated[str | None, typer.Option("--at", metavar="150,200,250", help="Plate temperatures for the air, °C.")] = None,
    every: Annotated[bool, typer.Option("--all", help="Show parts in which they do not differ, too.")] = False,
    as_json: Json = False,
    inch: Inches = False,
) -> None:
    """Lay two builds side by side: the parts that differ, and what they lead to."""
    ours, theirs = load(first), load(second)
    warm_up()
    from ..bin_report import compare_report
    from ..follow_screen import compare_text
    from ..studies.compare import compare as run
    from ..studies.headline import AIR_AT

    found = run(ours, theirs, plates(at, AIR_AT))
    say_json(compare_report(found)) if as_json else say_figures(compare_text(found, every), inch)
