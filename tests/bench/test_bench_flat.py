"""Faces: leaves and light, what they make of seat and joint, and the catalogue's modules a measured one is like."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hobwind.bench.flat import FaceReadings, Gap, gap_of, identify_face
from hobwind.bench.measured import Measured
from hobwind.bench.module_kinds import likest, likest_text, new_kind
from hobwind.errors import InputError
from hobwind.parts.catalogue import Shelf

SHELF = Shelf(None)
FILED, PLATE, GLASS = (SHELF.find("surface", name) for name in ("filed", "stove plate", "wet-and-dry on glass"))
LEAVES = [0.0, 0.02e-3, 0.03e-3, 0.04e-3, 0.05e-3, 0.06e-3, 0.08e-3, 0.1e-3, 0.15e-3, 0.2e-3]


def leaves(true: float) -> Gap:
    """The thickest leaf that goes and the thinnest that does not."""
    return Gap(max(one for one in LEAVES if one < true), min(one for one in LEAVES if one >= true))


def face(*gaps: Gap, **more: object) -> FaceReadings:
    return FaceReadings(gaps, 0.06, 0.06, "both ends", FILED, **more)  # type: ignore[arg-type]


def test_leaves_by_hand() -> None:
    """Between 0.05 and 0.06 mm, all equally likely: 0.055 ± 0.005/sqrt(3), and leaves of ± 5 µm."""
    found = gap_of(Gap(0.05e-3, 0.06e-3), 5e-6, "here")
    assert found.value == pytest.approx(0.055e-3)
    assert found.u == pytest.approx((2.0 * 25e-12 / 3.0) ** 0.5)
    assert gap_of(Gap(light="none"), 5e-6, "here").value == pytest.approx(1e-6)


def test_doubts_hold_the_truth() -> None:
    draw, off = np.random.default_rng(6), []
    for _ in range(600):
        true = draw.uniform(0.025e-3, 0.19e-3)
        found = gap_of(leaves(true + 5e-6 * draw.uniform(-1, 1)), 5e-6, "here")
        off.append(abs(found.value - true) / found.u)
    # Mostly one even error, that of the leaves' spacing: one u holds 58 % (GUM 4.3.7), two hold all but leaf errors.
    assert 0.55 < np.mean(np.array(off) < 1.0) < 0.72 and np.mean(np.array(off) < 2.0) > 0.94


def test_seat_gas_against_the_worked_row() -> None:
    """Crown of 0.1 mm, Y + M 8 µm, k .035: 911 W/m2K (exact). Here the air is 200 °C, k .0378 and Y + M about 9 µm by CoolProp
    and Yovanovich's law, which the closed form turns into 0.0378/1e-4 ln(1 + 1e-4/Y)."""
    found = identify_face(face(Gap(0.095e-3, 0.105e-3), Gap(0.05e-3, 0.06e-3), Gap(0.05e-3, 0.06e-3)))
    h = found.figure("carries").value
    standoff = 1e-4 / (np.exp(h * 1e-4 / 0.0378) - 1.0)
    # 1.53 σ (P/H)^-0.097 at P/H 1e-5 and σ 3 µm is 14.0 µm; the jump of air at 200 °C is 0.37 µm × 473/288 × 1.0.
    assert standoff == pytest.approx(14.0e-6 + 0.6e-6, rel=0.05)


def test_seat_of_two_faces_and_lines_for_a_build() -> None:
    found = identify_face(face(Gap(0.05e-3, 0.06e-3), other=PLATE))
    assert found.figure("seat_flatness").value == pytest.approx(0.055e-3 + 0.3e-3)
    assert found.figure("seat_roughness").value == pytest.approx((3.0**2 + 6.0**2) ** 0.5 * 1e-6)
    assert found.lines[0] == "[seat]" and found.lines[1].startswith('flatness = "0.355 ± 0.23')
    assert found.fit and "the plate is the worse face" in found.verdict
    bent = identify_face(replace(face(Gap(0.05e-3, 0.06e-3), other=PLATE), where="one way only"))
    assert bent.lines[-1] == 'bow = "1.0"' and bent.figure("carries").value > found.figure("carries").value


def test_short_edge_is_stretched_by_its_square() -> None:
    found = identify_face(replace(face(Gap(0.02e-3, 0.03e-3)), edge=0.03))
    assert found.figure("flatness").value == pytest.approx(4.0 * 0.025e-3)
    assert "covers 50% of the face" in " ".join(found.doubts)


def test_verdicts_and_slips() -> None:
    assert identify_face(replace(face(Gap(light="coloured")), made=GLASS)).fit
    rough = identify_face(face(Gap(0.4e-3, 0.5e-3)))
    assert not rough.fit and "Rub it wet" in rough.verdict
    assert any("Far less flat" in doubt for doubt in identify_face(replace(face(Gap(0.4e-3, 0.5e-3)), made=GLASS)).doubts)
    assert not identify_face(face(Gap(0.4e-3, 0.5e-3), other=PLATE)).fit
    for bad, says in [
        (face(), "gap: got none"),
        (face(Gap(0.06e-3, 0.05e-3)), "gap 1: the leaf of 0.06 mm goes but that of 0.05 mm does not"),
        (face(Gap()), "neither leaves nor light"),
        (replace(face(Gap(0.0, 1e-4)), edge=0.0), "10 to 1000 mm"),
    ]:
        with pytest.raises(InputError, match=says):
            identify_face(bad)


def test_each_catalogue_module_is_like_itself() -> None:
    for name in SHELF.names("module"):
        new = new_kind(SHELF.find("module", name))
        near = (Measured(one.value, 0.01 * one.value) for one in (new.seebeck, new.resistance, new.conductance))
        found = likest(*near, SHELF.find("module", name).width.value)
        assert name in [one for one, _ in found[:4]], (name, found)  # solders and makes share their figures
        assert sum(odds for _, odds in found) <= 1.0 + 1e-9


def test_like_none() -> None:
    assert likest(Measured(0.3, 0.001), Measured(0.1, 0.001), None) == []
    assert "like none" in likest_text([])
    assert likest_text([("a", 0.7), ("b", 0.2)]) == "Most like: a (70%), b (20%)."
