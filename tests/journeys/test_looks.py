"""Every section at desk and phone width: a picture kept, no accessibility fault (axe), nothing wider than the screen."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from hobwind.page.sections import SECTIONS
from serving import KEPT, PHONE, WIDE

PLACES = {one.key: f"/{one.key}?file=boat-shed.toml" for one in SECTIONS} | {
    "doors": "/doors", "show": "/show", "scrap": "/scrap", "fan": "/fan", "somebody": "/somebody",
}  # fmt: skip
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("name", PLACES)
def test_a_section_looks_right(opened, name: str, size: tuple[int, int], dark: bool) -> None:
    scheme = "dark" if dark else "light"
    page: Page = opened(PLACES[name], size, color_scheme=scheme, reduced_motion="reduce")
    if name in ("build", "evening", "show", "learn"):
        page.locator("button.why").first.wait_for(timeout=20000)
    if name == "build":
        page.locator(".caution").first.wait_for(timeout=20000)
        page.locator("#parts button").nth(2).click()
        page.locator("#card .row").first.wait_for()
    if name == "evening":
        page.locator("#chart canvas").wait_for(timeout=20000)
    KEPT.mkdir(exist_ok=True)
    page.screenshot(path=KEPT / f"{name}-{size[0]}{'-dark' if dark else ''}.png", full_page=True)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
