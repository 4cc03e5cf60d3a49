"""Figures and whys counted: every number with a unit that a route answers or a page shows by itself has its why."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

import httpx
import pytest
from test_page_bin import BIN
from test_page_guard import BARE, MEASURED

from bare_figures import is_bare
from builds import text_of
from hobwind.page import benches
from hobwind.page.sections import SECTIONS
from hobwind.page.whys import WHYS
from jobs_done import done

TEXT = text_of()
# Texts that are no figures worked out: what a user types, lines of a file, names of parts, what a drill assumes to go wrong, and
# how long common practice says a piece of work takes. Charts carry their own scales.
GIVEN = {"example", "usual", "guess", "lines", "name", "title", "assumed", "work"}
CHARTS = {"chart", "loop", "along", "looks", "svg", "fits_chart", "guards_chart"}


def whys_of(row: dict[str, Any]) -> bool:
    """Whether a row of an answer has its why, known by its key or come with it."""
    why = row.get("why") or row.get("likely", {}).get("why")
    if why:
        return bool(why["equation"] and why["numbers"] and why["sources"])
    return row.get("key") in WHYS


def walk(answer: Any, place: str = "", told: bool = False) -> Iterator[tuple[str, bool]]:
    """Every figure of an answer: where it stands, and whether it has a why."""
    if isinstance(answer, dict):
        row = whys_of(answer)
        if {"key", "label", "text"} <= set(answer):
            yield place, row
        for key, value in answer.items():
            words = isinstance(value, str) or (isinstance(value, list) and all(isinstance(one, str) for one in value))
            if key in CHARTS or key == "why" or (key in GIVEN and words):
                continue
            yield from walk(value, f"{place}.{key}", told or row)
    elif isinstance(answer, list):
        for i, one in enumerate(answer):
            yield from walk(one, f"{place}[{i}]", told)
    elif isinstance(answer, str) and is_bare(answer):
        yield f"{place} = {answer}", told


ROUTES: dict[str, tuple[str, dict[str, Any]]] = {
    "look": ("/api/build/look", {"text": TEXT}),
    "verdict": ("/api/build/verdict", {"text": TEXT}),
    "a mend tried": ("/api/build/try", {"text": BARE, "lines": ['seat.flatness = "0.02 mm"', 'riser[1].length = "150 mm"']}),
    "evening": ("/api/evening/run", {"text": TEXT, "fire": {"shape": "over-fired"}}),
    "guard": ("/api/guard/look", {"text": TEXT}),
    "ledger": ("/api/learn/ledger", {"text": TEXT}),
    "shop": ("/api/shop/look", {"text": TEXT}),
}
JOBS: dict[str, tuple[str, dict[str, Any], int]] = {
    "evening drill": ("/api/evening/drill", {"text": TEXT}, 20),
    "kinds of guard": ("/api/guard/compare", {"text": BARE}, 40),
    "fault drill": ("/api/guard/drill", {"text": TEXT}, 0),
    "found fan": ("/api/guard/found", {"values": MEASURED, "shows": ["open"]}, 60),
    "odds": ("/api/odds/throw", {"text": TEXT}, 10),
    "worth": ("/api/odds/worth", {"text": TEXT}, 0),
    "follow": ("/api/bin/follow", {"text": TEXT, "bin": BIN, "mine": ""}, 10),
}


@pytest.mark.parametrize("route", ROUTES)
def test_every_figure_that_a_route_answers_has_a_why(page: httpx.Client, route: str) -> None:
    address, asked = ROUTES[route]
    got = page.post(address, json=asked)
    assert got.status_code == 200, got.text
    found = list(walk(got.json()))
    assert not [place for place, told in found if not told]
    assert len(found) >= 3 or route == "verdict"


@pytest.mark.parametrize("job", JOBS)
def test_every_figure_that_a_job_comes_to_has_a_why(page: httpx.Client, job: str) -> None:
    address, asked, least = JOBS[job]
    found = list(walk(done(page, address, asked)))
    assert not [place for place, told in found if not told]
    assert len(found) >= least


@pytest.mark.parametrize("test", benches.tests(), ids=lambda one: one.name)
def test_every_figure_of_a_bench_test_has_a_why(page: httpx.Client, test: benches.TestOut) -> None:
    got = page.post("/api/bin/bench", json={"test": test.name, "answers": test.example.model_dump()}).json()["found"]
    found = list(walk({"figures": got["figures"]}))
    assert len(found) >= 2 and all(told for _, told in found)


class Reader(HTMLParser):
    """Texts of a page that are figures by themselves and stand in no element with a why."""

    SENTENCES, VOID = {"p", "title", "option", "label", "summary", "pre", "code", "script", "style", "dt", "svg", "textarea"}, {
        "br", "img", "input", "meta", "link", "hr",
    }  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self.stack: list[tuple[str, bool]] = []
        self.bare: list[str] = []
        self.figures = self.whys = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = {name for name, _ in attrs}
        self.figures += "data-figure" in names
        self.whys += "data-why" in names
        if tag not in self.VOID:
            self.stack.append((tag, "data-figure" in names or "data-given" in names))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pass  # holds no text: a shape of a drawing

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.VOID:
            while self.stack.pop()[0] != tag:
                pass

    def handle_data(self, data: str) -> None:
        inside = any(figure or tag in self.SENTENCES for tag, figure in self.stack)
        if is_bare(data) and not inside:
            self.bare.append(" ".join(data.split()))


@pytest.mark.parametrize("where", [f"/{one.key}?file=boat-shed.toml&plain=true" for one in SECTIONS])
def test_no_figure_on_a_page_stands_without_a_why(page: httpx.Client, where: str) -> None:
    read = Reader()
    read.feed(page.get(where).text)
    assert read.bare == [] and read.figures == read.whys


def test_a_bare_figure_is_known_when_it_is_seen() -> None:
    for text in ("12 K", "± 0.30 mm", "51 to 94 °C", "0.66 N·m", "-3.5 K past", "134 °C, lives", "15 %"):
        assert is_bare(text), text
    for text in ("in 20", "2 cooler 40 mm", "plate 275 °C", "18 things that can go wrong", "7 Ws", "It starts at 69 °C.", "3"):
        assert not is_bare(text), text
    assert list(walk({"rows": [{"peak": "134 °C"}, {"key": "no_such", "label": "x", "text": "1"}]})) == [
        (".rows[0].peak = 134 °C", False), (".rows[1]", False)]  # fmt: skip
    read = Reader()
    read.feed('<div><p>12 K</p><td>12 K</td><span data-figure="x">3 W</span><span data-given>4 W</span></div>')
    assert read.bare == ["12 K"]
