"""Picks, followings and comparisons as plain data with units in their keys: what `--json` prints."""

from __future__ import annotations

from typing import Any

from . import __version__
from .build import FORMAT, digest
from .studies.compare import Comparison
from .studies.dice import Chance
from .studies.follow import Followed
from .studies.pick.chances import Chances
from .studies.pick.judging import Judged
from .studies.pick.picking import Picked
from .studies.pick.ranking import WISHES
from .studies.pick.words import beats, limited, parts
from .studies.report import SHAPE, celsius, number


def _made_by(seed: int) -> dict[str, Any]:
    return {"hobwind": __version__, "format": FORMAT, "seed": seed}


def fan(found: Picked, one: Judged) -> dict[str, Any]:
    """One fan out of the bin."""
    buys = None if one.buys is None else found.bin.of(one.buys[0])[one.buys[1]].name
    return {
        "build": digest(one.build),
        "parts": parts(found.bin, one.choice),
        "buys": buys,
        "riser_length_mm": number(one.choice.riser[1] * 1e3, 1),
        "starts_at_plate_degC": celsius(one.starts),
        "stops_at_plate_degC": celsius(one.solved.stops_at),
        "air_usual_m3_per_h": number(one.air * 3600.0, 2),
        "hottest_face_degC": celsius(one.face),
        "least_margin_K": number(one.margin, 2),
        "least_margin_part": one.margins[0].part if one.margins else "none",
        "lifts_usual": one.solved.usual.lifts,
        "lifts_over_fired": one.solved.worst.lifts,
        "points": number(one.points, 3),
        "wishes": [
            {"says": wish.met if kept else wish.missed, "met": kept} for wish, kept in zip(WISHES, one.met, strict=True)
        ],
    }


def _chance(one: Chance) -> dict[str, Any]:
    return {"share": number(one.share, 6), "settled_to": number(one.loose, 6), "throws": one.count}


def _odds(thrown: Chances | None) -> dict[str, Any] | None:
    if thrown is None:
        return None
    return {"face_over_limit": _chance(thrown.harm), "starts_late": _chance(thrown.late), "gamble": thrown.is_gamble}


def pick_report(found: Picked) -> dict[str, Any]:
    """Everything a pick found."""
    s, answers = found.sieved, found.answers
    return {
        "shape": SHAPE,
        "made_by": _made_by(found.seed),
        "name": found.bin.name,
        "possible": s.possible,
        "tried": s.tried,
        "fell": [{"reason": reason, "combinations": count} for reason, count in s.fell.items()],
        "fitting": s.fitting,
        "solved": s.solved,
        "unsettled": s.unsettled,
        "through_evenings": found.evenings,
        "in_full": found.full,
        "stopped": s.stopped,
        "module_sets_left_out": found.sets_left_out,
        "answers": [
            {
                **fan(found, one),
                "beats_the_next_by": beats(one, answers[i + 1]) if i + 1 < len(answers) else None,
                "limited_by": limited(found.limits[i]),
                "odds": _odds(found.thrown[i]),
                "dropped_behind": found.dropped[i],
            }
            for i, one in enumerate(answers)
        ],
        "purchases": [
            {
                "name": p.name,
                "kind": p.kind,
                "price": number(p.price, 2),
                "worth_it": p.worth,
                "best_with_it": fan(found, p.fan),
                "odds": _odds(p.thrown),
            }
            for p in found.purchases
        ],
        "too_dear": list(found.too_dear),
    }


def compare_report(found: Comparison) -> dict[str, Any]:
    """Two builds side by side."""
    return {
        "shape": SHAPE,
        "made_by": {
            "hobwind": __version__,
            "format": FORMAT,
            "builds": [digest(found.first.build), digest(found.second.build)],
        },
        "names": [found.first.build.name, found.second.build.name],
        "parts": [{"part": row.what, "first": row.first, "second": row.second, "differs": row.differs} for row in found.parts],
        "figures": [{"figure": row.what, "first": row.first, "second": row.second} for row in found.figures],
        "values": [{"key": row.key, "first": number(row.first, 6), "second": number(row.second, 6)} for row in found.values],
    }


def follow_report(found: Followed) -> dict[str, Any]:
    """Somebody's build with the parts on hand."""
    return {
        "shape": SHAPE,
        "made_by": _made_by(found.seed),
        "name": found.theirs.name,
        "bin": found.bin.name,
        "matches": [
            {
                "part": row.what,
                "theirs": row.theirs,
                "on_hand": row.on_hand,
                "differences": list(row.differences),
                "apart": number(row.apart, 3),
            }
            for row in found.matches
        ],
        "let_go": list(found.let_go),
        "do": list(found.todo),
        "sentence": found.judged.sentence,
        "dangers": found.judged.dangers,
        "compared": compare_report(found.comparison),
    }
