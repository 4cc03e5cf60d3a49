"""The doors that make a build: eight questions about scrap, and outside measurements of a fan whose inside is unknown."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import InputError
from ..units import QuantityError, Spread, read_quantity


@dataclass(frozen=True)
class Choice:
    """One answer: what it says, and what goes into the build."""

    says: str
    value: str


@dataclass(frozen=True)
class Question:
    """One question: key (also of its picture), words, the typical answer, choices; a measured one has a dimension and a unit."""

    key: str
    asks: str
    helps: str
    typical: str
    typical_says: str
    choices: tuple[Choice, ...] = ()
    dimension: str = ""
    unit: str = ""
    spread: float = 0.0
    low: float = 0.0
    high: float = 0.0


QUESTIONS = (
    Question("plate", "How hot does your stove plate get on an ordinary evening?",
             "A stove thermometer on the bare plate, or the point where spit dances at once (about 180 °C).",
             "230 ± 40 °C", "about 230 °C", dimension="temperature", unit="°C", spread=15.0, low=333.15, high=673.15),
    Question("metal", "What metal is the piece that will stand on the plate?",
             "Light and silvery: aluminium. Reddish: copper. Yellow: brass. Heavy and a magnet sticks: steel.",
             "aluminium 6082", "aluminium",
             (Choice("aluminium, sawn from bar", "aluminium 6082"), Choice("copper", "copper"), Choice("brass", "brass CuZn39Pb3"),
              Choice("steel", "plain steel"))),
    Question("length", "How long is it, from the plate up?", "Measure the piece, or say how long you would saw it.",
             "90 ± 20 mm", "90 mm", dimension="length", unit="mm", spread=1.0, low=0.02, high=0.25),
    Question("module", "Which thermoelectric module have you got?",
             "A flat white ceramic square with two wires. Out of a coolbox it is nearly always the 40 mm one.",
             "cooler 40 mm", "a 40 mm cooler from a coolbox",
             (Choice("40 mm, from a coolbox", "cooler 40 mm"), Choice("30 mm, from a small cooler", "cooler 30 mm"),
              Choice("40 mm, sold as a generator", "generator 40 mm"))),
    Question("count", "How many of them?", "Side by side on one plate, wired one after the other.", "1", "one",
             (Choice("one", "1"), Choice("two", "2"))),
    Question("sink", "What will cool the upper side?", "Anything with fins: out of an amplifier, a coolbox, a computer.",
             "amplifier sink 100 x 100", "a finned sink of about 100 × 100 mm",
             (Choice("amplifier sink, 100 × 100 mm", "amplifier sink 100 x 100"),
              Choice("amplifier sink, 150 × 100 mm", "amplifier sink 150 x 100"), Choice("sink of a coolbox", "coolbox sink"))),
    Question("motor", "Which motor?", "Motors made for a few volts start best; a big toy motor may never break away.",
             "CD spindle motor", "the one that turned a disc in a CD player",
             (Choice("disc motor of a CD player", "CD spindle motor"), Choice("motor of a cassette deck", "cassette motor"),
              Choice("solar or coreless motor", "coreless motor"), Choice("small toy motor", "toy can motor, small"))),
    Question("blade", "How wide is the blade?", "From tip to tip.", "blade 150 mm 4", "150 mm, four vanes",
             (Choice("100 mm", "blade 100 mm 4"), Choice("150 mm", "blade 150 mm 4"), Choice("180 mm", "blade 180 mm 4"))),
)  # fmt: skip


def read_answer(question: Question, typed: str) -> str:
    """What an answer puts into the build.

    Args:
        question: that was asked.
        typed: the answer; "" is *don't know*.

    Returns:
        Text for the build file: the typical value with its wide spread when nothing is known.

    Raises:
        InputError: an answer that cannot be used.
    """
    typed = typed.strip()
    if not typed:
        return question.typical
    if question.choices:
        if typed not in {choice.value for choice in question.choices}:
            raise InputError(f'got "{typed[:40]}"; choose one of the answers below, or "don\'t know"')
        return typed
    return _measured(typed, question.dimension, question.unit, question.spread, question.low, question.high)


def _measured(typed: str, dimension: str, unit: str, spread: float, low: float, high: float) -> str:
    text = typed if any(letter.isalpha() or letter in '"°' for letter in typed) else f"{typed} {unit}"
    try:
        found: Spread = read_quantity(text, dimension)
    except QuantityError as error:
        raise InputError(f"{str(error)[:200]}") from error
    if not low <= found.value <= high:
        off, scale = (273.15, 1.0) if dimension == "temperature" else (0.0, 1e-3)
        raise InputError(f'got "{typed[:40]}"; {(low - off) / scale:.0f} to {(high - off) / scale:.0f} {unit} is allowed here')
    return (
        text
        if found.half or "±" in text
        else f"{text[: -len(unit)].strip()} ± {spread:g} {unit}"
        if text.endswith(unit)
        else text
    )


SCRAP = """\
# Made from eight questions. What was answered with "don't know" stands with a wide spread: measure it, and write it here.
format = 1
name = "{name}"

[stove]
usual_plate = "{plate}"
worst_plate = "330 ± 30 °C"

[[riser]]
shape = "block"
width = "{across} mm"
depth = "{along} mm"
length = "{length}"
material = "{metal}"
{hot_plate}
[[modules]]
part = "{module}"
count = {count}

[clamp]
pressure = "1.1 ± 0.3 MPa"

[sink]
part = "{sink}"

[screws]
part = "M4 stainless"
count = 4
across = "{screws_across} mm"
along = "{screws_along} mm"
free_length = "12 mm"
bush = "PEEK bush M4"

[motor]
part = "{motor}"

[blade]
part = "{blade}"
height = "{hub} ± 20 mm"

[guard]
kind = "none"
"""
HOT_PLATE = """
[hot_plate]
width = "{across} mm"
depth = "{along} mm"
thickness = "10 mm"
material = "aluminium 6082"
"""
SIZES = {"cooler 40 mm": 40, "generator 40 mm": 40, "cooler 30 mm": 30}


def scrap_text(answers: list[str]) -> str:
    """A build from the eight answers, in the order of `QUESTIONS`.

    Args:
        answers: as typed; "" for *don't know*.

    Returns:
        The text of a build file.

    Raises:
        InputError: an answer that cannot be used, or too few of them.
    """
    if len(answers) != len(QUESTIONS):
        raise InputError(f"got {len(answers)} answers; {len(QUESTIONS)} are wanted")
    said = {question.key: read_answer(question, answer) for question, answer in zip(QUESTIONS, answers, strict=True)}
    count = int(said["count"])
    tall = read_quantity(said["length"], "length").value * 1e3
    across = 60 if count == 1 else 2 * SIZES[said["module"]] + 20
    beside = SIZES[said["module"]] + 8 if count == 1 else across - 12
    return SCRAP.format(
        **said, name="My scrap", across=60, along=60, screws_across=beside, screws_along=48,
        hub=round(tall + 110 + (0 if count == 1 else 10)),
        hot_plate="" if count == 1 else HOT_PLATE.format(across=across, along=60),
    )  # fmt: skip


@dataclass(frozen=True)
class Measure:
    """One outside measurement: key, label, what is taken when it is not known, limits in mm."""

    key: str
    label: str
    usual: float
    wide: float
    low: float
    high: float


MEASURES = (
    Measure("foot_width", "foot, across", 60, 15, 15, 200), Measure("foot_depth", "foot, front to back", 60, 15, 15, 200),
    Measure("height", "plate to under the module", 70, 20, 10, 250),
    Measure("sink_width", "sink, across the fins", 100, 20, 30, 300),
    Measure("sink_length", "sink, along the fins", 80, 20, 20, 300), Measure("fin_height", "fins, how tall", 40, 15, 5, 150),
    Measure("hub", "plate to middle of the blade", 150, 30, 30, 500),
)  # fmt: skip
FAN = """\
# Made from outside measurements of a fan whose inside is unknown: what could not be seen stands with a wide spread.
format = 1
name = "My fan"

[fan]
made = "found"

[stove]
usual_plate = "230 ± 40 °C"
worst_plate = "330 ± 30 °C"

[[riser]]
shape = "block"
width = "{foot_width}"
depth = "{foot_depth}"
length = "{height}"
material = "cast aluminium"

[seat]
flatness = "0.12 ± 0.08 mm"

[[modules]]
part = "cooler 40 mm"
count = 1

[sink]
shape = "plate fins"
material = "cast aluminium"
finish = "black anodised aluminium"
base_width = "{sink_width}"
base_length = "{sink_length}"
base_thickness = "5 ± 2 mm"
fin_height = "{fin_height}"
fin_thickness = "2.5 ± 1 mm"
fin_pitch = "{pitch} mm"
fin_count = {fins}
stands = "on a base"

[motor]
part = "solar motor"

[blade]
part = "{blade}"
height = "{hub}"

[guard]
kind = "none"
"""
BLADES = (Choice("100 mm", "blade 100 mm 4"), Choice("150 mm", "blade 150 mm 4"), Choice("180 mm", "blade 180 mm 4"),
          Choice("230 mm", "blade 230 mm 2"))  # fmt: skip
PITCH = 8.0  # mm from fin to fin when nobody counted them


def fan_text(given: dict[str, str], fins: str, blade: str) -> str:
    """A wide build from outside measurements.

    Args:
        given: measurements by key, as typed; "" or missing for *don't know*.
        fins: how many, "" for *don't know*.
        blade: one of `BLADES`, "" for *don't know*.

    Returns:
        The text of a build file.

    Raises:
        InputError: a measurement that cannot be used.
    """
    said: dict[str, str] = {}
    for one in MEASURES:
        typed = given.get(one.key, "").strip()
        try:
            said[one.key] = (
                _measured(typed, "length", "mm", 2.0, one.low * 1e-3, one.high * 1e-3)
                if typed
                else f"{one.usual:g} ± {one.wide:g} mm"
            )
        except InputError as error:
            raise InputError(f"{one.label}: {error}") from error
    wide = read_quantity(said["sink_width"], "length").value * 1e3
    count = max(int(wide / PITCH), 2)
    if fins.strip():
        if not fins.strip().isdigit() or not 2 <= int(fins) <= 100:
            raise InputError(f'number of fins: got "{fins[:20]}"; 2 to 100 is allowed')
        count = int(fins)
    chosen = blade if blade in {one.value for one in BLADES} else "blade 150 mm 4"
    return FAN.format(**said, fins=count, pitch=f"{0.98 * wide / count:.1f}", blade=chosen)
