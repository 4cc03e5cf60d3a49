"""What can go wrong, as one tree. Each error also is the built-in it resembles, and carries what it is about.

HobwindError
+-- BuildError (ValueError)     a build file is wrong; all its problems at once
+-- PartError (LookupError)     no part of that name
+-- FileError (OSError)         a file cannot be read or written
+-- InputError (ValueError)     something typed on the command line, or an evening, is wrong
+-- SolveError (RuntimeError)   no answer was found
+-- DiaryError (OSError)        the diary cannot be opened, read or written
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing wrong: the place in the file, and what was got, what is allowed, what to do."""

    place: str
    says: str

    def __str__(self) -> str:
        return f"{self.place}: {self.says}"


class HobwindError(Exception):
    """Anything hobwind complains about; its text is meant for people."""


class BuildError(HobwindError, ValueError):
    """A build file is wrong."""

    def __init__(self, file: str, problems: tuple[Problem, ...]) -> None:
        self.file, self.problems = file, problems
        super().__init__("\n".join(f"{file}: {problem}" for problem in problems))


class PartError(HobwindError, LookupError):
    """No part of that kind and name."""


class FileError(HobwindError, OSError):
    """A file cannot be read or written."""


class InputError(HobwindError, ValueError):
    """Something typed, or an evening's file, is wrong."""


class SolveError(HobwindError, RuntimeError):
    """No answer was found."""


class DiaryError(HobwindError, OSError):
    """The diary cannot be opened, read or written."""
