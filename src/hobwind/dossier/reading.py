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


def _inside(path: Path) -> dict[str, bytes]:
    """Embedded files by the names they carry."""
    from pypdf import PdfReader

    if not path.is_file():
        raise FileError(f"There is no file {path.name}. Check the name; a dossier ends in .pdf")
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise FileError(f"{path.name} holds {size} bytes; at most {MOST_BYTES} are read. Is it the right file?")
    try:
        reader = PdfReader(io.BytesIO(path.read_bytes()))
        return {str(name): bytes(data[0]) for name, data in reader.attachments.items() if data}
    except Exception as error:  # a file that is no PDF, or a damaged one, fails in any of a dozen ways
        raise FileError(f"{path.name} cannot be read as a PDF; ask for the dossier once more") from error


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
    inside = _inside(path)
    text = inside.get(ATTACHED)
    if text is None:
        raise FileError(
            f"{path.name} is a PDF, but no build of hobwind lies in it; dossiers are made with: hobwind dossier BUILD"
        )
    if len(text) > MOST_INSIDE:
        raise FileError(f"The build inside {path.name} holds {len(text)} bytes; at most {MOST_INSIDE} are read")
    try:
        plain = text.decode("utf-8")
    except UnicodeDecodeError as error:
        raise FileError(f"The build inside {path.name} is not UTF-8 text; ask for the dossier once more") from error
    build = build_from_text(plain, f"the build inside {path.name}")
    names = [f"photo-{i + 1}.jpg" for i in range(MOST_PHOTOS)]
    return Found(text, build, tuple(inside[name] for name in names if inside.get(name, b"").startswith(JPEG)))
