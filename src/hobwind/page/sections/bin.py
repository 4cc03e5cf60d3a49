"""Bin: bench tests, parts on hand, what they can become, and somebody's build followed with them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Response
from pydantic import BaseModel, Field

from ...bench.forms import template
from ...bench.readings import TESTS, find_test
from ...bench.scrap import MINUTE_TESTS
from ...bench_sheet import setup_svg, sheet_file
from ...build.bin_file import bin_from_text
from ...build.bin_starter import bin_starter_text
from ...build.editing import put_lines, put_value
from ...examples import example
from ...files import read_text
from .. import bench_parts, benches, bin_editing, bins, picks
from ..asking import Asked, BuildText, Shop, Text
from ..jobs import JobState
from ..recordings import keep_recording
from ..trial_logs import Base64, bytes_of
from .table import Section, Visit

router = APIRouter()
MOST_TRIED = 5_000_000
EXAMPLE_BIN = "boat-shed-bin"
Entry = Annotated[dict[Annotated[str, Field(max_length=40)], Annotated[str, Field(max_length=300)]], Field(max_length=12)]
Name = Annotated[str, Field(min_length=1, max_length=80)]


class BinText(Asked):
    """A bin as the tab holds it."""

    bin: Annotated[str, Field(max_length=200_000, description="the text of a bin file")]


class NewBin(BaseModel):
    """Text of a bin."""

    bin: str


class BinFiles(BaseModel):
    """Files in the folder that look like bins."""

    names: list[str]


class Tests(BaseModel):
    """All bench tests."""

    tests: list[benches.TestOut]


class Readings(Asked):
    """Readings of one bench test."""

    test: str = Field(max_length=40)
    answers: benches.Answers


class KeepInBin(Readings):
    """Readings whose part goes into a bin under a name."""

    bin: Text
    name: Name


class KeepInBuild(Readings):
    """Readings whose part goes into a build."""

    text: Text


class BuildOut(BaseModel):
    """Text of a build."""

    text: str


class Add(BinText):
    """One entry to put in: a kind of part, and its keys as typed; `price` makes it one that may be bought."""

    kind: str = Field(max_length=20)
    values: Entry
    price: float | None = Field(default=None, ge=0.0, le=1e6)


class Out(BinText):
    """One entry to take out, by its heading and number."""

    heading: str = Field(max_length=20)
    number: int = Field(ge=1, le=400)


class Wish(BinText):
    """One wish to set; "" takes it out."""

    place: str = Field(max_length=40)
    value: str = Field(max_length=80)


class Way(BinText):
    """A way of guarding to be tried, or no longer."""

    key: str = Field(max_length=40)
    on: bool


class PickAsked(BinText):
    """A bin, how many answers, how many combinations at most, and the seed of the draw."""

    shown: int = Field(default=3, ge=1, le=20)
    most: int = Field(default=MOST_TRIED, ge=1, le=50_000_000)
    seed: int = Field(default=1, ge=0, lt=2**32)


class FollowAsked(BuildText):
    """Somebody's build, my bin, and a build of mine to hold it against ("" for none)."""

    bin: Text
    mine: Text = ""


@router.get("/tests")
def bench_tests() -> Tests:
    """Every bench test: what it asks for, and invented readings to look at."""
    return Tests(tests=list(benches.tests()))


@router.post("/bench")
def bench(asked: Readings, workshop: Shop) -> benches.BenchOut:
    """What readings come to so far, or what is wrong with them or wanting."""
    return benches.bench(asked.test, asked.answers, workshop.folder)


class Recording(Asked):
    """A recording as it came from a phone."""

    name: str = Field(max_length=200)
    data: Base64


class RecordingOut(BaseModel):
    """What the recording is called in the folder, as readings name it."""

    name: str


@router.post("/recording")
def recording(asked: Recording, workshop: Shop) -> RecordingOut:
    """Keep a recording beside the builds, under a name of its own."""
    data = bytes_of("the recording", asked.data)
    return RecordingOut(name=keep_recording(workshop.folder, asked.name, data))


@router.post("/keep-in-bin")
def keep_in_bin(asked: KeepInBin, workshop: Shop) -> NewBin:
    """Put a measured part into a bin."""
    result = benches.measured(asked.test, asked.answers, workshop.folder)
    entry = bench_parts.as_item(result, asked.name)
    return NewBin(bin=bin_editing.put_in(asked.bin, bench_parts.GOES[result.kind][0], entry, workshop.folder))


@router.post("/keep-in-build")
def keep_in_build(asked: KeepInBuild, workshop: Shop) -> BuildOut:
    """Put a measured part, or what was measured of a joint, into a build; one that it spoils is refused."""
    result = benches.measured(asked.test, asked.answers, workshop.folder)
    text = put_lines(asked.text, bench_parts.as_lines(result))
    workshop.read(text)
    return BuildOut(text=text)


@router.get("/files")
def files(workshop: Shop) -> BinFiles:
    """List the bins in the folder."""
    return BinFiles(names=bins.bin_files(workshop.folder))


@router.get("/adding")
def adding(workshop: Shop) -> bins.Adding:
    """What may be put into a bin."""
    return bins.adding(workshop.folder)


@router.get("/example")
def example_bin() -> NewBin:
    """The boat shed's bin, invented."""
    return NewBin(bin=read_text(example(EXAMPLE_BIN)))


@router.get("/starter")
def starter() -> NewBin:
    """A bin to start from: commented, with invented figures."""
    return NewBin(bin=bin_starter_text("My bin", "my-bin.toml"))


@router.post("/look")
def look(asked: BinText, workshop: Shop) -> bins.BinOut:
    """What a bin holds, however unfinished."""
    return bins.look(asked.bin, workshop.folder)


@router.post("/add")
def add(asked: Add, workshop: Shop) -> NewBin:
    """Put one entry in."""
    values: dict[str, Any] = {key: value.strip() for key, value in asked.values.items() if value.strip()}
    for key in ("count", "vanes"):
        if str(values.get(key, "")).isdigit():
            values[key] = int(values[key])
    if values.get("sawn") in ("yes", "no"):
        values["sawn"] = values["sawn"] == "yes"
    if asked.price is None:
        return NewBin(bin=bin_editing.put_in(asked.bin, asked.kind, values, workshop.folder))
    return NewBin(
        bin=bin_editing.put_in(asked.bin, "buy", {"kind": asked.kind, **values, "price": asked.price}, workshop.folder)
    )


@router.post("/take-out")
def take_out(asked: Out) -> NewBin:
    """Take one entry out."""
    return NewBin(bin=bin_editing.take_out(asked.bin, asked.heading, asked.number))


@router.post("/wish")
def wish(asked: Wish, workshop: Shop) -> NewBin:
    """Set one wish."""
    new = put_value(asked.bin, asked.place, bin_editing.wish_value(asked.place, asked.value))
    bin_editing.check_change(asked.bin, new, workshop.folder)
    return NewBin(bin=new)


@router.post("/way")
def way(asked: Way, workshop: Shop) -> NewBin:
    """Try a way of guarding, or no longer."""
    new = bin_editing.set_way(asked.bin, asked.key, asked.on, workshop.folder)
    bin_editing.check_change(asked.bin, new, workshop.folder)
    return NewBin(bin=new)


@router.post("/pick")
def start_pick(asked: PickAsked, workshop: Shop) -> JobState:
    """Try every combination; the job's result is a `PickOut`."""
    read = bin_from_text(asked.bin, "bin", workshop.folder.path)
    return workshop.jobs.start(
        "pick", lambda watch: picks.ranked(read, asked.seed, asked.most, asked.shown, watch).model_dump()
    )  # fmt: skip


@router.post("/follow")
def start_follow(asked: FollowAsked, workshop: Shop) -> JobState:
    """Rebuild somebody's fan with the bin; the job's result is a `FollowOut`."""
    theirs, read = workshop.read(asked.text), bin_from_text(asked.bin, "bin", workshop.folder.path)
    mine = workshop.read(asked.mine) if asked.mine and asked.mine != asked.text else None
    return workshop.jobs.start("follow", lambda watch: picks.followed(theirs, read, mine, watch).model_dump())


@router.get("/setup/{name}", response_class=Response, responses={200: {"content": {"image/svg+xml": {}}}})
def setup(name: str) -> Response:
    """The drawn set-up of one bench test."""
    return Response(setup_svg(find_test(name)), media_type="image/svg+xml")


@router.get("/sheet/{name}", response_class=Response, responses={200: {"content": {"application/pdf": {}}}})
def sheet(name: str) -> Response:
    """One bench procedure as a page of A4 to print and write on."""
    test = find_test(name)
    headers = {"Content-Disposition": f'attachment; filename="bench-{test.name}.pdf"'}
    return Response(sheet_file(test, ".pdf"), media_type="application/pdf", headers=headers)


def context(visit: Visit) -> Mapping[str, Any]:
    """Keep or scrap, and every bench test with its drawn set-up; without scripts the blanks to fill in too."""
    rows = [(test, template(test.form) if visit.plain else []) for test in TESTS.values()]
    return {"minutes": MINUTE_TESTS, "tests": rows, "bins": bins.bin_files(visit.workshop.folder)}


SECTION = Section(
    key="bin", title="Bin", says="Parts on hand, bench tests, and what they can become.", template="bin.html", router=router,
    script="bin.js", context=context,
)  # fmt: skip
