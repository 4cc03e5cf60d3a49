"""Samples out of any recording that a phone makes; needs PyAV, which comes with hobwind[sound]."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ..errors import FileError, InputError

LONGEST = 60.0  # s


def samples_of(path: Path) -> tuple[NDArray[np.float64], float]:
    """Decode a recording to one channel.

    Args:
        path: of the recording, sound or film with sound.

    Returns:
        Samples, shape (time,), and how many of them are a second; at most the first minute. [-, Hz]

    Raises:
        FileError: it cannot be read or has no sound.
        InputError: PyAV is not installed.
    """
    try:
        import av
    except ImportError as error:
        raise InputError(
            'recording: decoding wants the package "av"; install it with: pip install "hobwind[sound]", or type speed or frequency '
            "instead"
        ) from error
    if not path.is_file():
        raise FileError(f"There is no recording {path.name}. It is looked for beside the readings; check the name")
    kept, rate, count = [], 0.0, 0
    try:
        with av.open(str(path)) as box:
            if not box.streams.audio:
                raise FileError(f"{path.name} has no sound in it; record again with the microphone on")
            rate = float(box.streams.audio[0].rate)
            one_channel = av.AudioResampler(format="flt", layout="mono", rate=int(rate))
            for frame in box.decode(audio=0):
                for part in one_channel.resample(frame):
                    kept.append(part.to_ndarray().reshape(-1).astype(float))
                    count += kept[-1].size
                if count > LONGEST * rate:
                    break
    except av.FFmpegError as error:
        raise FileError(f"{path.name} cannot be decoded as a recording ({error}); check that it plays on the phone") from error
    if not kept:
        raise FileError(f"{path.name} holds no samples; record again")
    return np.concatenate(kept), rate
