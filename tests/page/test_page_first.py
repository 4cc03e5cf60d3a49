"""The first visit of all, while the solver is still being compiled: the fan stands there already, cold and without figures."""

from __future__ import annotations

import re

from builds import ROOT
from hobwind.page.jobs import JobDesk
from hobwind.page.keeping import Folder
from hobwind.page.pages import visit_to
from hobwind.page.sections.build import context
from hobwind.page.workshop import Workshop


def test_the_fan_is_drawn_before_anything_can_be_computed() -> None:
    shop = Workshop(Folder(ROOT / "examples"), JobDesk())
    found = context(visit_to(shop, "boat-shed.toml", False))
    assert found["look"] is None and shop.solved.there((ROOT / "examples" / "boat-shed.toml").read_text("utf-8")) is None
    drawn = set(re.findall(r'data-part="([^"]+)"', found["cold"]))
    assert {"stove plate", "riser 1", "sink", "wax element"} <= drawn
    assert context(visit_to(shop, "", False))["cold"] == ""  # a tab's own build is drawn by the tab
