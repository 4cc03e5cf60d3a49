"""Two changes at once, for a build that no single one saves: what cools an ordinary evening, and a lift for the hard one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

import numpy as np

from ..build import Build
from ..build.checks import impossible
from ..stack.keeping import End
from ..stack.prepare import prepare
from . import mends
from .beside import own_foot
from .guards_batch import FACE, fire_of, part_margins, run_stacks
from .guards_sizes import PAIRED, Sized

COOLER = (10.0, 15.0, 20.0, 30.0)  # K below its limit to which a face is first cooled in an ordinary evening
ELEMENTS = 3  # of those a foot of its own is tried with
OTHERS = 7.0  # K that every other part must then have in hand


def cooled(sizes: Sequence[Sized]) -> Iterator[Sized]:
    """The mildest sizes that keep an ordinary evening's face 10, 15, 20 and 30 K below its limit, all other parts well below.

    Args:
        sizes: of one kind of change, the mildest first; what cannot be made is left out.

    Returns:
        At most four of them, each once.
    """
    sizes = [one for one in sizes if not impossible(one.build, [])]
    if not sizes:
        return
    usual = run_stacks([prepare(one.build) for one in sizes], [fire_of(one.build, "usual") for one in sizes])
    left = [part_margins(one.build, end) for one, end in zip(sizes, usual, strict=True)]
    fit = [i for i, has in enumerate(left) if min(has.values()) >= OTHERS and np.isfinite(usual[i, End.starts_at])]
    places = (next((i for i in fit if left[i][FACE] >= cooler), None) for cooler in COOLER)
    for place in dict.fromkeys(places):
        if place is not None:
            yield sizes[place]


def cooler_and_lifted(build: Build) -> mends.Changes:
    """A cooler fan, and a central lift whose element stands beside it on a thin foot, on top; for a fan without a guard."""
    if build.guard.kind != "none":
        return
    for _, sizes in PAIRED:
        for one in cooled(sizes(build)):
            for says, made in islice(own_foot(one.build), ELEMENTS):
                yield f"{one.says} and {says}", made
