"""Lapping, wiring, build order and parts list: grits of ISO 6344, copper of IEC 60228, gauges of ASTM B258, and graphs by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from builds import NAMES, build_with, example, judged
from hobwind.shop.flatness import GRITS, flatness_section, grit_sequence, lapping
from hobwind.shop.order import Plan, Step, faults, in_order, way_back
from hobwind.shop.order_plan import parts_of, plan
from hobwind.shop.parts_list import changed_parts, parts_list
from hobwind.shop.topics import topics
from hobwind.shop.wiring import diagram, gauge_number, lead_resistance, wires, wiring_section


# ISO 6344 (read to P120, the rest from memory), micrometres.
@pytest.mark.parametrize(
    ("grit", "grain"),
    [("P80", 201), ("P120", 125), ("P240", 58.5), ("P400", 35.0), ("P600", 25.8), ("P1000", 18.3), ("P2000", 10.3)],
)
def test_grains_are_the_standard_s(grit: str, grain: float) -> None:
    assert GRITS[grit] == pytest.approx(grain)


@pytest.mark.parametrize(
    ("before", "wanted"), [(0.5e-3, 0.015e-3), (0.1e-3, 0.015e-3), (0.06e-3, 0.03e-3), (0.02e-3, 0.015e-3)]
)
def test_grits_go_down_in_steps_that_take_the_last_scratches_out(before: float, wanted: float) -> None:
    grains = [GRITS[name] for name in grit_sequence(before, wanted)]
    assert grains and all(0.35 < after / earlier < 1.0 for earlier, after in pairwise(grains))  # about a half (practice)
    assert grains[-1] <= 1.25 * max(wanted * 1e6, 10.3)


def test_a_flat_face_is_left_alone() -> None:
    assert grit_sequence(0.01e-3, 0.015e-3) == ()
    build = build_with(("seat", "flatness", '"0.01 mm"'))
    assert "Leave it" in flatness_section(lapping(build), judged().solved).lines[0]


def test_lapping_buys_heat_and_costs_margin() -> None:
    section = flatness_section(lapping(example()), judged().solved)
    before, after = section.data["before"], section.data["after"]
    assert after["seat_takes_K"] < before["seat_takes_K"] and after["air_m3_per_h"] > before["air_m3_per_h"]
    assert after["smallest_face_margin_K"] < before["smallest_face_margin_K"]


# IEC 60228, largest resistance at 20 °C of flexible copper, ohm/km (from memory): 0.5 mm2 39.0, 0.75 26.0, 1.0 19.5, 1.5 13.3, 2.5 7.98.
@pytest.mark.parametrize(("area", "ohm_per_km"), [(0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98)])
def test_copper_is_as_good_as_the_standard_allows(area: float, ohm_per_km: float) -> None:
    """The standard's figure includes the strands' lay and tolerance: 8 to 16 % above solid copper of the nominal area."""
    solid = 0.5 * lead_resistance(area * 1e-6, 1000.0)
    assert 1.08 < ohm_per_km / solid < 1.17
    assert lead_resistance(area * 1e-6, 1.0, 393.15) / lead_resistance(area * 1e-6, 1.0) == pytest.approx(1.393)


# ASTM B258 (from memory): area in mm2 of AWG sizes.
@pytest.mark.parametrize(("gauge", "area"), [(16, 1.309), (18, 0.823), (20, 0.518), (22, 0.326), (24, 0.205), (26, 0.129)])
def test_gauges(gauge: int, area: float) -> None:
    # A size is a quarter larger in area than the next: a tenth more or less is still the same size.
    assert {gauge_number(area * share * 1e-6) for share in (0.905, 1.0, 1.105)} == {gauge}


def test_thin_or_cheap_wire_is_found() -> None:
    thin = build_with(
        ("wiring", "wire_area", '"0.05 mm²"'), ("wiring", "lead_length", '"1.5 m"'), ("wiring", "leads", '"0.05 Ω"')
    )
    found = wiring_section(thin, judged().solved).findings
    assert any("leads eat" in line for line in found) and any("more than wiring.leads" in line for line in found)
    soft = build_with(("wiring", "solder", '"138 °C"'), ("wiring", "limit", '"105 °C"'))
    found = wiring_section(soft, judged().solved).findings
    assert any("solder of 138 °C" in line for line in found) and any("danger: the wire bears 105 °C" in line for line in found)


def test_solder_is_unknown_until_somebody_says_which() -> None:
    """183 °C tin-lead and 138 °C bismuth-tin (module-notes) are both named; the catalogue's guess of a module's is called one."""
    unsaid = wiring_section(example(), judged().solved)
    told = " ".join(unsaid.lines)
    assert unsaid.data["solder_degC"] is None and "the build does not say (wiring.solder)" in told and "not marked" in told
    assert "138 °C" in told and "183 °C" in told and "The solder on the joints melts" not in told
    said = wiring_section(build_with(("wiring", "solder", '"221 °C"')), judged().solved)
    assert said.data["solder_degC"] == 221.0 and "The solder on the joints melts at 221 °C" in " ".join(said.lines)
    known = wiring_section(build_with(("modules", "solder", '"232 °C"')), judged().solved)
    assert "cooler 40 mm 6 A melts at 232 °C" in " ".join(known.lines) and "not marked" not in " ".join(known.lines)


def test_leads_by_hand() -> None:
    """0.2 m of 0.5 mm2 each way, cold: 2 x 1.7241e-8 x 0.2/0.5e-6 = 13.79 mohm."""
    assert lead_resistance(0.5e-6, 0.2) == pytest.approx(13.79e-3, abs=1e-5)
    assert wires(example(), judged().solved).resistance > 13.79e-3


def test_the_diagram_shows_every_module_once() -> None:
    build = build_with(("modules", "count", "4"), ("wiring", "arrangement", '"groups"'), ("wiring", "strings", "[[2], [2]]"),
                       ("hot_plate", "width", '"100 mm"'), ("hot_plate", "depth", '"100 mm"'), ("screws", "along", '"90 mm"'))  # fmt: skip
    assert re.findall(r">(M\d)<", diagram(build)) == ["M1", "M2", "M3", "M4"]
    assert "2 strings side by side: M1 + to − M2; M3 + to − M4" in wiring_section(build, judged().solved).lines[0]


def made(name: str = "boat-shed-hunting") -> Plan:
    return plan(example(name), None, None)


@pytest.mark.parametrize("name", NAMES)
def test_every_example_can_be_built_in_its_order(name: str) -> None:
    found = made(name)
    assert faults(found) == []
    assert {part for step in found.steps for part in step.fits} == set(parts_of(example(name)))


def test_a_part_taken_out_of_its_step_is_caught() -> None:
    whole = made()
    for step in whole.steps:
        for part in step.fits:
            less = replace(step, fits=tuple(one for one in step.fits if one != part))
            broken = replace(whole, steps=tuple(less if one is step else one for one in whole.steps))
            assert f"{part} is fitted in no step" in faults(broken)


def test_closing_too_early_is_caught() -> None:
    """The hot plate closes pin and element in: done before them, both are outside."""
    keys = [step.key for step in made().steps]
    early = [key for key in keys if key not in ("pin", "element")]
    early.insert(early.index("hot-plate") + 1, "pin")
    early.insert(early.index("pin") + 1, "element")
    told = faults(made(), early)
    assert any("hot-plate closes too early: push pin is not in yet" in line for line in told)
    assert any("wax element cannot be fitted in element: hot-plate has closed it in" in line for line in told)


def test_a_step_left_out_doubled_or_unchecked_is_caught() -> None:
    whole = made()
    keys = [step.key for step in whole.steps]
    assert 'step "clamp" is left out' in faults(whole, [key for key in keys if key != "clamp"])
    blind = replace(whole, steps=tuple(replace(step, checks=()) if step.key == "clamp" else step for step in whole.steps))
    assert any("without a check" in line for line in faults(blind))
    twice = replace(whole, steps=(*whole.steps, Step("again", "", ("blade",))))
    assert any("blade is fitted twice" in line for line in faults(twice))


def test_steps_in_a_ring_are_refused() -> None:
    with pytest.raises(ValueError, match="wait for each other: a, b"):
        in_order([Step("a", "", needs=("b",)), Step("b", "", needs=("a",))])


def test_the_way_back_by_hand() -> None:
    """a, then b on a, then c closes a in: to reach a, undo c and a, and b that rests on a: 3 x 10 minutes, half as much again."""
    steps = in_order(
        [Step("c", "", ("lid",), ("b",), closes=("core",)), Step("b", "", ("ring",), ("a",)), Step("a", "", ("core",))]
    )
    assert [step.key for step in steps] == ["a", "b", "c"]
    back = way_back(Plan(("core", "ring", "lid"), steps), "core")
    assert back.undo == ("c", "b", "a") and back.minutes == 45


def test_a_carrier_tube_and_washers_come_into_order_and_list() -> None:
    build = build_with(
        ("guard", "carrier_length", '"8 mm"'), ("screws", "washer", '"M4 disc washer"'), ("screws", "nested", "2")
    )
    found = plan(build, None, None)
    assert faults(found) == []
    rows = {row.part: row for row in parts_list(build, found)}
    assert rows["washers"].count == 8 and "8 mm" in rows["carrier tube"].what


def test_what_another_build_takes_and_leaves_over() -> None:
    before = example("boat-shed")
    assert changed_parts(before, before) == ((), ())
    after = build_with(("motor", "part", '"coreless motor"'), ("screws", "washer", '"M4 disc washer"'))
    wanted, left = changed_parts(before, after)
    struts = [[one for one in side if one.startswith("motor strut")] for side in (wanted, left)]
    assert all(len(one) == 1 for one in struts)  # a heavier motor wants a stiffer one
    rest = [tuple(one for one in side if not one.startswith("motor strut")) for side in (wanted, left)]
    # 12 mm free less 11.1 of parts: a spacer of 0.9; with a disc of 0.4 there are 0.5 left, which filing takes up.
    assert [tuple(one.split(",")[0] for one in side) for side in rest] == [
        ("washers: 4 x M4 disc washer", "motor: coreless motor"),
        ("spacers: 4 x stainless 304", "motor: CD spindle motor"),
    ]
    assert changed_parts(after, before) == (left, wanted)


@pytest.mark.parametrize("name", NAMES)
def test_topics_speak_plainly(name: str) -> None:
    from test_layers import kept_off

    found = topics(example(name), judged(name).solved)
    assert [one.key for one in found] == ["clamp", "stack-up", "flatness", "wiring", "order", "parts"]
    said = " ".join(" ".join((*one.lines, *one.findings)) for one in found)
    assert "nan" not in said.split() and "None" not in said
    for word in kept_off():
        assert not re.search(rf"\b{re.escape(word)}\b", said, re.I), word
