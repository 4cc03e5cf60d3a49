"""What browsers send and get: the shapes that several sections share."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Depends
from pydantic import BaseModel, ConfigDict, Field

from ..build import Build
from .keeping import MOST_TEXT
from .workshop import Workshop, workshop_of

Shop = Annotated[Workshop, Depends(workshop_of)]
Responses = dict[int | str, dict[str, Any]]
Text = Annotated[str, Field(max_length=MOST_TEXT, description="the text of a build file")]


class Asked(BaseModel):
    """A request body; keys nobody knows are refused."""

    model_config = ConfigDict(extra="forbid")


class BuildText(Asked):
    """A build as the tab holds it."""

    text: Text


class ProblemOut(BaseModel):
    """One thing wrong: the place in the build file ("riser[1].length"; "file" for the whole) and the sentence to show."""

    place: str
    says: str


class Refused(BaseModel):
    """Why nothing came of a request."""

    says: str
    problems: list[ProblemOut] = []


def read_build(asked: BuildText, workshop: Workshop) -> Build:
    """The build that was sent.

    Args:
        asked: with its text.
        workshop: the run.

    Returns:
        The build.

    Raises:
        BuildError: with every problem found; the server answers 422 with them.
    """
    return workshop.read(asked.text)
