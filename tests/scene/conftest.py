"""The build these tests draw: one with a hot plate, a bush, a guard and a name that no markup likes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hobwind.build import Build, build_from_text, starter_text

NAME = 'Hut <&"> 4%%d'


@pytest.fixture(scope="session")
def build() -> Build:
    return replace(build_from_text(starter_text("hut", "hut.toml")), name=NAME)
