"""The core of the fit on published bench data of a motor and a module, and its walks where the answer is known."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pytest

from hobwind.physics import drive
from hobwind.trial.guesses import correct, walk

RPM = 2.0 * np.pi / 60.0


@dataclass(frozen=True)
class Bench:
    """Readings whose model is a plain function of real values: guess and spread of each, and between what it may lie."""

    model: Callable[[np.ndarray], Sequence[float]]
    guess: np.ndarray
    wide: np.ndarray
    measured: np.ndarray
    noise: np.ndarray
    reach: float = 4.0

    @property
    def reaches(self) -> np.ndarray:
        return np.tile([-self.reach, self.reach], (self.guess.size, 1))

    @property
    def runs(self) -> list[slice]:
        return [slice(0, self.measured.size)]

    def read(self, x: np.ndarray) -> np.ndarray:
        return np.asarray(self.model(self.guess + self.wide * x), float)

    def slopes(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        step = 1e-5
        columns = [(self.read(x + step * row) - self.read(x - step * row)) / (2.0 * step) for row in np.eye(x.size)]
        return self.read(x), np.column_stack(columns)

    def calm_slopes(self, x: np.ndarray, left: np.ndarray) -> np.ndarray:
        return self.slopes(x)[1]

    def found(self, x: np.ndarray) -> np.ndarray:
        return self.guess + self.wide * x


def test_a_published_motor_comes_back() -> None:
    """MIT 2.007 motor notes (read): at 6 V stall 3.53 A, 24,000 rpm with 0.573 A; so 1.7 ohm, 2.0 mN m/A, 1.145 mN m lost.

    Guessed half as large again, with spreads that hardly hold: what comes back is what is printed, to its digits.
    """

    def motor(values: np.ndarray) -> list[float]:
        ohms, constant, friction = values
        stall = drive.motor_current(6.0, ohms, constant, 0.0, 0.0)
        speed = drive.running_speed(6.0, ohms, constant, 0.0, friction, 0.0, 0.0)
        return [stall, speed, drive.motor_current(6.0, ohms, constant, speed, 0.0)]

    wanted = np.array([1.7, 2.0e-3, 1.145e-3])
    one = Bench(motor, 1.5 * wanted, wanted, np.array([3.53, 24000 * RPM, 0.573]), np.array([5e-3, 25 * RPM, 5e-4]))
    found = one.found(correct(one).x)
    assert found[0] == pytest.approx(1.7, abs=0.005)
    assert found[1] == pytest.approx(2.0e-3, rel=0.003)  # 3.53 and 0.573 are printed to 0.3 and 0.1 %
    assert found[2] == pytest.approx(1.145e-3, rel=0.004)


def test_a_published_module_comes_back() -> None:
    """A. Salazar Lobos, course report, University of Alberta (read): 13.68 mV/K, 0.690 ohm, 0.199 W/K; thermometers 2 K apart.

    Open volts and heater watts against the difference of two faces, volts lost inside against current. The module lay colder
    than its room, so that heat came in beside the heater's.
    """
    heat = np.array([3.406, 2.115, 1.179, 0.583, 0.166, 0.0])
    apart = np.array([24.7, 19.3, 13.7, 10.1, 7.9, 7.0]) - np.array([8.4, 8.4, 8.1, 7.5, 7.5, 7.5])
    volts = np.array([0.254, 0.169, 0.102, 0.060, 0.032, 0.023])
    amps = np.array([0.153, 0.198, 0.265, 0.305, 0.348])
    lost = np.array([0.1037, 0.1354, 0.1834, 0.2090, 0.2381])

    def module(values: np.ndarray) -> np.ndarray:
        seebeck, ohms, conductance, off, leak = values
        return np.concatenate([seebeck * (apart + off), conductance * (apart + off) - leak, ohms * amps])

    noise = np.concatenate([np.full(6, 1.5e-3), np.full(6, 0.03), np.full(5, 1e-3)])
    one = Bench(
        module,
        np.array([0.02, 1.0, 0.3, 0.0, 0.0]),
        np.array([0.01, 0.5, 0.15, 2.0, 0.5]),
        np.concatenate([volts, heat, lost]),
        noise,
    )
    done = correct(one)
    found, sd = one.found(done.x), np.sqrt(np.diag(done.spread)) * one.wide
    assert found[0] == pytest.approx(0.01368, abs=2.0 * sd[0]) and sd[0] < 0.03 * 0.01368
    assert found[1] == pytest.approx(0.690, abs=0.005)  # printed to three digits; the robust fit weighs points unlike theirs
    assert found[2] == pytest.approx(0.199, abs=0.004)
    assert found[3] == pytest.approx(2.0, abs=0.3)  # "about 2 K"


def test_walks_meet_the_exact_spread_of_a_straight_line() -> None:
    """GUM H.3 once more: where all is straight, walks must find the best fit's own spread, -0.930 between the two."""
    read = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
    off = np.array([-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160])
    one = Bench(lambda v: v[0] + v[1] * (read - 20.0), np.zeros(2), np.array([0.5, 0.1]), off, np.full(11, 0.0035))
    done = correct(one)
    met = walk(one, done, 3000)
    sd = np.sqrt(np.diag(met.spread)) * one.wide
    assert met.settled
    # 3,000 steps of six walks, memory of some twenty steps: spreads of the spreads are 2 to 3 %.
    assert sd[0] == pytest.approx(0.0029 * done.grown, rel=0.1) and sd[1] == pytest.approx(0.00067 * done.grown, rel=0.1)
    assert met.spread[0, 1] / np.sqrt(met.spread[0, 0] * met.spread[1, 1]) == pytest.approx(-0.930, abs=0.02)


def test_walks_keep_to_what_may_be() -> None:
    """One unknown, nothing measured of it worth having, bounded at one spread either side: a normal guess cut off at ±1.

    By hand: spread of a standard normal cut at ±1 is sqrt(1 - 2 f(1) / (2 F(1) - 1)) = 0.5396; 19 in 20 within ±0.93
    (F(0.93) - F(-0.93) = 0.648 = 0.95 of 0.683).
    """
    one = Bench(lambda v: [v[0]], np.zeros(1), np.ones(1), np.zeros(1), np.full(1, 1e3), 1.0)
    met = walk(one, correct(one), 6000)
    assert np.sqrt(met.spread[0, 0]) == pytest.approx(0.5396, abs=0.02)
    assert met.ends[0] == pytest.approx([-0.93, 0.93], abs=0.03)
