"""Evening: one fire over time."""

from __future__ import annotations

from .table import Section

SECTION = Section(
    key="evening", title="Evening", says="One fire over time: faces, speed, air and gap.", template="not_here.html"
)
