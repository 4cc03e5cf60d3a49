"""The boat shed holds what it promises, and every place in its verdicts stands on something computed."""

from __future__ import annotations

import json
import re

import numpy as np
import pytest

from builds import NAMES, ROOT, changed, example, judged, text_of
from hobwind.build import build_from_text
from hobwind.odds_screen import odds_text
from hobwind.screens import verdict_text
from hobwind.stack.fields import Seen
from hobwind.stack.keeping import End
from hobwind.studies.ledger import ledger
from hobwind.studies.odds import odds
from hobwind.studies.report import check_report
from hobwind.studies.telling import ADVICE, DANGER, FAULT
from hobwind.studies.verdict import verdict


def severities(name: str) -> set[str]:
    return {one.severity for one in judged(name).findings}


def codes(name: str, severity: str) -> set[str]:
    return {one.code for one in judged(name).findings if one.severity == severity}


def test_boat_shed_is_sound() -> None:
    assert not judged("boat-shed").dangers
    assert severities("boat-shed") <= {ADVICE}
    assert float(judged("boat-shed").solved.worst.end[End.lifts]) >= 1.0


def test_without_guard_the_modules_cook() -> None:
    assert judged("boat-shed-no-guard").dangers
    assert "module-too-hot" in codes("boat-shed-no-guard", DANGER)
    assert "fit a guard" in judged("boat-shed-no-guard").sentence


def test_hunting_is_found_named_and_measured() -> None:
    found = judged("boat-shed-hunting")
    assert "hunts" in codes("boat-shed-hunting", FAULT) | codes("boat-shed-hunting", DANGER)
    hunting = found.solved.worst.hunting or found.solved.usual.hunting
    assert hunting is not None and hunting.lifts >= 3
    assert hunting.high - hunting.low > 5.0
    assert 60.0 < hunting.period < 3600.0


def test_a_guard_that_stands_alone_is_told() -> None:
    """Stuck, it is as if there were none: as hot as the same fan without one, but for what the element's holder carries."""
    (told,) = [one for one in judged("boat-shed").findings if one.code == "guard-alone"]
    hot, minutes = map(int, re.findall(r"face to (\d+) °C, above its limit for (\d+) min", told.says)[0])
    bare = judged("boat-shed-no-guard").solved.worst
    assert 0.0 <= bare.end[End.peak_hot] - 273.15 - hot < 5.0 and abs(bare.end[End.above] / 60.0 - minutes) < 5.0
    wax = example("boat-shed").guard.element
    assert wax is not None and wax.creep.value > 0.0
    share = (95.0 + 273.15 - wax.opens.value) / (wax.full.value - wax.opens.value)
    assert f"at 95 °C its pin must stand {share * wax.travel.value * 1e3:.1f} mm" in told.mend
    assert "guard-alone" not in {one.code for name in NAMES if "no-guard" in name for one in judged(name).findings}


def test_steel_screws_steal_a_tenth() -> None:
    assert not judged("boat-shed-steel-screws").dangers
    assert "screws-steal" in codes("boat-shed-steel-screws", ADVICE)
    seen = judged("boat-shed-steel-screws").solved.usual_point.seen
    assert seen[Seen.screw_heat] >= 0.1 * seen[Seen.seat_heat]


def test_soft_solder_does_not_live() -> None:
    assert judged("boat-shed-soft-solder").dangers
    assert len(example("boat-shed-soft-solder").modules) == 1 and example("boat-shed-soft-solder").modules[0].count == 1


@pytest.mark.parametrize("name", NAMES)
def test_verdict_stands_on_its_figures(name: str) -> None:
    found = judged(name)
    entries = ledger(found.solved.usual_point.seen)
    assert sum(e.watts for e in entries[1:]) == pytest.approx(entries[0].watts, rel=1e-9)
    assert [m.margin for m in found.margins] == sorted(m.margin for m in found.margins)
    peak, _ = found.solved.peak_face
    assert peak >= float(found.solved.worst.end[End.peak_hot]) - 1e-9
    for one in found.findings:
        assert one.says and one.mend and one.source
        assert any(letter.isdigit() for letter in one.says)
    assert found.cautions[0].startswith("If it happens now") == found.dangers
    sources = (ROOT / "docs" / "sources.md").read_text("utf-8")
    for source in {m.source for m in found.margins} | {f.source for f in found.findings}:
        assert f"| {source} |" in sources, source


@pytest.mark.parametrize("name", NAMES)
def test_mends_do_what_they_say(name: str) -> None:
    """A mend that names the hottest face was solved; a danger's mend leaves that part below its limit."""
    for one in judged(name).findings:
        if one.severity == DANGER and one.code == "module-too-hot" and "brings the hottest face" in one.mend:
            assert "never starts" not in one.mend


def test_two_runs_are_the_same_bytes() -> None:
    first = json.dumps(check_report(judged("boat-shed-hunting")))
    second = json.dumps(check_report(verdict(example("boat-shed-hunting"))))
    assert first == second


def test_limits_reached_between_points_of_the_map() -> None:
    solved = judged("boat-shed-no-guard").solved
    reached = solved.limit_reached_at
    assert reached is not None
    plates = np.array([p.plate for p in solved.map.from_rest])
    margins = np.array([p.seen[Seen.margin] for p in solved.map.from_rest])
    assert margins[plates < reached - 6.0].min() > 0.0 > margins[plates > reached + 6.0].max()


def test_readme_shows_what_the_program_says() -> None:
    """Every indented line of the README's sample verdict stands in the real one."""
    text = (ROOT / "README.md").read_text("utf-8")
    sample = text.split("A verdict looks like this")[1].split("Each mend was tried")[0].splitlines()[1:]
    real = verdict_text(judged("boat-shed-hunting"))
    lines = [line[4:] for line in sample if line.startswith("    ")]
    assert len(lines) > 6
    for line in lines:
        assert line in real, line


def test_readme_shows_the_odds_that_the_program_throws() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    sample = text.split("(the boat shed, shortened):\n\n")[1].split("\n\n")[0].splitlines()
    real = " ".join(odds_text(odds(example())).split())
    assert len(sample) > 5
    assert [line for line in sample if not line.startswith("    ") or " ".join(line.split()) not in real] == []


def test_a_mend_carried_out_comes_out_as_promised() -> None:
    """The no-guard build with the printed lines typed in: no danger, and the face that was promised."""
    danger = next(one for one in judged("boat-shed-no-guard").findings if one.code == "module-too-hot")
    text = text_of("boat-shed-no-guard")
    for line in danger.keys:
        place, value = line.split(" = ", 1)
        section, key = place.rsplit(".", 1)
        text = changed(text, section, key, value)
    mended = verdict(build_from_text(text))
    assert not mended.dangers
    promised = re.search(r"hottest face to (\d+) °C", danger.mend)
    assert promised is not None
    assert abs(mended.solved.peak_face[0] - 273.15 - float(promised[1])) < 1.5  # both rounded to whole degrees
    # The catalogue has an element that leaves room; one that leaves none must not be offered before it.
    assert min(one.margin for one in mended.margins) > 10.0 and "K left" in danger.mend


def test_nothing_is_called_in_time_that_hangs_by_a_hair() -> None:
    """The guard moved by hand to where a hotter element leaves the face next to nothing: said on top, and no longer advice.

    The same build with a module that bears 4 K more than its hottest face ever gets: within 5 K of harm.
    """
    peak = judged("boat-shed").solved.peak_face[0] - 273.15
    close = verdict(build_from_text(changed(text_of("boat-shed"), "modules", "hot_limit", f'"{peak + 4.0:.1f} °C"')))
    thin = next(one for one in close.findings if one.code == "thin-margin")
    assert thin.severity == FAULT and "in time" not in close.sentence and "comes within 4 K of harm" in close.sentence
    assert not close.dangers and all("lapping" not in one.mend for one in close.findings)  # it would let more heat in
    near = verdict(build_from_text(changed(text_of("boat-shed"), "modules", "hot_limit", f'"{peak + 8.0:.1f} °C"')))
    assert "in time, with only 8 K to spare" in near.sentence
