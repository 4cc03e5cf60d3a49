"""Recordings of a turning blade that come in through the page: kept as plain files beside the builds, for the bench test of a motor."""

from __future__ import annotations

import hashlib
import re
from pathlib import PurePosixPath

from ..errors import InputError
from ..files import write_whole
from .keeping import Folder

SOUNDS = ("m4a", "mp3", "wav", "ogg", "oga", "opus", "aac", "flac", "amr", "3gp", "mp4", "mov", "webm")
MARK = 8  # letters of a recording's fingerprint in its name


def keep_recording(folder: Folder, name: str, data: bytes) -> str:
    """Write a recording into the folder.

    The name says nothing of where it came from and is never that of another recording: it holds the fingerprint of the sound itself.

    Args:
        folder: of the builds.
        name: of the file as it was on the phone; only its letters and its ending are used.
        data: the file. [bytes]

    Returns:
        Its name in the folder, as the readings take it.

    Raises:
        InputError: no ending of a recording, or nothing in it.
        FileError: it cannot be written.
    """
    stem, dot, ending = PurePosixPath(name.replace("\\", "/")).name.rpartition(".")
    if not dot or ending.lower() not in SOUNDS:
        raise InputError(f'recording: got "{name[:60]}"; a sound or film of a phone is wanted, ending in {", ".join(SOUNDS)}')
    if not data:
        raise InputError(f"recording: {name[:60]} is empty; record it again")
    plain = re.sub(r"[^a-z0-9]+", "-", stem.lower()).strip("-")[:40] or "run"
    kept = f"{plain}-{hashlib.sha256(data).hexdigest()[:MARK]}.{ending.lower()}"
    write_whole(folder.path / kept, data)
    return kept
