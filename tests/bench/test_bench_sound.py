"""Speed out of recordings: known tones made here, as samples, as a WAV and as a phone's compressed file."""

from __future__ import annotations

import math
import sys
import wave
from pathlib import Path

import numpy as np
import pytest

from hobwind.bench.readings import TESTS, measure
from hobwind.bench.recording import samples_of
from hobwind.bench.sound import speed_from_sound
from hobwind.errors import FileError, InputError

RATE = 44100.0
RPM = math.pi / 30.0


def blades_passing(
    rpm: float, blades: int, parts: tuple[float, ...] = (1.0, 0.6, 0.4, 0.25), shaft: float = 0.0, noise: float = 1.0,
    seconds: float = 6.0, hum: float = 0.0, seed: int = 1,
) -> np.ndarray:  # fmt: skip
    """Harmonics of the vanes, of the shaft where it is out of balance, hum and noise."""
    t = np.arange(int(RATE * seconds)) / RATE
    turn = 2.0 * np.pi * rpm / 60.0
    x = sum((part * np.sin(turn * blades * (i + 1) * t + i) for i, part in enumerate(parts)), np.zeros_like(t))
    x = x + shaft * sum((np.sin(turn * h * t + h) for h in (1, 2, 3)), np.zeros_like(t)) + hum * np.sin(2 * np.pi * 50.0 * t)
    return 0.1 * x + 0.1 * noise * np.random.default_rng(seed).normal(size=t.size)


@pytest.mark.parametrize(
    ("rpm", "blades", "more"),
    [
        (812.0, 4, {}),
        (812.0, 4, {"shaft": 0.3}),
        (812.0, 4, {"parts": (0.1, 0.5, 0.3, 0.3, 0.2)}),  # a weak lowest tone
        (812.0, 4, {"parts": (1.0,)}),
        (1490.0, 2, {"noise": 3.0}),
        (2407.0, 5, {"hum": 0.5}),
        (613.0, 1, {}),
    ],
)
def test_known_speeds(rpm: float, blades: int, more: dict[str, float]) -> None:
    found = speed_from_sound(blades_passing(rpm, blades, **more), RATE, blades)  # type: ignore[arg-type]
    assert abs(found.speed.value / RPM - rpm) < 2.0 * found.speed.u / RPM
    assert found.speed.relative < 3e-3  # pieces of 2 s tell a tone of 10 Hz no better


def test_doubts_hold_the_truth() -> None:
    draw, inside = np.random.default_rng(9), 0
    for seed in range(40):
        rpm = draw.uniform(500.0, 2500.0)
        found = speed_from_sound(blades_passing(rpm, 3, seconds=3.0, noise=2.0, seed=seed), RATE, 3)
        inside += abs(found.speed.value / RPM - rpm) < 2.0 * found.speed.u / RPM
    assert inside >= 37


def test_octaves_are_named() -> None:
    weak = speed_from_sound(blades_passing(812.0, 4, parts=(0.2, 1.0, 0.1, 0.8, 0.05, 0.4)), RATE, 4)
    assert any("twice as high: 1624 rpm instead of 812" in doubt for doubt in weak.doubts)
    shaft = speed_from_sound(blades_passing(812.0, 4, parts=(4.0,), shaft=0.35, noise=0.3), RATE, 4)
    assert abs(shaft.speed.value / RPM - 812.0) < 1.0
    assert shaft.doubts  # half, or the shaft itself: named either way


def test_hum_and_wandering_are_named() -> None:
    hum = speed_from_sound(blades_passing(750.0, 4), RATE, 4)  # 50 Hz
    assert any("hum of the mains" in doubt for doubt in hum.doubts)
    t = np.arange(int(RATE * 8)) / RATE
    slow = np.sin(2 * np.pi * (60.0 * t + 0.5 * t**2)) + 0.5 * np.sin(4 * np.pi * (60.0 * t + 0.5 * t**2))
    sliding = speed_from_sound(slow + 0.3 * np.random.default_rng(2).normal(size=t.size), RATE, 2)
    assert any("wanders" in doubt for doubt in sliding.doubts) or sliding.speed.relative > 2e-3


@pytest.mark.parametrize(
    ("samples", "rate", "blades", "says"),
    [
        (np.zeros(100000), RATE, 2, "silent"),
        (np.random.default_rng(3).normal(size=200000), RATE, 2, "no tone stands out"),
        (np.ones(1000), RATE, 2, "lasts 0.0 s"),
        (np.ones(10000), 1000.0, 2, "2000 or more"),
        (np.ones(100000), RATE, 0, "blades: got 0"),
    ],
)
def test_what_cannot_be_heard_is_refused(samples: np.ndarray, rate: float, blades: int, says: str) -> None:
    with pytest.raises(InputError, match=says):
        speed_from_sound(samples, rate, blades)


def write_wav(path: Path, samples: np.ndarray) -> Path:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(int(RATE))
        file.writeframes((np.clip(samples, -1, 1) * 32000).astype("<i2").tobytes())
    return path


def write_compressed(path: Path, samples: np.ndarray, codec: str) -> Path:
    import av

    with av.open(str(path), "w") as box:
        stream = box.add_stream(codec, rate=int(RATE), layout="mono")
        frame = av.AudioFrame.from_ndarray(samples.astype(np.float32).reshape(1, -1), format="fltp", layout="mono")
        frame.sample_rate = int(RATE)
        for packet in [*stream.encode(frame), *stream.encode(None)]:
            box.mux(packet)
    return path


def test_wav_and_a_phones_file(tmp_path: Path) -> None:
    samples = blades_passing(812.0, 4)
    for path in (write_wav(tmp_path / "run.wav", samples), write_compressed(tmp_path / "run.m4a", samples, "aac")):
        found, rate = samples_of(path)
        assert rate == RATE and found.size == pytest.approx(samples.size, rel=0.01)
        heard = speed_from_sound(found, rate, 4)
        assert abs(heard.speed.value / RPM - 812.0) < 2.0 * heard.speed.u / RPM, path.name


def test_a_motor_from_recordings(tmp_path: Path) -> None:
    """7.5 mV·s, 7.7 Ω, 20 mA: speeds heard through a two-ended flag give the constant back."""
    text = 'ohms = ["7.7 Ω", "7.7 Ω", "7.6 Ω"]\nblades = 2\n'
    for i, volts in enumerate((1.0, 1.5, 2.0)):
        rpm = (volts - 0.02 * 7.7) / 7.5e-3 / RPM
        write_wav(tmp_path / f"run-{i}.wav", blades_passing(rpm, 2))
        text += f'[[running]]\nvolts = "{volts} V"\namperes = "20 mA"\nrecording = "run-{i}.wav"\n'
    (tmp_path / "motor.toml").write_text(text, "utf-8")
    found = measure(TESTS["motor"], tmp_path / "motor.toml").figure("torque_constant")
    assert found.value == pytest.approx(7.5e-3, rel=5e-3)
    (tmp_path / "motor.toml").write_text(text.replace("blades = 2\n", ""), "utf-8")
    with pytest.raises(InputError, match="running 1: a tone needs its count"):
        measure(TESTS["motor"], tmp_path / "motor.toml")


def test_recordings_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(FileError, match="no recording gone.m4a"):
        samples_of(tmp_path / "gone.m4a")
    (tmp_path / "text.m4a").write_text("not a sound")
    with pytest.raises(FileError, match="cannot be decoded"):
        samples_of(tmp_path / "text.m4a")
    monkeypatch.setitem(sys.modules, "av", None)
    with pytest.raises(InputError, match=r"hobwind\[sound\]"):
        samples_of(tmp_path / "text.m4a")
