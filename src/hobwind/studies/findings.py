"""What a verdict has to say about a build: one finding a line, each with its figure, its limit and a mend that was tried.

*danger*: a part passes its limit or a person can be hurt. *fault*: it does not do its job. *advice*: better is possible.
"""

from __future__ import annotations

from . import advice, dangers, faults
from .headline import Headline
from .margins import margins
from .mends import Workbench
from .telling import SEVERITIES, Finding, Look, Rule

RULES: tuple[Rule, ...] = (
    dangers.modules, dangers.other_parts, dangers.element, dangers.pushing_on,
    faults.outcome, faults.start, faults.air, faults.hunting, faults.guard_acts, faults.gear, faults.screws_yield, faults.stands,
    faults.stands_down,
    faults.stands_still, faults.unlike,
    advice.screws, advice.seat, advice.hot_joint, advice.clamp, advice.stuck_guard, advice.failing, advice.soft_solder, advice.unmeasured,
)  # fmt: skip


def findings(solved: Headline) -> list[Finding]:
    """Everything to say about a solved build, dangers first.

    Args:
        solved: a solved build.

    Returns:
        Findings in the order danger, fault, advice.
    """
    return findings_with(solved, Workbench(solved.build))


def findings_with(solved: Headline, bench: Workbench) -> list[Finding]:
    """The same, with the changes tried on a given bench.

    Args:
        solved: a solved build.
        bench: tries changes of that build.

    Returns:
        Findings in the order danger, fault, advice.
    """
    look = Look(solved.build, solved, margins(solved), bench)
    found = [finding for rule in RULES for finding in rule(look)]
    return sorted(found, key=lambda one: SEVERITIES.index(one.severity))
