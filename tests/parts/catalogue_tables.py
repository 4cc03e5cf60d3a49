"""The catalogue as plain tables, and what each of its fields measures; shared by the catalogue's tests."""

from __future__ import annotations

import re
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any

from hobwind.units import Spread, read_quantity

ROOT = Path(__file__).resolve().parents[2]
CATALOGUE = resources.files("hobwind") / "parts" / "catalogue"
KINDS = sorted(Path(entry.name).stem for entry in CATALOGUE.iterdir() if entry.name.endswith(".toml"))
TABLES: dict[str, dict[str, dict[str, Any]]] = {
    kind: tomllib.loads((CATALOGUE / f"{kind}.toml").read_text("utf-8")) for kind in KINDS
}
PARTS = [(kind, name) for kind in KINDS for name in TABLES[kind]]

# What each field measures; the kinds in which a field differs from its usual meaning stand first.
SPECIAL = {
    ("compound", "limit"): "temperature",
    ("motor", "resistance"): "ohms",
    ("motor", "friction"): "torque",
    ("sheet", "contact"): "resistance_area",
    ("surface", "roughness"): "length",
}
DIMENSION = {
    "temperature": "limit hot_limit cold_limit solder opens full bursts",
    "temperature_difference": "hysteresis still_rise",
    "length": "flatness thickness dish width depth height diameter length pitch travel most_travel head_diameter inner "
    "outer flange_diameter flange_thickness base_width base_length base_thickness fin_height fin_thickness fin_pitch "
    "core_diameter outer_diameter bore pin_diameter pin_height pin_pitch",
    "area": "stress_area",
    "number": "emissivity slope couples count fin_count pin_count power_coefficient thrust_coefficient",
    "conductivity": "conductivity",
    "per_kelvin": "conductivity_slope magnet_coefficient",
    "density": "density",
    "specific_heat": "specific_heat",
    "heat_capacity": "heat_capacity",
    "expansion": "expansion",
    "pressure": "modulus hardness yield_stress pressure_low pressure_high",
    "seebeck": "seebeck",
    "ohms": "resistance",
    "thermal_conductance": "conductance",
    "thermal_resistance": "still blown",
    "torque_constant": "torque_constant",
    "torque": "breakaway",
    "rotary_drag": "drag",
    "voltage": "brush_drop",
    "mass": "mass",
    "creep": "creep",
    "time": "lag",
    "force": "force",
    "speed": "blown_at",
}
USUAL = {field: dimension for dimension, fields in DIMENSION.items() for field in fields.split()}
TEXT = {"says", "caution", "finish", "material", "magnet", "grade", "thread", "shape", "stands", "axis"}
ZERO = 273.15


def number(kind: str, name: str, field: str) -> Spread:
    """One catalogue number, read."""
    dimension = SPECIAL.get((kind, field)) or USUAL[field]
    return read_quantity(TABLES[kind][name][field][0], dimension)


def value(kind: str, name: str, field: str) -> float:
    """One catalogue number without its spread, SI."""
    return number(kind, name, field).value


def sources() -> dict[str, str]:
    """Key and flag of every row of docs/sources.md."""
    rows = re.findall(r"^\| ([\w.-]+) \| (.+) \| (\w+) \|$", (ROOT / "docs" / "sources.md").read_text("utf-8"), re.M)
    return {key: flag for key, _, flag in rows if key != "key"}
