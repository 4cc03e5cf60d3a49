"""Builds that several test folders share: the examples, and small changes of them by their text."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from hobwind.build import Build, build_from_text, geometry, load_build
from hobwind.build.starter import starter_text
from hobwind.stack.prepare import Stack, prepare
from hobwind.studies.verdict import Verdict, verdict
from hobwind.units import plain

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = ROOT / "examples"
NAMES = ("boat-shed", "boat-shed-no-guard", "boat-shed-hunting", "boat-shed-steel-screws", "boat-shed-soft-solder")


@lru_cache
def example(name: str = "boat-shed") -> Build:
    """One example build."""
    return load_build(EXAMPLES / f"{name}.toml")


@lru_cache
def stack(name: str = "boat-shed") -> Stack:
    """One example build, prepared."""
    return prepare(example(name))


@lru_cache
def judged(name: str = "boat-shed") -> Verdict:
    """One example build, judged."""
    return verdict(example(name))


def text_of(name: str = "boat-shed") -> str:
    """The text of one example."""
    return (EXAMPLES / f"{name}.toml").read_text("utf-8")


def changed(text: str, section: str, key: str, value: str) -> str:
    """A build's text with one key of one section set anew, or added to it."""
    start = re.search(rf"^\[+{re.escape(section)}\]+.*$", text, re.M)
    assert start is not None, section
    after = text[start.end() :]
    stop = re.search(r"^\[", after, re.M)
    inside = after[: stop.start()] if stop else after
    rest = after[len(inside) :]
    line = f"{key} = {value}"
    new, count = re.subn(rf"^{re.escape(key)}\s*=.*$", line.replace("\\", "\\\\"), inside, count=1, flags=re.M)
    return text[: start.end()] + (new if count else f"\n{line}{inside}") + rest


def build_with(*changes: tuple[str, str, str], name: str = "boat-shed") -> Build:
    """An example with keys changed: (section, key, TOML value)."""
    text = text_of(name)
    for section, key, value in changes:
        text = changed(text, section, key, value)
    return build_from_text(text, f"{name}.toml")


def hung_out(build: Build, before: float) -> Build:
    """The same build with its blade so far before the sink's front edge, m."""
    return replace(build, blade=replace(build.blade, before_sink=plain(before)))


def balanced(build: Build) -> Build:
    """The blade where its weight, and half a motor's length behind it that of motor and fittings, balance over the foot's middle."""
    rows = {one.name: one.mass for one in geometry.masses(build)}
    carried = rows["motor"] + rows["fittings"]
    behind = 0.5 * build.motor.part.length.value * carried / (carried + rows["blade"])
    return hung_out(build, behind - 0.5 * geometry.sink_box(build)[1])


def greased(holder: str = "0.025 ± 0.005 W/K") -> str:
    """The text that `hobwind begin` writes, with common grease under its module and a foot that warms its element sooner."""
    text = changed(starter_text("greased", "greased.toml"), "joint.hot", "fill", '"zinc oxide grease"')
    return changed(text, "guard", "holder_conductance", f'"{holder}"')
