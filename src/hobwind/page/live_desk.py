"""One live log at a time on this machine: ports followed, every line kept in the diary's journal, what is coming worked out."""

from __future__ import annotations

import re
import stat
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from ..build import Build
from ..diary import live, store
from ..diary.journal import ENDING, Journal, begin, fold, fold_left_behind, journals
from ..errors import HobwindError, InputError
from ..stack.prepare import prepare

PORT = re.compile(r"/dev/(tty[\w.-]{1,40}|cu\.[\w.-]{1,40}|pts/\d{1,6}|serial/by-id/[\w.:+-]{1,120})|COM\d{1,3}")
EVERY = 1.0  # s between looks ahead
MOST_PORTS = 4
ZERO = 273.15


@dataclass(frozen=True)
class Port:
    """A serial port of this machine, and what is plugged in there."""

    name: str
    says: str


def ports() -> list[Port]:
    """The serial ports that this machine knows of."""
    from serial.tools import list_ports

    return [Port(one.device, one.description or "") for one in sorted(list_ports.comports()) if PORT.fullmatch(one.device)]


def checked_port(name: str) -> str:
    """A port's name, if it is one.

    Args:
        name: as typed or chosen; it is never opened unless it is one of the machine's own ports.

    Returns:
        The name.

    Raises:
        InputError: no name of a port, or something else stands there.
    """
    typed = name.strip()
    if not PORT.fullmatch(typed):
        raise InputError(f'port: got "{typed[:60]}"; one of those listed is wanted, or such as /dev/ttyUSB0 or COM3')
    if typed.startswith("/") and Path(typed).exists() and not stat.S_ISCHR(Path(typed).stat().st_mode):
        raise InputError(f"port: {typed} is a file and no port; choose one of those listed")
    return typed


@dataclass
class Running:
    """A log that is being written: fan, limit [°C], what has come, what is coming, and the threads that see to it."""

    fan: str
    limit: float
    journal: Journal
    seen: live.Arrived
    stop: threading.Event
    threads: list[threading.Thread]
    ahead: live.Ahead | None = None
    wrong: str = ""


@dataclass
class LiveDesk:
    """Starts, watches and ends the one live log; `said` is what came of the last one, `left` of those that were cut off."""

    running: Running | None = None
    said: str = ""
    left: str = ""
    lock: threading.Lock = field(default_factory=threading.Lock)

    def start(
        self, build: Build, names_of_ports: Sequence[str], baud: int, names: str, limit: float | None, minutes: float | None
    ) -> None:
        """Begin a log of a build, which is entered into the diary as it is.

        Args:
            build: the fan on the stove.
            names_of_ports: one to four.
            baud: speed of the ports. [1/s]
            names: what bare numbers are, in order, such as "plate,face"; "" where lines have names.
            limit: of the hot face; None: the build's own. [°C]
            minutes: after which it stops by itself; None: when told to.

        Raises:
            InputError: one is running already, or no such port.
            DiaryError: the diary cannot be written.
        """
        chosen = [checked_port(one) for one in dict.fromkeys(names_of_ports)]
        if not 1 <= len(chosen) <= MOST_PORTS:
            raise InputError(f"port: got {len(chosen)}; 1 to {MOST_PORTS} are wanted")
        in_order, renamed = live.read_names(names)
        with self.lock:
            if self.running is not None:
                raise InputError("a log is running already; stop it first")
            with store.open_diary() as diary:
                row = store.add_build(diary, build, time.time())
            own = build.face_limit - ZERO
            journal, stop = begin(build.name, row, in_order, renamed, ", ".join(chosen)), threading.Event()
            seen, threads = live.start(chosen, baud, journal, in_order, renamed, stop)
            one = Running(build.name, own if limit is None else limit, journal, seen, stop, threads)
            self.running, self.said = one, ""
        until = None if minutes is None else 60.0 * minutes
        threading.Thread(target=self._watch, args=(one, build, until), daemon=True, name="live").start()

    def look_back(self) -> None:
        """Fold in what a log that was cut off has left behind, and say so; logs that are being written are left alone."""
        with self.lock:
            if self.running is not None or not any(journals(store.folder()).glob(f"*{ENDING}")):
                return
            with store.open_diary() as diary:
                for log in fold_left_behind(diary):
                    one = store.rows(
                        diary, "SELECT f.name, l.rows FROM logs l JOIN fans f ON f.id = l.fan_id WHERE l.id = ?", log
                    )[0]
                    told = (
                        f'A live log was cut off. Its {one["rows"]} readings are in the diary of "{one["name"]}" as log {log}.'
                    )
                    self.left = f"{self.left} {told}".strip()

    def _watch(self, one: Running, build: Build, until: float | None) -> None:
        def tell(_: live.Arrived, ahead: live.Ahead | None) -> None:
            one.ahead = ahead

        try:
            live.watch(one.seen, one.stop, prepare(build), one.limit, tell, EVERY, until)
        except HobwindError as error:
            one.wrong = str(error)
        self._end(one)

    def _end(self, one: Running) -> None:
        """Fold what was written into the diary; only once, whoever comes first."""
        one.stop.set()
        with self.lock:
            if self.running is not one:
                return
            for thread in one.threads:
                thread.join(3.0)
            try:
                one.journal.close()
                with store.open_diary() as diary:
                    log = fold(diary, one.journal.path)
                lines = f"{one.seen.lines} lines, {one.seen.unread} not understood"
                told = "nothing was entered" if log is None else f'in the diary of "{one.fan}" as log {log}'
                self.said = f"{lines}; {told}."
            except (HobwindError, OSError) as error:
                self.said = f"{error}. What came in is kept beside the diary and taken in next time"
            self.said = f"{one.wrong} {self.said}".strip()
            self.running = None

    def end(self) -> None:
        """Stop the log that is running, if any."""
        one = self.running
        if one is not None:
            self._end(one)

    def close(self) -> None:
        """The server ends: so does the log."""
        self.end()
