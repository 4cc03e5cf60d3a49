"""The house rules that can be read from the source: arrows, purity, file lengths, what a command loads, kept-off words."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from builds import NAMES, ROOT, judged
from hobwind.screens import everything_text, verdict_text

SRC = ROOT / "src" / "hobwind"
FILES = sorted(SRC.rglob("*.py"))

# What each part of the package may import from the rest of it; one way only.
EDGES = {"errors", "sources", "words", "units", "quantities", "files", "tables", "__init__"}
MAY = {
    "physics": {"compiled", "physics", "errors"},
    "parts": EDGES | {"parts"},
    "build": EDGES | {"parts", "build"},
    "stack": EDGES | {"compiled", "physics", "parts", "build", "stack"},
    "lifting": EDGES | {"physics", "parts", "build", "bench", "lifting"},
    "studies": EDGES | {"physics", "parts", "build", "lifting", "stack", "studies"},
    "bench": EDGES | {"physics", "parts", "build", "stack", "bench"},
    "trial": EDGES | {"physics", "parts", "build", "stack", "studies", "trial"},
    "shop": EDGES | {"physics", "parts", "build", "stack", "scene", "bench", "lifting", "studies", "shop"},
    "dossier": EDGES | {"parts", "build", "stack", "studies", "shop", "dossier"},
    "diary": EDGES | {"photos", "physics", "parts", "build", "stack", "studies", "diary"},
    "scene": EDGES | {"parts", "build", "lifting", "scene", "stack"},
    "page": EDGES
    | {
        "physics",
        "parts",
        "build",
        "stack",
        "scene",
        "bench",
        "lifting",
        "studies",
        "shop",
        "diary",
        "dossier",
        "page",
        "charts",
        "examples",
        "compiled",
        "warm",
        "fires",
        "files",
        "bench_ask",
        "bench_screen",
        "bench_sheet",
        "bin_screen",
        "charts_bench",
        "charts_bin",
        "charts_guards",
        "charts_odds",
        "charts_retrofit",
        "charts_stroke",
        "dossier_maker",
        "trial",
        "trial_entry",
        "trial_screen",
        "charts_trial",
        "charts_diary",
        "diary_screen",
        "guards_screen",
        "odds_screen",
        "retrofit_screen",
        "worth_screen",
        "charts_found_fan",
        "found_fan_screen",
    },
}


def imported(file: Path) -> set[str]:
    """Names of the package's own parts that a file imports."""
    inside = file.relative_to(SRC).parts[:-1]
    found = set()
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level:
            base = [*inside][: len(inside) - node.level + 1]
            path = [*base, *(node.module.split(".") if node.module else [])]
            found |= {path[0]} if path else {alias.name for alias in node.names}
    return {"__init__" if name.startswith("__") else name for name in found}


@pytest.mark.parametrize("file", FILES, ids=lambda f: str(f.relative_to(SRC)))
def test_arrows_run_one_way(file: Path) -> None:
    part = file.relative_to(SRC).parts[0]
    if part in MAY:
        assert imported(file) <= MAY[part]


@pytest.mark.parametrize("file", sorted((SRC / "physics").glob("*.py")), ids=lambda f: f.name)
def test_physics_is_pure(file: Path) -> None:
    """Physics imports arithmetic and each other: no files, clocks, networks, prints."""
    nodes = list(ast.walk(ast.parse(file.read_text("utf-8"))))
    roots = {a.name.split(".")[0] for n in nodes if isinstance(n, ast.Import) for a in n.names}
    roots |= {str(n.module).split(".")[0] for n in nodes if isinstance(n, ast.ImportFrom) and n.level == 0}
    calls = {n.func.id for n in nodes if isinstance(n, ast.Call) and isinstance(n.func, ast.Name)}
    assert roots <= {"__future__", "collections", "dataclasses", "enum", "math", "typing", "numpy"}
    assert not calls & {"open", "print", "input"}


@pytest.mark.parametrize("file", FILES, ids=lambda f: str(f.relative_to(SRC)))
def test_files_are_short_and_say_what_they_are(file: Path) -> None:
    text = file.read_text("utf-8")
    assert len(text.splitlines()) <= 400
    assert not text or ast.get_docstring(ast.parse(text))


def test_check_loads_only_what_it_needs() -> None:
    """A verdict on the screen needs neither curves nor drawings nor statistics; each costs a second or half of one."""
    script = (
        "import sys, json; sys.argv = ['hobwind', 'check', sys.argv[1]]\n"
        "from hobwind.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(json.dumps(sorted(sys.modules)))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, str(ROOT / "examples" / "boat-shed.toml")], capture_output=True, text=True, check=True
    )
    loaded = json.loads(ran.stdout.splitlines()[-1])
    for heavy in ("scipy.stats", "altair", "ezdxf", "vl_convert", "pandas", "matplotlib", "typst", "pypdf", "PIL"):
        assert heavy not in loaded


def kept_off() -> list[str]:
    """The left column of docs/words.md that never stands on a screen."""
    text = (ROOT / "docs" / "words.md").read_text("utf-8")
    table = text.split("## Kept off screens")[1].split("These are better said plainly")[0]
    words = re.findall(r"^\| ([\w -]+?) \|", table, re.M)
    return [word for word in words if word not in ("not this", "---")]


def test_kept_off_words_are_known() -> None:
    wanted = {"Sobol", "prior", "posterior", "residual", "covariance", "variance", "quantile", "convergence"}
    wanted |= {"Jacobian", "Rayleigh"}
    assert wanted <= set(kept_off())


@pytest.mark.parametrize("name", NAMES)
def test_screens_speak_plainly(name: str) -> None:
    said = verdict_text(judged(name)) + everything_text(judged(name))
    said += (ROOT / "README.md").read_text("utf-8") + (ROOT / "docs" / "commands.md").read_text("utf-8")
    for word in kept_off():
        assert not re.search(rf"\b{re.escape(word)}\b", said, re.I), word


def test_version_and_changelog_agree() -> None:
    from hobwind import __version__

    top = re.search(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.M)
    assert top is not None and top.group(1) == __version__
    assert f'version = "{__version__}"' in (ROOT / "pyproject.toml").read_text("utf-8")


def test_readme_says_the_job_first() -> None:
    first = (ROOT / "README.md").read_text("utf-8").split("\n\n")[1]
    for word in ("fans", "stove", "modules", "guard", "air"):
        assert word in first


@pytest.mark.parametrize("file", ["README.md", "docs/model.md", "CONTRIBUTING.md", "docs/decisions/README.md"])
def test_links_lead_somewhere(file: str) -> None:
    text = (ROOT / file).read_text("utf-8")
    for target in re.findall(r"\]\(([^)#]+)\)", text):
        assert ((ROOT / file).parent / target).exists(), target
    for target in re.findall(r"`((?:physics|stack|tests|docs|examples)/[\w./-]+)`", text):
        assert (ROOT / target).exists() or (SRC / target).exists(), target
