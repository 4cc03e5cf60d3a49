"""How modules are wired, read from a build file: strings in series, strings side by side, and their leads."""

from __future__ import annotations

from .reader import Notes, Section
from .sections import ModuleUse, Wiring

ZERO = 273.15
MOST_STRINGS = 8


def read_wiring(notes: Notes, table: object, modules: tuple[ModuleUse, ...]) -> Wiring:
    """Read the section of the wiring; `modules` are those of the build."""
    s = Section(notes, "wiring", table)
    arrangement = s.choice("arrangement", ("series", "parallel", "groups"), "series")
    leads = s.quantity("leads", "ohms", "0.15 ± 0.10 Ω", 0.0, 50.0)
    limit = s.quantity("limit", "temperature", "200 °C", ZERO + 60, ZERO + 600, "practice")
    wire = s.quantity("wire_area", "area", "0.5 mm²", 1e-8, 2e-5, "practice")
    lead = s.quantity("lead_length", "length", "200 mm", 5e-3, 5.0, "practice")
    solder = s.quantity("solder", "temperature", "183 °C", ZERO + 90, ZERO + 600)
    slot = s.words("slot", "", 80)
    notes.record("wiring.slot", slot, "given" if slot else "usual value")
    s.known.append("strings")
    counts = [use.count for use in modules]
    strings: tuple[tuple[int, ...], ...]
    if arrangement == "series":
        strings = (tuple(counts),)
    elif arrangement == "parallel":
        strings = tuple(
            tuple(1 if k == kind else 0 for k in range(len(counts))) for kind in range(len(counts)) for _ in range(counts[kind])
        )
    else:
        strings = _groups(notes, s.table.get("strings"), counts)
    if len(strings) > MOST_STRINGS:
        notes.complain("wiring", f"got {len(strings)} strings in parallel; at most {MOST_STRINGS} are allowed")
        strings = strings[:MOST_STRINGS]
    s.close()
    return Wiring(arrangement, strings, leads, limit, wire, lead, solder, slot)


def _groups(notes: Notes, rows: object, counts: list[int]) -> tuple[tuple[int, ...], ...]:
    wanted = f"a list such as [[{', '.join(map(str, counts))}]], one row a string, one number a kind of module"
    right = (
        isinstance(rows, list)
        and bool(rows)
        and all(
            isinstance(row, list)
            and len(row) == len(counts)
            and all(isinstance(n, int) and not isinstance(n, bool) and 0 <= n <= 16 for n in row)
            and sum(row) > 0
            for row in rows
        )
    )
    if not right or not isinstance(rows, list):
        notes.complain("wiring.strings", f"got {repr(rows)[:60]}; {wanted} is wanted")
        return (tuple(counts),)
    total = [sum(row[k] for row in rows) for k in range(len(counts))]
    if total != counts:
        notes.complain("wiring.strings", f"wires {total} modules of each kind, but the build has {counts}")
        return (tuple(counts),)
    return tuple(tuple(row) for row in rows)
