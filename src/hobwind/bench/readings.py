"""Bench readings as TOML: what was typed at the bench, checked all at once, handed to the test it belongs to."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..build.reader import Notes, Section
from ..errors import BuildError, Problem
from ..files import read_text
from ..parts.catalogue import Shelf
from .measured import Instrument
from .metal import MetalReadings, identify_metal
from .module import HeaterReading, Instruments, LoadReading, ModuleReadings, OpenReading, identify_generator
from .motor import MotorReadings, Running, identify_motor
from .ratings import CoolerPrints, GeneratorPrints, from_cooler_prints, from_generator_prints
from .result import Result
from .wax import WaxReadings, identify_wax

ZERO = 273.15
COLD, HOT = ZERO - 30.0, ZERO + 400.0


@dataclass(frozen=True)
class BenchTest:
    """One bench test: its name, the kind of part it makes, one line on it, the procedure, and how its readings are read."""

    name: str
    kind: str
    says: str
    procedure: str
    read: Callable[[Notes, Mapping[str, Any]], Callable[[], Result]]


def _rows(notes: Notes, table: Mapping[str, Any], key: str, needed: bool) -> list[Section]:
    rows = table.get(key, [])
    if not isinstance(rows, list) or (needed and not rows):
        notes.complain(key, f"missing; readings headed [[{key}]] are wanted, see: hobwind bench")
        return []
    return [Section(notes, f"{key}[{i + 1}]", row) for i, row in enumerate(rows)]


def _top(notes: Notes, table: Mapping[str, Any], *known: str) -> Section:
    top = Section(notes, "file", table)
    top.known += list(known)
    return top


def _module(notes: Notes, table: Mapping[str, Any]) -> Callable[[], Result]:
    top = _top(notes, table, "open", "load", "heater", "instruments")
    far = top.choice("faces_read", ("on the module", "beyond the joints"), "on the module") == "beyond the joints"
    joints = top.quantity("joints", "thermal_resistance", "0.5 K/W", 0.0, 20.0)
    top.close()
    opens, loads, heaters = [], [], []
    for s in _rows(notes, table, "open", True):
        opens.append(OpenReading(*_faces(s), s.quantity("volts", "voltage", None, -100.0, 100.0).value))
        s.close()
    for s in _rows(notes, table, "load", True):
        ohms = s.quantity("ohms", "ohms", None, 1e-3, 1e5).value
        volts = s.quantity("volts", "voltage", None, -100.0, 100.0).value
        loads.append(LoadReading(ohms, volts, *_faces(s), s.quantity("after", "time", "0.5 s", 0.0, 3600.0, "practice").value))
        s.close()
    for s in _rows(notes, table, "heater", False):
        heaters.append(HeaterReading(s.quantity("watts", "power", None, 0.0, 500.0).value, *_faces(s)))
        s.close()
    i = Section(notes, "instruments", table.get("instruments"))
    tools = Instruments(
        apart=i.quantity("thermometers_apart", "temperature_difference", "3 K", 0.0, 20.0, "practice").value,
        step=i.quantity("thermometer_step", "temperature_difference", "0.2 K", 0.0, 5.0, "practice").value,
        volts=Instrument(i.quantity("meter_share", "number", "0.5 %", 0.0, 0.2, "practice").value, 0.002),
    )
    i.close()
    return lambda: identify_generator(ModuleReadings(opens, loads, heaters, tools, far_side=far, joints=joints.value))


def _faces(s: Section) -> tuple[float, float]:
    return s.quantity("hot", "temperature", None, COLD, HOT).value, s.quantity("cold", "temperature", None, COLD, HOT).value


def _cooler_label(notes: Notes, table: Mapping[str, Any]) -> Callable[[], Result]:
    s = _top(notes, table)
    prints = CoolerPrints(
        hot=s.quantity("hot", "temperature", "27 °C", 250.0, 400.0, "practice").value,
        volts=s.quantity("volts", "voltage", None, 0.05, 100.0).value,
        amperes=s.quantity("amperes", "current", None, 0.05, 100.0).value,
        difference=s.quantity("difference", "temperature_difference", None, 20.0, 100.0).value,
        heat=s.quantity("heat", "power", "0 W", 0.0, 2000.0, "practice").value,
        resistance=s.quantity("resistance", "ohms", "0 Ω", 0.0, 100.0, "practice").value,
    )
    s.close()
    return lambda: from_cooler_prints(prints)


def _generator_label(notes: Notes, table: Mapping[str, Any]) -> Callable[[], Result]:
    s = _top(notes, table)
    prints = GeneratorPrints(
        hot=s.quantity("hot", "temperature", None, 300.0, 700.0).value,
        cold=s.quantity("cold", "temperature", None, 250.0, 500.0).value,
        open_volts=s.quantity("open_volts", "voltage", "0 V", 0.0, 100.0, "practice").value,
        matched_volts=s.quantity("matched_volts", "voltage", "0 V", 0.0, 100.0, "practice").value,
        watts=s.quantity("watts", "power", "0 W", 0.0, 500.0, "practice").value,
        ohms=s.quantity("ohms", "ohms", "0 Ω", 0.0, 100.0, "practice").value,
        heat=s.quantity("heat", "power", "0 W", 0.0, 5000.0, "practice").value,
    )
    s.close()
    return lambda: from_generator_prints(prints)


def _wax(notes: Notes, table: Mapping[str, Any]) -> Callable[[], Result]:
    top = _top(notes, table, "up", "down", "dunk", "instruments")
    scale = top.maybe("scale", "mass", 0.1, 200.0)
    top.close()
    ways: dict[str, list[tuple[float, float]]] = {"up": [], "down": []}
    for key, rows in ways.items():
        for s in _rows(notes, table, key, key == "up"):
            water = s.quantity("water", "temperature", None, 273.0, 400.0).value
            rows.append((water, s.quantity("stroke", "length", None, -1e-3, 0.05).value))
            s.close()
    dunk = None
    if "dunk" in table:
        s = Section(notes, "dunk", table["dunk"])
        start, bath = (s.quantity(key, "temperature", None, 270.0, 400.0).value for key in ("start", "bath"))
        dunk = (start, bath, s.quantity("half_after", "time", None, 0.5, 3600.0).value)
        s.close()
    i = Section(notes, "instruments", table.get("instruments"))
    thermometer = Instrument(0.0, i.quantity("thermometer", "temperature_difference", "1 K", 0.01, 10.0, "practice").value)
    ruler = Instrument(0.0, i.quantity("ruler", "length", "0.3 mm", 1e-6, 5e-3, "practice").value)
    i.close()
    kept = None if scale is None else scale.value
    return lambda: identify_wax(WaxReadings(ways["up"], ways["down"], dunk, kept, thermometer, ruler))


def _motor(notes: Notes, table: Mapping[str, Any]) -> Callable[[], Result]:
    top = _top(notes, table, "ohms", "running", "generator", "breaks_at")
    top.close()
    ohms = _list(notes, table, "ohms", "ohms", 1e-3, 1e5)
    breaks = _list(notes, table, "breaks_at", "voltage", 0.0, 100.0)
    running, generator = [], []
    for s in _rows(notes, table, "running", False):
        volts, amperes = (
            s.quantity("volts", "voltage", None, 0.0, 100.0).value,
            s.quantity("amperes", "current", None, 0.0, 50.0).value,
        )
        running.append(Running(volts, amperes, s.quantity("speed", "turning", None, 0.0, 1e4).value))
        s.close()
    for s in _rows(notes, table, "generator", False):
        speed = s.quantity("speed", "turning", None, 0.0, 1e4).value
        generator.append((speed, s.quantity("volts", "voltage", None, 0.0, 100.0).value))
        s.close()
    return lambda: identify_motor(MotorReadings(ohms, running, generator, breaks))


def _list(notes: Notes, table: Mapping[str, Any], key: str, dimension: str, low: float, high: float) -> list[float]:
    """A plain list of quantities, each read like a key of its own."""
    given = table.get(key, [])
    if not isinstance(given, list):
        notes.complain(key, f'got {given!r:.60}; a list such as {key} = ["7.6 Ω", "7.9 Ω"] is wanted')
        return []
    s = Section(notes, key, {str(i + 1): one for i, one in enumerate(given)})
    return [s.quantity(str(i + 1), dimension, None, low, high).value for i in range(len(given))]


def _metal(notes: Notes, table: Mapping[str, Any]) -> Callable[[], Result]:
    s = _top(notes, table)
    mass, displaced = (
        s.quantity("mass", "mass", None, 1e-3, 100.0).value,
        s.quantity("displaced", "mass", None, 1e-4, 100.0).value,
    )
    magnet = {"holds": True, "does not hold": False, "not tried": None}[
        s.choice("magnet", ("holds", "does not hold", "not tried"), "not tried")
    ]
    step = s.quantity("scale_step", "mass", "1 g", 1e-6, 0.1, "practice").value
    s.close()
    return lambda: identify_metal(MetalReadings(mass, displaced, magnet, Instrument(0.002, step)))


PROCEDURES = {
    "module": """\
You need: a multimeter, two thermometers, two or three known resistors of 1 to 10 Ω, a kettle, ice, two metal blocks.
1. Clamp the module between the blocks with a smear of compound. Bring one block to the kettle's heat, one to ice water.
2. When both thermometers have stood still for a minute, read open volts and both faces. Repeat at three other heats.
3. Across a known resistor read the volts within one second of connecting: later the current's own cooling spoils it.
Cautions: steam and hot blocks burn; keep fingers off the clamp.
Type the readings:
    [[open]]
    hot = "86 °C"
    cold = "8 °C"
    volts = "3.61 V"
    [[load]]
    ohms = "2.2 Ω"
    volts = "1.75 V"
    hot = "85 °C"
    cold = "9 °C"
    [[heater]]            # only with a heater of known watts, lagged all round
    watts = "30 W"
    hot = "70 °C"
    cold = "12 °C"
""",
    "cooler-label": """\
You need: the sheet or the print of a module sold as a cooler.
    hot = "27 °C"         # the temperature the ratings hold for
    volts = "15.4 V"      # most volts
    amperes = "6 A"       # most amperes
    difference = "68 K"   # largest temperature difference
    heat = "53 W"         # most heat pumped; leave out if not printed
    resistance = "1.9 Ω"  # leave out if not printed
""",
    "generator-label": """\
You need: the sheet of a module sold as a generator.
    hot = "300 °C"
    cold = "30 °C"
    open_volts = "8.4 V"  # or matched_volts = "4.2 V"
    watts = "14.6 W"      # into its best load
    ohms = "1.2 Ω"
    heat = "365 W"        # leave out if not printed
""",
    "wax": """\
You need: a pan of water on a small flame, a thermometer, a steel rule, a spoon to stir; for the force a kitchen scale.
1. Hang element and thermometer in cold water. Warm it slowly, stir, and read pin stroke every kelvin once the pin moves.
2. Go five kelvin beyond full stroke, no further. Take the flame away, stir, and read on while it cools.
3. Dunk: from a known cold into hot stirred water; seconds until the pin is half out.
Cautions: boiling water; never clamp the pin: a blocked element bursts; it pushes with the force of a grown man's hand.
Type the readings:
    scale = "18 kg"       # what the pin just lifts; leave out if not tried
    [[up]]
    water = "84 °C"
    stroke = "1.2 mm"
    [[down]]
    water = "80 °C"
    stroke = "1.1 mm"
    [dunk]
    start = "20 °C"
    bath = "96 °C"
    half_after = "38 s"
""",
    "motor": """\
You need: a multimeter, a battery or lab supply of 0.5 to 3 V, something that counts turns (strobe, phone recording).
1. Leads off, blade off. Winding ohms at five shaft positions or more, turning a little each time.
2. Running free at three voltages or more: volts at the terminals, amperes, speed.
3. Raise the volts from nothing until it just breaks away; five times, from other positions.
4. Or in a drill chuck of known speed: volts at its terminals, nothing connected.
Cautions: tape over sharp shafts; unplug scrap machines and let their capacitors run empty before you open them.
    ohms = ["7.6 Ω", "7.9 Ω", "8.4 Ω", "7.5 Ω", "7.8 Ω"]
    breaks_at = ["0.31 V", "0.36 V", "0.29 V"]
    [[running]]
    volts = "1.5 V"
    amperes = "24 mA"
    speed = "1620 rpm"
    [[generator]]
    speed = "1000 rpm"
    volts = "0.79 V"
""",
    "metal": """\
You need: a kitchen scale, a bowl of water, thread, a magnet.
1. Weigh the bar dry. 2. Put the bowl of water on the scale, set it to nought, hang the bar in the water by a thread, free of
the bowl and without bubbles: the scale now shows the mass of displaced water. 3. Try the magnet.
Cautions: a light silvery bar may be magnesium: its chips burn.
    mass = "812 g"
    displaced = "301 g"
    magnet = "does not hold"   # or "holds"
""",
}
TESTS = {
    one.name: one
    for one in (
        BenchTest("module", "module", "a module as a generator: volts, ohms, heat", PROCEDURES["module"], _module),
        BenchTest(
            "cooler-label", "module", "a module from its printed cooler ratings", PROCEDURES["cooler-label"], _cooler_label
        ),
        BenchTest(
            "generator-label",
            "module",
            "a module from its printed generator ratings",
            PROCEDURES["generator-label"],
            _generator_label,
        ),
        BenchTest("wax", "wax", "a wax element in a pan of water", PROCEDURES["wax"], _wax),
        BenchTest("motor", "motor", "a small motor: winding, constant, friction, breaking away", PROCEDURES["motor"], _motor),
        BenchTest("metal", "material", "an unknown bar by mass, water and magnet", PROCEDURES["metal"], _metal),
    )
}


def measure(test: BenchTest, path: Path) -> Result:
    """Read a file of readings and identify the part.

    Args:
        test: which bench test.
        path: of the TOML file.

    Returns:
        The result.

    Raises:
        FileError: the file cannot be read.
        BuildError: with every problem of the file.
        InputError: readings that cannot be.
    """
    return measure_text(test, read_text(path), path.name)


def measure_text(test: BenchTest, text: str, file: str) -> Result:
    """As `measure`, from text."""
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        raise BuildError(file, (Problem("file", f"is not readable as TOML: {str(error)[:200]}. Mend that line"),)) from error
    notes = Notes(Shelf(None))
    act = test.read(notes, table)
    if notes.problems:
        raise BuildError(file, tuple(notes.problems))
    return act()
