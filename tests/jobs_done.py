"""Waiting for a job of the page's server."""

from __future__ import annotations

import time

import httpx

LONGEST = 120.0  # s; compiling on a busy machine included


def ended(page: httpx.Client, state: dict) -> dict:
    """Wait until a job has ended, however it did, and give its last state."""
    end = time.monotonic() + LONGEST
    while state["state"] in ("waiting", "running") and time.monotonic() < end:
        time.sleep(0.05)
        state = page.get(f"/api/jobs/{state['id']}").json()
    return state


def done(page: httpx.Client, address: str, body: dict) -> dict:
    """Start a job and wait for its result."""
    got = page.post(address, json=body)
    assert got.status_code == 200, got.text
    state = ended(page, got.json())
    assert state["state"] == "done", state
    return state["result"]
