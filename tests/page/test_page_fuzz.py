"""Every route of the page, fuzzed from its own description: no answer may be a fault of the server."""

from __future__ import annotations

import httpx
import schemathesis
from hypothesis import HealthCheck, given, settings


def test_no_route_breaks(address: str) -> None:
    schema = schemathesis.openapi.from_url(f"{address}/api")
    tried = 0
    for found in schema.get_all_operations():
        operation = found.ok()

        @given(case=operation.as_strategy())
        @settings(max_examples=12, deadline=None, database=None, suppress_health_check=list(HealthCheck))
        def broken(case: schemathesis.Case) -> None:
            answer = case.call(base_url=address)
            assert answer.status_code < 500, (case.method, case.path, answer.text[:200])

        broken()
        tried += 1
    assert tried >= 14


def test_every_route_says_what_it_takes_and_gives(page: httpx.Client) -> None:
    paths = page.get("/api").json()["paths"]
    assert len(paths) >= 12
    for path, methods in paths.items():
        for method, route in methods.items():
            assert route.get("description"), (method, path)
            good = [answer for status, answer in route["responses"].items() if status.startswith("2")]
            assert good
            for answer in good:
                body = answer.get("content", {}).get("application/json", {}).get("schema")
                assert body != {}, (method, path)
