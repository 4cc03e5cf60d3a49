"""The catalogue's data: every number readable, sourced and honest, and every part named without a maker."""

from __future__ import annotations

import re

import pytest
from catalogue_tables import KINDS, PARTS, ROOT, TABLES, TEXT, number, sources, value


def test_every_kind_has_parts() -> None:
    wanted = "blade bush compound finish lagging material module motor screw sheet sink surface washer wax"
    assert wanted.split() == KINDS
    assert all(TABLES[kind] for kind in KINDS)


@pytest.mark.parametrize(("kind", "name"), PARTS, ids=lambda text: text)
def test_every_number_reads_and_has_a_source(kind: str, name: str) -> None:
    known = sources()
    for field, entry in TABLES[kind][name].items():
        if field in TEXT:
            assert isinstance(entry, str), f"{kind} {name}: {field} should be plain text"
            continue
        assert isinstance(entry, list) and len(entry) == 2, f"{kind} {name}: {field} needs [quantity, source]"
        number(kind, name, field)
        assert entry[1] in known, f"{kind} {name}: {field} names source {entry[1]!r}, not in docs/sources.md"


@pytest.mark.parametrize(("kind", "name"), PARTS, ids=lambda text: text)
def test_recalled_numbers_carry_a_spread(kind: str, name: str) -> None:
    """What nobody looked up may not pretend to be exact: limits and counts and standard sizes excepted."""
    settled = {"couples", "count", "fin_count", "pin_count", "still_rise", "blown_at", "limit"}
    for field, entry in TABLES[kind][name].items():
        if field not in TEXT and entry[1] == "memory" and field not in settled:
            assert number(kind, name, field).half > 0.0, f"{kind} {name}: {field}"


@pytest.mark.parametrize(("kind", "name"), PARTS, ids=lambda text: text)
def test_no_draw_can_turn_a_quantity_negative(kind: str, name: str) -> None:
    """Thousands of draws of a normal spread reach four standard deviations; an even one stops at its ends."""
    for field in TABLES[kind][name]:
        if field not in TEXT and field not in {"conductivity_slope", "magnet_coefficient"}:
            found = number(kind, name, field)
            lowest = found.value - (found.half if found.shape == "even" else 4.0 * found.sd)
            assert lowest >= -1e-12, f"{kind} {name}: {field}"


def test_source_rows_are_numbered_in_order_with_known_flags() -> None:
    text = (ROOT / "docs" / "sources.md").read_text("utf-8")
    rows = [row for row in text.splitlines() if row.startswith("| ") and not row.startswith("| key")]
    numbers = [row.split(" | ")[1].split(". ")[0] for row in rows]
    assert numbers == [str(place) for place in range(1, len(rows) + 1)]
    assert set(sources().values()) <= {"read", "memory", "exact", "practice"}
    assert len(sources()) == len(rows)
    assert {"memory", "practice"} <= set(sources())


def test_names_that_parts_lean_on_exist() -> None:
    for kind in ("screw", "washer", "bush", "sink"):
        for name, part in TABLES[kind].items():
            assert part["material"] in TABLES["material"], f"{kind} {name}"
    for name, part in (TABLES["material"] | TABLES["sink"]).items():
        assert part["finish"] in TABLES["finish"], name


# Capitals and letter-digit codes that are words of the trade, symbols or standards; anything else looks like a maker's
# name or a part number.
PLAIN = {"PEEK", "PTFE", "M3", "M4", "M5", "M6", "M8", "CuZn39Pb3", "CD", "European", "American", "A", "V", "K", "°C"}


@pytest.mark.parametrize(("kind", "name"), PARTS, ids=lambda text: text)
def test_generic_names_only(kind: str, name: str) -> None:
    part = TABLES[kind][name]
    for text in (name, part["says"], part.get("caution", "")):
        for sentence in re.split(r"(?<=[.:?!]) ", text):
            for place, word in enumerate(sentence.split()):
                bare = word.strip(".,;:()")
                coded = re.search(r"[A-Za-z]\d|\d[A-Za-z]", bare) or (place > 0 and re.search(r"[A-Z]", bare))
                assert not coded or bare in PLAIN, f"{kind} {name}: {bare!r} looks like a maker's name or part number"


@pytest.mark.parametrize(
    ("kind", "name", "word"),
    [
        ("material", "magnesium bar", "burn"),
        ("material", "PTFE", "fumes"),
        ("material", "zinc alloy casting", "fumes"),
        ("material", "plain steel", "cadmium"),
        ("lagging", "calcium silicate", "asbestos"),
        ("lagging", "cork", "Chars"),
        ("surface", "wet-and-dry on glass", "wet"),
    ],
)
def test_what_can_hurt_says_so(kind: str, name: str, word: str) -> None:
    assert word in TABLES[kind][name]["caution"]


def test_cork_is_refused_on_a_stove() -> None:
    assert value("lagging", "cork", "limit") < 373.15  # chars from about 100 °C: practice
