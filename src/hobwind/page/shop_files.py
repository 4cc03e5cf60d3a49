"""Shop's files: every sheet as a PDF, one template as DXF, all of it in a ZIP, and the dossier."""

from __future__ import annotations

import io
import zipfile

from ..dossier_maker import make_dossier, thrown_bands
from ..errors import InputError
from ..shop.sheets import all_pages, section_pages, shop_files
from ..shop.sheets_pdf import pages_pdf
from ..shop.sheets_svg import page_svg
from ..studies.findings import findings
from ..studies.verdict import verdict_of
from .jobs import Watch
from .shopping import sections_of, stem_of
from .workshop import Workshop

EPOCH = (1980, 1, 1, 0, 0, 0)  # the oldest date that a ZIP holds; the same build gives the same bytes


def sheets_file(workshop: Workshop, text: str, paper: str, inch: bool) -> tuple[str, bytes]:
    """Every sheet as one PDF, with its name."""
    build, sections = sections_of(workshop, text, paper, inch)
    told = section_pages(build, [one for one in sections if one.key != "sheets"], paper)
    stem = stem_of(build.name)
    return f"{stem}-sheets.pdf", pages_pdf((*all_pages(build, paper), *told), f"{build.name}: sheets")


def template_file(workshop: Workshop, text: str, key: str) -> tuple[str, bytes]:
    """One template as DXF, with its name.

    Raises:
        InputError: the build has no such template.
    """
    from ..shop.sheets_dxf import template_dxf
    from ..shop.templates import templates

    build = workshop.read(text)
    for one in templates(build):
        if one.key == key:
            return f"{stem_of(build.name)}-{one.key}.dxf", template_dxf(one).encode()
    raise InputError(f'the build has no template "{key[:40]}"; there are {", ".join(one.key for one in templates(build))}')


def all_files(workshop: Workshop, text: str, paper: str, inch: bool) -> tuple[str, bytes]:
    """Everything the shop makes in one ZIP, with its name."""
    build, sections = sections_of(workshop, text, paper, inch)
    stem, box = stem_of(build.name), io.BytesIO()
    with zipfile.ZipFile(box, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in shop_files(build, sections, paper).items():
            packed.writestr(zipfile.ZipInfo(f"{stem}-{name}", EPOCH), data, zipfile.ZIP_DEFLATED)
    return f"{stem}-shop.zip", box.getvalue()


def dossier_file(workshop: Workshop, text: str, paper: str, watch: Watch) -> tuple[str, bytes]:
    """The dossier, with its name.

    Args:
        workshop: the run; photos are looked up in its folder and nowhere else.
        text: of the build.
        paper: A4 or Letter.
        watch: told of progress.

    Returns:
        File name and PDF.

    Raises:
        InputError: a photo's name leads out of the folder.
        FileError: a photo cannot be read.
        SolveError: the pages could not be set.
    """
    watch.tell(0.05, "the verdict")
    build = workshop.read(text)
    solved = workshop.solve(text)
    judged = verdict_of(solved, findings(solved))
    watch.tell(0.3, "drawing the sheets")
    sheets = [page_svg(page) for page in all_pages(build, paper)]
    watch.tell(0.4, "throwing the guesses for the bands")
    bands = thrown_bands(build)
    watch.tell(0.8, "setting the pages")
    return f"{stem_of(build.name)}-dossier.pdf", make_dossier(judged, workshop.folder.path, paper, sheets, bands)
