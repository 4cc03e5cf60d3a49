"""An invented diary of the boat shed's fan, to look at: two winters with a module that ages. It goes when the run ends."""

from __future__ import annotations

import tempfile
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from ..build import build_from_text
from ..diary.causes import VALUES, plates_of, with_cause
from ..diary.evenings import put_evenings
from ..diary.logs import Stretch, put_log
from ..diary.store import Diary, add_service, add_trial, fan_id, open_diary, put_build, written
from ..examples import example
from ..stack.curves import built_in
from ..stack.prepare import prepare

FAN = "Boat shed (invented)"
DAY = 86400.0
LOOKS, EVENINGS, SEED = 9, 12, 5
ZERO = 273.15


def _fill(diary: Diary) -> None:
    """Two winters: evenings, looks at a module whose resistance creeps up, and what was done."""
    build = build_from_text(example("boat-shed").read_text("utf-8"))
    stack, plates, draw = prepare(build), plates_of(build), np.random.default_rng(SEED)
    first = time.mktime((2024, 11, 3, 18, 0, 0, 0, 0, -1))
    stove = build.stove
    with written(diary) as connection:
        row = fan_id(connection, FAN)
        at = put_build(connection, row, build, first)
        for k in range(EVENINGS):
            shape = "over-fired" if k in (4, 9) else "usual"
            curve = built_in(
                shape, stove.room.value, stove.usual_plate.value + float(draw.uniform(-30.0, 20.0)), stove.worst_plate.value
            )
            times = np.arange(curve.time[0], curve.time[-1], 20.0)
            plate = np.interp(times, curve.time, curve.plate) - ZERO + draw.standard_normal(times.size)
            begins = first + DAY * (7.0 * k if k < EVENINGS // 2 else 365.0 + 7.0 * (k - EVENINGS // 2))
            log = put_log(
                connection, f"invented {k}", row, at, "invented", [Stretch(begins + times, ("plate_degC",), plate[:, None])]
            )
            if log is not None:
                put_evenings(diary, log)
    for k in range(LOOKS):
        size = 1.6 * max(0.0, (k - 2) / (LOOKS - 3))
        true, values = with_cause(stack, plates, "ageing", size), {}
        for name, value in VALUES.items():
            doubt = value.usual * (abs(true[name]) if value.relative else 1.0)
            values[name] = (true[name] + doubt * float(draw.standard_normal()), doubt)
        when = first + DAY * (20.0 * k if k < 5 else 365.0 + 20.0 * (k - 5))
        add_trial(diary, build, "{}", f"started at a plate of {values['starts_at_plate_degC'][0]:.0f} °C", when, values, FAN)
    add_service(diary, FAN, "motor oiled", "one drop on each bearing", first + 60.0 * DAY)
    add_service(diary, FAN, "thermometer checked", "boiling water reads 99.6 °C", first + 372.0 * DAY)


@dataclass
class Demo:
    """Makes the invented diary once, when it is first asked for."""

    place: tempfile.TemporaryDirectory[str] | None = None
    lock: threading.Lock = field(default_factory=threading.Lock)

    def path(self) -> Path:
        """Where it lies."""
        with self.lock:
            if self.place is None:
                made = tempfile.TemporaryDirectory(prefix="hobwind-invented-")
                with open_diary(Path(made.name) / "diary.sqlite") as diary:
                    _fill(diary)
                self.place = made
            return Path(self.place.name) / "diary.sqlite"


DEMO = Demo()
