"""The verdict as the page gets it: findings with the lines of their mends, cautions, margins."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import BaseModel

from ..build import Build
from ..studies.findings import findings_with
from ..studies.mends import Tried, Workbench
from ..studies.telling import Finding
from ..studies.verdict import Verdict, verdict_of
from .jobs import Watch
from .workshop import Workshop

MOST = 24.0  # candidates after which the bar stands near its end


class FindingOut(BaseModel):
    """One finding; `lines` carry its mend out, and findings of the same `cure` are mended by the same lines."""

    severity: str
    code: str
    says: str
    mend: str
    source: str
    lines: list[str]
    cure: int


class MarginOut(BaseModel):
    """How far a part stays below what it can bear."""

    part: str
    limit_degC: float
    peak_degC: float
    margin_K: float
    where: str


class VerdictOut(BaseModel):
    """What `hobwind check` says."""

    sentence: str
    findings: list[FindingOut]
    margins: list[MarginOut]
    cautions: list[str]
    notes: list[str]


class _Watched(Workbench):
    """Reports each change that is tried, and stops when told to."""

    def __init__(self, build: Build, watch: Watch | None) -> None:
        super().__init__(build)
        self.watch = watch

    def try_out(self, says: str, changed: Build) -> Tried | None:
        if self.watch is not None:
            tried = len(self.known)
            self.watch.tell(0.15 + 0.8 * min(tried / MOST, 1.0), f"trying mends: {tried} so far")
        return super().try_out(says, changed)


def judge(workshop: Workshop, text: str, watch: Watch | None = None) -> VerdictOut:
    """The verdict on a text.

    Args:
        workshop: the run.
        text: of a build file.
        watch: told of progress, if any.

    Returns:
        The verdict.

    Raises:
        BuildError: with every problem found.
    """

    def make() -> VerdictOut:
        if watch is not None:
            watch.tell(0.02, "settled map and evenings")
        solved = workshop.solve(text)
        return _out(verdict_of(solved, findings_with(solved, _Watched(solved.build, watch))))

    made: VerdictOut = workshop.verdicts.get(text, make)
    return made


def findings_out(found: Sequence[Finding]) -> list[FindingOut]:
    """Findings for the page; those whose mends have the same lines share a number, a mend without lines has its own."""
    known: dict[tuple[object, ...], int] = {}
    return [
        FindingOut(severity=f.severity, code=f.code, says=f.says, mend=f.mend, source=f.source, lines=list(f.keys),
                   cure=known.setdefault(f.keys or (i,), len(known)))
        for i, f in enumerate(found)
    ]  # fmt: skip


def _out(judged: Verdict) -> VerdictOut:
    return VerdictOut(
        sentence=judged.sentence, cautions=judged.cautions, notes=judged.notes,
        findings=findings_out(judged.findings),
        margins=[
            MarginOut(part=m.part, limit_degC=round(m.limit - 273.15, 1), peak_degC=round(m.peak - 273.15, 1),
                      margin_K=round(m.margin, 1), where=m.where)
            for m in judged.margins
        ],
    )  # fmt: skip
