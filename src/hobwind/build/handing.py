"""What a maker adds to a build for others: lengths measured on the parts in hand, notes, photos, terms of re-use."""

from __future__ import annotations

from pathlib import PurePosixPath

from .reader import Notes, Section
from .sections import HandOn, Measured

MOST_NOTES, MOST_TERMS, MOST_PHOTOS = 6000, 1000, 12
PHOTO_ENDINGS = (".jpg", ".jpeg", ".png")


def measured(notes: Notes, table: object) -> Measured:
    """Read the section of measured lengths; every one of them may be left out."""
    s = Section(notes, "measured", table)
    found = Measured(
        pin_length=s.maybe("pin_length", "length", 1e-3, 0.5),
        pin_bore=s.maybe("pin_bore", "length", 1e-3, 0.5),
        carrier_length=s.maybe("carrier_length", "length", 5e-4, 0.2),
        piston_out=s.maybe("piston_out", "length", 0.0, 0.05),
        pin_diameter=s.maybe("pin_diameter", "length", 5e-4, 0.03),
        bore_diameter=s.maybe("bore_diameter", "length", 5e-4, 0.03),
    )
    s.close()
    return found


def hand_on(notes: Notes, table: object) -> HandOn:
    """Read what the maker says to those who follow."""
    s = Section(notes, "hand_on", table)
    found = HandOn(
        maker=s.words("maker", "", 80),
        notes=s.words("notes", "", MOST_NOTES),
        terms=s.words("terms", "", MOST_TERMS),
        photos=_photos(notes, s),
    )
    s.close()
    return found


def _photos(notes: Notes, s: Section) -> tuple[str, ...]:
    """Names of photos beside the build file; nothing that leads out of its folder."""
    s.known.append("photos")
    given = s.table.get("photos", [])
    if not isinstance(given, list) or not all(isinstance(one, str) for one in given) or len(given) > MOST_PHOTOS:
        wanted = f'a list of at most {MOST_PHOTOS} file names such as ["bench.jpg"]'
        notes.complain("hand_on.photos", f"got {repr(given)[:60]}; {wanted} is wanted")
        return ()
    for one in given:
        path = PurePosixPath(one.replace("\\", "/"))
        out = path.is_absolute() or ".." in path.parts or ":" in one or not one.isprintable()
        if out or path.suffix.lower() not in PHOTO_ENDINGS:
            says = f"got {repr(one)[:60]}; a .jpg or .png in the build's own folder is wanted"
            notes.complain("hand_on.photos", f"{says}, named without drive, leading / or ..")
            return ()
    return tuple(given)
