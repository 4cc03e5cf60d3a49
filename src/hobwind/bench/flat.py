"""How flat a face is, by feeler leaves or light under a straight edge, and how rough by how it was made: seat and joints."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import InputError
from ..parts.kinds import Surface
from ..physics import air, contact
from .measured import Measured, combine, even
from .result import Curve, Figure, Result

# What light under a straight edge says of the gap, m: light-gap, and so wide.
LIGHT = {"none": (0.0, 2e-6), "coloured": (1e-6, 4e-6), "thin white": (3e-6, 15e-6), "broad white": (10e-6, 60e-6)}
BOW = {"middle": 0.0, "both ends": 0.0, "one way only": 1.0}  # share of the bow shape
FOR_MODULES = 25e-6  # m; assembly-notes
FOR_SEAT = 120e-6  # m; more and the seat becomes the largest resistance of all: practice
SHORT = 0.6  # of the face; a shorter edge sees too little of a curve


@dataclass(frozen=True)
class Gap:
    """One place under the straight edge: leaf that goes in and leaf that does not [m]; or a word of `LIGHT`."""

    goes: float = 0.0
    stops: float = 0.0
    light: str = ""


@dataclass(frozen=True)
class FaceReadings:
    """One face: widest gaps found in some directions, how long the edge lay on it and the face across [m], where the light was.

    `made`: how the face was made, for its scratches. `other`: the face that lies on it in the seat; None for a joint.
    """

    gaps: Sequence[Gap]
    edge: float
    face: float
    where: str
    made: Surface
    other: Surface | None = None
    feeler: float = 5e-6  # ± of a leaf
    pressure: float = 3e3  # Pa, a fan of 1 kg on 60 x 60 mm


def gap_of(gap: Gap, feeler: float, place: str) -> Measured:
    """The gap at one place, anywhere between the leaf that goes and the one that does not.

    Args:
        gap: what was found.
        feeler: leaves may be off by ±. [m]
        place: for messages.

    Returns:
        The gap. [m]

    Raises:
        InputError: neither leaves nor light given, or leaves exchanged.
    """
    if gap.light:
        low, high = LIGHT[gap.light]
    else:
        low, high = gap.goes, gap.stops
        if high <= 0.0:
            raise InputError(
                f"{place}: neither leaves nor light given; stops = the thinnest leaf that does not go in, or light"
            )
        if low >= high:
            raise InputError(
                f"{place}: the leaf of {low * 1e3:g} mm goes but that of {high * 1e3:g} mm does not; the first must be thinner. "
                "Were they exchanged?"
            )
    return Measured(0.5 * (low + high), math.hypot(even(0.5 * (high - low)), 0.0 if gap.light else even(feeler)))


def identify_face(readings: FaceReadings) -> Result:
    """Flatness, roughness and slope of a face, and of the seat that it makes with another.

    Args:
        readings: of one face. [m]

    Returns:
        The result; figures are fields of a part of kind "surface", lines are keys of a build's seat.

    Raises:
        InputError: readings that cannot be.

    Limits: the widest of some directions stands for the face; a curve grows with the square of the length.
    Source: flatness-practice, roughness-practice, antonetti, yovanovich-gap, light-gap; gum for the doubts.
    """
    if not readings.gaps:
        raise InputError("gap: got none; lay a straight edge along, across and over both diagonals, and read the widest gap")
    if not 0.01 <= readings.edge <= 1.0 or not 0.01 <= readings.face <= 1.0:
        raise InputError("edge, face: 10 to 1000 mm is allowed; give the length of the edge on the face, and the face's own")
    doubts: list[str] = []
    found = [gap_of(one, readings.feeler, f"gap {i}") for i, one in enumerate(readings.gaps, 1)]
    widest = max(found, key=lambda one: one.value)
    if len(found) < 3:
        doubts.append(f"Only {len(found)} of four directions read: along, across and both diagonals are wanted.")
    stretch = (readings.face / readings.edge) ** 2
    if readings.edge < SHORT * readings.face:
        doubts.append(
            f"The edge covers {readings.edge / readings.face:.0%} of the face: {stretch:.1f} times its gap is a guess."
        )
    flatness = Measured(widest.value * stretch, math.hypot(widest.u * stretch, 0.3 * abs(stretch - 1.0) * widest.value))
    if (
        any(one.light == "" and one.goes == 0.0 for one in readings.gaps)
        and flatness.value < 2.0 * even(readings.feeler) * stretch
    ):
        doubts.append("No leaf went in: the gap is below the thinnest leaf. Light under a true edge tells more.")
    usual = readings.made.flatness
    if flatness.value - 2.0 * flatness.u > 3.0 * usual.high:
        doubts.append(
            f"Far less flat than {readings.made.name} usually leaves ({usual.high * 1e3:.2g} mm): grit or a burr underneath?"
        )
    rough = Measured(readings.made.roughness.value, readings.made.roughness.sd)
    slope = Measured(readings.made.slope.value, readings.made.slope.sd)
    figures = [
        Figure("flatness", "out of flat by", flatness, "length"),
        Figure("roughness", f"roughness, {readings.made.name}", rough, "roughness"),
        Figure("slope", "slope of its scratches", slope, "number"),
    ]
    lines: tuple[str, ...] = ()
    seat = flatness
    if readings.other is not None:
        both, seat = _both(rough, slope, flatness, readings.other)
        figures += both
        lines = _seat_lines(both, readings)
    carries = _carries(readings, seat, figures)
    figures.append(Figure("carries", "carries, dry and light", carries, "heat_transfer_coefficient"))
    drawn = [(i, one.value * 1e6) for i, one in enumerate(found, 1)]
    curve = Curve("direction", "gap, µm", drawn, [(1, widest.value * 1e6), (max(len(found), 2), widest.value * 1e6)])
    fit, verdict = _verdict(flatness, seat, readings.other is not None)
    return Result(
        "surface", "face, by straight edge and how it was made", tuple(figures), fit, verdict, tuple(doubts), (curve,),
        readings.made.name, lines=lines,
    )  # fmt: skip


def _both(rough: Measured, slope: Measured, flatness: Measured, other: Surface) -> tuple[list[Figure], Measured]:
    """Both faces of the seat together: squares of heights and slopes add, out-of-flatness adds."""
    two_rough, _ = combine(
        lambda a, b: math.hypot(a, b), {"a": rough, "b": Measured(other.roughness.value, other.roughness.sd)}
    )
    two_slope, _ = combine(lambda a, b: math.hypot(a, b), {"a": slope, "b": Measured(other.slope.value, other.slope.sd)})
    two_flat, _ = combine(lambda a, b: a + b, {"a": flatness, "b": Measured(other.flatness.value, other.flatness.sd)})
    return [
        Figure("seat_flatness", f"with {other.name}, out of flat by", two_flat, "length"),
        Figure("seat_roughness", "with it, roughness", two_rough, "roughness"),
        Figure("seat_slope", "with it, slope", two_slope, "number"),
    ], two_flat


def _seat_lines(both: list[Figure], readings: FaceReadings) -> tuple[str, ...]:
    flat, rough, slope = (one.measured for one in both)
    return (
        "[seat]",
        f'flatness = "{flat.value * 1e3:.3g} ± {min(2.0 * flat.u, flat.value) * 1e3:.2g} mm"',
        f'roughness = "{rough.value * 1e6:.3g} ± {min(2.0 * rough.u, rough.value) * 1e6:.2g} µm"',
        f'slope = "{slope.value:.3g} ± {min(2.0 * slope.u, slope.value) * 1.0:.2g}"',
        f'bow = "{BOW[readings.where]:.1f}"',
    )


def _carries(readings: FaceReadings, seat: Measured, figures: list[Figure]) -> Measured:
    """Gas conductance of a dry face at a stove's heat: nearly all that a seat carries at a fan's own weight. [W/(m2 K)]"""
    found = {one.name: one.measured for one in figures}
    rough = found.get("seat_roughness", found["roughness"])
    hot, hardness = 473.15, 1.1e9
    jump = air.molecular_jump(hot, 101325.0)

    def conductance(flatness: float, roughness: float) -> float:
        standoff = contact.plane_separation(roughness, readings.pressure, hardness) + jump
        return float(
            contact.gap_conductance(air.conductivity(hot), standoff, max(flatness, 0.0), BOW[readings.where], 0.0, 0.0)
        )

    return combine(conductance, {"flatness": seat, "roughness": rough})[0]


def _verdict(flatness: Measured, seat: Measured, is_seat: bool) -> tuple[bool, str]:
    if is_seat and flatness.value > FOR_SEAT:
        return False, f"Not flat enough for a seat: {flatness.value * 1e3:.2f} mm holds most heat back. Rub the foot flat."
    if is_seat and seat.value > FOR_SEAT:
        return True, (
            f"The foot is flat enough at {flatness.value * 1e3:.2f} mm; the plate is the worse face ({seat.value * 1e3:.2f} mm together). "
            "Seek a flatter place on it, or measure it as this face was."
        )
    if is_seat:
        return True, f"Fit for a seat: {seat.value * 1e3:.2f} mm with the plate."
    if flatness.value - flatness.u <= FOR_MODULES:
        return True, f"Fit for modules: {flatness.value * 1e3:.3f} mm, where {FOR_MODULES * 1e3:.3f} mm or less is wanted."
    return False, (
        f"Not flat enough for modules: {flatness.value * 1e3:.2f} mm, where {FOR_MODULES * 1e3:.3f} mm or less is wanted. "
        "Rub it wet on fine paper on plate glass."
    )
