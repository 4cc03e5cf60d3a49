"""Speed from the sound of a blade: the tone that the vanes make as they pass, out of a recording's samples.

The power spectrum of overlapping pieces is set against its own noise floor; the tone is the frequency whose first
harmonics stand out together. Which multiple of the shaft that is hangs on the vanes, so other readings are named.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError
from .measured import Measured

Floats = NDArray[np.float64]

LOWEST, HIGHEST = 8.0, 1200.0  # Hz, of the tone
SHORTEST, LONGEST, PIECE = 1.5, 60.0, 2.0  # s
HARMONICS, FADE = 6, 0.8
STANDS_OUT = 1.0  # decades above the floor; less is no tone
RIVAL = 0.75  # of the best score; a multiple that scores so is named
CLOCK = 2e-4  # a phone's clock, as a share: practice
WANDERS = 0.03
MAINS = (50.0, 60.0)


@dataclass(frozen=True)
class Heard:
    """What a recording came to: tone [Hz], shaft speed [rad/s], and what to mind."""

    tone: Measured
    speed: Measured
    doubts: tuple[str, ...]


def speed_from_sound(samples: Floats, rate: float, blades: int) -> Heard:
    """Shaft speed from the samples of a recording.

    Args:
        samples: one channel, any scale, shape (time,). [-]
        rate: samples a second. [Hz]
        blades: vanes or marks that pass in one turn. [-]

    Returns:
        The tone, the speed, and what to mind.

    Raises:
        InputError: too short, too few samples a second, no tone.

    Limits: one blade, steady for a second and a half or more; tones from 8 to 1200 Hz.
    Source: practice.
    """
    if not 1 <= blades <= 60:
        raise InputError(f"blades: got {blades}; 1 to 60 is allowed. Count the vanes, or the marks that pass in one turn")
    if rate < 2000.0:
        raise InputError(f"recording: got {rate:g} samples a second; 2000 or more are wanted")
    seconds = samples.size / rate
    if seconds < SHORTEST:
        raise InputError(f"recording: lasts {seconds:.1f} s; {SHORTEST:g} s or more are wanted")
    kept = np.asarray(samples[: int(LONGEST * rate)], float)
    kept = kept - kept.mean()
    if not np.isfinite(kept).all() or float(np.abs(kept).max()) == 0.0:
        raise InputError("recording: is silent; hold the microphone beside the stream, not in it")
    pieces = _pieces(kept, int(min(PIECE, seconds) * rate))
    power = np.mean([_power(piece) for piece in pieces], axis=0)
    bins = np.arange(power.size) * rate / (4.0 * pieces[0].size)
    height = _above_floor(power, bins)
    tone, scores = _best(height, bins)
    if _peak(height, bins, tone)[1] < STANDS_OUT and max(_peak(height, bins, h * tone)[1] for h in (2, 3)) < STANDS_OUT:
        raise InputError("recording: no tone stands out of the noise; go nearer, out of the wind, or use a strobe")
    found = [_refined(_above_floor(_power(piece), bins), bins, tone) for piece in pieces]
    middle, scatter = float(np.median(found)), float(np.std(found))
    own = 0.1 * rate / pieces[0].size
    tone_found = Measured(middle, math.hypot(max(scatter / math.sqrt(len(found)), own / math.sqrt(len(found))), CLOCK * middle))
    turns, doubts = _turns(height, bins, middle, blades)
    if scatter > WANDERS * middle:
        doubts.append(f"The speed wanders by {scatter / middle:.0%} in the recording; let it settle, then record ten seconds.")
    if middle < 2.0 * LOWEST:
        doubts.append(f"The tone of {middle:.1f} Hz is near the lowest that is looked for; count turns by eye to be sure.")
    for mains in MAINS:
        multiple = round(middle / mains)
        if 1 <= multiple <= 4 and abs(middle - multiple * mains) < 0.004 * middle:
            doubts.append(f"{middle:.1f} Hz is a multiple of {mains:.0f} Hz: hum of the mains? Record again away from it.")
    doubts += _rivals(scores, bins, middle, turns)
    factor = 2.0 * math.pi / turns
    return Heard(tone_found, Measured(tone_found.value * factor, tone_found.u * factor), tuple(doubts))


def _pieces(samples: Floats, size: int) -> list[Floats]:
    step = max(size // 2, 1)
    return [samples[start : start + size] for start in range(0, samples.size - size + 1, step)]


def _power(piece: Floats) -> Floats:
    """Power spectrum, four times as finely spaced as the piece alone gives."""
    spectrum = np.fft.rfft(piece * np.hanning(piece.size), 4 * piece.size)
    return np.asarray(np.abs(spectrum) ** 2)


def _above_floor(power: Floats, bins: Floats) -> Floats:
    """Decades above the noise floor, which is the median in strips of 60 Hz; nothing below it."""
    top = int(np.searchsorted(bins, HIGHEST * HARMONICS + 60.0))
    kept = power[:top]
    wide = max(int(60.0 / (bins[1] - bins[0])), 8)
    middles = np.arange(0, kept.size, wide)
    floor = np.array([np.median(kept[start : start + wide]) for start in middles])
    level = np.interp(np.arange(kept.size), middles + 0.5 * wide, np.maximum(floor, 1e-300))
    return np.asarray(np.maximum(np.log10(np.maximum(kept, 1e-300) / level), 0.0))


def _best(height: Floats, bins: Floats) -> tuple[float, Floats]:
    """The frequency whose harmonics stand out together, and every frequency's score."""
    low, high = (int(np.searchsorted(bins, edge)) for edge in (LOWEST, HIGHEST))
    strong = np.where(height > 0.7, height, 0.0)  # what noise alone seldom reaches
    at = np.arange(low, high)
    scores = np.zeros(high)
    for harmonic in range(1, HARMONICS + 1):
        here = np.zeros(at.size)
        for shift in range(-2 * harmonic, 2 * harmonic + 1):
            place = np.clip(harmonic * at + shift, 0, strong.size - 1)
            here = np.maximum(here, strong[place])
        scores[low:high] += FADE ** (harmonic - 1) * here
    # Widened peaks tie; the one whose own line is highest wins.
    best = low + int(np.argmax(scores[low:high] + 1e-3 * height[low:high]))
    return float(bins[best]), scores


def _peak(height: Floats, bins: Floats, frequency: float) -> tuple[float, float]:
    """Place and height of the highest line within 2 % of a frequency, between the bins by a parabola."""
    low, high = (int(np.searchsorted(bins, frequency * one)) for one in (0.98, 1.02))
    low, high = max(low, 1), min(max(high, low + 3), height.size - 1)
    if low >= high:
        return frequency, 0.0
    i = low + int(np.argmax(height[low:high]))
    a, b, c = height[i - 1], height[i], height[min(i + 1, height.size - 1)]
    bent = a - 2.0 * b + c
    shift = 0.5 * (a - c) / bent if bent < 0.0 else 0.0
    return float(bins[i] + shift * (bins[1] - bins[0])), float(b)


def _refined(height: Floats, bins: Floats, tone: float) -> float:
    """The tone from its own and its next two harmonics, by their heights."""
    total, weight = 0.0, 0.0
    lines = [(harmonic, *_peak(height, bins, harmonic * tone)) for harmonic in (1, 2, 3)]
    sure = max(STANDS_OUT, 0.5 * max(high for _, _, high in lines))
    for harmonic, place, high in lines:
        if high > sure:
            total += high * place  # a higher one tells the tone the more sharply
            weight += high * harmonic
    return total / weight if weight > 0.0 else tone


def _turns(height: Floats, bins: Floats, tone: float, blades: int) -> tuple[float, list[str]]:
    """Passes a turn that the tone stands for: all vanes, or one where the shaft itself is heard below them."""
    if blades == 1:
        return 1.0, []
    own, vanes = _peak(height, bins, tone)[1], _peak(height, bins, blades * tone)[1]
    others = max((_peak(height, bins, h * tone)[1] for h in range(2, blades + 3) if h != blades), default=0.0)
    if vanes > own + 0.5 and vanes > others + 0.5:
        return 1.0, [
            f"The lowest tone, {tone:.1f} Hz, is taken as the shaft itself: the one {blades} times as high is stronger, as vanes are. "
            f"If {tone:.1f} Hz were the vanes, the speed would be {60.0 * tone / blades:.0f} rpm."
        ]
    return float(blades), []


def _rivals(scores: Floats, bins: Floats, tone: float, turns: float) -> list[str]:
    step = bins[1] - bins[0]

    def score(frequency: float) -> float:
        at = round(frequency / step)
        return float(scores[max(at - 3, 0) : at + 4].max(initial=0.0)) if at < scores.size else 0.0

    best, told = score(tone), []
    for ratio, word in ((0.5, "half"), (2.0, "twice")):
        if LOWEST <= ratio * tone <= HIGHEST and score(ratio * tone) > RIVAL * best:
            rpm = 60.0 * tone / turns
            told.append(f"The tone may also be read {word} as high: {ratio * rpm:.0f} rpm instead of {rpm:.0f}. Check by eye.")
    return told
