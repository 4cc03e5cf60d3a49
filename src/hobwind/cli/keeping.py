"""Commands that keep a fan over the winters: its diary, and logging a real fire live."""

from __future__ import annotations

import contextlib
import json
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

import typer

from ..errors import InputError
from ..files import read_bytes, read_text
from .outputs import Out, into_file
from .shared import Inches, Json, app, load, say, say_figures, say_json, tell, tell_written, warm_up

book = typer.Typer(
    name="diary",
    help="The fan's winters: builds as they were, evenings lit, minutes above limits, cycles, service notes, photos, health.",
    no_args_is_help=True,
)
app.add_typer(book)
MOST_LOG = 500_000_000  # bytes of a log of another make

Fan = Annotated[str | None, typer.Option("--fan", help="Which fan; may be left out when the diary holds one.")]
OF_FANS = """SELECT f.name, (SELECT count(*) FROM builds b WHERE b.fan_id = f.id) AS builds,
 (SELECT count(*) FROM trials t WHERE t.fan_id = f.id) AS trials,
 (SELECT count(*) FROM evenings e JOIN logs l ON l.id = e.log_id WHERE l.fan_id = f.id) AS evenings,
 (SELECT sum(minutes_above_limit) FROM evenings e JOIN logs l ON l.id = e.log_id WHERE l.fan_id = f.id) AS above,
 (SELECT count(*) FROM photos p WHERE p.fan_id = f.id) AS photos FROM fans f ORDER BY f.name"""


@contextlib.contextmanager
def _opened(writes: bool = False) -> Iterator[Any]:
    """The diary, with logs that were left behind folded in; a daily copy after writing."""
    from ..diary.exchange import keep_copy
    from ..diary.journal import fold_left_behind, journals
    from ..diary.store import folder, open_diary

    if any(journals(folder()).glob("*.lines")):
        warm_up()
    with open_diary() as diary:
        for log in fold_left_behind(diary):
            tell(f"A log that was cut short is now in the diary as log {log}.", error=True)
        yield diary
        if writes:
            keep_copy(diary)


@book.command("list")
def list_fans() -> None:
    """List the fans in the diary."""
    from ..diary.store import rows
    from ..diary_screen import list_text

    with _opened() as diary:
        say(list_text(rows(diary, OF_FANS)))


@book.command()
def show(
    fan: Annotated[str | None, typer.Argument(metavar="FAN", help="Name of the fan.")] = None,
    every: Annotated[bool, typer.Option("--all", help="Every evening, note, trial and photo.")] = False,
    out: Out = None,
    as_json: Json = False,
    inch: Inches = False,
) -> None:
    """Show one fan's winters: evenings, cycles, health, what to check next and when."""
    from ..diary.summary import winters, winters_report
    from ..diary_screen import winters_text

    warm_up()
    with _opened() as diary:
        found = winters(diary, fan)
    if as_json:
        say_json(winters_report(found))
    else:
        say_figures(winters_text(found, every), inch)
    if out is not None:
        from ..charts_diary import write_winters

        tell_written(write_winters(found, winters_text(found, True), out), as_json)


def _when(text: str | None) -> float:
    if text is None:
        return time.time()
    for form in ("%Y-%m-%d", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"):
        with contextlib.suppress(ValueError, OverflowError):
            return time.mktime(time.strptime(text, form))
    raise InputError(f'--when: got "{text[:40]}"; a day such as 2026-01-31, or 2026-01-31 18:30, is wanted')


@book.command()
def add(
    what: Annotated[
        Path | None,
        typer.Argument(metavar="[FILE]", help="A build (.toml), a log (.csv), a photo (.jpg, .png) or a look (.json)."),
    ] = None,
    fan: Fan = None,
    work: Annotated[str | None, typer.Option("--work", help="Instead of a file: what was done, such as blade cleaned.")] = None,
    note: Annotated[str, typer.Option("--note", help="A few words to go with it.")] = "",
    when: Annotated[str | None, typer.Option("--when", metavar="DAY", help="When it was; now when left out.")] = None,
    column: Annotated[
        list[str] | None,
        typer.Option("--column", metavar="HEADER=CHANNEL", help='Of a log: what a column is, as in "hobwind trial".'),
    ] = None,
) -> None:
    """Enter a build as it is now, a log, a photo, a look at its health, or what was done to it."""
    from ..diary import store

    if (what is None) == (work is None):
        raise InputError("one thing at a time is entered: a file, or --work with what was done")
    at = _when(when)
    ending = "" if what is None else what.suffix.lower()
    with _opened(writes=True) as diary:
        if work is not None:
            store.add_service(diary, store.find_fan(diary, fan)["name"], work, note, at)
            say("Entered.")
        elif what is not None and ending == ".toml":
            build = load(what)
            row = store.add_build(diary, build, at, fan)
            tell(f'"{fan or build.name}": build {row} is in the diary, made whole.')
        elif what is not None and ending in (".csv", ".tsv", ".txt"):
            warm_up()
            log = _add_log(diary, what, store.find_fan(diary, fan)["name"], None if when is None else at, column or [])
            say("That very log is in the diary already." if log is None else f"Entered as log {log}.")
        elif what is not None and ending in (".jpg", ".jpeg", ".png"):
            try:
                data = what.read_bytes()
            except OSError as error:
                raise InputError(f"{what}: cannot be read ({error.strerror}). Check the name") from error
            store.add_photo(diary, store.find_fan(diary, fan)["name"], data, note, at)
            say("Entered, without the places and names a camera writes into it.")
        elif what is not None and ending == ".json":
            _add_look(diary, what, fan, note)
        else:
            raise InputError(f"{what}: .toml, .csv, .tsv, .txt, .jpg, .png or .json is wanted")


def _add_log(diary: Any, path: Path, fan: str, began: float | None, columns: list[str]) -> int | None:
    """A plain log quickly; one of any other make by way of the trial's reader, which guesses its columns."""
    from ..diary.log_files import add_log, is_plain

    if not columns and is_plain(path):
        return add_log(diary, path, fan, began)
    from ..trial.columns import LEFT
    from ..trial.logs import read_log
    from ..trial.measured import Measured
    from ..trial_entry import began as begins
    from ..trial_entry import enter_log

    log = read_log(read_bytes(path, MOST_LOG), path.name, None, columns)
    for line, says in log.bad[:5]:
        tell(f"{path.name} line {line}: {says}; left out", error=True)
    if len(log.bad) > 5:
        tell(f"{path.name}: {len(log.bad) - 5} more lines or cells left out", error=True)
    read = ", ".join(f"{one.header} = {one.channel}" for one in log.columns if one.channel != LEFT)
    tell(f"Read as: {read}. Say --column HEADER=CHANNEL where that is wrong.", error=True)
    start = begins(log, path.stat().st_mtime) if began is None else began
    return enter_log(diary, log, Measured(path.name, log.series, digest=log.digest), fan, start)


def _add_look(diary: Any, path: Path, fan: str | None, note: str) -> None:
    from ..diary import store
    from ..diary.health import read_look

    try:
        table = json.loads(read_text(path))
    except (ValueError, RecursionError) as error:
        raise InputError(f"{path.name}: is not readable as JSON ({str(error)[:80]})") from error
    look = read_look(table, path.name)
    with store.written(diary) as connection:
        store.put_look(connection, store.find_fan(diary, fan)["id"], look.time, note, look.values)
    say(f"Entered: {len(look.values)} figures.")


@book.command("export")
def export_all(
    out: Annotated[Path, typer.Option("--out", metavar="ZIP", help="Where to write.", callback=into_file(".zip"))] = Path(
        "diary.zip"
    ),
) -> None:
    """Write the whole diary as one zip: the SQLite file, and all of it as plain CSV, JSON, TOML and pictures."""
    from ..diary.exchange import export

    with _opened() as diary:
        tell_written([export(diary, out)])


@book.command("import")
def import_all(
    file: Annotated[Path, typer.Argument(metavar="ZIP", help="What hobwind diary export wrote, or a diary's own file.")],
) -> None:
    """Take in an exported diary; what is there already stays and is not doubled."""
    from ..diary.exchange import take_in

    with _opened(writes=True) as diary:
        new = take_in(diary, file)
    counts = ", ".join(
        f"{count} {table}" for table, count in new.items() if table not in ("channels", "blocks", "block_values")
    )
    tell(f"Taken in: {counts or 'nothing that was not there already'}.")


@book.command("check")
def check_file(
    save_to: Annotated[
        Path | None,
        typer.Option(
            "--save-to", metavar="FILE", help="Save what can be read of a damaged diary into a new file.", callback=into_file()
        ),
    ] = None,
) -> None:
    """Check the diary's file; say what is wrong with it and what to do. Exit code 2 when it is damaged."""
    from ..diary.exchange import look_over, save_what_can_be
    from ..diary.store import NAME, folder
    from ..diary_screen import checked_text

    path = folder() / NAME
    if save_to is not None:
        saved = save_what_can_be(path, save_to)
        tell(
            f"Saved to {save_to}: "
            + (", ".join(f"{count} {table}" for table, count in saved.items()) or "nothing could be read"),
            whole=[save_to],
        )
        return
    found = look_over(path)
    say(checked_text(str(path), found))
    raise typer.Exit(2 if found.wrong and path.exists() else 0)


@app.command()
def log(
    ports: Annotated[list[str], typer.Argument(metavar="PORT...", help="Serial ports, such as /dev/ttyUSB0 or COM3.")],
    build: Annotated[
        Path | None, typer.Option("--build", metavar="BUILD", help="The fan on the stove; the diary's newest when left out.")
    ] = None,
    fan: Fan = None,
    names: Annotated[
        str | None, typer.Option("--names", metavar="plate,face", help="What bare numbers are, in order; or t1=plate,t2=face.")
    ] = None,
    baud: Annotated[int, typer.Option("--baud", help="Speed of the port.")] = 115200,
    limit: Annotated[float | None, typer.Option("--limit", metavar="150", help="Limit of the hot face, °C.")] = None,
    minutes: Annotated[float | None, typer.Option("--minutes", help="Stop by itself after so long.")] = None,
    every: Annotated[float, typer.Option("--every", help="Seconds between looks ahead.")] = 2.0,
    quiet: Annotated[bool, typer.Option("--quiet", help="No bell.")] = False,
) -> None:
    """Log a real fire from serial ports into the diary, with the prediction ahead and an alarm. Stop it with Ctrl-C.

    Each line is kept as it comes; a port that is unplugged is read again when it is back.
    """
    from ..diary import live, store
    from ..diary.journal import begin, fold
    from ..stack.prepare import prepare

    for option, value, low, high in (
        ("--every", every, 0.1, 600.0),
        ("--minutes", minutes, 0.0, 3000.0),
        ("--limit", limit, 40, 400),
    ):
        if value is not None and not low <= value <= high:
            raise InputError(f"{option}: got {value:g}; {low:g} to {high:g} is allowed")
    if not 300 <= baud <= 4_000_000:
        raise InputError(f"--baud: got {baud}; 300 to 4000000 is allowed")
    in_order, renamed = live.read_names(names)
    warm_up()
    with _opened(writes=True) as diary:
        made = load(build) if build is not None else None
        if made is not None:
            row: int | None = store.add_build(diary, made, time.time(), fan)
            called = fan or made.name
        else:
            called = store.find_fan(diary, fan)["name"]
            found = store.latest_build(diary, store.find_fan(diary, called)["id"])
            row = found[0] if found else None
            if found:
                from ..build import build_from_text

                made = build_from_text(found[1])
        stack = None if made is None else prepare(made)
        if limit is None:
            limit = 150.0 if made is None else made.face_limit - 273.15
        journal = begin(called, row, in_order, renamed, ", ".join(ports))
        stop = threading.Event()
        seen, threads = live.start(ports, baud, journal, in_order, renamed, stop)
        try:
            with _telling(quiet) as shown:
                live.watch(seen, stop, stack, limit, shown, every, None if minutes is None else 60.0 * minutes)
        except KeyboardInterrupt:
            say("")
        finally:
            stop.set()
            for thread in threads:
                thread.join(2.0)
            journal.close()
            done = fold(diary, journal.path)
            if done is None:
                tell("No figures came in; nothing was entered." if not seen.lines else f"{seen.lines} lines, none understood.")
            else:
                tell(f'{seen.lines} lines, {seen.unread} not understood; in the diary of "{called}" as log {done}.')


@contextlib.contextmanager
def _telling(quiet: bool) -> Iterator[Any]:
    """A live screen on a terminal, a line now and then elsewhere; a bell with every look while a face is near its limit."""
    from ..diary.live import CALM
    from ..diary_screen import live_lines

    def bell(ahead: Any) -> None:
        if ahead is not None and ahead.alarm != CALM and not quiet:
            sys.stderr.write("\a")
            sys.stderr.flush()

    if not sys.stdout.isatty():
        last = [""]

        def plain(seen: Any, ahead: Any) -> None:
            now = live_lines(seen, ahead)[-1][0]
            if now != last[0]:
                say(now)
                last[0] = now
            bell(ahead)

        yield plain
        return
    from rich.live import Live
    from rich.text import Text

    with Live(auto_refresh=False) as screen:

        def drawn(seen: Any, ahead: Any) -> None:
            text = Text()
            for line, colour in live_lines(seen, ahead):
                text.append(line + "\n", style=colour or None)
            screen.update(text, refresh=True)
            bell(ahead)

        yield drawn
