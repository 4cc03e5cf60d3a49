"""A dossier read back: the build file that lies in it, and its photos. Names found inside are never used as paths."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from pathlib import Path

from ..build import Build, build_from_text
from ..errors import FileError
from .printing import ATTACHED

MOST_BYTES, MOST_INSIDE, MOST_PHOTOS = 100_000_000, 2_000_000, 12
JPEG = b"\xff\xd8\xff"


@dataclass(frozen=True)
class Found:
    """What lay in a dossier: the file as it was put in, the build it describes, photos as JPEG."""

    text: bytes
    build: Build
    photos: tuple[bytes, ...]

    @property
    def stem(self) -> str:
        """A plain file name made of the build's name."""
        return re.sub(r"[^a-z0-9]+", "-", self.build.name.lower()).strip("-")[:60] or "fan"


def _inside(data: bytes, name: str) -> dict[str, bytes]:
    """Embedded files by the names they carry."""
    from pypdf import PdfReader

    try:
        reader = PdfReader(io.BytesIO(data))
        return {str(name): bytes(one[0]) for name, one in reader.attachments.items() if one}
    except Exception as error:  # a file that is no PDF, or a damaged one, fails in any of a dozen ways
        raise FileError(f"{name} cannot be read as a PDF; ask for the dossier once more") from error


def from_dossier(path: Path) -> Found:
    """Get the build back out of a dossier.

    Args:
        path: of the PDF.

    Returns:
        What lay in it, checked as any build file is.

    Raises:
        FileError: no PDF, or no dossier.
        BuildError: the build inside is wrong.
    """
    if not path.is_file():
        raise FileError(f"There is no file {path.name}. Check the name; a dossier ends in .pdf")
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise FileError(f"{path.name} holds {size} bytes; at most {MOST_BYTES} are read. Is it the right file?")
    return build_inside(path.read_bytes(), path.name)


def build_inside(data: bytes, name: str) -> Found:
    """The same of a dossier that came in some other way than as a file.

    Args:
        data: bytes of the PDF.
        name: of the file, for messages.

    Returns:
        What lay in it, checked as any build file is.

    Raises:
        FileError: no PDF, or no dossier.
        BuildError: the build inside is wrong.
    """
    inside = _inside(data, name)
    text = inside.get(ATTACHED)
    if text is None:
        raise FileError(f"{name} is a PDF, but no build of hobwind lies in it; dossiers are made with: hobwind dossier BUILD")
    if len(text) > MOST_INSIDE:
        raise FileError(f"The build inside {name} holds {len(text)} bytes; at most {MOST_INSIDE} are read")
    try:
        plain = text.decode("utf-8")
    except UnicodeDecodeError as error:
        raise FileError(f"The build inside {name} is not UTF-8 text; ask for the dossier once more") from error
    build = build_from_text(plain, f"the build inside {name}")
    photos = [f"photo-{i + 1}.jpg" for i in range(MOST_PHOTOS)]
    return Found(text, build, tuple(inside[one] for one in photos if inside.get(one, b"").startswith(JPEG)))
