"""Is a used module worth its place, and if not, what is wrong inside: a reversed couple, a cracked leg, water."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import InputError
from .measured import Measured, combine
from .ratings import MERIT_NEW, within
from .result import Figure, Result

RISEN = 1.5  # ohms over new beyond which a module is not worth its place
HALF = 0.5  # merit over new below which it is not
WEAK = 0.7  # volts per kelvin over new below which couples are out
MAKES = 0.15  # new modules of one kind and different makers lie within this
JUMPS = 0.05  # resistance that moves by this when pressed has a broken joint inside
LEAKS = 1e6  # ohm from lead to ceramic below which there is water or soot inside


@dataclass(frozen=True)
class Kind:
    """What a new one of this kind has at 300 K, from the catalogue: seebeck [V/K], resistance [ohm], conductance [W/K]."""

    name: str
    seebeck: Measured
    resistance: Measured
    conductance: Measured

    @property
    def merit(self) -> float:
        """Z, a^2/(R K). [1/K]"""
        return self.seebeck.value**2 / (self.resistance.value * self.conductance.value)


def against_new(seebeck: Measured, resistance: Measured, merit: Measured | None, kind: Kind | None) -> tuple[bool, str]:
    """Fit or unfit beside a new one, and why.

    Args:
        seebeck: at 300 K. [V/K]
        resistance: at 300 K. [ohm]
        merit: Z where the heat was measured. [1/K]
        kind: the catalogue's new one.

    Returns:
        Fit, and the sentence.

    Limits: thresholds are practice; the sentence says "perhaps" when the doubt reaches across one.
    """
    tests: list[tuple[Measured, float, str]] = []
    if kind is not None:
        r, _ = combine(lambda a, b: -a / b, {"a": resistance, "b": Measured(kind.resistance.value, 0.0)})
        tests.append(
            (
                r,
                -RISEN,
                f"{-r.value:.1f} times the resistance of a new {kind.name}: a cracked leg or aged solder; press and watch it",
            )
        )
        a = Measured(seebeck.value / kind.seebeck.value, seebeck.u / kind.seebeck.value)
        tests.append((a, WEAK, f"only {a.value:.0%} of the volts of a new {kind.name}: couples reversed, shorted or out"))
    if merit is not None:
        new = kind.merit if kind else 0.5 * sum(MERIT_NEW)
        z = Measured(merit.value / new, merit.u / new)
        tests.append((z, HALF, f"only {z.value:.0%} of a new one's merit: the same heat makes less than half the power"))
    for found, least, why in tests:
        if found.value < least:
            return False, f"{'Unfit' if found.value + 2.0 * found.u < least else 'Perhaps unfit'}: {why}."
    if not tests:
        return True, "Fit as far as one can tell; name its kind or measure its heat to judge it beside a new one."
    if merit is None:
        return True, "Fit: volts and resistance are those of a sound one; its heat was not measured."
    return True, f"Fit: {merit.value / (kind.merit if kind else 0.5 * sum(MERIT_NEW)):.0%} of a new one's merit."


@dataclass(frozen=True)
class HealthReadings:
    """What was found on a cold module beside a new one of its kind.

    Args:
        kind: the catalogue's new one.
        resistance: by two loads or alternating current, brought to 300 K; None when it reads as broken through. [ohm]
        seebeck: at 300 K; None when not measured. [V/K]
        couples: 0 when unknown.
        pressed: ohms read while the faces are pressed and let go. [ohm]
        wandering: ohms read over some minutes, untouched. [ohm]
        to_ceramic: from a lead to a wet finger's breadth of the ceramic; None when not measured. [ohm]
    """

    kind: Kind
    resistance: Measured | None
    seebeck: Measured | None = None
    couples: int = 0
    pressed: tuple[float, ...] = ()
    wandering: tuple[float, ...] = ()
    to_ceramic: float | None = None


def by_two_loads(light: tuple[float, float], heavy: tuple[float, float]) -> float:
    """Module's own ohms from the volts across two resistors at the same faces, each read within a second.

        R = (V1 - V2)/(V2/R2 - V1/R1)

    Args:
        light: larger resistor and its volts. [ohm, V]
        heavy: smaller resistor and its volts. [ohm, V]

    Returns:
        Resistance. [ohm]

    Raises:
        InputError: the volts do not fall as the current rises.

    Source: ioffe-1957.

    >>> round(by_two_loads((8.0, 4.0), (2.0, 2.5)), 3)
    2.0
    """
    (ohms1, volts1), (ohms2, volts2) = light, heavy
    within("larger resistor", ohms1, 1e-4, 1e6, "Ω", "measure it")
    within("smaller resistor", ohms2, 1e-4, ohms1, "Ω", "give the larger resistor first")
    more = volts2 / ohms2 - volts1 / ohms1
    if not more > 0.0 or not volts1 > volts2:
        raise InputError(
            f"two loads: got {volts1:g} V and {volts2:g} V; the smaller resistor must have fewer volts and more current; "
            "read both within a second, at the same faces"
        )
    return (volts1 - volts2) / more


def _moves(place: str, ohms: tuple[float, ...]) -> float:
    """How far readings go apart, as a share of their mean."""
    for number, one in enumerate(ohms, 1):
        within(f"{place} reading {number}", one, 1e-6, 1e9, "Ω", "leave out what shows no number")
    return (max(ohms) - min(ohms)) / (sum(ohms) / len(ohms)) if ohms else 0.0


def judge_health(readings: HealthReadings) -> Result:
    """What is wrong with a module, if anything, and the next test.

    One couple of N turned round takes 2/N of the volts and hardly any resistance; a shorted one takes 1/N of both.
    A cracked leg raises the resistance, jumps when pressed, or breaks the way through; the volts stay.
    Water makes a way beside the legs and to the ceramic: resistance low and wandering.

    Args:
        readings: what was found. [SI]

    Returns:
        Figures resistance_seen (at 300 K), resistance_ratio, seebeck_ratio, and couples_turned where they can be told;
        steps are the next tests.

    Raises:
        InputError: numbers out of all reason.

    Limits: single-stage modules at room temperature; thresholds are practice. One turned couple of 127 takes 1.6 % of the
        volts, less than makers differ by: beside the catalogue it cannot be told, beside its twin it can.
    Source: ioffe-1957, bench-practice.
    """
    kind, figures, doubts, steps, fit = readings.kind, list[Figure](), list[str](), list[str](), True
    jumps, wanders = _moves("pressed", readings.pressed), _moves("wandering", readings.wandering)
    if readings.to_ceramic is not None:
        within("lead to ceramic", readings.to_ceramic, 0.0, 1e15, "Ω", "give the largest figure the meter knows for no way")
    if readings.resistance is None:
        says = "Unfit: no way through, so a leg or a joint inside is broken."
        return Result(
            "module", "module, its health", (), False, says, (),
            steps=("Press the faces together between two boards: if it then reads, a leg is cracked. Use another module.",),
        )  # fmt: skip
    within(
        "resistance", readings.resistance.value, 1e-4, 1e5, "Ω", "measure with AC or by two loads, not with a plain ohm meter"
    )
    ratio, _ = combine(lambda a, b: a / b, {"a": readings.resistance, "b": kind.resistance})
    figures.append(Figure("resistance_seen", "resistance at 300 K", readings.resistance, "ohms"))
    figures.append(Figure("resistance_ratio", "resistance over new", ratio, "number"))
    causes = []
    if jumps > JUMPS:
        fit = False
        causes.append(f"a leg is cracked: the resistance moves by {jumps:.0%} when pressed")
        steps.append("Warm it by 50 K and read again: a cracked leg opens further. Use another module.")
    elif ratio.value > RISEN:
        fit = False
        causes.append(f"{ratio.value:.1f} times the resistance of a new one: a cracked leg or aged solder")
        steps.append("Press the faces and let go while reading: a jump means a cracked leg, none means aged solder.")
    leaking = readings.to_ceramic is not None and readings.to_ceramic < LEAKS
    if leaking or wanders > JUMPS or (ratio.value + 2.0 * ratio.u < 1.0 and jumps <= JUMPS and readings.seebeck is None):
        wet = leaking or wanders > JUMPS
        if wet:
            fit = False
            causes.append("water or soot is inside: " + ("it leads to the ceramic" if leaking else "the resistance wanders"))
        else:
            doubts.append("The resistance is lower than new: another kind, shorted couples, or water inside.")
        steps.append("Dry it at 80 °C for a night, seal the rim with silicone, and read again.")
    if readings.seebeck is not None:
        volts, _ = combine(lambda a, b: a / b, {"a": readings.seebeck, "b": kind.seebeck})
        figures.append(Figure("seebeck_ratio", "volts per kelvin over new", volts, "number"))
        missing = 1.0 - volts.value
        if readings.couples > 0 and missing > 2.0 * volts.u:
            turned, _ = combine(lambda v: 0.5 * readings.couples * (1.0 - v), {"v": volts})
            count = max(1, round(turned.value))
            short = count * 2
            if abs(ratio.value - 1.0) <= max(2.0 * ratio.u, 0.5 * missing):
                figures.append(Figure("couples_turned", "couples the wrong way round", turned, "number"))
                causes.append(
                    f"about {count} of {readings.couples} couples are the wrong way round: volts down, resistance as new"
                )
            elif ratio.value < 1.0:
                causes.append(f"about {short} of {readings.couples} couples are shorted: volts and resistance both down")
            steps.append("Warm one face with a hand and feel or photograph the other: an odd spot shows the couple.")
        fit = fit and volts.value >= WEAK
        if volts.value < WEAK and not any("couples" in cause for cause in causes):
            causes.append(f"only {volts.value:.0%} of the volts of a new one")
            steps.append("Measure it again as a generator, thermometers right at the faces.")
    if fit and not causes:
        verdict = f"Sound: {ratio.value:.2f} times the resistance of a new {kind.name}."
    else:
        verdict = f"{'Unfit' if not fit else 'Usable, but'}: {'; '.join(causes)}."
    if ratio.u > MAKES:
        doubts.append("The kind's own resistance is only roughly known; a twin from the same batch is a better measure.")
    return Result("module", "module, its health", tuple(figures), fit, verdict, tuple(doubts), steps=tuple(steps))
