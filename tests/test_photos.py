"""Photos keep their picture and lose their places."""

from __future__ import annotations

import io

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from hobwind.errors import InputError
from hobwind.photos import without_places

SECRET = b"Harbour Lane"


def photo(kind: str, turn: int) -> bytes:
    """An invented picture with a place, a name, a comment and a trailer in it."""
    picture = Image.radial_gradient("L").convert("RGB")
    exif = Image.Exif()
    exif[0x0112], exif[0x010E] = turn, SECRET.decode()
    exif.get_ifd(0x8825).update({1: "N", 2: (54.0, 30.0, 0.0), 3: "E", 4: (13.0, 5.0, 0.0)})
    out, info = io.BytesIO(), PngInfo()
    info.add_text("Comment", SECRET.decode())
    if kind == "PNG":
        picture.save(out, kind, exif=exif, pnginfo=info)
    else:
        picture.save(out, kind, exif=exif, comment=SECRET, progressive=True, xmp=b"<x>" + SECRET + b"</x>")
    return out.getvalue() + SECRET  # telephones hang films behind the picture


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize("turn", [1, 6])
def test_places_go_and_the_picture_stays(kind: str, turn: int) -> None:
    data = photo(kind, turn)
    clean = without_places(data)
    assert SECRET in data and SECRET not in clean
    with Image.open(io.BytesIO(data)) as before, Image.open(io.BytesIO(clean)) as after:
        assert before.tobytes() == after.tobytes()  # to the last bit
        assert dict(before.getexif().get_ifd(0x8825)) and not dict(after.getexif().get_ifd(0x8825))
        assert set(after.getexif()) <= {0x0112} and after.getexif().get(0x0112, 1) == turn
    assert without_places(clean) == clean


@pytest.mark.parametrize("data", [b"", b"no photo", photo("JPEG", 1)[:700], photo("PNG", 1)[:300]])
def test_what_is_no_photo_is_told(data: bytes) -> None:
    with pytest.raises(InputError, match="a photo saved as JPEG or PNG is wanted"):
        without_places(data)


def test_other_kinds_are_told() -> None:
    out = io.BytesIO()
    Image.new("RGB", (4, 4)).save(out, "GIF")
    with pytest.raises(InputError, match="the photo is GIF; a photo saved as JPEG or PNG"):
        without_places(out.getvalue())
