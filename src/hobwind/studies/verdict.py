"""The answer to "is it any good?": one sentence, the figures behind it, margins, findings, cautions."""

from __future__ import annotations

from dataclasses import dataclass

from ..build import Build
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.notes import outside_limits
from .cautions import cautions
from .findings import findings
from .headline import AIR_AT, Headline, headline
from .margins import Margin, margins
from .telling import DANGER, FAULT, HAIR, THIN, Finding, celsius

# Faults that the guard's own figures do not show: the fan would not live as they say.
SPOILING = ("guard-gear", "screws-yield", "tips-when-lifted", "barely-stands")


@dataclass(frozen=True)
class Verdict:
    """Everything that `check` says about one build."""

    build: Build
    solved: Headline
    margins: list[Margin]
    findings: list[Finding]
    cautions: list[str]
    notes: list[str]
    sentence: str

    @property
    def dangers(self) -> bool:
        """Whether any danger stands."""
        return any(one.severity == DANGER for one in self.findings)


def verdict(build: Build, at: tuple[float, ...] = AIR_AT) -> Verdict:
    """Judge one build.

    Args:
        build: a checked build.
        at: plates at which to report figures. [K]

    Returns:
        The verdict.
    """
    solved = headline(build, at)
    return verdict_of(solved, findings(solved))


def verdict_of(solved: Headline, found: list[Finding]) -> Verdict:
    """The verdict on a build that is solved, its findings found.

    Args:
        solved: a solved build.
        found: its findings.

    Returns:
        The verdict.
    """
    build = solved.build
    rows = [solved.usual_point.seen, solved.map.from_rest[-1].seen]
    hottest = int(solved.worst.seen[:, Seen.hot_face].argmax())
    rows.append(solved.worst.seen[hottest])
    return Verdict(
        build=build,
        solved=solved,
        margins=margins(solved),
        findings=found,
        cautions=cautions(build, found),
        notes=outside_limits(solved.stack, rows),
        sentence=_sentence(solved, found),
    )


def _sentence(solved: Headline, found: list[Finding]) -> str:
    """What a neighbour would understand."""
    codes = {one.code for one in found}
    usual = solved.build.stove.usual_plate.value
    parts = []
    if solved.starts_at is None:
        parts.append("It does not turn on an ordinary fire")
    else:
        air = solved.usual_air * 3600.0
        start = f"It turns from about {celsius(solved.starts_at)}"
        if "hunts" in codes:
            parts.append(start)
        elif "little-air" in codes:
            parts.append(f"{start} but moves only {air:.0f} m³/h when the plate is {celsius(usual)}")
        else:
            parts.append(f"{start} and moves {air:.0f} m³/h when the plate is {celsius(usual)}")
    guarded = solved.build.guard.kind != "none"
    lifted = float(solved.worst.end[End.lifts]) > 0.0
    if "module-too-hot" in codes:
        when = "on a hard fire" if _bears_usual(solved) else "on an ordinary fire already"
        parts.append(f"{when} the module would cook{_way_out(found, guarded)}")
    elif DANGER in {one.severity for one in found}:
        worst = next(one for one in found if one.severity == DANGER)
        parts.append(f"on a hard fire it comes to harm: {worst.says.split(';')[0]}")
    elif "hunts" in codes:
        parts.append("its guard hunts: it lifts and drops again and again")
    else:
        closest = min(one.margin for one in margins(solved))
        spare = f", with only {closest:.0f} K to spare" if closest <= THIN else ""
        bears = "on a hard fire the guard lifts it in time" if guarded and lifted else "it bears a hard fire as it stands"
        parts.append(bears if closest > HAIR else f"on a hard fire it comes within {max(closest, 0.0):.0f} K of harm")
        parts[-1] += spare if closest > HAIR else ""
        parts += [f"but {one.says.split(':')[0].split(';')[0]}" for one in found if one.code in SPOILING][:1]
    if "hunts" not in codes and not any(one.severity in (DANGER, FAULT) for one in found):
        parts[-1] += ", by these figures"
        harm = next((one.says.split(":")[0] for one in found if one.code == "faults-harm"), None)
        parts += [] if harm is None else [f"but {harm}"]
    return "; ".join(parts) + "."


def _bears_usual(solved: Headline) -> bool:
    """Whether every face stays below its limit in the usual evening and settled on the usual plate."""
    return float(solved.usual.end[End.worst_margin]) > 0.0 and float(solved.usual_point.seen[Seen.margin]) > 0.0


def _way_out(found: list[Finding], guarded: bool) -> str:
    """What mends a module that cooks, in a word or two."""
    keys = next(one.keys for one in found if one.code == "module-too-hot")
    if guarded:
        return ", and the guard does not save it" + ("; a mend is below" if keys else "")
    if not keys:
        return ", and nothing tried here saves it"
    fits = any(key.startswith("guard.kind") for key in keys)
    cools = any(not key.startswith("guard.") for key in keys)
    return ": cool it and fit a guard" if fits and cools else ": fit a guard" if fits else ": the mend below saves it"
