"""One server for all tests without a browser."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from builds import ROOT
from serving import serving


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("builds")
    for path in (ROOT / "examples").glob("*.toml"):
        shutil.copy(path, place)
    return place


@pytest.fixture(scope="session")
def address(folder: Path) -> Iterator[str]:
    with serving(folder, "boat-shed.toml") as where:
        yield where


@pytest.fixture(scope="session")
def page(address: str) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=address, timeout=60.0) as client:
        yield client
