"""The sink's numbers for the kernel: areas, envelope and heat store from its shape."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from ..build import Build, geometry
from . import fields
from .fields import P, Q
from .sinks import ON_BASE, OPEN_BELOW

if TYPE_CHECKING:
    from .prepare import Filler


def put_sink(filler: Filler, build: Build) -> None:
    """Write the sink of `build` into `filler`."""
    sink, use, p = build.sink.part, build.sink, filler.p
    filler.put(P.sink_conductivity, sink.material.conductivity, "sink.material.conductivity")
    filler.put(P.sink_emissivity, sink.finish.emissivity, "sink.finish.emissivity")
    filler.put(P.sink_on_base, use.on_base, "sink.on_base")
    filler.put(P.sink_in_stream, use.in_stream, "sink.in_stream")
    filler.put(P.sink_bypass, use.bypass, "sink.bypass")
    code, write = _SHAPES[sink.shape]
    filler.q[Q.sink_shape] = code
    write(filler, build)
    p[P.sink_capacity] = geometry.sink_heat_capacity(build)
    width, depth = geometry.plate_below_sink(build)
    p[P.sink_hidden_width] = min(width, p[P.sink_width])
    p[P.sink_hidden_depth] = min(depth, p[P.sink_length])


def _box(filler: Filler, width: float, depth: float, height: float) -> None:
    """Radiating envelope of a finned body and the face it turns to the stove plate."""
    p = filler.p
    p[P.sink_envelope] = 2.0 * (width + depth) * height
    p[P.sink_top] = width * depth
    p[P.sink_underside] = width * depth
    p[P.sink_height] = height


def _plate_fins(filler: Filler, build: Build) -> None:
    sink, p = build.sink.part, filler.p
    p[P.sink_width], p[P.sink_length] = sink.base_width.value, sink.base_length.value
    p[P.sink_base], p[P.sink_fin_height] = sink.base_thickness.value, sink.fin_height.value
    p[P.sink_fin_thickness], p[P.sink_fin_pitch] = sink.fin_thickness.value, sink.fin_pitch.value
    p[P.sink_fin_count] = sink.fin_count
    filler.q[Q.sink_stands] = ON_BASE if sink.stands == "on a base" else OPEN_BELOW
    _box(filler, p[P.sink_width], p[P.sink_length], p[P.sink_base] + p[P.sink_fin_height])


def _annular_fins(filler: Filler, build: Build) -> None:
    sink, p = build.sink.part, filler.p
    core, outer = sink.core_diameter.value, sink.outer_diameter.value
    p[P.sink_width], p[P.sink_length] = core, 0.25 * np.pi * core  # same area as the round end face
    p[P.sink_base] = 0.25 * core
    p[P.sink_fin_height] = 0.5 * (outer - core)
    p[P.sink_fin_thickness], p[P.sink_fin_pitch] = sink.fin_thickness.value, sink.fin_pitch.value
    p[P.sink_fin_count] = sink.fin_count
    upright = sink.axis == "upright"
    filler.q[Q.sink_stands] = ON_BASE if upright else OPEN_BELOW
    along = sink.fin_count * sink.fin_pitch.value
    side = np.sqrt(0.25 * np.pi) * outer
    _box(filler, side, side if upright else along, along if upright else outer)


def _pin_fins(filler: Filler, build: Build) -> None:
    sink, p = build.sink.part, filler.p
    p[P.sink_width], p[P.sink_length] = sink.base_width.value, sink.base_length.value
    p[P.sink_base], p[P.sink_fin_height] = sink.base_thickness.value, sink.pin_height.value
    p[P.sink_fin_thickness], p[P.sink_fin_pitch] = sink.pin_diameter.value, sink.pin_pitch.value
    p[P.sink_fin_count] = sink.pin_count
    filler.q[Q.sink_stands] = ON_BASE
    _box(filler, p[P.sink_width], p[P.sink_length], p[P.sink_base] + p[P.sink_fin_height])


def _measured(filler: Filler, build: Build) -> None:
    sink, p = build.sink.part, filler.p
    p[P.sink_width], p[P.sink_length] = sink.width.value, sink.depth.value
    filler.put(P.sink_still, sink.still, "sink.still")
    p[P.sink_still_rise] = sink.still_rise.value
    filler.put(P.sink_blown, sink.blown, "sink.blown")
    p[P.sink_blown_at] = sink.blown_at.value
    filler.put(P.sink_blown_power, build.sink.blown_power, "sink.blown_power")
    _box(filler, p[P.sink_width], p[P.sink_length], sink.height.value)


_SHAPES: dict[str, tuple[int, Callable[[Filler, Build], None]]] = {
    "plate fins": (fields.PLATE_FINS, _plate_fins),
    "annular fins": (fields.ANNULAR_FINS, _annular_fins),
    "pin fins": (fields.PIN_FINS, _pin_fins),
    "measured": (fields.MEASURED, _measured),
}
