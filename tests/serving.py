"""A real `hobwind open` on a free port for tests: started, waited for, always ended."""

from __future__ import annotations

import contextlib
import os
import re
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Locator

from builds import ROOT
from hobwind.compiled import CACHE

DEADLINE = 90.0  # s, first compiling included

KEPT = ROOT / "test-artefacts"  # pictures of every section, to be looked at
WIDE, PHONE = (1280, 900), (390, 844)


def home_of(folder: Path) -> Path:
    """Where the diary of a served folder lies: beside it and of its own, with the machine code that is there already."""
    home = folder.parent / f"{folder.name}-home"
    home.mkdir(exist_ok=True)
    code = home / "compiled"
    if CACHE is not None and not code.is_symlink():
        code.symlink_to(CACHE.parent)
    return home


def each_figure_has_its_why(place: Locator, more_than: int) -> None:
    """Counts both at one moment: between two questions to the browser more of them may come in."""
    figures, whys = place.evaluate("box => ['[data-figure]', 'button.why'].map((what) => box.querySelectorAll(what).length)")
    assert figures == whys > more_than


@contextlib.contextmanager
def serving(folder: Path, *words: str) -> Iterator[str]:
    """The address of a server whose folder is `folder`; `words` are further words of the command.

    With `--lan` it ends in `/k/` and the key of the run, as printed.
    """
    with served(folder, *words) as (address, _):
        yield address


@contextlib.contextmanager
def served(folder: Path, *words: str) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    """The same with the process itself, for a test that ends it in its own way."""
    env = dict(
        os.environ, PYTHONPATH=os.pathsep.join([str(Path(__file__).parents[1] / "src"), os.environ.get("PYTHONPATH", "")])
    )
    env["HOBWIND_HOME"] = str(home_of(folder))
    command = [sys.executable, "-m", "hobwind", "open", *words, "--no-browser"]
    ran = subprocess.Popen(command, cwd=folder, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        assert ran.stdout is not None
        heard = ""
        for line in ran.stdout:
            heard += line
            found = re.search(r"http://[\d.]+:\d+/(k/\w+)?", line)
            if found:
                break
        else:
            raise AssertionError(f"no address: {heard}")
        address = found.group().rstrip("/")
        if "--lan" not in words:
            _wait(address)
        yield address, ran
    finally:
        ran.terminate()
        try:
            ran.wait(10)
        except subprocess.TimeoutExpired:
            ran.kill()
            ran.wait(5)
        if ran.stdout is not None:
            ran.stdout.close()


def _wait(address: str) -> None:
    end = time.monotonic() + DEADLINE
    while time.monotonic() < end:
        with contextlib.suppress(OSError), urllib.request.urlopen(f"{address}/api/ready", timeout=5) as answer:
            if b'"ready":true' in answer.read():
                return
        time.sleep(0.2)
    raise AssertionError("the server never became ready")
