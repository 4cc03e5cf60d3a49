"""The settled map: closed, the same as a long evening, unmoved by finer cells, and restless only where it hunts."""

from __future__ import annotations

import numpy as np
import pytest

from builds import NAMES, build_with, example, stack
from hobwind.stack.curves import built_in, held
from hobwind.stack.evening import evening
from hobwind.stack.fields import Seen
from hobwind.stack.prepare import prepare
from hobwind.stack.steady import Rest, settled_map

ZERO = 273.15
PLATES = np.array([60.0, 120.0, 180.0, 240.0, 300.0]) + ZERO


@pytest.mark.parametrize("guard", ["free", "held down", "held up"])
@pytest.mark.parametrize("name", NAMES)
def test_energy_closes(name: str, guard: str) -> None:
    solved = settled_map(stack(name), PLATES, guard)
    for point in (*solved.from_rest, *solved.running_down):
        assert point.outcome in (Rest.SETTLED, Rest.HUNTS)
        entering = point.seen[Seen.seat_heat] + abs(point.seen[Seen.foot_heat])
        assert abs(point.seen[Seen.balance]) < 1e-9 * max(entering, 1.0)
        assert point.left_over < 1e-9


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("plate", [90.0, 160.0, 220.0])
def test_settled_is_where_a_long_evening_ends(name: str, plate: float) -> None:
    """Twelve hours on a held plate; ten time constants of the slowest part, so 0.05 K is what may be left."""
    prepared = stack(name)
    long = evening(prepared, held(plate + ZERO, example(name).stove.room.value, 12.0), 600.0, "held down")
    point = settled_map(prepared, [plate + ZERO], "held down").from_rest[0]
    last = long.seen[-1]
    if last[Seen.spin] != point.seen[Seen.spin]:  # at rest or turning: both can settle near the start
        point = settled_map(prepared, [plate + ZERO], "held down").running_down[0]
    for column in (Seen.hot_face, Seen.cold_face, Seen.sink, Seen.motor, Seen.element, Seen.foot):
        assert abs(last[column] - point.seen[column]) < 0.05, column.name


@pytest.mark.parametrize("material", ["aluminium 6082", "plain steel", "copper", "stainless 304"])
@pytest.mark.parametrize("name", ["boat-shed", "boat-shed-hunting"])
def test_finer_cells_move_nothing(name: str, material: str) -> None:
    """Halving the riser's cells moves no temperature by more than 0.3 K (the project's own mark)."""
    build = build_with(("riser", "material", f'"{material}"'), name=name)
    coarse, fine = prepare(build), prepare(build, finer=2)
    assert fine.size > coarse.size
    one, two = settled_map(coarse, PLATES, "held down"), settled_map(fine, PLATES, "held down")
    for first, second in zip(one.from_rest, two.from_rest, strict=True):
        for column in (Seen.hot_face, Seen.cold_face, Seen.sink, Seen.motor, Seen.element, Seen.foot):
            assert abs(first.seen[column] - second.seen[column]) < 0.3, column.name


@pytest.mark.parametrize("material", ["aluminium 6082", "plain steel"])
def test_finer_cells_do_not_move_the_evening(material: str) -> None:
    build = build_with(("riser", "material", f'"{material}"'))
    stove = build.stove
    curve = built_in("over-fired", stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    one, two = evening(prepare(build), curve), evening(prepare(build, finer=2), curve)
    quiet = np.array([all(abs(t - e.time) > 60.0 for e in (*one.events, *two.events)) for t in one.time])
    for column in (Seen.hot_face, Seen.sink, Seen.element):
        assert np.abs(one.seen[quiet, column] - two.seen[quiet, column]).max() < 0.3
    assert [e.what for e in one.events] == [e.what for e in two.events]


def test_branches_differ_only_where_memory_matters() -> None:
    """Break-away friction above running friction: cooling, the blade turns on below the plate where it started."""
    solved = settled_map(stack("boat-shed-no-guard"), np.linspace(290.0, 500.0, 60))
    starts, stops = solved.starts_at(), solved.stops_at()
    assert starts is not None and stops is not None and stops < starts
    for up, down in zip(solved.from_rest, solved.running_down, strict=True):
        if up.seen[Seen.spin] == down.seen[Seen.spin]:
            assert abs(up.seen[Seen.hot_face] - down.seen[Seen.hot_face]) < 1e-3


def test_restless_points_hunt_and_calm_ones_do_not() -> None:
    """The stability of the settled balance foretells what an evening on a held plate does.

    The wax's play lets a balance stand that the moving mode alone would leave, so only plainly unstable plates, with a
    disturbance that doubles within ten minutes, must hunt.
    """
    restless = build_with(
        ("guard", "element", '"wax 71"'),
        ("guard", "held_in", '"sink"'),
        ("guard", "lost_motion", '"2.0 mm"'),
        ("guard", "stop", '"3 mm"'),
        ("guard", "holder_conductance", '"0.25 W/K"'),
        ("guard", "element_loss", '"0.01 W/K"'),
        ("guard", "pin_tip", '"0.05 W/K"'),
    )
    prepared = prepare(restless)
    solved = settled_map(prepared, np.linspace(440.0, 600.0, 33))
    marked = [p for p in solved.from_rest if p.outcome is Rest.HUNTS and p.growth > np.log(2.0) / 600.0]
    assert len(marked) >= 3
    for point in marked[:: max(1, len(marked) // 3)]:
        ran = evening(prepared, held(point.plate, restless.stove.room.value, 6.0), 60.0)
        assert ran.hunting is not None, point.plate - ZERO
    sound = settled_map(stack(), np.linspace(440.0, 600.0, 33))
    assert not [p for p in sound.from_rest if p.outcome is Rest.HUNTS]
    for plate in (520.0, 580.0):
        assert evening(stack(), held(plate, example().stove.room.value, 6.0), 60.0).hunting is None


def test_second_law_and_order_of_temperatures() -> None:
    for point in settled_map(stack("boat-shed-no-guard"), PLATES).from_rest:
        seen = point.seen
        assert seen[Seen.plate] > seen[Seen.foot] > seen[Seen.hot_face] > seen[Seen.cold_face] > seen[Seen.sink]
        limit = 1.0 - seen[Seen.cold_face] / seen[Seen.hot_face]
        assert 0.0 <= seen[Seen.electric] <= limit * seen[Seen.module_heat]
        assert seen[Seen.shaft_power] <= seen[Seen.electric]
