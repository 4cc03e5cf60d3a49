"""How fast the page is, in a real Chromium against the real server; rows of `make speed`."""

from __future__ import annotations

import shutil
import statistics
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from serving import serving

ROOT = Path(__file__).resolve().parents[1]
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking",
         "--disable-component-update", "--no-first-run"]  # fmt: skip
MOVES, TABS, STORM = 200, 20, 2000
# From the input event to the frame after the one in which the change is painted.
REPAINT = """async (count) => {
  const slider = document.getElementById("plate"), took = [];
  for (let i = 0; i < count; i += 1) {
    slider.value = (i * 37) % (Number(slider.max) + 1);
    const start = performance.now();
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    await new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
    took.push(performance.now() - start);
  }
  return took;
}"""
HANDLE = """(count) => {
  const slider = document.getElementById("plate"), start = performance.now();
  for (let i = 0; i < count; i += 1) {
    slider.value = (i * 37) % (Number(slider.max) + 1);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
  }
  return (performance.now() - start) / count;
}"""
PAINTED = "() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0"


def _server_memory(address: str) -> float:
    """Resident memory of the server behind an address, MB."""
    port = address.rsplit(":", 1)[1]
    for place in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            words = place.read_bytes().split(b"\0")
        except OSError:
            continue
        if b"open" in words and port.encode() in words:
            status = (place.parent / "status").read_text("utf-8")
            return float(next(line for line in status.splitlines() if line.startswith("VmRSS")).split()[1]) / 1024.0
    return float("nan")


def _heap(page: Page) -> float:
    client = page.context.new_cdp_session(page)
    client.send("HeapProfiler.collectGarbage")
    return float(client.send("Runtime.getHeapUsage")["usedSize"]) / 1e6


def rows() -> Iterator[tuple[str, str, str]]:
    """What was measured, the figure, and what was wanted."""
    found = shutil.which("chromium")
    if found is None:
        raise SystemExit("no chromium here; bash .ci/debian-packages installs it")
    with tempfile.TemporaryDirectory() as name, sync_playwright() as play:
        folder = Path(name)
        shutil.copy(ROOT / "examples" / "boat-shed.toml", folder)
        with serving(folder, "boat-shed.toml", "--port", "8497") as address:
            browser = play.chromium.launch(executable_path=found, args=FLAGS)
            paints = []
            for _ in range(5):
                page = browser.new_page()
                page.goto(f"{address}/build?file=boat-shed.toml")
                page.locator("#drawing").wait_for()
                paints.append(float(page.evaluate(PAINTED)))
                page.close()
            yield "page: first paint, best of 5", f"{min(paints):.0f} ms", "wanted 2000 ms"
            page = browser.new_page()
            page.goto(f"{address}/build?file=boat-shed.toml")
            page.locator(".caution").first.wait_for()
            took = sorted(page.evaluate(REPAINT, MOVES))
            yield f"page: slider to repaint, median of {MOVES}", f"{statistics.median(took):.1f} ms", "wanted 100 ms"
            yield f"page: slider to repaint, 95th of 100, of {MOVES}", f"{took[int(0.95 * MOVES)]:.1f} ms", ""
            yield "page: one slider move without waiting for the screen", f"{page.evaluate(HANDLE, 500):.2f} ms", ""
            page.evaluate(HANDLE, STORM // 2)
            first = _heap(page)
            page.evaluate(HANDLE, STORM // 2)
            yield f"page: memory after {STORM} moves over that after {STORM // 2}", f"{_heap(page) / first:.3f}", "wanted 1.05"
            yield "page: memory of the server, 1 tab", f"{_server_memory(address):.0f} MB", ""
            begun = time.perf_counter()
            tabs = [browser.new_page() for _ in range(TABS - 1)]
            for tab in tabs:
                tab.goto(f"{address}/build?file=boat-shed.toml")
                tab.locator(".caution").first.wait_for()
            yield f"page: memory of the server, {TABS} tabs", f"{_server_memory(address):.0f} MB", ""
            yield f"page: {TABS - 1} more tabs opened and judged", f"{time.perf_counter() - begun:.1f} s", ""
            browser.close()


def main() -> None:
    """Print the page's rows alone."""
    for what, figure, note in rows():
        print(f"{what:<58}{figure:>14}   {note}")


if __name__ == "__main__":
    main()
