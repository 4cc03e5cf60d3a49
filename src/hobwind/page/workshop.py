"""What one run of the page's server shares: the folder of build files, running jobs, answers kept by text, the key."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from typing import Any

from fastapi import Request

from ..build import Build, build_from_text
from ..parts.catalogue import shelf_mark
from ..studies.headline import Headline, headline
from ..studies.odds import Odds
from .jobs import JobDesk
from .keeping import Folder
from .kept import Kept
from .live_desk import LiveDesk

ANSWERS = 12  # solved builds kept
THROWS = 6  # odds kept, so that their whys need no second throw
PAPERS = 4  # dossiers kept until they are fetched; each a few megabytes


@dataclass
class Workshop:
    """One run. `key` is empty unless other devices may come in."""

    folder: Folder
    jobs: JobDesk
    first: str = ""
    key: str = ""
    ready: threading.Event = field(default_factory=threading.Event)
    solved: Kept[str, Headline] = field(default_factory=lambda: Kept(ANSWERS))
    views: Kept[str, Any] = field(default_factory=lambda: Kept(ANSWERS))
    verdicts: Kept[str, Any] = field(default_factory=lambda: Kept(ANSWERS))
    kinds: Kept[str, Any] = field(default_factory=lambda: Kept(ANSWERS))
    fires: Kept[tuple[str, str], Any] = field(default_factory=lambda: Kept(ANSWERS))
    throws: Kept[tuple[str, int, int, float | None, bool], Odds] = field(default_factory=lambda: Kept(THROWS))
    papers: Kept[str, tuple[str, bytes]] = field(default_factory=lambda: Kept(PAPERS))
    trials: Kept[str, Any] = field(default_factory=lambda: Kept(ANSWERS))
    live: LiveDesk = field(default_factory=LiveDesk)
    mark: tuple[tuple[str, int, int], ...] = ()

    def look_at_parts(self) -> None:
        """Forget what was worked out from files of parts that have changed since: answers are kept by a build's text alone."""
        mark = shelf_mark(self.folder.path)
        if mark != self.mark:
            self.mark = mark
            for kept in (self.solved, self.views, self.verdicts, self.kinds, self.fires, self.throws):
                kept.forget()

    def read(self, text: str, file: str = "build") -> Build:
        """Read a build; parts beside the folder's files are found.

        Args:
            text: of a build file.
            file: what to call it in messages.

        Returns:
            The build.

        Raises:
            BuildError: with every problem found.
        """
        return build_from_text(text, file, self.folder.path)

    def solve(self, text: str, file: str = "build") -> Headline:
        """The solved build, from a small store when this very text was solved before."""
        return self.solved.get(text, lambda: headline(self.read(text, file)))


def workshop_of(request: Request) -> Workshop:
    """The run that a request belongs to."""
    found: Workshop = request.app.state.workshop
    found.look_at_parts()
    return found
