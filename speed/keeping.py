"""Speed of the diary: a winter of logs, 10 million rows, taken in and opened; rows for the table of `make speed`."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

import numpy as np

from hobwind.diary import store
from hobwind.diary.log_files import add_log
from hobwind.diary.logs import outline, stretches

Row = tuple[str, float, str]
ROWS = 10_000_000


def winter(path: Path) -> None:
    """One row a second of plate and face, 115 days, invented."""
    draw = np.random.default_rng(1)
    with path.open("w", encoding="utf-8") as file:
        file.write("unix_s,plate_degC,face_degC\n")
        for start in range(0, ROWS, 500_000):
            t = np.arange(start, start + 500_000)
            plate = 20.0 + 190.0 * np.clip(np.sin(t * 2.0 * np.pi / 86400.0), 0.0, None) + draw.normal(0.0, 0.3, t.size)
            lines = np.char.mod("%.2f", np.column_stack([plate, 0.6 * plate + 8.0]))
            file.writelines(f"{1_700_000_000 + i},{a},{b}\n" for i, (a, b) in zip(t.tolist(), lines.tolist(), strict=True))


def rows() -> list[Row]:
    """What, seconds, and how it compares with what is wanted."""
    with tempfile.TemporaryDirectory() as folder:
        file, at = Path(folder) / "winter.csv", Path(folder) / "diary.sqlite"
        winter(file)
        start = time.perf_counter()
        with store.open_diary(at) as diary:
            log = add_log(diary, file, "fan")
        taken = time.perf_counter() - start
        assert log is not None
        start = time.perf_counter()
        with store.open_diary(at) as diary:
            found = outline(diary, log, "plate_degC")
        opened = time.perf_counter() - start
        start = time.perf_counter()
        with store.open_diary(at) as diary:
            count = sum(part.time.size for part in stretches(diary, log))
        whole = time.perf_counter() - start
        size = at.stat().st_size / 1e6
    assert count == ROWS and found.shape[1] == 5
    return [
        ("diary: 10 million rows taken in", taken, f"{ROWS / taken:,.0f} rows/s, {size:.0f} MB; wanted 200,000 rows/s"),
        ("diary: the winter opened and outlined", opened, f"{found.shape[0]} blocks; wanted 1 s"),
        ("diary: every figure of the winter unpacked", whole, ""),
    ]


if __name__ == "__main__":
    for what, seconds, note in rows():
        print(f"{what:<50}{seconds * 1e3:>11.0f} ms   {note}")
