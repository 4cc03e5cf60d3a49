"""Photos without the places, names and previews that a camera or telephone writes into them; the picture is untouched.

The file is cut and joined, never packed anew, so that nothing is lost. Which way up it was held is kept.
"""

from __future__ import annotations

import io
import struct
import warnings
import zlib

from .errors import InputError

WANTED = "a photo saved as JPEG or PNG is wanted"
UPRIGHT = 1
ORIENTATION = 0x0112  # tag of EXIF
_PNG = b"\x89PNG\r\n\x1a\n"
# What makes up a PNG's picture, colour and size; all else is told about it, and goes.
_PNG_KEPT = {
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"bKGD", b"pHYs", b"cICP",
}  # fmt: skip


def without_places(data: bytes) -> bytes:
    """The same photo without EXIF, XMP, comments, previews and whatever follows its end.

    Args:
        data: bytes of a JPEG or PNG file.

    Returns:
        Bytes of the same picture; of EXIF only which way up it is.

    Raises:
        InputError: not a readable JPEG or PNG.
    """
    turn = _way_up(data)
    try:
        return _clean_png(data, turn) if data.startswith(_PNG) else _clean_jpeg(data, turn)
    except (struct.error, IndexError) as error:
        raise InputError(f"the photo breaks off in the middle; {WANTED}") from error


def _way_up(data: bytes) -> int:
    from PIL import Image

    try:
        with warnings.catch_warnings(), Image.open(io.BytesIO(data)) as picture:
            warnings.simplefilter("ignore")
            if picture.format not in ("JPEG", "MPO", "PNG"):
                raise InputError(f"the photo is {picture.format}; {WANTED}")
            picture.load()
            found = picture.getexif().get(ORIENTATION, UPRIGHT)
    except InputError:
        raise
    except Exception as error:  # a broken picture brings up errors of many kinds
        raise InputError(f"not a photo that can be read ({str(error)[:80]}); {WANTED}") from error
    return found if isinstance(found, int) and 1 <= found <= 8 else UPRIGHT


def _exif(turn: int) -> bytes:
    """EXIF that says which way up, and nothing else."""
    return b"MM\x00*\x00\x00\x00\x08" + struct.pack(">HHHIHHI", 1, ORIENTATION, 3, 1, turn, 0, 0)


def _clean_jpeg(data: bytes, turn: int) -> bytes:
    out = [b"\xff\xd8"]
    at, told = 2, turn == UPRIGHT
    while True:
        while data[at] == 0xFF and data[at + 1] == 0xFF:  # filling
            at += 1
        kind = data[at + 1]
        if data[at] != 0xFF:
            raise InputError(f"the photo is damaged at byte {at}; {WANTED}")
        if kind == 0xD9:
            return b"".join([*out, b"\xff\xd9"])
        length = struct.unpack(">H", data[at + 2 : at + 4])[0]
        segment = data[at : at + 2 + length]
        head = segment[4:18]
        keep = not (0xE0 <= kind <= 0xEF or kind == 0xFE) or (
            (kind == 0xE0 and head.startswith(b"JFIF"))
            or (kind == 0xE2 and head.startswith(b"ICC_PROFILE"))
            or (kind == 0xEE and head.startswith(b"Adobe"))
        )
        if not told and kind != 0xE0:
            body = b"Exif\x00\x00" + _exif(turn)
            out.append(b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body)
            told = True
        if keep:
            out.append(segment)
        at += 2 + length
        if kind == 0xDA:  # the picture's own bits, up to the next real marker
            end = at
            while not (data[end] == 0xFF and data[end + 1] not in (0x00, 0xFF, *range(0xD0, 0xD8))):
                end = data.index(b"\xff", end + 1) if b"\xff" in data[end + 1 :] else len(data)
            out.append(data[at:end])
            at = end


def _clean_png(data: bytes, turn: int) -> bytes:
    out, at = [_PNG], len(_PNG)
    while True:
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        chunk = data[at : at + 12 + length]
        if kind in _PNG_KEPT:
            out.append(chunk)
        if kind == b"IHDR" and turn != UPRIGHT:
            body = b"eXIf" + _exif(turn)
            out.append(struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body)))
        at += 12 + length
        if kind == b"IEND":
            return b"".join(out)
