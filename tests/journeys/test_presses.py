"""No press is lost: what can be pressed answers from the moment the page is there, whatever is still asked of hobwind."""

from __future__ import annotations

import pytest
from playwright.sync_api import CDPSession, Page, Route, expect

SECTIONS = ["doors", "somebody", "bin", "build?file=boat-shed.toml", "evening?file=boat-shed.toml", "guard?file=boat-shed.toml",
            "odds?file=boat-shed.toml", "shop?file=boat-shed.toml", "trial?file=boat-shed.toml", "trial/pad?file=boat-shed.toml",
            "diary", "learn?file=boat-shed.toml", "show"]  # fmt: skip
# The document itself hears presses on every "why", asks for what it needs and opens when it has it.
DOCUMENT_HEARS = ".why"


def heard(devtools: CDPSession, script: str) -> set[str]:
    """Kinds of event that what `script` gives listens to; empty where it gives nothing."""
    told = devtools.send("Runtime.evaluate", {"expression": script})["result"]
    if "objectId" not in told:
        return set()
    return {one["type"] for one in devtools.send("DOMDebugger.getEventListeners", {"objectId": told["objectId"]})["listeners"]}


def deaf(page: Page) -> list[str]:
    """What the buttons in sight say that neither listen themselves, nor send a form, nor lie in what listens."""
    devtools = page.context.new_cdp_session(page)
    buttons = page.evaluate(
        "not => (window.pressed = [...document.querySelectorAll('button:not([disabled])')]"
        ".filter((one) => one.checkVisibility() && !one.matches(not)))"
        ".map((one) => one.textContent.trim() || one.id)",
        DOCUMENT_HEARS,
    )
    found = []
    for n, says in enumerate(buttons):
        depth = page.evaluate(
            "n => { let d = 0; for (let up = pressed[n]; up !== document.body; up = up.parentNode) d += 1; return d; }", n
        )
        up = [heard(devtools, f"pressed[{n}]" + ".parentNode" * k) for k in range(depth)]
        sends = "submit" in heard(devtools, f"pressed[{n}].type === 'submit' ? pressed[{n}].form : null")
        if not sends and not any("click" in one for one in up):
            found.append(says)
    return found


@pytest.mark.parametrize("section", SECTIONS)
def test_no_button_is_deaf_while_hobwind_is_busy(browser, address: str, section: str) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.route("**/api/**", lambda route: None)  # asked, and never answered
    page.goto(f"{address}/{section}")
    assert page.locator("button:not([disabled])").count() > 0 or section in ("doors", "somebody")
    assert deaf(page) == []
    context.close()


def test_a_log_that_runs_does_not_shut_what_was_just_opened(opened) -> None:
    running = {"running": True, "said": "", "left": "", "fan": "Boat shed", "lines": 3, "unread": 0, "ports": [], "newest": []}
    running |= {"ahead": None, "course_min": [], "course_degC": []}
    held: list[Route] = []
    page: Page = opened("/doors")
    page.route("**/api/trial/live", lambda route: held.append(route))
    page.goto(page.url.replace("/doors", "/trial?file=boat-shed.toml"))
    page.get_by_role("button", name="Log live").click()
    expect(page.get_by_label("Port", exact=True)).to_be_visible()
    page.route("**/api/trial/live", lambda route: route.fulfill(json=running))  # what is asked from now on
    while not held:
        page.wait_for_timeout(20)
    held[0].fulfill(json=running)
    expect(page.locator("#live-lines")).to_contain_text("3 lines kept")
    expect(page.get_by_label("Port", exact=True)).to_be_visible()
