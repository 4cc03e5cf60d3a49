"""A guard whose small parts cannot be made is a fault, its mend can be made, and no other mend names one that cannot."""

from __future__ import annotations

from pathlib import Path

import pytest

from builds import NAMES, build_with, example, judged
from hobwind.build import Build, build_from_text
from hobwind.build.editing import put_lines
from hobwind.build.writing import whole_text
from hobwind.lifting.room import lacks
from hobwind.shop.stackup import stack_up
from hobwind.studies.findings import Finding, findings
from hobwind.studies.headline import headline
from hobwind.studies.verdict import verdict


def short() -> Build:
    """The boat shed on a riser of 90 mm: pin, springs, capsule, bridge and thin foot find no height under its hot plate."""
    return build_with(("riser", "length", '"90 mm"'), ("guard", "pin_length", '"45 mm"'))


def carried_out(build: Build, finding: Finding) -> Build:
    return build_from_text(put_lines(whole_text(build), finding.keys), Path("mended.toml"))


def test_a_guard_that_cannot_be_made_is_a_fault_with_a_mend_that_can() -> None:
    build = short()
    assert lacks(build)
    told = [one for one in verdict(build).findings if one.code == "guard-gear"]
    assert [one.severity for one in told] == ["fault"] and all(says in told[0].says for says in lacks(build))
    mended = carried_out(build, told[0])
    assert not lacks(mended)
    solved = headline(mended)
    stacked = stack_up(mended, solved)  # what Shop makes of it, part by part
    assert stacked is not None and stacked.recess - stacked.worst > 0.0
    assert not [one for one in findings(solved) if one.severity == "danger" or one.code == "guard-gear"]


@pytest.mark.parametrize("name", NAMES)
def test_no_mend_leads_to_a_guard_that_cannot_be_made(name: str) -> None:
    assert not lacks(example(name))
    found = judged(name).findings
    assert not [one for one in found if one.code == "guard-gear"]
    for one in found:
        if one.keys:
            assert not lacks(carried_out(example(name), one)), one.code
