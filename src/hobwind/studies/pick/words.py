"""A fan out of a bin in words: what it is made of, what beats what and by how much."""

from __future__ import annotations

from ...build.bin_build import Choice
from ...build.bin_sections import Bin
from .judging import Judged
from .ranking import WISHES
from .weak import Limit

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")
KIND_WORDS = {"module": "the modules", "motor": "the motor", "blade": "the blade", "sink": "the sink"}
NOTHING = 0.1  # K or m3/h; a smaller difference is none


def modules(bin: Bin, choice: Choice) -> str:
    """The modules and how they are wired."""
    rows = bin.of("module")
    parts = [f"{count} x {rows[place].name}" if count > 1 else rows[place].name for place, count in choice.mix.uses]
    if choice.mix.count == 1:
        return parts[0]
    return f"{' and '.join(parts)}, {wiring(bin, choice)}"


def wiring(bin: Bin, choice: Choice) -> str:
    """The wiring, string by string where it is not plain."""
    if choice.mix.arrangement == "series":
        return "in series"
    if choice.mix.arrangement == "parallel":
        return "in parallel"
    rows = bin.of("module")
    strings = [
        " + ".join(
            rows[place].name if n == 1 else f"{n} x {rows[place].name}"
            for (place, _), n in zip(choice.mix.uses, string, strict=True)
            if n
        )
        for string in choice.mix.strings
    ]
    return f"{NUMBERS[len(strings)]} strings in parallel ({' | '.join(strings)})"


def riser(bin: Bin, choice: Choice) -> str:
    """The bar, sawn or whole."""
    item = bin.of("bar")[choice.riser[0]]
    whole = choice.riser[1] >= item.thing.length - 1e-9
    return f"{item.name}{', all' if whole else ' sawn to'} {choice.riser[1] * 1e3:.0f} mm"


def plates(bin: Bin, choice: Choice) -> str:
    """Hot plate and spreader."""
    rows = bin.of("plate")
    parts = [
        f"{rows[place].name} as {use}"
        for place, use in ((choice.hot_plate, "hot plate"), (choice.spreader, "spreader"))
        if place >= 0
    ]
    return " and ".join(parts)


def screws(bin: Bin, choice: Choice) -> str:
    """Screws and bushes."""
    place, bush = choice.screws
    if place < 0:
        return ""
    item = bin.of("screws")[place]
    return f"{item.thing.count} {item.name} " + (f"in {bin.of('bush')[bush].name}" if bush >= 0 else "without bushes")


def guard(bin: Bin, choice: Choice) -> str:
    """The guard, its element and where that sits."""
    way, place, share = choice.guard
    if way < 0:
        return "no guard"
    known = bin.guards[way].guard
    where = f"in the riser at {share * choice.riser[1] * 1e3:.0f} mm" if known.held_in == "riser" else f"in the {known.held_in}"
    where = "on its own foot" if known.held_in == "plate" else where
    return f"{known.kind}, {bin.of('element')[place].name} {where}"


def parts(bin: Bin, choice: Choice) -> list[str]:
    """Everything, in the order of the stack; empty words left out."""
    motor, blade, sink = (bin.of(kind)[getattr(choice, kind)].name for kind in ("motor", "blade", "sink"))
    rows = [
        modules(bin, choice), motor, blade, sink, riser(bin, choice), plates(bin, choice), screws(bin, choice), guard(bin, choice),
    ]  # fmt: skip
    return [row for row in rows if row]


def missed(one: Judged) -> list[str]:
    """Wishes that a fan does not meet."""
    return [wish.missed for wish, kept in zip(WISHES, one.met, strict=True) if not kept]


def amount(value: float) -> str:
    """A difference as it is told: whole from ten up, a tenth below."""
    return f"{abs(value):.0f}" if abs(value) >= 9.95 else f"{abs(value):.1f}"


def beats(one: Judged, other: Judged) -> str:
    """By what one fan stands before another, and what it gives away."""
    more: list[str] = []
    less: list[str] = []
    ahead = [wish.met for wish, a, b in zip(WISHES, one.met, other.met, strict=True) if a and not b]
    if one.starts is not None and other.starts is not None:
        earlier = other.starts - one.starts
        if abs(earlier) >= NOTHING:
            (more if earlier > 0 else less).append(f"starts {amount(earlier)} K {'earlier' if earlier > 0 else 'later'}")
    air = (one.air - other.air) * 3600.0
    if abs(air) >= NOTHING:
        (more if air > 0 else less).append(f"moves {amount(air)} m³/h {'more' if air > 0 else 'less'}")
    margin = one.margin - other.margin
    if abs(margin) >= NOTHING:
        (more if margin > 0 else less).append(f"keeps {amount(margin)} K {'more' if margin > 0 else 'less'} margin")
    told = "; ".join(part for part in (", ".join(ahead), ", ".join(more)) if part) or "is the same to a hair"
    return told + (f", but {', '.join(less)}" if less else "")


def limited(limit: Limit | None) -> str:
    """The part that limits a fan, and what another one would bring."""
    if limit is None:
        return "no one part: nothing in bin, price list or catalogue betters it by itself"
    gains = []
    if abs(limit.starts) >= NOTHING and abs(limit.starts) < 500.0:
        gains.append(f"{amount(limit.starts)} K {'earlier' if limit.starts < 0 else 'later'}")
    if abs(limit.air * 3600.0) >= NOTHING:
        gains.append(f"{amount(limit.air * 3600.0)} m³/h {'more' if limit.air > 0 else 'less'}")
    if abs(limit.margin) >= NOTHING:
        gains.append(f"{amount(limit.margin)} K {'more' if limit.margin > 0 else 'less'} margin")
    return f'{KIND_WORDS[limit.kind]}: with "{limit.instead}" instead, {", ".join(gains) or "the wishes are met"}'
