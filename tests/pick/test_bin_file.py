"""Bin files: every fault at once in plain words; whatever is typed, read or refused and nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from bins import SHED, SMALL
from hobwind.build import build_from_text
from hobwind.build.bin_file import bin_from_text
from hobwind.build.bin_starter import bin_starter_text
from hobwind.errors import BuildError
from hobwind.studies.pick.fits import FITS
from hobwind.studies.pick.options import Options
from hobwind.studies.pick.sieve import Sieve

ODD = (
    '""',
    '"0 mm"',
    '"nan mm"',
    '"5 kg"',
    "-1",
    "true",
    "[]",
    "{}",
    '["1 mm", "me"]',
    '{ part = "copper" }',
    '"central lift"',
    '"x" ',
)


def faults(text: str) -> list[str]:
    with pytest.raises(BuildError) as caught:
        bin_from_text(text, "bad.toml")
    return [str(problem) for problem in caught.value.problems]


def test_all_faults_in_one_go_with_their_places() -> None:
    text = SMALL.replace('part = "amplifier sink 75 x 75"', 'part = "amplifier sink 75"')
    text = text.replace(
        'width = "60 mm"\ndepth = "60 mm"\nlength = "200 mm"', 'width = "60"\ndepth = "60 mm"\nlength = "200 mm"'
    )
    text = text.replace("money = 20", 'money = "much"\ntools = ["saw", "hammer"]').replace('air = "35 m³/h"', 'air = "35 m3"')
    text += '\n[[buy]]\nkind = "moter"\n[[buy]]\nkind = "motor"\npart = "solar motor"\n[[moter]]\n'
    found = "\n".join(faults(text))
    for told in (
        'sink[2].part: no sink named "amplifier sink 75". Nearest: "amplifier sink 75 x 75"',
        "bar[1].width: ",
        "wish.money: got 'much'; a plain number",
        "wish.tools: got ['saw', 'hammer']; a list of some of saw, drill press, taps, lathe",
        "wish.air: ",
        "buy[1].kind: got 'moter'; one of module, motor",
        "buy[2].price: got None; what it costs",
        'file.moter: unknown key; did you mean "motor"?',
    ):
        assert told in found, found


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("format = 1", "format = 7", "format: is 7, made by a newer hobwind"),
        ("[[motor]]", "[[bush]]", "motor: nothing of it; a fan needs one: add a section headed [[motor]]"),
        ("[[guard]]", "[[buy]]", "buy[1].kind"),
        ('lengths = ["80 mm", "110 mm"]', 'lengths = ["80 mm", "310 mm"]', "bar[1].lengths.2: "),
        ('lengths = ["80 mm", "110 mm"]', 'step = "0.6 mm"', "bar[1].step: gives 184 lengths; 1 to 60 are allowed"),
        ('part = "amplifier sink 75 x 75"', 'part = "amplifier sink 150 x 100"', "stands there twice"),
        ('part = "blade 150 mm 4"', 'part = "blade 150 mm 4"\nheight = "2 m"', "blade[1].height: is found by the pick"),
        ('part = "M4 stainless"', 'part = "M4 stainless"\ncircle = "50 mm"', "screws[1].circle: is found by the pick itself"),
        ('kind = "central lift"', 'kind = "none"', "guard[1].kind: "),
        ('stop = "2 mm"', 'stop = "2 mm"\nheights = [1.5]', "guard[1].heights: "),
        ('worst_plate = "320 °C"', 'worst_plate = "220 °C"', "must rise in this order"),
        ('thickness = "10 mm"', 'thickness = "10 mm"\nserves = "tea"', "plate[1].serves: "),
        ('part = "cooler 40 mm 6 A"\ncount = 2', 'part = "cooler 40 mm 6 A"\ncount = 2.5', "module[1].count: "),
        ("[stove]", "[[riser]]\n[stove]", "is a section of a build file"),
    ],
)
def test_one_fault(old: str, new: str, told: str) -> None:
    assert old in SMALL
    assert any(told in one for one in faults(SMALL.replace(old, new, 1)))


@pytest.mark.parametrize("odd", ODD)
def test_whatever_is_typed_is_read_or_refused(odd: str) -> None:
    """Each value of the small bin in turn replaced by an odd one."""
    lines, read = SMALL.splitlines(), 0
    for i, line in enumerate(lines):
        if " = " not in line:
            continue
        text = "\n".join([*lines[:i], f"{line.split(' = ')[0]} = {odd}", *lines[i + 1 :]])
        try:
            Options(bin_from_text(text)).spaces()
            read += 1
        except BuildError as error:
            assert all(one.place and one.says for one in error.problems)
    assert read < len(lines) // 2


def test_parts_beside_the_bin_are_written_out(tmp_path) -> None:
    """A part out of the bin's own parts folder stands whole in the build file, which may then lie anywhere."""
    from hobwind.build import build_from_text, digest
    from hobwind.build.bin_build import Choice, Maker, Mix

    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "motor.toml").write_text(
        '["my motor"]\nresistance = "9 Ω"\ntorque_constant = "8 mN·m/A"\nfriction = "100 µN·m"\nbreakaway = "200 µN·m"\n'
        'drag = "20 nN·m·s"\nbrush_drop = "0.02 V"\nmagnet = "ferrite"\nmagnet_coefficient = "-0.002 1/K"\nlimit = "80 °C"\n'
        'diameter = "24 mm"\nlength = "12 mm"\nmass = "23 g"\nheat_capacity = "10 J/K"\n',
        "utf-8",
    )
    bin = bin_from_text(SMALL.replace("CD spindle motor", "my motor"), "bin.toml", tmp_path)
    maker, choice = Maker(bin), Choice(Mix(((0, 1),), ((1,),)), 0, 0, 0, (0, 0.08), -1, -1, (0, 0), (0, 0, 0.5))
    text = maker.text(choice, "a test")
    assert digest(build_from_text(text)) == digest(maker.build(choice)) and 'name = "my motor"' in text


def test_starter_and_shed_read_without_a_word() -> None:
    assert bin_from_text(bin_starter_text('A "shelf" \\ {x}', "a.toml")).of("bar")[0].thing.lengths == (0.11, 0.12, 0.13)
    assert bin_from_text(SHED.read_text("utf-8")).name == "Boat shed bin"


def test_where_the_blade_stands_comes_into_every_build() -> None:
    """Not said, it is the build file's usual place; said, it is in the file too, as it is shown there."""
    bare = Sieve(Options(bin_from_text(SMALL)))
    told = Sieve(Options(bin_from_text(SMALL + '\n[fan]\nhub_before = "-8 ± 3 mm"\n')))
    for sieve, before, half in ((bare, 0.012, 0.020), (told, -0.008, 0.003)):
        (space,) = sieve.options.spaces()
        rows = space.places(np.arange(space.size))
        choice = sieve.options.choice(rows[sieve.fits.reasons(rows) == FITS][0])
        again = build_from_text(sieve.fits.maker.text(choice, "a test"))
        for build in (again, sieve.fits.maker.build(choice)):
            assert (build.blade.before_sink.value, build.blade.before_sink.half) == (pytest.approx(before), pytest.approx(half))


def test_lengths_in_steps() -> None:
    text = SMALL.replace('lengths = ["80 mm", "110 mm"]', 'shortest = "50 mm"\nlongest = "90 mm"\nstep = "20 mm"')
    assert bin_from_text(text).of("bar")[0].thing.lengths == (0.05, 0.07, 0.09)
    whole = SMALL.replace('lengths = ["80 mm", "110 mm"]', "sawn = false")
    assert bin_from_text(whole).of("bar")[0].thing.lengths == (0.2,)


def test_a_blade_says_how_many_vanes_it_has_and_how_many_there_are() -> None:
    """`vanes` becomes the build's blade.count, in what is read and in the file that is written; `count` stays a number of parts."""
    text = SMALL.replace('part = "blade 150 mm 4"', 'part = "blade 150 mm 4"\ncount = 2\nvanes = 7', 1)
    assert text != SMALL
    read = bin_from_text(text)
    blade = read.of("blade")[0]
    assert (blade.count, blade.thing.count) == (2, 7) and bin_from_text(SMALL).of("blade")[0].thing.count == 4
    options, sieve = Options(read), Sieve(Options(read))
    rows = options.spaces()[0].places(np.arange(min(options.spaces()[0].size, 20_000)))
    choices = (options.choice(row) for row in rows[sieve.fits.reasons(rows) == FITS])
    choice = next(one for one in choices if one.blade == 0)
    written = build_from_text(sieve.fits.maker.text(choice, "Seven vanes"))
    assert sieve.fits.maker.build(choice).blade.part.count == written.blade.part.count == 7
    assert any(
        "blade[1].vanes: got 0; a whole number from 1 to 30" in one for one in faults(text.replace("vanes = 7", "vanes = 0"))
    )
    assert any("blade[1].vanes" in one for one in faults(text.replace("vanes = 7", 'vanes = "five"')))
