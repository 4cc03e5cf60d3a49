"""Photos for the dossier, drawn anew from their pixels: place, camera, date and thumbnail stay behind."""

from __future__ import annotations

import io
import warnings
from pathlib import Path

from ..errors import FileError, InputError

LARGEST, MOST_BYTES, MOST_PIXELS = 1600, 40_000_000, 80_000_000  # longest side in pixels; of the file; of the picture


def photo_in(folder: Path, name: str) -> Path:
    """Where a photo of a build lies: in the build's folder; a dossier goes out to others, so no link leads out of it.

    Args:
        folder: where the build file lies.
        name: as in `hand_on.photos`.

    Returns:
        Its path.

    Raises:
        InputError: it lies outside the folder.
    """
    path = folder / name
    if not path.resolve().is_relative_to(folder.resolve()):
        raise InputError(f"the photo {name[:60]} lies outside the build's folder; copy it there instead")
    return path


def stripped(path: Path) -> bytes:
    """One photo as a JPEG that holds nothing but its pixels, the right way up.

    Args:
        path: of a JPEG or PNG.

    Returns:
        JPEG. [bytes]

    Raises:
        FileError: missing, too large, or no picture.
    """
    from PIL import Image, ImageOps

    if not path.is_file():
        raise FileError(f"There is no photo {path.name} beside the build. Put it there, or take it out of hand_on.photos")
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise FileError(f"{path.name} holds {size} bytes; photos up to {MOST_BYTES} are taken. Save it smaller")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(path, formats=("JPEG", "PNG")) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    raise FileError(f"{path.name} has {opened.width} x {opened.height} pixels; save it smaller")
                upright = ImageOps.exif_transpose(opened).convert("RGB")
    except FileError:
        raise
    except Exception as error:  # a damaged picture fails in any of a dozen ways, all meaning the same to the maker
        raise FileError(f"{path.name} cannot be read as a JPEG or PNG picture; open it and save it anew") from error
    upright.thumbnail((LARGEST, LARGEST))
    bare = Image.new("RGB", upright.size)  # a new picture, so that nothing but pixels goes over
    bare.paste(upright)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=85)
    return out.getvalue()
