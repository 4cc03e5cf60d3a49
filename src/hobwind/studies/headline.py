"""The few figures that everything else is judged by: one build through its map and its evenings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..build import Build
from ..build.sections import Guard
from ..parts.kinds import Wax
from ..stack.assemble import assemble
from ..stack.curves import built_in
from ..stack.elements import air_at_fan, bank, kind_heat, motor_at
from ..stack.evening import Evening, Hunting, evening
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.prepare import Stack, prepare
from ..stack.steady import MapPoint, Rest, SettledMap, settled_map, settled_state
from .mapping import LOOKS, confirmed, fine_map, held_band

Floats = NDArray[np.float64]
MAP_POINTS = 60
LEAST_RESERVE, MOST_RESERVE = 8.0, 60.0  # K of held plate above the usual one within which a guard should lift
AIR_AT = (423.15, 473.15, 523.15)  # plates at which air and breeze are reported unless others are asked for


@dataclass(frozen=True)
class Headline:
    """Map and evenings of one build, and the figures read from them (SI)."""

    build: Build
    stack: Stack
    map: SettledMap
    at: SettledMap
    usual_point: MapPoint
    usual: Evening
    worst: Evening

    @property
    def starts_at(self) -> float | None:
        """Plate at which the blade first turns on a usual, warming stove, K; None when it never does."""
        return self.usual.figure(End.starts_at)

    @property
    def stops_at(self) -> float | None:
        """Plate at which the blade last stops as the usual fire dies, K; None when it never did."""
        return self.usual.figure(End.stops_at)

    @property
    def lifts_held(self) -> float | None:
        """Lowest plate of the map on which everything, settled, leaves the fan lifted, K; None when it is down on all of them.

        Lower than where it lifts on a warming fire, as element and riser then lag behind the plate.
        """
        return next((point.plate for point in self.map.from_rest if point.seen[Seen.lift] > 0.0), None)

    @property
    def peak_face(self) -> tuple[float, str]:
        """Hottest module face and where: over the map to the worst plate, or in the over-fired evening. [K]"""
        settled = [point for point in self.map.from_rest if point.outcome in (Rest.SETTLED, Rest.HUNTS)]
        hottest = max(settled, key=lambda point: float(point.seen[Seen.hot_face]), default=None)
        fired = float(self.worst.end[End.peak_hot])
        if hottest is None or fired >= float(hottest.seen[Seen.hot_face]):
            return fired, "over-fired evening"
        return float(hottest.seen[Seen.hot_face]), f"settled on a plate of {hottest.plate - 273.15:.0f} °C"

    @property
    def worst_margin(self) -> float:
        """Smallest limit minus face over map and over-fired evening, K."""
        settled = [point for point in self.map.from_rest if point.outcome in (Rest.SETTLED, Rest.HUNTS)]
        rested = min((float(point.seen[Seen.margin]) for point in settled), default=np.inf)
        return min(rested, float(self.worst.end[End.worst_margin]))

    @property
    def limit_reached_at(self) -> float | None:
        """Lowest settled plate at which a face is at its limit, K; between two points of the map by straight line."""
        before: MapPoint | None = None
        for point in self.map.from_rest:
            margin = float(point.seen[Seen.margin])
            if margin <= 0.0:
                if before is None:
                    return point.plate
                kept = float(before.seen[Seen.margin])
                return before.plate + (point.plate - before.plate) * kept / (kept - margin)
            before = point
        return None

    @property
    def hunts(self) -> bool:
        """Whether the guard lifts and drops on a plate that does not cool, in either evening."""
        return self.usual.hunting is not None or self.worst.hunting is not None

    @property
    def restless_plates(self) -> list[float]:
        """Plates of the map between the usual and the worst on which the settled balance is unstable, K."""
        return [point.plate for point in self.map.from_rest if point.outcome is Rest.HUNTS]

    def band_at(self, plate: float) -> Hunting | None:
        """How the guard hunts on a plate held at one temperature; None when it comes to rest."""
        return held_band(self.stack, plate)

    def kind_power(self, plate: float) -> list[float]:
        """Electric power of each kind of module, settled at a plate temperature, W; negative when it is dragged."""
        state = settled_state(self.stack, plate)
        net = assemble(self.stack.p, state.q)
        emf, ohms = bank(net.wired, state.y)
        ambient = air_at_fan(self.stack.p, plate, state.spin)
        _, current, _ = motor_at(self.stack.p, emf, ohms, float(state.y[net.at.motor]), ambient, state.spin)
        heats = [kind_heat(net.wired, state.y, k, emf - current * ohms) for k in range(net.wired.hot.size)]
        return [float(into - out) for into, out in heats]

    @property
    def lifted_at_usual(self) -> bool:
        """Whether the guard holds the fan up when everything has settled on the usual plate."""
        return bool(self.usual_point.seen[Seen.lift] > 0.0)

    @property
    def reserve(self) -> float | None:
        """How much hotter than usual a plate may be held, for hours, before the guard lifts, K; None without an element."""
        guard = self.build.guard
        if guard.kind == "none" or guard.element is None:
            return None
        if self.lifted_at_usual:
            return 0.0
        stove, rested = self.build.stove, float(self.usual_point.seen[Seen.element])
        return reserve_of(guard, rested, stove.room.value, stove.usual_plate.value)

    @property
    def usual_air(self) -> float:
        """Settled air flow through the blade on the usual plate, from rest, m3/s."""
        return float(self.usual_point.seen[Seen.air_flow])


def lifts_at(wax: Wax, wait: float) -> float:
    """Temperature of an element at which its pin has used up a lost motion of `wait` metres, K."""
    return float(wax.opens.value + wait * (wax.full.value - wax.opens.value) / wax.travel.value)


def reserve_of(guard: Guard, rested: float, room: float, usual: float) -> float:
    """Kelvin of plate between the usual one and a guard's lift, both held for hours, the element warming in step with the plate.

    Args:
        guard: with an element.
        rested: temperature of the element on the usual plate, the fan down. [K]
        room: of the room. [K]
        usual: of the usual plate. [K]

    Returns:
        Reserve; negative where it would be up already. [K]
    """
    assert guard.element is not None
    per_plate = max(rested - room, 1.0) / (usual - room)
    return (lifts_at(guard.element, guard.lost_motion.value) - rested) / per_plate


def headline(
    build: Build, at: tuple[float, ...] = AIR_AT, points: int = MAP_POINTS, every: float = 20.0, looks: int = LOOKS
) -> Headline:
    """Solve one build.

    Args:
        build: a checked build.
        at: plates reported one by one. [K]
        points: plates of the map from room to the worst plate. [-]
        every: spacing of the kept states of the evenings. [s]
        looks: held evenings at most, to confirm the half-open part of the map. [-]

    Returns:
        The solved build.
    """
    stack = prepare(build)
    room, worst = build.stove.room.value, build.stove.worst_plate.value
    usual = build.stove.usual_plate.value
    plates = np.linspace(room, worst, points)
    return Headline(
        build=build,
        stack=stack,
        map=fine_map(stack, plates, looks),
        at=confirmed(stack, settled_map(stack, sorted(at)), len(at)),
        usual_point=settled_map(stack, np.linspace(room, usual, max(points // 3, 8))).from_rest[-1],
        usual=evening(stack, built_in("usual", room, usual, worst), every),
        worst=evening(stack, built_in("over-fired", room, usual, worst), every),
    )
