"""What a push pin touches is what it takes its heat from: the stove plate in a riser, a part of the fan beside it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from builds import example, greased
from hobwind.build import build_from_text
from hobwind.build.whole import Build
from hobwind.stack.assemble import make_net
from hobwind.stack.curves import PlateCurve
from hobwind.stack.evening import evening
from hobwind.stack.fields import Seen
from hobwind.stack.network import links_at
from hobwind.stack.prepare import prepare
from hobwind.stack.steady import Rest, settled_map, settled_state

PLATE = 273.15 + 300.0  # K; well above where the guards of these fans lift


def _pin(build: Build) -> tuple[str, float, dict[str, float]]:
    """What the pin touches, heat into the element along it [W], and the temperatures [K] of a fan held up."""
    stack = prepare(build)
    state = settled_state(stack, PLATE)
    net = make_net(stack.p, state.q)
    found = links_at(net, stack, state.q, state.y, PLATE, state.spin, state.memory, state.mode)
    pin = next(one for one in found if one.says == "push pin")
    known = {
        "patch": PLATE + state.y[0], "element": state.y[net.at.element], "hot_plate": state.y[net.at.low], "high": state.y[net.at.high],
    }  # fmt: skip
    return pin.first, float(pin.watts), known


def _along(build: Build) -> float:
    """Bead and steel in series, by hand, W/K."""
    guard = build.guard
    area = 0.25 * math.pi * guard.pin_diameter.value**2
    return 1.0 / (1.0 / guard.pin_tip.value + guard.pin_length.value / (guard.pin_material.conductivity.value * area))


def test_beside_the_fan_it_pushes_the_hot_plate() -> None:
    """The boat shed's hot plate hangs over its element and is colder than that: the pin cools it."""
    build = example()
    assert build.guard.held_in == "plate" and build.hot_plate is not None
    first, watts, at = _pin(build)
    assert first == "hot_plate"
    assert at["hot_plate"] < at["element"] < at["patch"]
    assert watts == pytest.approx(_along(build) * (at["hot_plate"] - at["element"]), rel=1e-6)
    assert watts < 0.0


def test_without_a_hot_plate_it_pushes_what_lies_on_the_modules() -> None:
    build = replace(example(), hot_plate=None)
    first, watts, at = _pin(build)
    assert first in ("spreader", "sink")
    assert watts == pytest.approx(_along(build) * (at["high"] - at["element"]), rel=1e-6)


def test_in_the_riser_it_stands_on_the_stove_plate() -> None:
    build = example("boat-shed-hunting")
    assert build.guard.held_in == "riser"
    first, watts, at = _pin(build)
    assert first == "patch"
    assert watts == pytest.approx(_along(build) * (at["patch"] - at["element"]), rel=1e-6)
    assert watts > 0.0


def test_on_the_brink_of_lifting_it_rests_all_the_same() -> None:
    """A pin that touches the colder hot plate cools the element that pushed it up: within some tenths of a kelvin of plate neither
    touching nor not is a rest of a wax without play. With its play it is; an evening on a plate held there for hours shows the same."""
    stack = prepare(build_from_text(greased()))
    plates = np.arange(231.0, 236.0, 0.05) + 273.15
    points = settled_map(stack, plates).from_rest
    assert all(one.outcome is Rest.SETTLED for one in points)
    lifts = np.array([one.seen[Seen.lift] for one in points])
    assert (np.diff(lifts) >= -1e-12).all() and lifts[0] == 0.0 and lifts[-1] > 1e-4
    brink = [k for k, lift in enumerate(lifts) if 0.0 < lift < 1e-7]
    assert len(brink) > 3  # so wide a band of plate, 0.05 K apart
    there = points[brink[len(brink) // 2]]
    hours = np.array([0.0, 3600.0, 40.0 * 3600.0])
    held = evening(stack, PlateCurve("held", hours, np.array([stack.p[0], there.plate, there.plate])), 3600.0)
    for which in (Seen.element, Seen.hot_face, Seen.sink):
        assert held.seen[-1, which] == pytest.approx(
            there.seen[which], abs=0.15
        )  # the evening's own memory is where it came to rest
