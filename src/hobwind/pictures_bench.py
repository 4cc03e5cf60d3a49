"""What `hobwind bench --out` writes into a folder. Loaded only when asked for."""

from __future__ import annotations

from pathlib import Path

from .bench.procedure import BenchTest
from .bench.result import Result
from .bench_screen import result_json, result_text
from .charts import picture
from .charts_bench import bench_chart
from .pictures import json_text, write_files


def write_bench(test: BenchTest, result: Result, out: Path) -> list[Path]:
    """Write the readings on their curves, the figures and the text of one bench test.

    Args:
        test: which.
        result: of it.
        out: folder, made when missing.

    Returns:
        Paths written, pictures first.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    files: dict[str, str | bytes] = {}
    if result.curves:
        chart = bench_chart(result)
        files |= {f"bench-{test.name}.svg": picture(chart, "svg"), f"bench-{test.name}.png": picture(chart, "png")}
    files |= {
        f"bench-{test.name}.json": json_text(result_json(test, result)),
        f"bench-{test.name}.txt": result_text(result) + "\n",
    }
    return write_files(out, files)
