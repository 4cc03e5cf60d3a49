"""The command line: `hobwind ...`. Text in, text out; every figure comes from the studies."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path

import typer

from ..errors import HobwindError, SolveError
from . import basics, benching, choosing, guarding, handing, judging, keeping, making, opening, proving, trusting
from .shared import app, say, tell

GROUPS = (basics, benching, choosing, judging, guarding, trusting, making, handing, proving, keeping, opening)
__all__ = ["app", "main"]

# The help lists the commands group by group, in this order, whatever order they were imported in.
app.registered_commands.sort(key=lambda one: [group.__name__ for group in GROUPS].index(str(one.callback.__module__)))


def main() -> None:
    """Run the command line: every error in one plain sentence, never a traceback unless --debug asks for it."""
    debug = "--debug" in sys.argv
    try:
        code = app(standalone_mode=False)
        sys.stdout.flush()
    except (HobwindError, typer.Exit, typer.Abort, Exception) as error:
        if debug:
            raise
        code = _complain(error)
    sys.exit(code if isinstance(code, int) else 0)


def _hush() -> None:
    """Keep Python from trying once more to write what nobody can take."""
    with contextlib.suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _typed() -> list[str]:
    """What was typed with spaces in it, such as a path, and its name without ending: messages keep it whole."""
    words = [word.partition("=")[2] if word.startswith("--") else word for word in sys.argv[1:]]
    return [one for word in words for one in (word, Path(word).name, Path(word).stem) if " " in one]


def _complain(error: BaseException) -> int:
    usage = getattr(error, "format_message", None)  # every usage error of the command line has one
    if isinstance(error, typer.Exit):
        return int(error.exit_code)
    if isinstance(error, typer.Abort):
        say("Stopped.", error=True)
        return 130
    if callable(usage):
        told = str(usage()).strip()
        if told:  # a bare `hobwind` has shown its help already
            tell(f"Error: {told if told[-1] in '.?' else told + '.'} See: hobwind --help", error=True, whole=_typed())
        return 2
    if isinstance(error, SolveError):
        tell(f"Error: {error}", error=True, whole=_typed())
        return 1
    if isinstance(error, HobwindError):
        from ..errors import BuildError

        lines = str(error).splitlines()
        if isinstance(error, BuildError) and len(lines) > 1:
            tell(f"Error: {len(lines)} problems", error=True, whole=_typed())
            tell("\n".join(lines[:40]), error=True, whole=_typed())
            if len(lines) > 40:
                say(f"and {len(lines) - 40} more", error=True)
        else:
            tell(f"Error: {error}", error=True, whole=_typed())
        return 2
    if isinstance(error, BrokenPipeError):
        _hush()
        return 0
    if isinstance(error, OSError):
        _hush()
        tell(
            f"Error: the output cannot be written: {error.strerror or error}. Send it somewhere else",
            error=True,
            whole=_typed(),
        )
        return 1
    if isinstance(error, KeyboardInterrupt):
        return 130
    tell(
        f"Error: hobwind itself went wrong ({type(error).__name__}: {str(error)[:300]}). Run it again with --debug and "
        "report what it prints; your files are untouched.",
        error=True,
        whole=_typed(),
    )
    return 1
