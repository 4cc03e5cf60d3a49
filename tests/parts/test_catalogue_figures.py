"""Figures that handbooks, standards and published tests pin down, looked up in the catalogue."""

from __future__ import annotations

from math import pi

import pytest
from catalogue_tables import TABLES, ZERO, number, value


# Handbooks and standards (docs/sources.md, metals-handbook): range of conductivity at room temperature, W/mK.
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("aluminium 6061", 167, 167),
        ("aluminium 6082", 170, 220),
        ("cast aluminium", 120, 150),
        ("brass CuZn39Pb3", 123, 123),
        ("copper", 386, 398),
        ("plain steel", 49, 60),
        ("stainless 304", 15, 15),
        ("grey cast iron", 46, 46),
    ],
)
def test_conductivity_is_the_handbooks(name: str, low: float, high: float) -> None:
    assert low <= value("material", name, "conductivity") <= high


# Published emissivity tables (docs/sources.md, emissivity-tables).
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("bright aluminium", 0.09, 0.09),
        ("oxidised aluminium", 0.20, 0.31),
        ("anodised aluminium", 0.84, 0.84),
        ("oxidised cast iron", 0.63, 0.76),
        ("polished copper", 0.03, 0.03),
        ("oxidised copper", 0.6, 0.7),
        ("matt black paint", 0.96, 0.96),
        ("stove paint", 0.92, 0.92),
    ],
)
def test_emissivity_is_the_tables(name: str, low: float, high: float) -> None:
    assert low <= value("finish", name, "emissivity") <= high


# ISO 261 and ISO 898-1: pitch mm, stress area mm2. The stress area also follows from ISO 898-1's own formula
# A = pi/4 (d - 0.9382 P)^2, printed to four digits: 0.1 %.
THREADS = {"M3": (0.5, 5.03), "M4": (0.7, 8.78), "M5": (0.8, 14.18), "M6": (1.0, 20.12), "M8": (1.25, 36.61)}


@pytest.mark.parametrize("name", list(TABLES["screw"]))
def test_threads_are_the_standards(name: str) -> None:
    pitch, area = THREADS[TABLES["screw"][name]["thread"]]
    diameter = value("screw", name, "diameter")
    assert diameter == pytest.approx(float(TABLES["screw"][name]["thread"][1:]) * 1e-3, rel=1e-12)
    assert value("screw", name, "pitch") == pytest.approx(pitch * 1e-3, rel=1e-12)
    assert value("screw", name, "stress_area") == pytest.approx(area * 1e-6, rel=1e-12)
    formula = pi / 4.0 * (diameter - 0.9382 * pitch * 1e-3) ** 2
    assert value("screw", name, "stress_area") == pytest.approx(formula, rel=1e-3)


# DIN 2093 / EN 16984: outer, inner, thickness in mm (from memory).
@pytest.mark.parametrize(
    ("name", "outer", "inner", "thickness"),
    [("M4 disc washer", 8, 4.2, 0.4), ("M5 disc washer", 10, 5.2, 0.4), ("M6 disc washer", 12.5, 6.2, 0.7)],
)
def test_disc_washers_are_the_standards(name: str, outer: float, inner: float, thickness: float) -> None:
    found = [value("washer", name, field) * 1e3 for field in ("outer", "inner", "thickness")]
    assert found == pytest.approx([outer, inner, thickness], rel=1e-12)


# Typical printed ratings at a hot side of 300 K: V, A, K, couples (docs/sources.md: cooler-ratings, module-30-127).
RATINGS = {
    "cooler 40 mm": (15.4, 6.0, 68, 127),
    "cooler 40 mm 4 A": (15.4, 3.9, 68, 127),
    "cooler 40 mm 6 A": (15.4, 6.0, 68, 127),
    "cooler 40 mm 8 A": (15.4, 8.0, 68, 127),
    "cooler 40 mm 10 A": (15.4, 10.0, 68, 127),
    "cooler 40 mm 6 A soft solder": (15.4, 6.0, 68, 127),
    "cooler 40 mm 6 A hot solder": (15.4, 6.0, 68, 127),
    "cooler 30 mm": (15.4, 3.0, 65, 127),
    "cooler 30 mm 71 couples": (8.6, 6.0, 68, 71),
    "cooler 62 mm": (15.4, 15.0, 68, 127),
}


@pytest.mark.parametrize("name", list(RATINGS))
def test_coolers_follow_from_their_ratings(name: str) -> None:
    """Lineykin & Ben-Yaakov 2007; the files print three digits, hence 0.5 %."""
    volts, amps, cold, couples = RATINGS[name]
    assert value("module", name, "seebeck") == pytest.approx(volts / 300, rel=5e-3)
    assert value("module", name, "resistance") == pytest.approx(volts / amps * (300 - cold) / 300, rel=5e-3)
    assert value("module", name, "conductance") == pytest.approx(volts * amps * (300 - cold) / (600 * cold), rel=5e-3)
    assert value("module", name, "couples") == couples


def test_every_cooler_is_checked_against_its_ratings() -> None:
    assert set(RATINGS) == {name for name, part in TABLES["module"].items() if part["grade"] == "cooler"}


@pytest.mark.parametrize("name", list(TABLES["module"]))
def test_no_unmeasured_module_claims_better_than_a_quarter_on_power(name: str) -> None:
    """Power at one face difference goes as seebeck squared over resistance (round robin: Ziolkowski et al. 2022)."""

    def share(field: str) -> float:
        return 2 * number("module", name, field).sd / value("module", name, field)

    assert (4 * share("seebeck") ** 2 + share("resistance") ** 2) ** 0.5 >= 0.25
    assert share("conductance") >= 0.25


@pytest.mark.parametrize("name", list(TABLES["module"]))
def test_figure_of_merit_is_that_of_bismuth_telluride(name: str) -> None:
    """A whole module stays below its bare legs: 0.74 at 300 K (Xuan 2002), and above the poorest sold, about 0.3."""
    figure = 300 * value("module", name, "seebeck") ** 2
    figure /= value("module", name, "resistance") * value("module", name, "conductance")
    assert 0.3 <= figure <= 0.80  # 0.80: ratings of a cooler leave a little over the legs' 0.74, they are rounded up


def test_a_40_mm_generator_does_what_one_did_on_a_stove() -> None:
    """150 K across one 40 mm module gave 2.4 W (Lertsatitthanakorn 2007); band 1.8 to 4.5 W, Qh/dT 0.40 to 0.65 W/K.

    Shapes over temperature, Xuan et al. 2002, by hand at 400 K: seebeck 1.112, resistance 1.545, conductance 1.070.
    """
    seebeck = 1.112 * value("module", "generator 40 mm", "seebeck")
    resistance = 1.545 * value("module", "generator 40 mm", "resistance")
    conductance = 1.070 * value("module", "generator 40 mm", "conductance")
    current = seebeck * 150 / (2 * resistance)
    heat = seebeck * 475 * current - 0.5 * current**2 * resistance + conductance * 150
    assert 1.8 <= current**2 * resistance <= 4.5
    assert 0.40 <= heat / 150 <= 0.65


def test_solders_melt_where_they_should() -> None:
    """Bismuth-tin 138 °C, tin-lead 183 °C (eutectic), tin-antimony 230 to 240 °C."""
    assert value("module", "cooler 40 mm 6 A soft solder", "solder") == pytest.approx(138 + ZERO)
    assert value("module", "cooler 40 mm 6 A", "solder") == pytest.approx(183 + ZERO)
    hot = number("module", "cooler 40 mm 6 A hot solder", "solder")
    assert (hot.low, hot.high) == pytest.approx((230 + ZERO, 240 + ZERO))


@pytest.mark.parametrize("name", list(TABLES["module"]))
def test_module_limits(name: str) -> None:
    """No face limit above its solder; generators 300 and 160 °C; clamp pressure within what all makers allow."""
    assert value("module", name, "hot_limit") < value("module", name, "solder")
    assert value("module", name, "cold_limit") <= value("module", name, "hot_limit")
    assert value("module", name, "pressure_low") >= 0.999e6 and value("module", name, "pressure_high") <= 1.47e6
    if TABLES["module"][name]["grade"] == "generator":
        assert value("module", name, "hot_limit") == pytest.approx(300 + ZERO)
        assert value("module", name, "cold_limit") == pytest.approx(160 + ZERO)


def test_wax_elements_keep_the_published_limits() -> None:
    """Vehicle limits: opens 80 to 84 °C, 10 mm and more at 95 °C; opens 76 to 80 °C, 8 mm and more at 91 °C."""
    for name, low, high, full, least in (("wax 82", 80, 84, 95, 10.0), ("wax 78", 76, 80, 91, 8.0)):
        opens = number("wax", name, "opens")
        assert (opens.low, opens.high) == pytest.approx((low + ZERO, high + ZERO))
        assert value("wax", name, "full") == pytest.approx(full + ZERO)
        assert value("wax", name, "travel") >= least * 1e-3


@pytest.mark.parametrize("name", list(TABLES["wax"]))
def test_wax_elements_are_in_order(name: str) -> None:
    """Full travel 11 to 15 K above opening (vehicle limits); hysteresis 2 to 5 K lies mostly in the spread."""
    opens, full = value("wax", name, "opens"), value("wax", name, "full")
    assert 11.0 <= full - opens <= 15.0
    assert value("wax", name, "bursts") > full + 20.0
    assert value("wax", name, "most_travel") > value("wax", name, "travel")
    assert 2.0 <= value("wax", name, "hysteresis") <= 5.0


@pytest.mark.parametrize("name", list(TABLES["motor"]))
def test_motors_break_away_above_running_friction(name: str) -> None:
    """1.3 to 3 times: practice."""
    assert 1.3 <= value("motor", name, "breakaway") / value("motor", name, "friction") <= 3.0


def test_the_disc_motor_meets_its_specification() -> None:
    """3 V: 3900 ± 390 rpm, at most 35 mA with no load, starts by 1.0 V, stalls at 15 g·cm or more (a maker's sheet)."""
    motor = {
        field: value("motor", "CD spindle motor", field)
        for field in ("resistance", "torque_constant", "friction", "breakaway", "drag", "brush_drop")
    }
    constant, ohms, drop = motor["torque_constant"], motor["resistance"], motor["brush_drop"]
    # k (V - drop - k w) / R = friction + drag w, solved for w
    speed = (constant * (3.0 - drop) / ohms - motor["friction"]) / (constant**2 / ohms + motor["drag"])
    assert 3510 <= speed * 30 / pi <= 4290
    assert (motor["friction"] + motor["drag"] * speed) / constant <= 0.035
    assert motor["breakaway"] / constant * ohms + drop <= 1.0
    assert constant * (3.0 - drop) / ohms - motor["friction"] >= 15 * 9.81e-5


# UIUC propeller database, static: C_T and C_P at about 1500 to 6000 rpm.
UIUC = {
    "blade 127 mm 2": ((0.0838, 0.0862, 0.1007), (0.0420, 0.0362, 0.0399)),
    "blade 229 mm 2": ((0.0754, 0.0789, 0.0844), (0.0372, 0.0333, 0.0330)),
    "blade 100 mm 2": ((0.1251, 0.1280), (0.1354, 0.1159)),
}


@pytest.mark.parametrize("name", list(UIUC))
def test_moulded_blades_follow_the_published_tests(name: str) -> None:
    thrust, power = number("blade", name, "thrust_coefficient"), number("blade", name, "power_coefficient")
    assert all(thrust.low <= each <= thrust.high for each in UIUC[name][0])
    assert all(power.low <= each <= power.high for each in UIUC[name][1])
    assert 2 * power.sd / power.value >= 0.19, "three specimens of one model differ by 19 % in power"


@pytest.mark.parametrize("name", list(TABLES["blade"]))
def test_no_blade_beats_momentum(name: str) -> None:
    """Figure of merit C_T^1.5 sqrt(2/pi) / C_P: 1 is the exact bound, 0.26 to 0.65 was measured on small propellers."""
    merit = value("blade", name, "thrust_coefficient") ** 1.5 * (2 / pi) ** 0.5
    assert 0.15 <= merit / value("blade", name, "power_coefficient") <= 0.65


@pytest.mark.parametrize("name", [n for n, part in TABLES["sink"].items() if part["shape"] != "measured"])
def test_sinks_can_exist(name: str) -> None:
    part = TABLES["sink"][name]
    if part["shape"] == "plate fins":
        assert value("sink", name, "fin_thickness") < value("sink", name, "fin_pitch")
        assert value("sink", name, "fin_count") * value("sink", name, "fin_pitch") <= value("sink", name, "base_width")
    elif part["shape"] == "annular fins":
        assert value("sink", name, "core_diameter") < value("sink", name, "outer_diameter")
        assert value("sink", name, "fin_thickness") < value("sink", name, "fin_pitch")
    else:
        across = value("sink", name, "pin_count") ** 0.5
        assert across * value("sink", name, "pin_pitch") <= value("sink", name, "base_width") + 1e-9


@pytest.mark.parametrize("name", list(TABLES["bush"]))
def test_bushes_pass_their_screw(name: str) -> None:
    size = float(name.rpartition("M")[2]) * 1e-3
    inner, outer = value("bush", name, "inner"), value("bush", name, "outer")
    assert size < inner < outer < value("bush", name, "flange_diameter")
