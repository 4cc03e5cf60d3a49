"""What `hobwind begin` writes can be made as it stands; what Shop finds in a fan that cannot names a cure that cures."""

from __future__ import annotations

import re
from functools import lru_cache

import pytest

from hobwind.build import Build, build_from_text, starter_text
from hobwind.shop.clamp import clamp
from hobwind.shop.order import faults as order_faults
from hobwind.shop.order_plan import plan
from hobwind.shop.sheets import shop_files, shop_sections
from hobwind.shop.sheets_svg import RED
from hobwind.shop.stackup import stack_up
from hobwind.shop_screen import shop_text
from hobwind.studies.headline import headline
from hobwind.studies.verdict import verdict


def begun(*changes: tuple[str, str]) -> Build:
    """The begun fan, with text in its file replaced; an empty replacement takes the line out."""
    text = starter_text("begun", "begun.toml")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new) if new else re.sub(rf"^.*{re.escape(old)}.*\n", "", text, flags=re.M)
    return build_from_text(text, "begun.toml")


@lru_cache
def told(*changes: tuple[str, str]) -> tuple[str, ...]:
    """Every finding of Shop."""
    build = begun(*changes)
    return tuple(found for one in shop_sections(build, headline(build)) for found in one.findings)


def test_a_begun_fan_is_sound_and_can_be_made() -> None:
    build = begun()
    judged = verdict(build)
    assert {one.severity for one in judged.findings} <= {"advice"}
    assert (
        min(one.margin for one in judged.margins) >= 10.0
    )  # K, as much as a cautious maker leaves; the sentence then says no "only"
    sections = shop_sections(build, judged.solved)
    assert [found for one in sections for found in one.findings if not found.startswith("advice: ")] == []
    assert not re.search(r"\b(fault|danger)\b", shop_text(build, sections, True))
    files = shop_files(build, sections, "A4")
    drawings = {name: data for name, data in files.items() if name.endswith(".svg")}
    assert len(drawings) > 15 and not [name for name, data in drawings.items() if RED in str(data)]
    assert order_faults(plan(build, clamp(build, judged.solved), stack_up(build, judged.solved))) == []


def test_the_red_of_a_sheet_is_seen_where_a_fan_cannot_be_made() -> None:
    """The looks above are not blind: the fins not cut back, the sink's sheet has red on it."""
    build = begun(("fins_cut", ""))
    sections = shop_sections(build, headline(build))
    assert [name for name, data in shop_files(build, sections, "A4").items() if name.endswith(".svg") and RED in str(data)]
    assert re.search(r"\bfault\b", shop_text(build, sections, True))


def test_a_pressure_that_falls_names_a_pressure_and_discs_that_hold_it() -> None:
    """At the least that modules want nothing under the heads helps; tighter and with the discs named, the finding is gone."""
    short = (("1.1 ± 0.4 MPa", "1.0 ± 0.4 MPa"), ('washer = "M4', ""), ("nested = 4", ""))
    (said,) = (one for one in told(*short) if "the pressure falls" in one)
    cure = re.search(r'tighten to (\d\.\d\d) MPa cold \(clamp\.pressure\).*screws\.washer = "(.+?)", nested = (\d)\)', said)
    assert cure is not None
    pressure, washer, nested = cure.groups()
    after = (("1.1 ± 0.4", f"{pressure} ± 0.4"), ("M4 disc washer", washer), ("nested = 4", f"nested = {nested}"))
    assert not [one for one in told(*after) if "the pressure falls" in one or "fault" in one]


@pytest.mark.parametrize("length", [80, 90])
def test_a_foot_too_low_for_any_strip_says_by_how_much(length: int) -> None:
    def at(tall: int) -> list[str]:
        changes = (('length = "110 mm"', f'length = "{tall} mm"'), ("220 mm", f"{tall + 110} mm"))
        return [one for one in told(*changes) if "no strip from" in one]

    (said,) = at(length)
    cure = re.search(r"a riser (\d+) mm longer", said)
    assert cure is not None and at(length + int(cure[1])) == []
    assert (
        at(length + int(cure[1]) - 2) != []
    )  # a millimetre is the step in which it is looked for, another is lost in rounding up
