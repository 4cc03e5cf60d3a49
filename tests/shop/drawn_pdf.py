"""Reads a PDF's lines back with pypdf: every path in millimetres from the page's lower left corner."""

from __future__ import annotations

import io
from dataclasses import dataclass

from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72.0
Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class Path:
    """One painted path: its points, whether it has curves, and whether it is closed."""

    points: tuple[tuple[float, float], ...]
    curved: bool
    closed: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        across, up = [p[0] for p in self.points], [p[1] for p in self.points]
        return min(across), min(up), max(across), max(up)


def _times(m: Matrix, n: Matrix) -> Matrix:
    return (
        m[0] * n[0] + m[1] * n[2], m[0] * n[1] + m[1] * n[3], m[2] * n[0] + m[3] * n[2], m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4], m[4] * n[1] + m[5] * n[3] + n[5],
    )  # fmt: skip


def paths(pdf: bytes) -> list[list[Path]]:
    """Painted paths of each page; clipping paths are left out."""
    reader, found = PdfReader(io.BytesIO(pdf)), []
    for page in reader.pages:
        here: list[Path] = []
        now: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        kept: list[Matrix] = []
        points: list[tuple[float, float]] = []
        curved = closed = False
        contents = page.get_contents()
        assert contents is not None
        for numbers, operator in ContentStream(contents, reader).operations:
            word = operator.decode()
            if word in ("m", "l", "c"):
                x, y = (float(n) for n in numbers[-2:])
                points.append((MM * (x * now[0] + y * now[2] + now[4]), MM * (x * now[1] + y * now[3] + now[5])))
                curved |= word == "c"
            elif word == "h":
                closed = True
            elif word == "q":
                kept.append(now)
            elif word == "Q":
                now = kept.pop()
            elif word == "cm":
                now = _times(tuple(float(n) for n in numbers), now)  # type: ignore[arg-type]
            elif word in ("S", "f", "f*", "B", "n", "s"):
                if word != "n" and points:
                    here.append(Path(tuple(points), curved, closed))
                points, curved, closed = [], False, False
        found.append(here)
    return found
