"""Where the example builds are: in the repository, or installed beside the package."""

from __future__ import annotations

import sys
from pathlib import Path

from .errors import FileError


def example(name: str) -> Path:
    """Path of one example build.

    Args:
        name: such as "boat-shed".

    Returns:
        Path of its file.

    Raises:
        FileError: the examples were not installed.
    """
    for folder in (Path(__file__).parents[2] / "examples", Path(sys.prefix) / "share" / "hobwind" / "examples"):
        path = folder / f"{name}.toml"
        if path.is_file():
            return path
    raise FileError(f'the example "{name}" is not installed; take it from the repository\'s examples folder')
