"""How the schemas of `--json` are written: a word for each sort of value, units told in the description."""

from __future__ import annotations

from typing import Any

from .build import FORMAT
from .studies.report import SHAPE

Schema = dict[str, Any]
DRAFT = "https://json-schema.org/draft/2020-12/schema"
COLDEST = -273.15  # °C


def text(says: str, least: int = 1, **more: Any) -> Schema:
    """A piece of text."""
    return {"description": f"{says}.", "type": "string", "minLength": least, **more}


def one_of(says: str, words: tuple[str, ...]) -> Schema:
    """One of a few words."""
    return {"description": f"{says}.", "enum": list(words)}


def yes_no(says: str) -> Schema:
    """True or false."""
    return {"description": f"{says}.", "type": "boolean"}


def count(says: str) -> Schema:
    """A whole number from zero."""
    return {"description": f"{says}.", "type": "integer", "minimum": 0}


def figure(says: str, unit: str, null: str | None = None, least: float | None = None) -> Schema:
    """A number with its unit; `null` tells when it is absent, `least` is its smallest possible value."""
    told = f"{says}, in {unit}" + ("." if null is None else f"; null {null}.")
    found: Schema = {"description": told, "type": "number" if null is None else ["number", "null"]}
    bound = COLDEST if unit == "°C" else least
    return found if bound is None else found | {"minimum": bound}


def column(says: str, unit: str, least: float | None = None) -> Schema:
    """One number for every time that was kept, null after an evening that could not go on."""
    told = f"{says}, in {unit}, one for each entry of time_s; null after an evening that stopped early."
    return {"description": told, "type": "array", "items": bare(figure("", unit, "", least))}


def thing(says: str, properties: dict[str, Schema], null: str | None = None) -> Schema:
    """An object with exactly these keys; `null` tells when it is absent."""
    told = f"{says}." if null is None else f"{says}; null {null}."
    kind = "object" if null is None else ["object", "null"]
    return {
        "description": told,
        "type": kind,
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def rows(says: str, properties: dict[str, Schema]) -> Schema:
    """A list of objects with exactly these keys."""
    return {"description": f"{says}.", "type": "array", "items": bare(thing("", properties))}


def texts(says: str) -> Schema:
    """A list of sentences."""
    return {"description": f"{says}.", "type": "array", "items": {"type": "string", "minLength": 1}}


def bare(schema: Schema) -> Schema:
    """A schema without its description, for the entries of a list."""
    return {key: value for key, value in schema.items() if key != "description"}


def whole(title: str, says: str, properties: dict[str, Schema]) -> Schema:
    """What one command prints."""
    head = {"shape": {"description": "Version of this shape; it rises when a key changes its meaning or goes.", "const": SHAPE}}
    return {"$schema": DRAFT, "title": title, **thing(says, head | properties)}


def made_by(seeded: bool = False) -> Schema:
    """What made the figures; `seeded` where dice were thrown."""
    drawn: Schema = {"description": "Always null: nothing here is drawn by chance.", "type": "null"}
    if seeded:
        drawn = count("Seed of the throws: the same seed gives the same figures")
    return thing(
        "What made these figures",
        {
            "hobwind": text("Version of hobwind"),
            "format": {"description": "Version of the build file's format.", "const": FORMAT},
            "build": text("Mark of the build: it changes when any value of the build does", pattern="^[0-9a-f]{16}$"),
            "seed": drawn,
        },
    )


def name() -> Schema:
    """The build's name."""
    return text("What the build is called", 0)
