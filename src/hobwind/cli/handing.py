"""Commands that hand a build on: the dossier, the build back out of one, the build file alone."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ..errors import FileError, InputError
from ..files import write_whole
from .outputs import into_file, writable
from .shared import BuildFile, app, load, say, tell_written, warm_up

BESIDE = "Where to write; beside you when left out."
PdfFile = Annotated[Path | None, typer.Option("--out", metavar="FILE", help=BESIDE, callback=into_file(".pdf"))]
OutFile = Annotated[Path | None, typer.Option("--out", metavar="FILE", help=BESIDE, callback=into_file(".toml"))]
Force = Annotated[bool, typer.Option("--force", help="Write over a file of that name.")]


def _free(path: Path, force: bool) -> Path:
    if path.exists() and not force:
        raise FileError(f"{path.name} is there already; choose another place with --out, or add --force to write over it")
    writable("--out", path, path.parent)
    return path


@app.command()
def dossier(
    build: BuildFile,
    out: PdfFile = None,
    paper: Annotated[str, typer.Option("--paper", help="A4 or Letter.")] = "A4",
    force: Force = False,
) -> None:
    """Put all of a build into one PDF to print or pass on: figures, clamp, wiring, order of work, first fire."""
    sizes = {"a4": "A4", "letter": "Letter"}
    if paper.lower() not in sizes:
        raise InputError(f'--paper: got "{paper[:40]}"; A4 or Letter is wanted')
    made = load(build)
    path = _free(out or Path(f"{build.stem}-dossier.pdf"), force)
    warm_up()
    from ..dossier_maker import make_dossier, thrown_bands
    from ..shop.sheets import all_pages
    from ..shop.sheets_svg import page_svg
    from ..studies.verdict import verdict

    size, judged = sizes[paper.lower()], verdict(made)
    say("Throwing the guesses for the bands, drawing, setting the pages ...", error=True)
    sheets = [page_svg(page) for page in all_pages(made, size)]
    write_whole(path, make_dossier(judged, build.parent, size, sheets, thrown_bands(made)))
    tell_written([path], then=f". Whoever gets it starts from it with: hobwind from-dossier {path.name}")


@app.command("from-dossier")
def from_dossier_(
    file: Annotated[Path, typer.Argument(metavar="FILE.pdf", help="A dossier.")],
    out: OutFile = None,
    photos: Annotated[bool, typer.Option("--photos", help="Write its photos too, beside the build.")] = False,
    force: Force = False,
) -> None:
    """Get the build file back out of a dossier."""
    from ..dossier import from_dossier

    found = from_dossier(file)
    path = _free(out or Path(f"{found.stem}.toml"), force)
    pictures = [path.with_name(f"{path.stem}-photo-{i + 1}.jpg") for i in range(len(found.photos))] if photos else []
    for one in pictures:
        _free(one, force)
    write_whole(path, found.text)
    for one, data in zip(pictures, found.photos, strict=False):
        write_whole(one, data)
    more = f" and {len(pictures)} photo{'' if len(pictures) == 1 else 's'}" if pictures else ""
    tell_written([path], then=f"{more}. Look at it with: hobwind check {path}")


@app.command("hand-on")
def hand_on(build: BuildFile, out: OutFile = None, force: Force = False) -> None:
    """Write the build made whole, as a file that needs no catalogue: what a dossier carries inside."""
    from ..dossier_maker import build_file

    made = load(build)
    path = _free(out or Path(f"{build.stem}-whole.toml"), force)
    write_whole(path, build_file(made))
    tell_written([path], then=". It needs no other file; hand it to whoever wants to follow.")
