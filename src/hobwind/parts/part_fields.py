"""Which fields each kind of part has: what each measures, its limits, and whether it may be left out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Field:
    """How one field is read: a dimension, "count", "text" or "part"; its limits in SI; whether it may be left out."""

    kind: str
    low: float = 0.0
    high: float = 0.0
    needed: bool = True
    choices: tuple[str, ...] = ()


def _fields(rows: str) -> dict[str, Field]:
    """Rows: field | dimension | low | high; a ? after the field lets it be left out."""
    found = {}
    for row in rows.strip().splitlines():
        cells = [cell.strip() for cell in row.split("|")]
        name, kind = cells[0], cells[1]
        low, high = (float(cells[2]), float(cells[3])) if len(cells) > 3 else (0.0, 0.0)
        choices = tuple(word.strip() for word in cells[2].split(",")) if len(cells) == 3 else ()
        found[name.rstrip("?")] = Field(kind, low, high, not name.endswith("?"), choices)
    return found


FIELDS: dict[str, dict[str, Field]] = {
    "material": _fields("""
        conductivity | conductivity | 0.01 | 2500
        conductivity_slope | per_kelvin | -0.01 | 0.01
        density | density | 10 | 25000
        specific_heat | specific_heat | 50 | 6000
        expansion | expansion | -1e-5 | 5e-4
        modulus | pressure | 1e5 | 2e12
        hardness | pressure | 1e6 | 2e11
        finish | part
        limit? | temperature | 273 | 2500"""),
    "finish": _fields("emissivity | number | 0.01 | 1"),
    "surface": _fields("""
        roughness | roughness | 1e-8 | 2e-4
        slope | number | 0.005 | 1.5
        flatness | length | 0 | 3e-3"""),
    "compound": _fields("""
        conductivity | conductivity | 0.02 | 100
        yield_stress | pressure | 0.1 | 1e5
        limit? | temperature | 273 | 1500"""),
    "sheet": _fields("""
        conductivity | conductivity | 0.02 | 2500
        thickness | length | 1e-6 | 0.02
        contact | resistance_area | 0 | 0.1
        limit? | temperature | 273 | 2000"""),
    "lagging": _fields("""
        conductivity | conductivity | 0.005 | 10
        limit? | temperature | 273 | 2500"""),
    "module": _fields("""
        width | length | 3e-3 | 0.2
        depth | length | 3e-3 | 0.2
        thickness | length | 5e-4 | 0.03
        seebeck | seebeck | 1e-4 | 1
        resistance | ohms | 1e-3 | 500
        conductance | thermal_conductance | 1e-3 | 50
        couples | count | 1 | 2000
        hot_limit | temperature | 300 | 1300
        cold_limit | temperature | 300 | 1300
        solder | temperature | 300 | 1300
        heat_capacity | heat_capacity | 0.1 | 1000
        pressure_low | pressure | 1e3 | 1e8
        pressure_high | pressure | 1e3 | 1e8
        grade | text"""),
    "motor": _fields("""
        resistance | ohms | 0.01 | 2000
        torque_constant | torque_constant | 1e-5 | 1
        friction | torque | 0 | 0.1
        breakaway | torque | 0 | 0.1
        drag | rotary_drag | 0 | 1e-3
        brush_drop | voltage | 0 | 3
        magnet | text
        magnet_coefficient | per_kelvin | -0.02 | 0.005
        limit | temperature | 300 | 600
        diameter | length | 2e-3 | 0.3
        length | length | 2e-3 | 0.5
        mass | mass | 1e-4 | 20
        heat_capacity | heat_capacity | 0.1 | 20000"""),
    "blade": _fields("""
        diameter | length | 0.02 | 1
        pitch | length | 0 | 2
        count | count | 1 | 30
        power_coefficient | number | 0.001 | 3
        thrust_coefficient | number | 0.001 | 3
        mass | mass | 1e-4 | 5
        limit | temperature | 300 | 2000"""),
    "wax": _fields("""
        opens | temperature | 283 | 450
        full | temperature | 284 | 470
        travel | length | 5e-4 | 0.03
        creep | creep | 0 | 1e-3
        hysteresis | temperature_difference | 0.2 | 30
        lag | time | 0.5 | 600
        heat_capacity | heat_capacity | 1 | 500
        force | force | 1 | 2000
        bursts | temperature | 290 | 500
        most_travel | length | 5e-4 | 0.05
        diameter | length | 3e-3 | 0.08
        length | length | 5e-3 | 0.2"""),
    "screw": _fields("""
        thread | text
        diameter | length | 1e-3 | 0.02
        pitch | length | 1e-4 | 5e-3
        stress_area | area | 1e-7 | 5e-4
        head_diameter | length | 1e-3 | 0.05
        material | part"""),
    "washer": _fields("""
        inner | length | 1e-3 | 0.05
        outer | length | 2e-3 | 0.1
        thickness | length | 1e-4 | 0.01
        dish? | length | 1e-5 | 3e-3
        material | part"""),
    "bush": _fields("""
        inner | length | 1e-3 | 0.05
        outer | length | 1e-3 | 0.06
        flange_diameter | length | 1e-3 | 0.1
        flange_thickness | length | 1e-4 | 0.02
        material | part
        limit | temperature | 300 | 2000"""),
    "sink": _fields("""
        shape | text | plate fins, annular fins, pin fins, measured
        material | part
        finish | part
        base_width? | length | 5e-3 | 1
        base_length? | length | 5e-3 | 1
        base_thickness? | length | 5e-4 | 0.1
        fin_height? | length | 1e-3 | 0.5
        fin_thickness? | length | 1e-4 | 0.05
        fin_pitch? | length | 5e-4 | 0.2
        fin_count? | count | 1 | 500
        stands? | text | on a base, open below
        core_diameter? | length | 5e-3 | 0.5
        outer_diameter? | length | 5e-3 | 0.6
        bore? | length | 0 | 0.5
        axis? | text | upright, lying
        pin_diameter? | length | 2e-4 | 0.05
        pin_height? | length | 1e-3 | 0.5
        pin_pitch? | length | 5e-4 | 0.2
        pin_count? | count | 1 | 20000
        width? | length | 5e-3 | 1
        depth? | length | 5e-3 | 1
        height? | length | 5e-3 | 1
        mass? | mass | 0.005 | 50
        heat_capacity? | heat_capacity | 1 | 50000
        still? | thermal_resistance | 0.01 | 100
        still_rise? | temperature_difference | 1 | 300
        blown? | thermal_resistance | 0.005 | 100
        blown_at? | speed | 0.05 | 30"""),
}
NEEDS = {
    "plate fins": [
        "base_width",
        "base_length",
        "base_thickness",
        "fin_height",
        "fin_thickness",
        "fin_pitch",
        "fin_count",
    ],
    "annular fins": ["core_diameter", "outer_diameter", "fin_thickness", "fin_pitch", "fin_count"],
    "pin fins": ["base_width", "base_length", "base_thickness", "pin_diameter", "pin_height", "pin_pitch", "pin_count"],
    "measured": ["width", "depth", "height", "mass", "still", "still_rise", "blown", "blown_at"],
}
EXTRA = ("says", "caution")
