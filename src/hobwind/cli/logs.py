"""Logs named on the command line: read with their columns guessed, corrected by options, and kept beside the log."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from ..errors import FileError, InputError
from ..files import read_bytes, read_text, write_whole

MOST_LOG = 2_000_000_000  # bytes

Column = Annotated[
    list[str] | None, typer.Option("--column", metavar="HEADER=CHANNEL", help='What a column is, such as "T2=sink °F".')
]
Infrared = Annotated[
    list[str] | None, typer.Option("--infrared", help='A channel read by infrared, such as "sink=0.86±0.04 at 0.95".')
]
ColdEnd = Annotated[float, typer.Option("--cold-end", help="Where bare type K pairs join the meter, °C.")]


def checked_cold_end(cold_end: float) -> None:
    """Refuse a place where thermocouples join their meter that cannot be. [°C]

    Raises:
        InputError: beyond -40 to 120 °C.
    """
    if not -40.0 <= cold_end <= 120.0:
        raise InputError(f"--cold-end: got {cold_end:g}; -40 to 120 °C are allowed")


def kept_beside(log: Path) -> Path:
    """Where the columns of a log are kept."""
    return log.with_name(f"{log.stem}.columns.toml")


def read_one(
    path: Path, columns: list[str], surfaces: list[str], cold_end: float, first: bool = True
) -> tuple[Any, float | None]:  # fmt: skip
    """Read one log, its columns as kept beside it or guessed.

    Args:
        path: of the log.
        columns: corrections, HEADER=CHANNEL; a header that this log has not is passed over unless it is the first.
        surfaces: channels read by infrared, of the first log.
        cold_end: where thermocouples read in millivolts join the meter. [°C]
        first: whether every correction must be of this log.

    Returns:
        The log, and the offset kept with it [s], None where none is.

    Raises:
        FileError, InputError: it cannot be read or used.
    """
    from ..tables import read_columns
    from ..trial.columns import read_kept
    from ..trial.logs import read_log

    data = read_bytes(path, MOST_LOG)
    beside, kept, offset = kept_beside(path), None, None
    if beside.is_file():
        kept, offset = read_kept(read_text(beside), beside.name, read_columns(data[:200_000], path.name).header)
    mine = [one for one in columns if first or _has(data, path, one)]
    return read_log(data, path.name, kept, mine, surfaces if first else [], cold_end), offset


def _has(data: bytes, path: Path, typed: str) -> bool:
    from ..tables import read_columns

    header = typed.rpartition("=")[0]
    return any(head == header or head.split(" [")[0] == header for head in read_columns(data[:200_000], path.name).header)


def keep_columns(path: Path, log: Any, offset: float | None) -> str:
    """Keep the columns beside the log; returns a sentence where that cannot be, else nothing."""
    from ..trial.columns import kept_text

    beside, text = kept_beside(path), kept_text(path.name, log.columns, offset)
    try:
        if not beside.is_file() or read_text(beside) != text:
            write_whole(beside, text)
    except FileError as error:
        return f"The columns could not be kept beside the log: {error}"
    return ""
