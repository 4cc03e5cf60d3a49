"""Writes docs/schemas, docs/commands.md, docs/sources.md and the tables of docs/words.md anew from the program itself: `make docs`."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import typer

from hobwind.cli import app
from hobwind.files import write_whole
from hobwind.shapes import SHAPES
from hobwind.sources import sources_page
from hobwind.words import words_page

DOCS = Path(__file__).resolve().parent
SOURCE = DOCS.parent / "src"
# The help is laid out for this screen, whatever screen `make docs` runs on.
SCREEN = {"COLUMNS": "79", "LINES": "50", "TERM": "dumb", "NO_COLOR": "1", "PYTHONIOENCODING": "utf-8"}
UNWANTED = ("TERMINAL_WIDTH", "FORCE_COLOR", "PY_COLORS", "GITHUB_ACTIONS", "TTY_COMPATIBLE", "TTY_INTERACTIVE")
RUN = "import sys; from hobwind.cli import app; app(sys.argv[1:], prog_name='hobwind')"
EXAMPLES = {
    "begin": "hobwind begin my-fan",
    "parts": 'hobwind parts module "cooler 40 mm"',
    "bench": "hobwind bench wax examples/bench/tractor-element.toml --part my-element --out curves",
    "check": "hobwind check my-fan.toml --at 150,200,250 --all",
    "shop": "hobwind shop my-fan.toml --out sheets --paper A4",
    "evening": "hobwind evening my-fan.toml --fire usual --out evening",
    "guards": "hobwind guards my-fan.toml --out guards",
    "faults": "hobwind faults my-fan.toml --all",
    "retrofit": "hobwind retrofit found-fan.toml fire.csv --take found-build.toml --out retrofit",
    "odds": "hobwind odds my-fan.toml --shares --out odds",
    "worth": "hobwind worth my-fan.toml --all",
    "trial": "hobwind trial examples/boat-shed.toml examples/boat-shed-fire.csv --fit --take fitted.toml",
    "network": "hobwind network my-fan.toml --plate 200",
    "pick": "hobwind pick my-bin.toml --take 1 --out pick",
    "follow": "hobwind follow their-fan.toml my-bin.toml --take mine.toml",
    "compare": "hobwind compare my-fan.toml their-fan.toml",
    "dossier": "hobwind dossier my-fan.toml --paper Letter",
    "from-dossier": "hobwind from-dossier my-fan-dossier.pdf --out theirs.toml",
    "hand-on": "hobwind hand-on my-fan.toml",
    "diary": "hobwind diary add my-fan.toml",
    "log": "hobwind log /dev/ttyUSB0 --build my-fan.toml --names plate,face",
    "demo": "hobwind demo --out out",
    "open": "hobwind open my-fan.toml",
}
HEAD = """\
# Commands

Written by `make docs` from the program; do not edit by hand.
The shapes of what `--json` prints are in [schemas](schemas).
"""


def names() -> list[str]:
    """Every command, in the order of the help."""
    return [name for name in typer.main.get_command(app).commands]


def help_text(*command: str) -> str:
    """Help of one command, or of all when none is given, as plain text."""
    kept = {name: value for name, value in os.environ.items() if name not in UNWANTED and not name.startswith("_TYPER")}
    paths = [str(SOURCE), *filter(None, [os.environ.get("PYTHONPATH")])]
    done = subprocess.run(
        [sys.executable, "-c", RUN, *command, "--help"],
        env=kept | SCREEN | {"PYTHONPATH": os.pathsep.join(paths)},
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return "\n".join(line.rstrip() for line in done.stdout.strip().splitlines())


def commands_page() -> str:
    """The text of docs/commands.md."""
    parts = [HEAD, f"## hobwind\n\n```text\n{help_text()}\n```\n"]
    for name in names():
        parts.append(f"## hobwind {name}\n\nFor example: `{EXAMPLES[name]}`\n\n```text\n{help_text(name)}\n```\n")
        for part in getattr(typer.main.get_command(app).commands[name], "commands", {}):
            parts.append(f"### hobwind {name} {part}\n\n```text\n{help_text(name, part)}\n```\n")
    return "\n".join(parts)


def pages() -> dict[str, str]:
    """Every written file: path below docs, and its text."""
    schemas = {f"schemas/{name}.json": json.dumps(shape, indent=1, ensure_ascii=False) + "\n" for name, shape in SHAPES.items()}
    return (
        schemas
        | {"commands.md": commands_page(), "sources.md": sources_page()}
        | {"words.md": words_page((DOCS / "words.md").read_text("utf-8"))}
    )


def main() -> None:
    """Write them all."""
    for place, text in pages().items():
        write_whole(DOCS / place, text)
        typer.echo(f"Wrote docs/{place}")


if __name__ == "__main__":
    main()
