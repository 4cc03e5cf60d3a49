"""Numbers that remember how they were made, so that the physics writes its own netlist.

A `Traced` stands for a quantity in a circuit: it has a value now and the text of the expression that gave it. Passed
through the same formulas as a float, it comes out as their expression; a comparison is decided by the value, so each
law keeps the branch it has at the operating point. Long expressions are put into nodes of their own by the `Tracer`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

LONGEST = 160  # letters; beyond this an expression gets a node of its own


class Tracer:
    """Collects the helper nodes of one netlist."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.guesses: list[tuple[str, float]] = []
        self.count = 0

    def named(self, name: str, value: Any) -> Any:
        """Give a traced quantity a node of its own; a plain number stays as it is."""
        if not isinstance(value, Traced):
            return value
        return self._node(name, value.text, value.value)

    def fold(self, text: str, value: float) -> Traced:
        """A traced quantity, moved into a helper node when its text has grown long."""
        if len(text) <= LONGEST:
            return Traced(text, value, self)
        self.count += 1
        return self._node(f"x{self.count}", text, value)

    def _node(self, name: str, text: str, value: float) -> Traced:
        self.lines.append(f"B{name} {name} 0 V={text}")
        self.guesses.append((name, value))
        return Traced(f"V({name})", value, self)


_TWO: dict[str, tuple[str, Callable[[float, float], float]]] = {
    "add": ("({} + {})", lambda a, b: a + b),
    "subtract": ("({} - {})", lambda a, b: a - b),
    "multiply": ("({} * {})", lambda a, b: a * b),
    "divide": ("({} / {})", lambda a, b: a / b),
    "true_divide": ("({} / {})", lambda a, b: a / b),
    "power": ("pow(max({}, 1e-30), {})", lambda a, b: a**b),  # a simulator on its way may ask for a power of nothing
}
_ONE: dict[str, tuple[str, Callable[[float], float]]] = {
    "sqrt": ("sqrt(max({}, 1e-30))", math.sqrt),
    "cbrt": ("pow(max({}, 1e-30), 0.33333333333333333)", math.cbrt),
    "exp": ("exp({})", math.exp),
    "log": ("ln(max({}, 1e-30))", math.log),
    "log1p": ("ln(1 + {})", math.log1p),
    "tanh": ("tanh({})", math.tanh),
    "arctan": ("atan({})", math.atan),
    "absolute": ("abs({})", abs),
    "negative": ("(0 - {})", lambda a: -a),
}
_COMPARE: dict[str, Callable[[float, float], bool]] = {
    "less": lambda a, b: a < b,
    "less_equal": lambda a, b: a <= b,
    "greater": lambda a, b: a > b,
    "greater_equal": lambda a, b: a >= b,
}


def _text(value: Any) -> str:
    return value.text if isinstance(value, Traced) else f"{float(value):.17g}"


def _value(value: Any) -> float:
    return value.value if isinstance(value, Traced) else float(value)


class Traced:
    """One quantity of a circuit: text of its expression, value now."""

    __slots__ = ("text", "tracer", "value")

    def __init__(self, text: str, value: float, tracer: Tracer) -> None:
        self.text, self.value, self.tracer = text, value, tracer

    def __array_ufunc__(self, ufunc: np.ufunc, method: str, *inputs: Any, **_: Any) -> Any:
        name = ufunc.__name__
        if method == "__call__" and name in _ONE:
            return self._one(name)
        if method == "__call__" and name in _TWO:
            return self._two(name, *inputs)
        if method == "__call__" and name in _COMPARE:
            return _COMPARE[name](_value(inputs[0]), _value(inputs[1]))
        return NotImplemented

    def _one(self, name: str) -> Traced:
        form, act = _ONE[name]
        return self.tracer.fold(form.format(self.text), act(self.value))

    def _two(self, name: str, first: Any, second: Any) -> Traced:
        form, act = _TWO[name]
        return self.tracer.fold(form.format(_text(first), _text(second)), act(_value(first), _value(second)))

    def __add__(self, other: Any) -> Traced:
        return self._two("add", self, other)

    def __radd__(self, other: Any) -> Traced:
        return self._two("add", other, self)

    def __sub__(self, other: Any) -> Traced:
        return self._two("subtract", self, other)

    def __rsub__(self, other: Any) -> Traced:
        return self._two("subtract", other, self)

    def __mul__(self, other: Any) -> Traced:
        return self._two("multiply", self, other)

    def __rmul__(self, other: Any) -> Traced:
        return self._two("multiply", other, self)

    def __truediv__(self, other: Any) -> Traced:
        return self._two("divide", self, other)

    def __rtruediv__(self, other: Any) -> Traced:
        return self._two("divide", other, self)

    def __pow__(self, other: Any) -> Traced:
        return self._two("power", self, other)

    def __rpow__(self, other: Any) -> Traced:
        return self._two("power", other, self)

    def __neg__(self) -> Traced:
        return self._one("negative")

    def __abs__(self) -> Traced:
        return self._one("absolute")

    def __lt__(self, other: Any) -> bool:
        return self.value < _value(other)

    def __le__(self, other: Any) -> bool:
        return self.value <= _value(other)

    def __gt__(self, other: Any) -> bool:
        return self.value > _value(other)

    def __ge__(self, other: Any) -> bool:
        return self.value >= _value(other)

    def __float__(self) -> float:
        return self.value
