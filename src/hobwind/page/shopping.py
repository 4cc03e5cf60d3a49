"""What the Shop section shows of a build: sheets, tables, figures, the build order, and the files to carry away."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from pydantic import BaseModel, Field

from ..build import Build
from ..shop.section import Section
from ..shop.sheets import all_pages, shop_sections
from ..shop.sheets_svg import page_svg
from .figures import Figure
from .whys_shop import LAPPED
from .workshop import Workshop

PAPERS = ("A4", "Letter")


class Sheet(BaseModel):
    """One drawn page as SVG in millimetres; `template` is the DXF that goes with it, "" for none."""

    key: str
    title: str
    width_mm: float
    height_mm: float
    svg: str
    template: str


class Table(BaseModel):
    """Rows below headings."""

    key: str = Field(description="of the why of its figures")
    title: str
    head: list[str]
    rows: list[list[str]]


class Topic(BaseModel):
    """One topic: its findings, figures, tables, and what else is to be said."""

    key: str
    title: str
    findings: list[str]
    figures: list[Figure]
    tables: list[Table]
    lines: list[str]


class StepOut(BaseModel):
    """One step of the build order: what to do, checks before it, what is out of reach after it."""

    key: str
    says: str
    fits: list[str]
    tools: list[str]
    checks: list[str]
    closes: list[str]
    minutes: int


class Back(BaseModel):
    """How to reach a part again: numbers of the steps to undo, minutes, what is used up."""

    part: str
    steps: list[int]
    minutes: int
    spent: list[str]


class ShopOut(BaseModel):
    """Everything the shop has to say; `stem` begins the names of its files."""

    name: str
    stem: str
    paper: str
    findings: list[str]
    sheets: list[Sheet]
    topics: list[Topic]
    wiring_svg: str
    steps: list[StepOut]
    ways_back: list[Back]


def stem_of(name: str) -> str:
    """A build's name as the beginning of a file name: small letters, figures and hyphens.

    >>> stem_of("Old Tom's fan, 2nd"), stem_of("火")
    ('old-tom-s-fan-2nd', 'build')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or "build"


def sections_of(workshop: Workshop, text: str, paper: str, inch: bool) -> tuple[Build, tuple[Section, ...]]:
    """The solved build and its sections."""
    solved = workshop.solve(text)
    return solved.build, shop_sections(solved.build, solved, paper, inch)


def _holes(data: dict[str, Any]) -> list[Table]:
    def deep(row: dict[str, Any]) -> str:
        return "through" if row["depth_mm"] is None else f"{row['depth_mm']:g}"

    def what(row: dict[str, Any]) -> str:
        cone = row["countersink_mm"]
        return row["use"] if cone is None else f"{row['use']}, countersunk to {cone:g}"

    holes = [
        [
            f"{row['part']} {row['letter']}", what(row), str(len(row["places"])), f"{row['drill_mm']:g}", deep(row), row["thread"] or "–",
            "; ".join(f"{spot['x_mm']:g}, {spot['y_mm']:g}" for spot in row["places"]),
        ]
        for row in data["holes"]
    ]  # fmt: skip
    found = [
        Table(
            key="shop_holes",
            title="Holes",
            head=["hole", "for", "how many", "drill, mm", "deep, mm", "thread", "x, y from the middle, mm"],
            rows=holes,
        )
    ]
    thread = data["thread"]
    if thread is not None:
        rows = [
            [says, f"{thread[f'{key}_low_mm']:.3f}", f"{thread[f'{key}_high_mm']:.3f}"]
            for key, says in (
                ("hole_inner", "hole, inner"), ("hole_pitch", "hole, pitch"), ("screw_outer", "screw, outer"),
                ("screw_pitch", "screw, pitch"),
            )
        ]  # fmt: skip
        found.append(
            Table(
                key="shop_thread",
                title=f"Thread {thread['name']}, 6H in the hole, 6g on the screw",
                head=["diameter", "least, mm", "most, mm"],
                rows=rows,
            )
        )
    if data["saw"]:
        rows = [[row["part"], f"{row['saw_mm']:g}", f"{row['finished_mm']:g}"] for row in data["saw"]]
        found.append(Table(key="shop_saw", title="Saw", head=["part", "saw at, mm", "finish to, mm"], rows=rows))
    return found


def _plate(data: dict[str, Any] | None) -> list[Figure]:
    """The screws that hold the hot plate on its riser."""
    if data is None:
        return []
    which = f"{data['count']} plate screws {data['thread']} x {data['screw_mm']:g}"
    return [
        Figure(key="shop_plate_torque", label=f"{which}: tighten each, cold, to", text=f"{data['torque_Nm']:.3g} N·m"),
        Figure(key="shop_plate_preload", label="pull of each plate screw", text=f"{data['preload_N']:.0f} N"),
        Figure(key="shop_plate_growth", label="hot, the plate outgrows it by", text=f"{data['growth_N']:.0f} N"),
        Figure(key="shop_plate_load", label=f"most on one, when {data['load_when']}", text=f"{data['load_N']:.0f} N"),
        Figure(key="shop_plate_strips", label="its thread tears out, hot, at", text=f"{data['thread_holds_N']:.0f} N"),
        Figure(key="shop_plate_yields", label="a plate screw yields, hot, near", text=f"{data['yields_N']:.0f} N"),
    ]


def _clamp(data: dict[str, Any]) -> list[Figure]:
    return [
        Figure(key="shop_torque", label="tighten each, cold, to", text=f"{data['torque_Nm']:.3g} N·m"),
        Figure(key="shop_preload", label="pull of each screw", text=f"{data['preload_N']:.0f} N"),
        Figure(key="shop_pressure", label="pressure on the modules", text=f"{data['pressure_cold_MPa']:.2f} MPa"),
        Figure(key="shop_strips", label="the thread tears out at", text=f"{data['thread_holds_N']:.0f} N"),
        Figure(key="shop_least", label="pull at the least, by friction and hand", text=f"{data['preload_low_N']:.0f} N"),
        Figure(key="shop_most", label="and at the most", text=f"{data['preload_high_N']:.0f} N"),
        Figure(key="shop_yields", label="a screw yields near", text=f"{data['most_preload_N']:.0f} N"),
        Figure(key="shop_hot", label="most pressure on the modules, hot", text=f"{data['pressure_high_MPa']:.2f} MPa"),
    ]


def _stack(data: dict[str, Any]) -> tuple[list[Figure], list[Table]]:
    figures = [
        Figure(key="shop_recess", label="pin's tip short of the face, cold", text=f"{data['recess_mm']:.2f} mm"),
        Figure(key="shop_worst", label="all lengths at their worst", text=f"± {data['worst_case_mm']:.2f} mm"),
    ]
    rows = [
        [
            "+" if row["sign"] > 0 else "−", row["name"], f"{row['length_mm']:.2f}", f"± {row['half_mm']:.2f}",
            "measured" if row["measured"] else "drawn",
        ]
        for row in data["links"]
    ]  # fmt: skip
    return figures, [
        Table(key="shop_chain", title="Chain of lengths", head=["", "length", "mm", "may be off, mm", "from"], rows=rows)
    ]


def _flat(now: dict[str, Any], then: dict[str, Any]) -> list[Figure]:
    """What a lapped foot changes, before and after."""
    told = []
    for key, (label, name, unit) in LAPPED.items():
        before, after = (("never" if row[name] is None else f"{row[name]:.0f} {unit}") for row in (now, then))
        told.append(Figure(key=key, label=label, text=f"{before}, lapped {after}"))
    return told


def _parts(data: dict[str, Any]) -> list[Table]:
    rows = [[row["part"], str(row["count"]), row["what"], row["look_in"], row["test"]] for row in data.get("rows", [])]
    return [Table(key="shop_parts", title="Parts", head=["part", "how many", "what", "look in", "test"], rows=rows)]


def _after_the_parts(lines: list[str]) -> list[str]:
    """What the parts list says beside its rows: fills, prices, tools; a heading takes the lines below it along."""
    start = next((i for i, line in enumerate(lines) if line.startswith(("In the joints", "All bought"))), len(lines))
    found: list[str] = []
    for line in lines[start:]:
        if line.startswith("   ") and found:
            found[-1] += (" " if found[-1].endswith(":") else "; ") + line.strip()
        else:
            found.append(line)
    return found


def _topic(one: Section) -> Topic:
    figures: list[Figure] = []
    tables: list[Table] = []
    lines = list(one.lines)
    if one.key == "holes":
        tables, figures = _holes(one.data), _plate(one.data["plate_screws"])
    elif one.key == "clamp" and one.data:
        figures = _clamp(one.data)
    elif one.key == "stack-up" and one.data:
        figures, tables = _stack(one.data)
    elif one.key == "flatness" and one.data.get("after"):
        figures = _flat(one.data["before"], one.data["after"])
    elif one.key == "wiring":
        figures = [Figure(key="shop_loss", label="lost in the leads", text=f"{one.data['loss_W'] * 1e3:.1f} mW")]
    elif one.key == "parts":
        tables, lines = _parts(one.data), _after_the_parts(lines)
    return Topic(key=one.key, title=one.title, findings=list(one.findings), figures=figures, tables=tables, lines=lines)


def _order(section: Section) -> tuple[list[StepOut], list[Back]]:
    steps = [
        StepOut(key=row["key"], says=row["says"], fits=row["fits"], tools=row["tools"], checks=row["checks"],
                closes=row["closes_in"], minutes=row["duration_min"])
        for row in section.data["steps"]
    ]  # fmt: skip
    number = {step.key: i for i, step in enumerate(steps, 1)}
    backs = [
        Back(part=row["part"], steps=[number[key] for key in row["undo"]], minutes=row["duration_min"], spent=row["used_up"])
        for row in section.data["ways_back"]
    ]
    return steps, backs


def sheets_of(build: Build, paper: str) -> list[Sheet]:
    """Every drawn page.

    Args:
        build: a checked build.
        paper: A4 or Letter.

    Returns:
        Pages as SVG.
    """
    from ..shop.templates import templates

    keys = [one.key for one in templates(build)]

    def template(page_key: str) -> str:
        return next((key for key in keys if page_key == key or re.fullmatch(rf"{re.escape(key)}-\d.*", page_key)), "")

    return [
        Sheet(key=page.key, title=page.title, width_mm=page.width, height_mm=page.height, svg=page_svg(page), template=template(page.key))
        for page in all_pages(build, paper)
    ]  # fmt: skip


def shop_out(workshop: Workshop, text: str, paper: str, inch: bool) -> ShopOut:
    """Everything the shop has to say about a build.

    Args:
        workshop: the run.
        text: of the build.
        paper: A4 or Letter.
        inch: inches and inch drills beside the millimetres.

    Returns:
        Sheets, topics and the build order.

    Raises:
        BuildError: with every problem of the build.
    """
    build, sections = sections_of(workshop, text, paper, inch)
    by_key = {one.key: one for one in sections}
    steps, backs = _order(by_key["order"])
    return ShopOut(
        name=build.name, stem=stem_of(build.name), paper=paper, findings=[says for one in sections for says in one.findings],
        sheets=sheets_of(build, paper), topics=[_topic(one) for one in sections if one.key not in ("sheets", "order")],
        wiring_svg=str(by_key["wiring"].data.get("diagram_svg", "")), steps=steps, ways_back=backs,
    )  # fmt: skip
