"""A fitted build as a new file: the build made whole with what the fire says written in, citing the trial.

Every input that was moved stands at where all were moved to together, since only together do they foretell the fire; those
that the trial does not tell alone keep the spread they have left.
"""

from __future__ import annotations

import re
from typing import Any

import tomlkit

from ..build import Build, digest
from ..build.writing import whole_text
from ..units import DIMENSIONS, QuantityError, Spread, read_quantity
from .fit import Fit, Found
from .measured import Measured
from .predict import INPUT

MOVED = 0.02  # of its spread, that counts as moved


def fitted_text(build: Build, done: Fit, trial: Measured) -> str:
    """The fitted build's file.

    Args:
        build: that was fitted.
        done: the fit.
        trial: what was measured.

    Returns:
        TOML.
    """
    whole = tomlkit.parse(whole_text(build))
    inputs = {one.key: one for one in done.rig.inputs}
    told, along = list[Found](), list[Found]()
    for found in done.found:
        if found.unknown.kind != INPUT or abs(found.x) < MOVED and not found.told:
            continue
        places = [place for place in inputs[found.unknown.of].places if _write(whole, place, found.after)]
        if places:
            (told if found.told else along).append(found)
    lines = [
        f"# Fitted to a trial: {trial.name}, {trial.date or 'no date in the log'}, log {trial.digest}.",
        f"# Made from {build.file}, build {digest(build)}. Figures in SI; ± is about 19 in 20.",
        "# The fire tells: " + _names(told),
        "# Moved along with those, not told alone: " + _names(along),
        "#",
    ]
    return "\n".join(lines) + "\n" + tomlkit.dumps(whole)


def _names(found: list[Found]) -> str:
    return ", ".join(one.unknown.name for one in found) or "nothing"


def _steps(place: str) -> list[str | int]:
    found: list[str | int] = []
    for name, number in re.findall(r"([a-z_]+)(?:\[(\d+)\])?", place):
        found.append(name)
        if number:
            found.append(int(number) - 1)
    return found


def _write(whole: Any, place: str, spread: Spread) -> bool:
    """Write one value at its place of a whole build; False where the file has no such place."""
    steps = [step for step in _steps(place) if step != "part"]
    if steps == ["clamp_pressure"]:
        steps = ["clamp", "pressure"]
    if steps == ["mass"]:
        steps = ["fan", "mass"]
    at: Any = whole
    for step in steps[:-1]:
        if isinstance(step, str) and (not hasattr(at, "keys") or step not in at):
            return False
        at = at[step]
    key = steps[-1]
    if key == "width" and "diameter" in at and steps[0] == "riser":
        key = "diameter"
    if not hasattr(at, "keys") or key not in at:
        return False
    old = at[key]
    text = _quantity(str(old[0]) if isinstance(old, list) else str(old), spread)
    if text is None:
        return False
    at[key] = [text, "trial"] if isinstance(old, list) else text
    return True


def _quantity(old: str, spread: Spread) -> str | None:
    """The spread as text in SI, the unit taken from what stood there."""
    for name, dimension in DIMENSIONS.items():
        try:
            read_quantity(old, name)
        except QuantityError:
            continue
        unit = "K" if name == "temperature" else "" if name == "number" else dimension.si
        half = spread.half if spread.value <= 0.0 else min(spread.half, 0.95 * spread.value)  # never through nought
        return f"{spread.value:.6g} ± {half:.2g} {unit}".strip()
    return None
