"""The dossier: everything about one build on paper, with the build file inside it, so that a follower can start from it."""

from __future__ import annotations

from .composing import Bands, content
from .photos import photo_in, stripped
from .printing import ATTACHED, PAPERS, dossier_pdf
from .reading import Found, build_inside, from_dossier

__all__ = [
    "ATTACHED",
    "PAPERS",
    "Bands",
    "Found",
    "build_inside",
    "content",
    "dossier_pdf",
    "from_dossier",
    "photo_in",
    "stripped",
]
