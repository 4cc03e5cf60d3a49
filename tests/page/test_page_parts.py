"""Answers are kept by a build's text; a part that is changed in its own file throws them out."""

from __future__ import annotations

import os
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

from builds import changed, text_of
from hobwind.page.jobs import JobDesk
from hobwind.page.keeping import Folder
from hobwind.page.workshop import Workshop, workshop_of
from hobwind.parts.catalogue import shelf_mark

OWN = """["found blade"]
diameter = "150 mm"
pitch = "60 mm"
count = 4
power_coefficient = "0.06 ± 0.01"
thrust_coefficient = "{thrust} ± 0.01"
mass = "20 g"
limit = "250 °C"
"""


def test_a_changed_part_is_seen(tmp_path: Path) -> None:
    """Momentum theory: air through a blade goes with the root of its thrust at one speed, so twice the coefficient gives more air."""
    (tmp_path / "parts").mkdir()
    part = tmp_path / "parts" / "blade.toml"
    part.write_text(OWN.format(thrust=0.05), "utf-8")
    text = changed(text_of("boat-shed"), "blade", "part", '"found blade"')
    shop = Workshop(Folder(tmp_path), JobDesk())
    request = cast(Any, SimpleNamespace(app=SimpleNamespace(state=SimpleNamespace(workshop=shop))))
    first = workshop_of(request).solve(text)
    assert workshop_of(request).solve(text) is first  # nothing changed: kept
    before = shelf_mark(tmp_path)
    part.write_text(OWN.format(thrust=0.10), "utf-8")
    os.utime(part, ns=(1, 1))  # whatever the disk's clock tells apart
    assert shelf_mark(tmp_path) != before
    second = workshop_of(request).solve(text)
    assert second is not first and second.usual_air > 1.1 * first.usual_air
