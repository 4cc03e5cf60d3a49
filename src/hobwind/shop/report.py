"""What `hobwind shop --json` prints: every section's figures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..build import Build
from ..studies.report import SHAPE, made_by
from .section import Section


def shop_report(build: Build, sections: Sequence[Section]) -> dict[str, Any]:
    """Every section as plain data.

    Args:
        build: whose they are.
        sections: as the shop made them.

    Returns:
        Figures with units in their keys.
    """
    return {
        "shape": SHAPE,
        "made_by": made_by(build),
        "name": build.name,
        "sections": {
            one.key: {"title": one.title, "findings": list(one.findings), "data": one.data or None} for one in sections
        },
    }  # fmt: skip
