"""A build changed on the page: what was found before stands back, a tried mend falls with a change, names, and no build at all."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from serving import PHONE

BARE = "/build?file=boat-shed-no-guard.toml"


def test_old_findings_stand_back_until_the_new_ones_come(opened) -> None:
    page: Page = opened(BARE)
    findings, old = page.locator("#findings"), page.locator("#findings-old")
    expect(page.locator(".finding.danger")).to_be_visible(timeout=20000)
    expect(old).to_be_hidden()
    full = page.locator(".danger .level").first.evaluate("one => getComputedStyle(one).color")
    held = []
    page.route("**/api/build/judge", lambda route: held.append(route))
    page.get_by_text("Rename", exact=True).click()
    page.get_by_label("Name of this build").fill("Shed two")
    page.keyboard.press("Tab")
    expect(page.locator("#build-name")).to_have_text("Shed two")
    expect(old).to_contain_text("before the last change")
    expect(findings).to_have_attribute("aria-busy", "true")
    assert page.locator(".danger .level").first.evaluate("one => getComputedStyle(one).color") != full
    expect(page.get_by_role("button", name=re.compile("Try the mend")).first).to_be_disabled()
    for route in held:
        route.continue_()
    expect(old).to_be_hidden(timeout=20000)
    expect(page.get_by_role("button", name=re.compile("Try the mend")).first).to_be_enabled()
    page.locator("#undo").click()
    expect(page.locator("#build-name")).not_to_have_text("Shed two")


def test_a_mend_being_tried_falls_when_the_build_changes_under_it(opened) -> None:
    page: Page = opened(BARE)
    expect(page.locator(".finding.danger")).to_be_visible(timeout=20000)
    page.get_by_text("Rename", exact=True).click()
    page.get_by_label("Name of this build").fill("Shed two")
    page.keyboard.press("Tab")
    expect(page.locator("#build-name")).to_have_text("Shed two")  # the change is in: what is judged from here on is the new one
    expect(page.locator("#findings-old")).to_be_hidden(timeout=20000)
    page.get_by_role("button", name=re.compile("Try the mend")).first.click()
    expect(page.locator("#ghost")).to_contain_text("settled on a plate of", timeout=20000)
    page.locator("#undo").click()
    expect(page.locator("#ghost")).to_be_hidden()


def test_a_section_without_a_build_says_so(opened) -> None:
    page: Page = opened("/guard")
    said = page.get_by_role("status").filter(has_text="No build is open in this tab, so Guard has nothing to look at")
    expect(said).to_be_visible(timeout=20000)
    said.get_by_role("link", name="boat-shed.toml").click()
    expect(page.locator("#sentence")).to_contain_text("turn", timeout=20000)


def test_life_size_on_a_phone(opened) -> None:
    page: Page = opened("/shop?file=boat-shed.toml", PHONE)
    expect(page.locator("#sheet-list figure").first).to_be_visible(timeout=20000)
    page.locator("#life").check()
    expect(page.locator("#bar-mm")).to_have_text("50 mm")
    right = page.locator("#bar").evaluate("one => one.getBoundingClientRect().right")
    assert right <= PHONE[0]
    view = page.locator(".paperview").first
    at, most = view.evaluate("one => [one.scrollLeft, one.scrollWidth - one.clientWidth]")
    assert most > 100 and abs(at - most / 2) <= 1
    page.get_by_role("link", name="Holes, clamp, wiring").click()
    expect(page.locator("#topics .scroll.more").first).to_be_visible()


def test_a_sentence_that_names_a_bench_command_leads_to_the_test(opened) -> None:
    page: Page = opened("/shop?file=boat-shed.toml#make")
    link = page.locator("#topics a[href='/bin#test-metal']").first
    expect(link).to_be_attached(timeout=20000)
    assert "hobwind bench" not in page.locator("#main").inner_text()
