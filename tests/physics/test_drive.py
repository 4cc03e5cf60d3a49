"""Motors and blades against course notes, a textbook example, fan laws and wind tunnel rows."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.physics import drive

RPM = 2.0 * np.pi / 60.0


def test_small_motor_closure() -> None:
    """MIT 2.007 motor data (read): 6 V, 1.7 ohm, 2.0 mN m/A, 24,000 rpm: stall 3.53 A, 7.06 mN m; no load 0.573 A,
    1.145 mN m; shaft at most 3.72 W (the notes' 4.40 W leaves friction out). Digits as printed."""
    stall = drive.motor_current(6.0, 1.7, 0.002, 0.0, 0.0)
    idle = drive.motor_current(6.0, 1.7, 0.002, 24000 * RPM, 0.0)
    assert stall == pytest.approx(3.53, abs=6e-3)
    assert 2.0 * stall == pytest.approx(7.06, abs=6e-3)
    assert idle == pytest.approx(0.573, abs=6e-4)
    assert 2.0 * idle == pytest.approx(1.145, abs=6e-4)
    assert drive.running_speed(6.0, 1.7, 0.002, 0.0, 0.002 * idle, 0.0, 0.0) == pytest.approx(24000 * RPM, rel=1e-12)
    loads = np.geomspace(1e-11, 1e-7, 4001)
    shaft = max(w * drive.running_speed(6.0, 1.7, 0.002, 0.0, 0.002 * idle, 0.0, w) ** 3 for w in loads)
    assert shaft == pytest.approx(3.72, abs=6e-3)
    free = max(w * drive.running_speed(6.0, 1.7, 0.002, 0.0, 0.0, 0.0, w) ** 3 for w in loads)
    assert free > 4.4  # a motor without friction gives at least what the notes print: V^2/(4R) is 5.29 W
    assert free == pytest.approx(6.0**2 / (4.0 * 1.7), rel=1e-4)  # exact; the search steps by 0.2 % of load


def test_textbook_identification() -> None:
    """Fitzgerald Ex 7.9 (read): 1.03 ohm; 50 V, 1.25 A, 2100 rpm unloaded; at 48 V, 1700 rpm: k 0.22151, loss 60.89 W,
    output 267.1 W (the book rounds k and prints 275). Digits as printed."""
    constant = (50.0 - 1.25 * 1.03) / (2100 * RPM)
    assert constant == pytest.approx(0.22151, abs=6e-6)
    assert drive.motor_current(50.0, 1.03, constant, 2100 * RPM, 0.0) == pytest.approx(1.25, rel=1e-9)
    loss = constant * 2100 * RPM * 1.25
    assert loss == pytest.approx(60.89, abs=6e-3)
    output = constant * 1700 * RPM * drive.motor_current(48.0, 1.03, constant, 1700 * RPM, 0.0) - loss
    assert output == pytest.approx(267.1, abs=0.06)
    assert output == pytest.approx(275.0, rel=0.035)  # the book's k of 0.22 on a difference of 48 and 39 V


@pytest.mark.parametrize("emf", [0.5, 1.0, 3.0])
def test_running_speed_balances_torque(emf: float) -> None:
    """At the speed given, motor torque is friction, drag and blade; closed root, so 1e-12 of the stall torque."""
    loop, constant, brush, friction, drag, load = 9.0, 7e-3, 0.1, 1e-4, 2e-8, 5e-9
    speed = drive.running_speed(emf, loop, constant, brush, friction, drag, load)
    torque = constant * drive.motor_current(emf, loop, constant, speed, brush)
    assert speed > 0.0
    assert torque == pytest.approx(friction + drag * speed + load * speed**2, abs=1e-12 * constant * emf / loop)


def test_brushes_and_friction_hold_back() -> None:
    """Exact: below the brush drop no current either way; friction not overcome, no speed; signs turn with the volts."""
    assert drive.motor_current(0.1, 5.0, 7e-3, 0.0, 0.2) == 0.0
    assert drive.motor_current(-0.1, 5.0, 7e-3, 0.0, 0.2) == 0.0
    assert drive.motor_current(-1.0, 5.0, 7e-3, 0.0, 0.2) == -drive.motor_current(1.0, 5.0, 7e-3, 0.0, 0.2)
    assert drive.running_speed(0.3, 5.0, 7e-3, 0.2, 1.5e-4, 0.0, 1e-9) == 0.0


def test_blade_row() -> None:
    """UIUC propeller database (read): 4.2 in (106.7 mm), 1490 rpm, .1251/.1354, 1.225 kg/m3: 12.24 mN, 35.1 mW, 0.748
    m/s, 24.1 m3/h, figure of merit .261. Digits as printed."""
    speed, diameter, rho = 1490 * RPM, 4.2 * 0.0254, 1.225
    push = drive.thrust(0.1251, rho, speed, diameter)
    power = drive.power_to_torque(0.1354, diameter) * rho * speed**3
    through = drive.disc_speed(push, rho, diameter)
    assert push == pytest.approx(12.24e-3, abs=6e-6)
    assert power == pytest.approx(35.1e-3, abs=6e-5)
    assert through == pytest.approx(0.748, abs=6e-4)
    assert through * 0.25 * np.pi * diameter**2 * 3600.0 == pytest.approx(24.1, abs=0.06)
    assert push * through / power == pytest.approx(0.261, abs=6e-4)


@pytest.mark.parametrize(
    ("millimetres", "rpm", "push", "power"),
    [
        (127.0, 1507.0, 0.0838, 0.0420),
        (127.0, 3033.0, 0.0862, 0.0362),
        (127.0, 5943.0, 0.1007, 0.0399),
        (229.0, 1490.0, 0.0754, 0.0372),
        (229.0, 3030.0, 0.0789, 0.0333),
        (229.0, 5940.0, 0.0844, 0.0330),
        (106.7, 2947.0, 0.1280, 0.1159),
    ],
)
def test_blades_obey_momentum(millimetres: float, rpm: float, push: float, power: float) -> None:
    """UIUC rows (read). Exact (Froude): figure of merit is C_T^1.5/(C_P sqrt(pi/2)), and no blade beats 1."""
    diameter, speed = 1e-3 * millimetres, rpm * RPM
    thrust = drive.thrust(push, 1.225, speed, diameter)
    ideal = thrust * drive.disc_speed(thrust, 1.225, diameter)
    merit = ideal / (drive.power_to_torque(power, diameter) * 1.225 * speed**3)
    assert merit == pytest.approx(push**1.5 / (power * np.sqrt(0.5 * np.pi)), rel=1e-12)
    assert 0.2 < merit < 0.75  # small blades standing still: the best of the database reach about 0.7 (from memory)


def test_fan_laws() -> None:
    """Published example (read): 1250 rpm, 3000 cfm, 2.5 in, 1.9 hp; for 3500 cfm 1458 rpm, 3.40 in, 3.02 hp."""
    slow, fast, diameter, rho = 1250 * RPM, 1458 * RPM, 12 * 0.0254, 1.2
    pushes = [drive.thrust(0.1, rho, speed, diameter) for speed in (slow, fast)]
    flow = drive.disc_speed(pushes[1], rho, diameter) / drive.disc_speed(pushes[0], rho, diameter)
    assert 3000.0 * flow == pytest.approx(3500.0, rel=4e-4)  # rpm printed to 4 digits
    assert 2.5 * pushes[1] / pushes[0] == pytest.approx(3.40, abs=6e-3)
    torques = [drive.power_to_torque(0.05, diameter) * rho * speed**2 for speed in (slow, fast)]
    assert 1.9 * torques[1] * fast / (torques[0] * slow) == pytest.approx(3.02, abs=6e-3)


def test_temperature_of_winding_and_magnet() -> None:
    """IEC 60028: 0.00393 at 20 degC; textbook (from memory): copper at 75 degC has 1.216 times its ohms at 20 degC.
    The other common form, (234.5 + 75)/(234.5 + 20), gives 1.2161; 1e-3 for the two conventions."""
    assert drive.copper_factor(348.15) == pytest.approx((234.5 + 75.0) / (234.5 + 20.0), rel=1e-3)
    assert drive.copper_factor(293.15) == 1.0
    assert drive.magnet_factor(393.15, -0.002) == pytest.approx(0.8, rel=1e-12)  # exact: 100 K at -0.2 % each


def test_jet() -> None:
    """Exact (Froude): the drawn-in jet is twice as fast as the disc; beyond its core, 6.2 (from memory) w/x."""
    assert drive.jet_speed(0.75, 0.1, 0.05) == 1.5
    assert drive.jet_speed(0.75, 0.1, 2.0) == pytest.approx(1.5 * 6.2 * 0.1 / np.sqrt(2.0) / 2.0, rel=1e-12)
    # Exact: momentum of a jet of half the area and twice the speed is the thrust that made it.
    push = drive.thrust(0.1251, 1.225, 156.0, 0.1067)
    jet = drive.jet_speed(drive.disc_speed(push, 1.225, 0.1067), 0.1067, 0.01)
    assert 1.225 * (np.pi * 0.1067**2 / 8.0) * jet**2 == pytest.approx(push, rel=1e-12)
