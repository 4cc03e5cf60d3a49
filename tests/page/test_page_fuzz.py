"""Every route of the page, fuzzed from its own description: no answer may be a fault of the server."""

from __future__ import annotations

import httpx
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error

schema = schemathesis.pytest.from_fixture("described")


import pytest  # noqa: E402 - after the schema, which names the fixture below


@pytest.fixture(scope="session")
def described(address: str):
    return schemathesis.openapi.from_url(f"{address}/api")


@schema.parametrize()
@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
def test_no_route_breaks(case) -> None:
    case.call_and_validate(checks=[not_a_server_error])


def test_every_route_says_what_it_takes_and_gives(page: httpx.Client) -> None:
    paths = page.get("/api").json()["paths"]
    assert len(paths) >= 14
    for path, methods in paths.items():
        for method, route in methods.items():
            assert route.get("description"), (method, path)
            good = [answer for status, answer in route["responses"].items() if status.startswith("2")]
            assert good
            for answer in good:
                body = answer.get("content", {}).get("application/json", {}).get("schema")
                assert body != {}, (method, path)
