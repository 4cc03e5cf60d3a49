"""Bin without a browser: readings against hand calculation, entries put in and taken out, nothing read outside the folder."""

from __future__ import annotations

import contextlib
import re
import tomllib
from pathlib import Path

import httpx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds import ROOT
from hobwind.bench.readings import TESTS
from hobwind.build import build_from_text
from hobwind.build.bin_file import bin_from_text
from hobwind.build.editing import put_lines
from hobwind.errors import BuildError, HobwindError, InputError
from hobwind.page import bench_parts, benches, bin_editing, bins, picks
from hobwind.page.bin_ways import WAYS
from hobwind.page.jobs import Watch
from hobwind.page.keeping import Folder
from hobwind.page.recordings import keep_recording
from jobs_done import done

BIN = (ROOT / "examples" / "boat-shed-bin.toml").read_text("utf-8")
BUILD = (ROOT / "examples" / "boat-shed.toml").read_text("utf-8")
HERE = Folder(ROOT / "examples")


def readings(rows: list[tuple[str, str]]) -> dict[str, object]:
    return {"top": {}, "rows": {"squeezed": [{"length": length, "scale": scale} for length, scale in rows]}}


def test_a_spring_by_hand(page: httpx.Client) -> None:
    """1000 g more on the scale for 10 mm more squeeze: 9.80665 N/10 mm = 0.98 N/mm, by hand; slack at 40 mm."""
    rows = [("30", "1000"), ("25", "1500"), ("20", "2000"), ("15", "2500")]
    got = page.post("/api/bin/bench", json={"test": "spring", "answers": readings(rows)}).json()
    assert got["problems"] == []
    found = {one["key"].removeprefix("bench_spring_"): one["text"] for one in got["found"]["figures"]}
    rate, length = (float(re.match(r"[\d.]+", found[key]).group()) for key in ("spring_rate", "free_length"))
    assert rate == pytest.approx(0.980665, abs=0.006)  # shown to a hundredth
    assert length == pytest.approx(40.0, abs=0.06)  # shown to a tenth
    whys = {one["key"]: one["why"] for one in got["found"]["figures"]}
    assert (
        whys["bench_spring_spring_rate"]["value"] == pytest.approx(980.665)
        and "9.81 N at 30.0 mm" in whys["bench_spring_spring_rate"]["numbers"]
    )


def test_a_bad_reading_is_named_at_its_row_and_a_missing_one_is_wanted(page: httpx.Client) -> None:
    rows = [("30", "1.000"), ("25", "heavy"), ("20", "2.000"), ("", "2.5")]
    got = page.post("/api/bin/bench", json={"test": "spring", "answers": readings(rows)}).json()
    assert got["found"] is None
    assert [one["place"] for one in got["problems"]] == ["squeezed[2].scale", "squeezed[4].length"]
    assert '"heavy"' in got["problems"][0]["says"] and got["problems"][1]["says"].startswith("missing")


@pytest.mark.parametrize("test", benches.tests(), ids=lambda one: one.name)
def test_every_example_is_read_and_goes_where_it_says(test: benches.TestOut) -> None:
    got = benches.bench(test.name, test.example, HERE)
    assert got.problems == [] and got.found is not None and "nvented" in test.example_says
    result = benches.measured(test.name, test.example, HERE)
    if got.found.bin_heading:
        new = bin_editing.put_in(BIN, got.found.bin_heading, bench_parts.as_item(result, "measured one"), HERE)
        item = bin_from_text(new, "bin", HERE.path).of(got.found.bin_heading)
        mine = next(one for one in item if one.name == "measured one")
        assert set(mine.table) == set(bench_parts.fields_of(result)) and mine.count == 1
        if test.name == "blade":
            assert mine.thing.count == int(test.example.top["blades"])
    else:
        with pytest.raises(InputError, match="no heading"):
            bench_parts.as_item(result, "x")
    if got.found.build_lines:
        build_from_text(put_lines(BUILD, got.found.build_lines))


def test_a_measured_value_keeps_what_was_found() -> None:
    """Rounding for the reader moves neither value nor spread by more than a tenth of the spread."""
    from hobwind.units import read_quantity

    for test in benches.tests():
        for one in benches.measured(test.name, test.example, HERE).figures:
            read = read_quantity(bench_parts.value_text(one), one.dimension)
            half = 2.0 * one.measured.u
            loose = max(0.1 * half, 1e-5 * abs(one.measured.value))  # six figures are written where nothing is doubted
            assert read.value == pytest.approx(one.measured.value, abs=loose), (test.name, one.name)
            assert read.half == pytest.approx(half, abs=max(0.1 * half, 1e-12)), (test.name, one.name)


@pytest.mark.parametrize("name", ["../secret.m4a", "/etc/passwd", "a/b.m4a", "..", ".hidden"])
def test_a_recording_is_a_plain_file_of_the_folder(name: str) -> None:
    answers = benches.Answers(
        top={"ohms": "7.9", "blades": "2"}, rows={"running": [{"volts": "1", "amperes": "0.02", "recording": name}]}
    )
    got = benches.bench("motor", answers, HERE)
    assert got.found is None and "is not taken" in got.problems[0].says


def test_a_recording_that_links_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    outside, inside = tmp_path / "outside.m4a", tmp_path / "in"
    inside.mkdir()
    outside.write_bytes(b"x")
    (inside / "run.m4a").symlink_to(outside)
    answers = benches.Answers(rows={"running": [{"volts": "1", "amperes": "0.02", "recording": "run.m4a"}]})
    assert "is not taken" in benches.bench("motor", answers, Folder(inside)).problems[0].says


@pytest.mark.parametrize("name", ["../../etc/cron.d/run.m4a", "C:\\sounds\\Run 2.M4A", ".m4a", "a" * 150 + ".m4a", "<b>.m4a"])
def test_a_recording_sent_in_lies_in_the_folder_under_a_plain_name(tmp_path: Path, name: str) -> None:
    inside = tmp_path / "in"
    inside.mkdir()
    first, again, other = (keep_recording(Folder(inside), name, data) for data in (b"one", b"one", b"two"))
    assert first == again != other and {path.name for path in inside.iterdir()} == {first, other}
    assert list(tmp_path.iterdir()) == [inside] and (inside / other).read_bytes() == b"two"
    answers = benches.Answers(rows={"running": [{"volts": "1", "amperes": "0.02", "recording": first}]})
    assert "is not taken" not in benches.bench("motor", answers, Folder(inside)).problems[0].says


@pytest.mark.parametrize(
    ("name", "data", "says"), [("run.exe", b"x", "a sound or film"), ("run", b"x", "a sound"), ("run.m4a", b"", "is empty")]
)
def test_what_is_no_recording_is_not_kept(tmp_path: Path, name: str, data: bytes, says: str) -> None:
    with pytest.raises(InputError, match=says):
        keep_recording(Folder(tmp_path), name, data)
    assert not list(tmp_path.iterdir())


def test_an_entry_goes_in_and_comes_out_and_nothing_else_moves() -> None:
    new = bin_editing.put_in(BIN, "motor", {"part": "cassette motor", "resistance": "8 ± 1 Ω"}, HERE)
    assert new.startswith(BIN.rstrip())
    assert tomllib.loads(new)["motor"][-1] == {"name": "cassette motor 2", "part": "cassette motor", "resistance": "8 ± 1 Ω"}
    assert bin_editing.take_out(new, "motor", 6).rstrip() == BIN.rstrip()
    less = bin_editing.take_out(BIN, "bar", 2)
    was, now = tomllib.loads(BIN), tomllib.loads(less)
    assert [one["name"] for one in now["bar"]] == ["square end", "brass end"] and was["sink"] == now["sink"]
    assert len(BIN.splitlines()) - len(less.splitlines()) == 7  # heading and six keys
    for comment in re.findall(r"^#.*$", BIN, re.M):
        assert comment in less
    with pytest.raises(InputError, match="there is no bar 9"):
        bin_editing.take_out(BIN, "bar", 9)
    with pytest.raises(BuildError, match="Nearest"):
        bin_editing.put_in(BIN, "motor", {"part": "cassete motor"}, HERE)


def test_every_entry_can_be_taken_out_by_its_number() -> None:
    for one in bins.look(BIN, HERE).items:
        heading = "buy" if one.price is not None else one.kind
        rows = tomllib.loads(bin_editing.take_out(BIN, heading, one.number)).get(heading, [])
        names = [row.get("name") or row.get("part") or row.get("material") for row in rows]
        assert one.name not in names and len(names) == len(tomllib.loads(BIN)[heading]) - 1


def test_an_unfinished_bin_says_what_a_fan_still_wants(page: httpx.Client) -> None:
    got = page.post("/api/bin/look", json={"bin": 'format = 1\n[[motor]]\npart = "cassette motor"\n'}).json()
    assert got["problems"] == [] and got["wanting"] == ["modules", "blades", "sinks", "bars for the riser"]
    assert [one["name"] for one in got["items"]] == ["cassette motor"]


def test_wishes_are_set_in_place_and_bad_ones_refused(page: httpx.Client) -> None:
    def wish(place: str, value: str) -> httpx.Response:
        return page.post("/api/bin/wish", json={"bin": BIN, "place": place, "value": value})

    later = wish("wish.starts_by", "120 °C").json()["bin"]
    assert [a for a, b in zip(later.splitlines(), BIN.splitlines(), strict=True) if a != b] == [
        'starts_by = "120 °C"          # plate by which it should turn on a warming stove'
    ]
    assert tomllib.loads(wish("wish.guard", "no").json()["bin"])["wish"]["guard"] is False
    assert tomllib.loads(wish("wish.money", "12,5").json()["bin"])["wish"]["money"] == 12.5
    assert "hottest_face" not in tomllib.loads(wish("wish.hottest_face", "").json()["bin"])["wish"]
    refused = wish("wish.starts_by", "120 kg")
    assert refused.status_code == 422 and refused.json()["problems"][0]["place"] == "wish.starts_by"


def test_only_bins_are_listed_as_bins(page: httpx.Client) -> None:
    assert page.get("/api/bin/files").json()["names"] == ["boat-shed-bin.toml"]


def test_without_scripts_every_test_and_its_steps_are_there(page: httpx.Client) -> None:
    got = page.get("/bin?plain=true").text
    for test in TESTS.values():
        assert f'id="test-{test.name}"' in got
    assert got.count('class="caution"') == len(TESTS) and "Keep or scrap" in got and "boat-shed-bin.toml" in got


def test_the_printed_page_of_a_test_is_one_sheet_of_a4(page: httpx.Client) -> None:
    from io import BytesIO

    from pypdf import PdfReader

    got = page.get("/api/bin/sheet/wax")
    sheets = PdfReader(BytesIO(got.content)).pages
    assert 'filename="bench-wax.pdf"' in got.headers["content-disposition"] and len(sheets) == 1
    wide, tall = (float(x) * 25.4 / 72 for x in sheets[0].mediabox[2:])
    assert (wide, tall) == (pytest.approx(210, abs=0.5), pytest.approx(297, abs=0.5))  # ISO 216
    assert page.get("/api/bin/sheet/none").status_code == 422


@pytest.mark.parametrize("text", ["", "x", "[[motor", "format = 1\nmotor = 3", "format = 2", "format = 1\nbar = [1, 2]"])
def test_what_is_no_bin_is_answered_with_a_sentence(text: str) -> None:
    try:
        bins.look(text, HERE)
    except HobwindError as error:
        assert str(error)


JUNK = st.sampled_from([
    "", "x = 3", "[[guard]]", "[bar]", "[[module]]", 'part = "wax 88"', "count = -1", "lengths = [1]", '[wish]\nair = "x"',
    "serves = 7", "heights = []", 'kind = "no"', "[[buy]]\nprice = true", "[module.x]", '"""', "name = 5",
])  # fmt: skip


@given(
    at=st.lists(st.tuples(st.integers(0, 200), JUNK), min_size=1, max_size=4),
    heading=st.sampled_from(["module", "bar", "buy", "guard", "x"]),
)
@settings(max_examples=60, deadline=None)
def test_a_mangled_bin_is_answered_with_sentences(at: list[tuple[int, str]], heading: str) -> None:
    lines = BIN.splitlines()
    for line, junk in at:
        lines[line % len(lines)] = junk
    text = "\n".join(lines)
    with contextlib.suppress(HobwindError):
        assert bins.look(text, HERE).items is not None
    with contextlib.suppress(HobwindError):
        less = bin_editing.take_out(text, heading, 1)
        assert tomllib.loads(less) != tomllib.loads(text)
    with contextlib.suppress(HobwindError):
        assert tomllib.loads(bin_editing.put_in(text, "motor", {"part": "cassette motor"}, HERE))["motor"]


class Impatient(Watch):
    """Somebody who has enough as soon as anything is solved."""

    def tell(self, share: float, says: str) -> None:
        super().tell(share, says)
        self.shares = [*getattr(self, "shares", []), share]
        if "solved" in says:
            self.enough.set()


def test_a_pick_told_enough_goes_on_with_what_it_has() -> None:
    """After the first slice somebody has enough: fewer are solved than fit, and there are answers all the same."""
    watch = Impatient()
    got = picks.ranked(bin_from_text(BIN, "bin", HERE.path), 1, 20_000, 1, watch)
    assert got.head.startswith("Ended by hand") and got.answers
    fitting, solved = (
        int(re.search(rf"([\d,]+) {word}", got.head).group(1).replace(",", "")) for word in ("fit", "were solved")
    )
    assert solved == picks.SLICE < fitting
    assert watch.shares == sorted(watch.shares)
    build_from_text(got.answers[0].text)


def test_a_pick_is_named_after_its_modules_and_motor() -> None:
    got = picks.ranked(bin_from_text(BIN, "bin", HERE.path), 1, 20_000, 1, Impatient())
    kept = {item.name for item in bin_from_text(BIN, "bin", HERE.path).items}
    for one in got.answers:
        named = re.fullmatch(r"(.+) with (.+), from Boat shed bin", build_from_text(one.text).name)
        assert named is not None and named[2] in kept
        assert {re.sub(r"^\d+ x ", "", module) for module in named[1].split(" and ")} <= kept


def test_bins_stand_apart_from_builds(page: httpx.Client) -> None:
    got = page.get("/somebody").text
    builds, rest = got.split("bins, parts on hand" if "bins, parts" in got else "a bin, parts on hand")
    assert "boat-shed.toml</a>" in builds and "boat-shed-bin.toml" not in builds and "boat-shed-bin.toml</a>" in rest


def test_each_figure_of_a_followed_build_has_a_why_in_its_own_column(page: httpx.Client) -> None:
    """Theirs asks with their build on this stove, the rebuilt one with its own text; whole figures, as shown."""
    found = done(page, "/api/bin/follow", {"text": BUILD, "bin": BIN, "mine": ""})["theirs"]
    checked = 0
    for one in found["figures"]:
        if not one["key"]:
            assert one["label"] == "guard hunts"  # yes or no: no figure
            continue
        for text, shown in ((found["first_text"], one["first"]), (found["second_text"], one["second"])):
            asked = {"key": one["key"], "text": text, "plate_degC": one["plate_degC"]}
            if one["evening"]:
                asked["fire"] = {"shape": one["evening"]}
            got = page.post("/api/learn/why", json=asked)
            assert got.status_code == 200, got.text
            told = re.match(r"[+-]?\d+", shown)
            if told is not None and not shown.endswith("in the evening"):
                assert got.json()["value"] == pytest.approx(float(told.group()), abs=1.01), (
                    one,
                    shown,
                )  # coarser map and steps
                checked += 1
    assert checked > 12 and found["first_text"] != found["second_text"]


def test_tools_are_ticked_and_ways_of_guarding_come_and_go(page: httpx.Client) -> None:
    """A tick lands in the bin's text and in what a pick reads; nothing else of the text moves."""
    got = page.post("/api/bin/look", json={"bin": BIN}).json()
    tools = next(one for one in got["wishes"] if one["several"])
    assert tools["place"] == "wish.tools" and tools["value"] == "saw, drill press, taps" and "lathe" in tools["choices"]
    for chosen, kept in (("saw, lathe", ("saw", "lathe")), ("none", ()), ("taps", ("taps",))):
        new = page.post("/api/bin/wish", json={"bin": BIN, "place": "wish.tools", "value": chosen}).json()["bin"]
        assert bin_from_text(new, "bin", HERE.path).wishes.tools == kept
        changed = [b for a, b in zip(BIN.splitlines(), new.splitlines(), strict=True) if a != b]
        assert len(changed) == 1 and changed[0].startswith("tools = ")
    bad = page.post("/api/bin/wish", json={"bin": BIN, "place": "wish.tools", "value": "saw, hammer"})
    assert bad.status_code == 422 and "lathe" in bad.json()["problems"][0]["says"]
    assert {one["key"] for one in got["ways"] if one["on"]} == {"lift-foot", "lift-riser"}
    for key in WAYS:
        here = next(one["on"] for one in got["ways"] if one["key"] == key)
        new = page.post("/api/bin/way", json={"bin": BIN, "key": key, "on": not here}).json()["bin"]
        before, after = (len(bin_from_text(text, "bin", HERE.path).guards) for text in (BIN, new))
        assert after - before == (-1 if here else 1), key
        told = {one["key"]: one["on"] for one in page.post("/api/bin/look", json={"bin": new}).json()["ways"]}
        assert told[key] is not here and sum(told.values()) == after
        back = page.post("/api/bin/way", json={"bin": new, "key": key, "on": here}).json()["bin"]
        assert len(bin_from_text(back, "bin", HERE.path).guards) == before
        if not here:
            assert new.startswith(BIN.rstrip()) and back.rstrip() == BIN.rstrip()
    twice = page.post("/api/bin/way", json={"bin": BIN, "key": "lift-foot", "on": True}).json()["bin"]
    assert twice == BIN
    assert page.post("/api/bin/way", json={"bin": BIN, "key": "rope", "on": True}).status_code == 422
