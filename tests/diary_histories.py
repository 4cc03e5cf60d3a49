"""Invented histories of the boat-shed fan, each with one known cause, from the whole model."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
from PIL import Image

from builds import example, stack
from hobwind.diary.causes import CAUSES, VALUES, plates_of, signatures, with_cause
from hobwind.diary.evenings import put_evenings
from hobwind.diary.health import DAY, Health, Look, judge
from hobwind.diary.logs import Stretch, put_log
from hobwind.diary.store import Diary, add_photo, add_service, add_trial, fan_id, put_build, written


@cache
def shown():
    return signatures(example())


def history(key: str | None, draw: np.random.Generator) -> list[Look]:
    """Eight to fourteen looks; the cause sets in somewhere in the first half and grows in one of three ways."""
    plates, count = plates_of(example()), int(draw.integers(8, 15))
    time = 1.7e9 + DAY * np.cumsum(draw.uniform(15.0, 60.0, count))
    start = int(draw.integers(1, count // 2))
    end = float(draw.uniform(0.7, 2.5))
    if key is not None and CAUSES[key].both_ways and draw.random() < 0.5:
        end = -end
    way = int(draw.integers(3))
    share = np.clip((time - time[start]) / (time[-1] - time[start]), 0.0, 1.0)
    grown = [(time > time[start]).astype(float), share, share**1.5][way]
    looks = []
    for when, size in zip(time, grown * end, strict=True):
        true = with_cause(stack(), plates, key or "ageing", float(size) if key else 0.0)
        values = {}
        for name, value in VALUES.items():
            doubt = value.usual * (abs(true[name]) if value.relative else 1.0) * float(draw.uniform(0.8, 1.5))
            if draw.random() < 0.9:  # now and then a trial does not find one
                values[name] = (true[name] + doubt * float(draw.standard_normal()), doubt)
        looks.append(Look(float(when), values))
    return looks


@cache
def hits(each: int = 40) -> dict[str, list[Health]]:
    """Judged histories by their true cause."""
    draw = np.random.default_rng(7)
    return {key: [judge(history(key, draw), shown()) for _ in range(each)] for key in CAUSES}


def table() -> str:
    """The table of hits for docs/health.md."""
    lines = [
        "| true cause | comes first | told, and right | told, and wrong | cannot tell | no change seen |",
        "|" + "---|" * 6,
    ]
    for key, found in hits().items():
        first = sum(one.suspects[0].key == key for one in found)
        right, wrong = sum(one.told == key for one in found), sum(one.told not in (key, None) for one in found)
        still = sum(not one.changed for one in found)
        lines.append(
            f"| {CAUSES[key].says} | {first} of {len(found)} | {right} | {wrong} | {len(found) - right - wrong - still} | {still} |"
        )
    return "\n".join(lines)


def fill(diary: Diary) -> None:
    """One of everything, and a history of looks."""
    build = example()
    draw = np.random.default_rng(8)
    for i, look in enumerate(history("blade", draw)):
        add_trial(diary, build, "{}", "shown as built" if i == 0 else "", look.time, look.values)
    add_service(diary, build.name, "other", "wiped", 1.7e9)
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "PNG")
    add_photo(diary, build.name, out.getvalue(), "on the stove", 1.7e9)
    minutes = np.arange(0.0, 200.0, 0.25)
    plate = np.interp(minutes, [0, 40, 120, 200], [20.0, 220.0, 220.0, 40.0])
    with written(diary) as connection:
        fan = fan_id(connection, build.name)
        at = put_build(connection, fan, build, 1.7e9)
        log = put_log(connection, "one", fan, at, "test", [Stretch(1.7e9 + 60.0 * minutes, ("plate_degC",), plate[:, None])])
        assert log is not None
        put_evenings(diary, log)


if __name__ == "__main__":
    from pathlib import Path

    from hobwind.files import write_whole

    page = Path(__file__).parents[1] / "docs" / "health.md"
    before, _, after = page.read_text("utf-8").partition("| true cause |")
    tail = after.split("\n\n", 1)[1] if "\n\n" in after else ""
    write_whole(page, before + table() + "\n\n" + tail)
