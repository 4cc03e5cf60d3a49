"""The whole set of sheets of a build, and the files they become."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from .. import __version__
from ..build import Build, digest
from ..build.geometry import tilts
from ..studies.headline import Headline
from .arrangement import arrangement, fan_numbers, parts_table
from .arrangement_guard import guard_arrangement
from .arrangement_tilt import tilt_sheet
from .hole_section import holes_section
from .ink import ADVANCE, USUAL
from .paper import MARGIN, SHEETS, Heading, Page, pages, text_pages
from .section import Section
from .sheets_dxf import template_dxf
from .sheets_pdf import pages_pdf
from .sheets_svg import page_svg
from .templates import templates
from .topics import topics


def _heading(build: Build) -> Heading:
    return Heading(build.name, f"hobwind {__version__}, build {digest(build)}")


def section_pages(build: Build, sections: Sequence[Section], paper: str) -> tuple[Page, ...]:
    """Sections as sheets of text, findings first.

    Args:
        build: whose they are.
        sections: to be printed.
        paper: A4 or Letter.

    Returns:
        One page or more for each.
    """
    letters = int((SHEETS[paper][0] - 2.0 * MARGIN) / (ADVANCE * USUAL))
    found: list[Page] = []
    for one in sections:
        folded = [
            line
            for text in (*one.findings, *([""] if one.findings else []), *one.lines)
            for line in textwrap.wrap(text, letters, subsequent_indent="   ") or [""]
        ]
        found += text_pages(f"text-{one.key}", one.title, tuple(folded), _heading(build), paper)
    return tuple(found)


def all_pages(build: Build, paper: str = "A4") -> tuple[Page, ...]:
    """General arrangement and templates, in the order of the work.

    Args:
        build: a checked build.
        paper: A4 or Letter.

    Returns:
        Every page.
    """
    heading = _heading(build)
    drawn = [page for template in templates(build) for page in pages(template, heading, paper)]
    tilt = (tilt_sheet(build, heading, paper, fan_numbers(build)),) if tilts(build) and build.guard.element is not None else ()
    return (*arrangement(build, heading, paper), *tilt, *guard_arrangement(build, heading, paper), *drawn)


def sheets_section(build: Build, paper: str = "A4") -> Section:
    """Which sheets there are, and the numbered parts.

    Args:
        build: a checked build.
        paper: A4 or Letter.

    Returns:
        One section.
    """
    made = all_pages(build, paper)
    keep = dict[str, int]()
    for page in made:
        keep[page.title] = keep.get(page.title, 0) + 1
    lines = [title + (f" ({count} tiles)" if count > 1 else "") for title, count in keep.items()]
    data = {
        "paper": paper,
        "pages": [{"key": page.key, "title": page.title} for page in made],
        "parts": list(parts_table(build)),
    }
    return Section("sheets", f"Sheets, {paper}", tuple(lines), data, ())


def shop_sections(build: Build, solved: Headline, paper: str = "A4", inch: bool = False) -> tuple[Section, ...]:
    """Everything the shop has to say about a build, section by section.

    Args:
        build: a checked build.
        solved: the same build solved.
        paper: A4 or Letter.
        inch: also inches and inch drills.

    Returns:
        Sections in the order they are shown.
    """
    return sheets_section(build, paper), holes_section(build, inch), *topics(build, solved)


def shop_files(build: Build, sections: Sequence[Section], paper: str = "A4") -> dict[str, str | bytes]:
    """Every file of the shop: one PDF of all sheets, an SVG of each page, a DXF of each template.

    Args:
        build: a checked build.
        sections: printed after the drawings; the list of sheets itself is left out.
        paper: A4 or Letter.

    Returns:
        File names and what is in them; the same build gives the same bytes.
    """
    told = section_pages(build, [one for one in sections if one.key != "sheets"], paper)
    made = (*all_pages(build, paper), *told)
    files: dict[str, str | bytes] = {"sheets.pdf": pages_pdf(made, f"{build.name}: sheets")}
    files |= {f"{page.key}.svg": page_svg(page) for page in made}
    return files | {f"{template.key}.dxf": template_dxf(template) for template in templates(build)}
