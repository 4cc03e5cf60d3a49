"""A real fire as it burns: ports read as long as they are there, every line kept, and what is coming worked out ahead."""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from ..errors import DiaryError, InputError
from ..stack.curves import PlateCurve
from ..stack.evening import evening
from ..stack.fields import Seen
from ..stack.prepare import Stack
from .evenings import LONGEST, ZERO
from .journal import Journal
from .serial_lines import Reader, Splitter

AGAIN = 0.5  # s between tries to open a port that is gone
AHEAD = 1800.0  # s foreseen
SLOPE_OVER = 300.0  # s of which the plate's slope is taken
CORNERS = 400  # of the plate's course handed to the model
NEAR = 10.0  # K below its limit: near
SOON = 600.0  # s within which a coming passing is told as an alarm
CALM, COMING, CLOSE, ABOVE = "calm", "coming", "close", "above"


@dataclass
class Arrived:
    """What has come in: newest figures by channel, the plate's course (one figure a second), lines, unread, and each port's state."""

    ports: tuple[str, ...]
    newest: dict[str, float] = field(default_factory=dict)
    plate: deque[tuple[float, float]] = field(default_factory=lambda: deque(maxlen=200_000))
    lines: int = 0
    unread: int = 0
    state: dict[str, str] = field(default_factory=dict)
    broken: DiaryError | None = None
    lock: threading.Lock = field(default_factory=threading.Lock)

    def take(self, when: float, figures: dict[str, float] | None) -> None:
        """One line's figures."""
        with self.lock:
            self.lines += 1
            if figures is None:
                self.unread += 1
                return
            self.newest |= figures
            plate = figures.get("plate_degC")
            if plate is not None and (not self.plate or when - self.plate[-1][0] >= 1.0):
                self.plate.append((when, plate))


def follow(port: str, number: int, baud: int, journal: Journal, reader: Reader, seen: Arrived, stop: threading.Event) -> None:
    """Read one port until told to stop, and again whenever it comes back after unplugging. Runs in a thread of its own."""
    import serial

    splitter = Splitter()
    while not stop.is_set():
        try:
            with serial.Serial(port, baud, timeout=0.2) as line:
                seen.state[port] = "reading"
                splitter.restart()
                while not stop.is_set():
                    data = line.read(max(1, min(line.in_waiting, 65536)))
                    when = time.time()
                    lines = splitter.feed(data)
                    if lines:
                        journal.write(number, when, *lines)  # kept before anything else is done with them
                    for whole in lines:
                        seen.take(when, reader.read(whole))
        except DiaryError as error:
            seen.broken = error
            return
        except (serial.SerialException, OSError, ValueError):
            seen.state[port] = "unplugged" if seen.state.get(port) in ("reading", "unplugged") else "not there"
            stop.wait(AGAIN)


def start(
    ports: Sequence[str], baud: int, journal: Journal, names: tuple[str, ...], renamed: dict[str, str], stop: threading.Event
) -> tuple[Arrived, list[threading.Thread]]:
    """Follow several ports, a thread each."""
    seen = Arrived(tuple(ports))
    threads = [
        threading.Thread(target=follow, args=(port, i, baud, journal, Reader(names, renamed), seen, stop), daemon=True)
        for i, port in enumerate(ports)
    ]
    for thread in threads:
        thread.start()
    return seen, threads


def read_names(typed: str | None) -> tuple[tuple[str, ...], dict[str, str]]:
    """Names for bare numbers in order (`plate,face`), or new ones for named figures (`t1=plate,t2=face`).

    Raises:
        InputError: neither.
    """
    words = [word.strip() for word in (typed or "").split(",") if word.strip()]
    if any("=" in word for word in words):
        pairs = [word.split("=") for word in words]
        if any(len(pair) != 2 or not all(pair) for pair in pairs):
            raise InputError(f"--names: got {typed}; plate,face or t1=plate,t2=face is wanted")
        return (), {theirs.strip(): ours.strip() for theirs, ours in pairs}
    return tuple(words), {}


@dataclass(frozen=True)
class Ahead:
    """What is coming if the plate goes on as it does now.

    Slope of the plate [K/s]; seconds from now (moment,), plate and hottest hot face [°C] at them; the face now, measured or computed
    [°C]; its limit [°C]; seconds until it gets there, None when it does not within half an hour; `alarm` in one word.
    """

    slope: float
    seconds: tuple[float, ...]
    plate: tuple[float, ...]
    face: tuple[float, ...]
    face_now: float | None
    measured: bool
    limit: float
    reaches: float | None
    alarm: str


def alarm_for(face: float | None, limit: float, reaches: float | None) -> str:
    """One word for how near a face is to its limit."""
    if face is not None and face >= limit:
        return ABOVE
    if face is not None and face >= limit - NEAR:
        return CLOSE
    return COMING if reaches is not None and reaches <= SOON else CALM


def look_ahead(
    stack: Stack | None, course: Sequence[tuple[float, float]], measured: float | None, limit: float, worst: float = 873.0
) -> Ahead | None:
    """Run the evening so far and on, the plate's last slope held.

    The measured face, where there is one, shifts the computed one by as much as the two differ now.

    Args:
        stack: the fan; without one only a measured face is watched.
        course: time and plate so far, in order. [s, °C]
        measured: newest measured face. [°C]
        limit: of the face. [°C]
        worst: hottest plate the slope is held to. [K]

    Returns:
        What is coming; None when there is nothing to go by.
    """
    if stack is None or len(course) < 2 or course[-1][0] - course[0][0] < 5.0:
        if measured is None:
            return None
        return Ahead(0.0, (), (), (), measured, True, limit, None, alarm_for(measured, limit, None))
    time_, plate = (np.array(column) for column in zip(*course, strict=True))
    inside = time_ >= time_[-1] - LONGEST + 2.0 * AHEAD
    time_, plate = time_[inside], plate[inside]
    recent = time_ >= time_[-1] - SLOPE_OVER
    slope = float(np.polyfit(time_[recent] - time_[-1], plate[recent], 1)[0]) if recent.sum() >= 3 else 0.0
    own = time_ - time_[0]
    corners = np.unique(np.linspace(0.0, own[-1], min(CORNERS, own.size)))
    past = np.interp(corners, own, plate)
    on = np.linspace(60.0, AHEAD, 30)
    coming = np.clip(plate[-1] + slope * on, stack.p[0] - ZERO, worst - ZERO)
    curve = PlateCurve(
        "ahead", np.concatenate([corners, own[-1] + on]), np.clip(np.concatenate([past, coming]) + ZERO, 233.15, 873.15)
    )
    ran = evening(stack, curve, 15.0)
    if not ran.finished:
        return (
            None
            if measured is None
            else Ahead(slope, (), (), (), measured, True, limit, None, alarm_for(measured, limit, None))
        )
    face = ran.seen[:, Seen.hot_face] - ZERO
    now = float(np.interp(own[-1], ran.time, face))
    shift = 0.0 if measured is None else measured - now
    fine = np.arange(0.0, AHEAD + 1.0, 15.0)
    at = np.interp(own[-1] + fine, ran.time, face) + shift
    over = np.flatnonzero(at >= limit)
    reaches = float(fine[over[0]]) if over.size else None
    moments = (300.0, 600.0, 1200.0, 1800.0)
    return Ahead(
        slope,
        moments,
        tuple(float(np.interp(m, np.concatenate([[0.0], on]), np.concatenate([[plate[-1]], coming]))) for m in moments),
        tuple(float(np.interp(m, fine, at)) for m in moments),
        now + shift,
        measured is not None,
        limit,
        reaches,
        alarm_for(now + shift, limit, reaches),
    )


Tell = Callable[[Arrived, Ahead | None], None]


def watch(
    seen: Arrived, stop: threading.Event, stack: Stack | None, limit: float, tell: Tell, every: float, until: float | None
) -> None:
    """Look ahead and tell, again and again, until stopped, out of time, or the journal cannot be written.

    Raises:
        DiaryError: the journal cannot be written any more; what is in it is kept.
    """
    end = None if until is None else time.monotonic() + until
    while not stop.is_set() and (end is None or time.monotonic() < end):
        if seen.broken is not None:
            raise seen.broken
        with seen.lock:
            course, measured = list(seen.plate), seen.newest.get("face_degC")
        tell(seen, look_ahead(stack, course, measured, limit))
        left = every if end is None else min(every, end - time.monotonic())
        stop.wait(max(left, 0.01))
    if seen.broken is not None:
        raise seen.broken
