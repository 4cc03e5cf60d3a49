"""The why of every bench figure: its equation, the readings put in, its source."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ..bench.forms import fill
from ..bench.procedure import BenchTest
from ..bench.result import Result
from ..build.reader import Notes
from ..parts.catalogue import Shelf
from ..sources import told as in_words
from .whys_bench_heat import SINK, WAX
from .whys_bench_module import COOLER, GENERATOR_SHEET, HEALTH, MODULE
from .whys_bench_rest import FLAT, METAL, SPRING, WASHERS
from .whys_bench_row import Bench, Worked
from .whys_bench_turning import BLADE, MOTOR
from .whys_trial import Row, Told

WORKED: dict[str, Mapping[str, Worked]] = {
    "module": MODULE, "cooler-label": COOLER, "generator-label": GENERATOR_SHEET, "health": HEALTH, "motor": MOTOR,
    "blade": BLADE, "sink": SINK, "wax": WAX, "spring": SPRING, "washers": WASHERS, "metal": METAL, "flat": FLAT,
}  # fmt: skip
BENCH = "the readings, on Bin"


def bench_key(test: str, name: str) -> str:
    """The key of a figure's why."""
    return f"bench_{test.replace('-', '_')}_{name}"


ROWS = {
    bench_key(test, name): Row(f"Bench, {test}: {name.replace('_', ' ')}", one.equation, one.sources, BENCH)
    for test, rows in WORKED.items()
    for name, one in rows.items()
}


def bench_whys(test: BenchTest, table: Mapping[str, Any], result: Result, folder: Path) -> list[Told]:
    """The whys of a bench test's figures, in their order; values in SI.

    Args:
        test: which bench test.
        table: of its readings, as in a file; they have been read without a fault.
        result: what they came to.
        folder: where recordings lie.

    Returns:
        One why for each figure.
    """
    bench = Bench(fill(Notes(Shelf(Path())), test.form, table), result, folder)
    tools = f"; ± 19 in 20, reckoned with {', '.join(result.tools)}" if result.tools else "; ± 19 in 20"
    whys = []
    for figure in result.figures:
        row = WORKED[test.name][figure.name]
        done = row.work(bench)
        whys.append(
            Told(title=figure.says[:1].upper() + figure.says[1:], equation=row.equation, numbers=done.numbers,
                 at=f"the readings above{tools}", sources=[in_words(one) for one in row.sources], value=done.value)
        )  # fmt: skip
    return whys
