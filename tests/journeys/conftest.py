"""A real server and a real Chromium; a missing browser is a failure. Pages complain: console errors fail a test."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from builds import ROOT
from serving import WIDE, serving

FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking",
         "--disable-component-update", "--no-first-run"]  # fmt: skip
Opener = Callable[..., Page]


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("journeys")
    for path in (ROOT / "examples").glob("*.toml"):
        shutil.copy(path, place)
    return place


@pytest.fixture(scope="session")
def address(folder: Path) -> Iterator[str]:
    with serving(folder) as where:
        yield where


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    found = shutil.which("chromium")
    assert found is not None, "no chromium here; .ci/debian-packages installs it"
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=found, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def opened(browser: Browser, address: str, folder: Path) -> Iterator[Opener]:
    """Opens a page; at the end nothing may have been complained about, and nothing asked of another machine.

    What was autosaved beside a file is taken away, so that no test finds another one's work offered.
    """
    wrong: list[str] = []
    contexts = []

    def begin(path: str, size: tuple[int, int] = WIDE, **more: object) -> Page:
        context = browser.new_context(viewport={"width": size[0], "height": size[1]}, **more)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda said: wrong.append(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("request", lambda r: None if r.url.startswith((address, "data:", "blob:")) else wrong.append(f"asked {r.url}"))
        page.goto(address + path)
        return page

    yield begin
    for context in contexts:
        context.close()
    for spare in folder.glob(".*.autosave.toml"):
        spare.unlink()
    # A value that cannot be is answered with 422, and a clash on disk with 409; the browser notes both in its console.
    assert [one for one in wrong if "422" not in one and "409" not in one] == []
