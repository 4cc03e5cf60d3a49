"""What to build from a bin: every combination that fits, sifted, ranked, and the best of them judged in full."""

from __future__ import annotations

from .picking import Picked, pick

__all__ = ["Picked", "pick"]
