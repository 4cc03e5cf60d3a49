"""One build as the page shows it: solved, its slider map, its drawing; kept a while by its text."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import BaseModel

from ..build import Build
from ..stack.steady import MapPoint, SettledMap
from ..studies.headline import Headline
from .drawing import Drawing, draw
from .figures import Figure, at_plate, overall
from .settled import MapOut, flows_of, heats_of, map_out, point_at, slider_map
from .workshop import Workshop

ZERO = 273.15


@dataclass(frozen=True)
class View:
    """What is worked out for one text."""

    build: Build
    solved: Headline
    map: SettledMap
    columns: MapOut

    def point(self, plate: float, branch: str) -> MapPoint:
        """The slider's point nearest to a plate. [K]"""
        return point_at(self.map, plate, branch)

    def figures(self, plate: float, branch: str = "from_rest") -> list[Figure]:
        """Figures at one plate. [K]"""
        rows = getattr(self.columns, branch)
        i = min(range(len(self.columns.plate_degC)), key=lambda k: abs(self.columns.plate_degC[k] + ZERO - plate))
        return at_plate({key: values[i] for key, values in rows.figures.items()})

    def drawing(self, plate: float, branch: str = "from_rest") -> Drawing:
        """The section with the temperatures of one plate. [K]"""
        seen = self.point(plate, branch).seen
        return draw(self.build, heats_of(seen), flows_of(seen), self.columns.heaviest_W)


class ItemOut(BaseModel):
    """One numbered part of the drawing."""

    number: int
    name: str
    heat: str
    card: str


class LookOut(BaseModel):
    """A build to look at."""

    name: str
    says: str
    svg: str
    items: list[ItemOut]
    usual_plate_degC: float
    worst_plate_degC: float
    overall: list[Figure]
    settled: MapOut


def view_of(workshop: Workshop, text: str, file: str = "build") -> View:
    """The view of a text.

    Args:
        workshop: the run.
        text: of a build file.
        file: what to call it in messages.

    Returns:
        The view.

    Raises:
        BuildError: with every problem found.
    """

    def make() -> View:
        solved = workshop.solve(text, file)
        found = slider_map(solved.build, solved.stack)
        return View(solved.build, solved, found, map_out(found))

    made: View = workshop.views.get(text, make)
    return made


def look_out(view: View) -> LookOut:
    """A view as the browser gets it."""
    stove = view.build.stove
    drawing = view.drawing(stove.usual_plate.value)
    return LookOut(
        name=view.build.name, says=view.build.says, svg=drawing.svg,
        items=[ItemOut(number=i.number, name=i.name, heat=i.heat, card=i.card) for i in drawing.items],
        usual_plate_degC=round(stove.usual_plate.value - ZERO, 2), worst_plate_degC=round(stove.worst_plate.value - ZERO, 2),
        overall=overall(view.solved), settled=view.columns,
    )  # fmt: skip
