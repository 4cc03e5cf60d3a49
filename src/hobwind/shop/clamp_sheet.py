"""The clamp in words for the bench: how tight, in which order, what the heat does to it, when to tighten once more."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..build import Build, geometry
from ..parts.catalogue import Shelf
from .clamp import Clamp, figures, tighter
from .disc_springs import Stack
from .section import Section
from .under_heads import put_under, thick_washers
from .uneven import uneven_findings, uneven_lines

KEY_ARM = 0.1  # m; length of the key on which a scale pulls
STEPS = (0.3, 0.6, 1.0)
LOOSE = 0.05  # by which makers of like modules differ about the same end of the range: 1.00 or 1.03, 1.40 or 1.47 MPa
ZERO = 273.15


def _mpa(pressure: float) -> str:
    return f"{pressure * 1e-6:.2f}"


def order_of(build: Build) -> list[int]:
    """Numbers of the screws in the order in which they are tightened: each next one as far as can be from the last."""
    if build.screws is None:
        return []
    places = geometry.screw_places(build.screws)
    left, found = list(range(len(places))), [0]
    left.remove(0)
    while left:
        last = places[found[-1]]
        found.append(max(left, key=lambda i: (round((places[i][0] - last[0]) ** 2 + (places[i][1] - last[1]) ** 2, 12), -i)))
        left.remove(found[-1])
    return [one + 1 for one in found]


def _steps(one: Clamp, build: Build) -> Iterator[str]:
    order = " - ".join(map(str, order_of(build)))
    pull = one.torque / KEY_ARM
    scale = f"{pull / 9.81 * 1e3:.0f} g on a kitchen scale"
    yield (
        f"Tighten cold to {one.torque:.2f} N·m each: a pull of {pull:.1f} N ({scale}) square to a key, "
        f"{KEY_ARM * 1e3:.0f} mm from the screw."
    )
    yield f"Order {order}, numbered anticlockwise from above, starting at the right far one."
    rounds = ", ".join(f"{share * one.torque:.2f}" for share in STEPS)
    yield f"Rounds: {rounds} N·m, then once more round at the last; the gap between the plates stays even, check with a feeler."
    if one.stack is not None:
        turn = (one.stack.travel(one.preload) + one.compliance * one.preload) / one.screw.pitch.value * 360.0
        yield (
            f"Surer than torque: from finger-tight, each stack becomes {one.stack.travel(one.preload) * 1e3:.2f} mm flatter "
            f"(feeler or caliper), about {turn:.0f}° of turn."
        )


def _heat(one: Clamp, build: Build) -> Iterator[str]:
    hottest = int(np.argmax(one.difference))
    yield "What grows, from cold to the tightest instant of both evenings:"
    for layer in one.layers:
        yield (
            f"  {layer.name}: {layer.thickness * 1e3:.1f} mm, {layer.rise[hottest]:.0f} K warmer, "
            f"grows {layer.growth[hottest] * 1e6:.1f} µm"
        )
    yield f"  the screw: {one.screw_rise[hottest]:.0f} K warmer, grows {one.screw_growth[hottest] * 1e6:.1f} µm"
    yield f"With plain washers the pressure goes from {_mpa(one.pressure(one.bare[0]))} to {_mpa(one.pressure(one.bare[1]))} MPa."
    if one.stack is not None:
        hot = f"from {_mpa(one.pressure(one.hot[0]))} to {_mpa(one.pressure(one.hot[1]))} MPa"
        yield f"With the disc washers fitted ({one.stack.says}): {hot}."
    if one.suggested is not None and one.stack is None:
        hot = f"{_mpa(one.pressure(one.suggested_hot[0]))} to {_mpa(one.pressure(one.suggested_hot[1]))} MPa"
        yield f"With disc washers under each head, {one.suggested.says}: {hot}."
        if thick_washers(build, one.suggested):
            yield "  Their hole is wider than the screw: centre them on a sleeve, a thick washer above and below."
        yield from put_under(build, one.suggested, one.preload)
    yield (
        f"After the first heat paste and faces settle, about 5 µm: {one.preload:.0f} N becomes {one.after_settling:.0f} N. "
        "Tighten once more, cold, after the first firing, and look again after ten."
    )


def _written(stack: Stack) -> str:
    """Discs as the build file names them, where the catalogue has them; else in words. Their sizes stand among the clamp's lines."""
    disc = stack.disc
    sizes = (disc.outer, disc.inner, disc.thickness, disc.dish)
    for name in Shelf(None).names("washer"):
        part = Shelf(None).find("washer", name)
        has = () if part.dish is None else (part.outer.value, part.inner.value, part.thickness.value, part.dish.value)
        if len(has) == len(sizes) and np.allclose(has, sizes, rtol=0.0, atol=1e-6):
            counts = "".join(f", {key} = {n}" for key, n in (("nested", stack.nested), ("washers", stack.series)) if n != 1)
            return f'screws.washer = "{name}"{counts}'
    return stack.says


def _tighter(one: Clamp, build: Build) -> str:
    """What keeps the pressure up where no disc washers do at the build's own."""
    found = tighter(one)
    if found is None:
        return ": use longer screws with a spacer under each head, or thinner ones; they lose less"
    pressure, stack = found
    torque = one.torque * pressure / one.pressure(one.preload)
    key = "clamp.pressure" if build.tightening.torque is None else f"clamp.torque = {torque:.2f} N·m"
    return f": tighten to {_mpa(pressure)} MPa cold ({key}) and put disc washers under the heads ({_written(stack)})"


def _findings(one: Clamp, build: Build) -> Iterator[str]:
    low, high = one.range
    cold, spread = one.pressure(one.preload), [one.pressure(force) for force in one.spread]
    if not low <= cold <= high:
        yield f"fault: cold the modules get {_mpa(cold)} MPa; they want {_mpa(low)} to {_mpa(high)}"
    yield from uneven_findings(build, cold, one.range, LOOSE)
    discs = f": put disc washers under the heads ({_written(one.suggested)})" if one.suggested else ""
    least, most = one.pressure(one.hot[0]), one.pressure(one.hot[1])
    if most > high:
        level = "fault" if most > high * (1.0 + LOOSE) else "advice"
        yield f"{level}: hot the pressure reaches {_mpa(most)} MPa, above {_mpa(high)}{discs or ': use longer or thinner screws'}"
    if least < low <= cold:
        level = "fault" if least < low * (1.0 - LOOSE) else "advice"
        yield f"{level}: the pressure falls to {_mpa(least)} MPa when hot, below {_mpa(low)}{discs or _tighter(one, build)}"
    if spread[0] < low or spread[1] > high:
        yield (
            f"advice: not knowing the friction, the same torque may give {_mpa(spread[0])} to {_mpa(spread[1])} MPa: "
            "clean and oil the threads, and go by the travel of disc washers where there are any"
        )
    if one.spread[1] > one.most:
        yield f"fault: a slippery screw may be pulled to {one.spread[1]:.0f} N; it yields near {one.most:.0f} N: a thicker screw"
    if one.spread[1] > one.strips:
        yield f"fault: {one.engaged * 1e3:.1f} mm of thread hold {one.strips:.0f} N hot; {one.spread[1]:.0f} N may pull them out"
    if one.engaged < one.screw.diameter.value and not one.nut:
        mend = "longer screws (screws.engaged)" if build.screws and build.screws.engaged else "a thicker part or smaller screws"
        yield f"fault: only {one.engaged * 1e3:.1f} mm of thread hold, a diameter at least is wanted: {mend}"
    if one.stack is not None and one.hot[1] >= one.stack.flat_force:
        yield "fault: hot the disc washers are pressed flat and no longer spring: more of them"
    washer = build.screws.washer if build.screws else None
    limit = washer.material.limit if washer is not None else None
    if limit is not None and one.head_peak > limit.value:
        yield f"fault: the disc washers reach {one.head_peak - ZERO:.0f} °C and lose their spring above {limit.value - ZERO:.0f} °C"


def clamp_section(one: Clamp | None, build: Build) -> Section:
    """The clamp's page.

    Args:
        one: the clamp worked through; None where the build has no screws that can be worked out.
        build: the build.

    Returns:
        The section.
    """
    if one is None:
        says = "The build names no clamp screws with an ISO coarse thread (section [screws]), so no torque can be given."
        return Section("clamp", "Clamp", (says,), {}, ())
    nut = ", a nut below the plate" if one.nut else f", {one.engaged * 1e3:.0f} mm of thread in the metal"
    lines = [
        f"{one.count} screws {one.screw.name}{nut}. The modules want {_mpa(one.range[0])} to {_mpa(one.range[1])} MPa; "
        f"{one.preload:.0f} N a screw give {_mpa(one.pressure(one.preload))} MPa.",
        *_steps(one, build),
        f"Friction and hand spread that to {one.spread[0]:.0f} to {one.spread[1]:.0f} N a screw (19 in 20), "
        f"{_mpa(one.pressure(one.spread[0]))} to {_mpa(one.pressure(one.spread[1]))} MPa.",
        *uneven_lines(build, one.pressure(one.preload)),
        *_heat(one, build),
        f"A screw yields near {one.most:.0f} N; its thread pulls out near {one.strips:.0f} N when hot.",
    ]
    found = tuple(_findings(one, build))
    return Section("clamp", "Clamp", tuple(lines), figures(one), found)
