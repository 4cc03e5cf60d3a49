"""What every test shares: drawn inputs are the same in every run, unless HOBWIND_DRAW=anew asks for fresh ones."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("same", derandomize=True)
settings.register_profile("anew", derandomize=False)
settings.load_profile("anew" if os.environ.get("HOBWIND_DRAW") == "anew" else "same")
