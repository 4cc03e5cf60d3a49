"""The pieces that shapes of JSON are put together from: texts, figures with their units, rows of objects."""

from __future__ import annotations

from typing import Any

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
    """The same without its description, which the list round it has told."""
    return {key: value for key, value in schema.items() if key != "description"}
