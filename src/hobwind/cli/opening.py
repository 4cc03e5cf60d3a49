"""The command that opens the page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ..errors import FileError, InputError
from .shared import app, say


@app.command("open")
def open_page(
    build: Annotated[
        Path | None, typer.Argument(metavar="BUILD", help="A build file to start with; four ways to begin when left out.")
    ] = None,
    port: Annotated[int | None, typer.Option("--port", metavar="N", help="Port to listen on.")] = None,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the browser.")] = True,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let a phone or tablet on this network in, with a key made for this run.")
    ] = False,
) -> None:
    """Open the page in the browser: the whole tool to look at and drag.

    It listens on this machine only, reads and writes build files in one folder (that of BUILD, else the present one), and
    loads nothing from elsewhere.
    """
    if port is not None and not 1 <= port <= 65535:
        raise InputError(f"--port: got {port}; 1 to 65535 is allowed")
    folder, first = Path.cwd(), ""
    if build is not None:
        if not build.is_file():
            raise FileError(f"There is no file {str(build)[:200]}. Check the name, or make one with: hobwind begin NAME")
        folder, first = build.parent.resolve(), build.name
    from ..page.keeping import Folder

    if first:
        Folder(folder).read(first)  # complains about the name or the file before anything opens
    from ..page.running import open_door, serve

    serve(folder, first, open_door(port, lan), browser, say)
