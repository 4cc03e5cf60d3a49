"""The walls round the page: who may ask, from where, how much at once, and what a browser may do with the answer."""

from __future__ import annotations

import asyncio
import hmac
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from urllib.parse import urlsplit

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY = 2_000_000  # bytes of one request
MOST_UPLOAD = 32_000_000  # the same where logs, photos and diaries come in whole
UPLOADS = ("/api/trial/", "/api/diary/", "/api/files/dossier", "/api/bin/recording")
COOKIE = "hobwind_key"
WRONG_KEY_WAIT = 0.5  # s; nobody tries a million keys at that pace
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
# No inline script or style, no eval, nothing from elsewhere, no framing; pictures may be made in the page itself.
POLICY = "; ".join((
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' data: blob:", "connect-src 'self'",
    "font-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'",
))  # fmt: skip
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=()"),
)


@dataclass(frozen=True)
class Refusal(Exception):
    """A request that does not come through: status and the sentence to show."""

    status: int
    says: str


class Walls:
    """Stands before the whole application."""

    def __init__(self, app: ASGIApp, hosts: frozenset[str], key: str = "") -> None:
        """`hosts` are the values of the Host header that are ours, with port; `key` is empty when none is asked for."""
        self.app, self.hosts, self.key = app, hosts, key

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                kept = [(name, value) for name, value in message.get("headers", []) if name.lower() != b"server"]
                names = {name.lower() for name, _ in kept}
                cache = () if b"cache-control" in names else ((b"cache-control", b"no-store"),)
                message = {**message, "headers": [*kept, *HEADERS, *cache]}
            await send(message)

        try:
            most = MOST_UPLOAD if str(scope["path"]).startswith(UPLOADS) else MOST_BODY
            self._check(scope, headers, most)
            if self.key and not _same(_cookie(headers), self.key):
                await self._let_in(scope, guarded)
                return
            await self.app(scope, self._bounded(most, receive), guarded)
        except Refusal as refusal:
            await _answer(guarded, refusal.status, refusal.says)

    def _check(self, scope: Scope, headers: dict[str, str], most: int) -> None:
        """Host and Origin: a page from elsewhere, or a name that was pointed at this machine, gets nothing."""
        if headers.get("host", "").lower() not in self.hosts:
            raise Refusal(403, "This address is not one that hobwind serves; use the one it printed when it started.")
        origin = headers.get("origin")
        if origin is not None:
            parts = urlsplit(origin)
            if parts.scheme != "http" or parts.netloc.lower() not in self.hosts:
                raise Refusal(403, "A page from elsewhere asked; only hobwind's own page may.")
        if scope["method"] not in SAFE:
            if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
                raise Refusal(403, "A page from elsewhere asked; only hobwind's own page may.")
            kind = headers.get("content-type", "").split(";")[0].strip().lower()
            has_body = headers.get("content-length", "0") != "0" or "transfer-encoding" in headers
            if has_body and kind not in ("application/json", "multipart/form-data"):
                raise Refusal(415, "Only JSON, or an upload from hobwind's own page, is taken here.")
        length = headers.get("content-length", "0")
        if not length.isdigit():
            raise Refusal(400, "The length of what was sent cannot be read.")
        if int(length) > most:
            raise Refusal(413, f"That is {int(length)} bytes; at most {most} are taken at once.")

    def _bounded(self, most: int, receive: Receive) -> Receive:
        """The body, counted: a sender that gives no length is bounded too."""
        got = 0

        async def counted() -> Message:
            nonlocal got
            message = await receive()
            got += len(message.get("body", b""))
            if got > most:
                raise HTTPException(413, f"More than {most} bytes came; at most that many are taken at once.")
            return message

        return counted

    async def _let_in(self, scope: Scope, send: Send) -> None:
        """`/k/KEY` gives the device the key for as long as this run lasts; anything else is refused."""
        path = str(scope["path"])
        tried = path.removeprefix("/k/") if path.startswith("/k/") else ""
        if tried and _same(tried.upper(), self.key):
            cookie = f"{COOKIE}={self.key}; HttpOnly; SameSite=Strict; Path=/"
            await send({
                "type": "http.response.start", "status": 303,
                "headers": [(b"location", b"/"), (b"set-cookie", cookie.encode())],
            })  # fmt: skip
            await send({"type": "http.response.body", "body": b""})
            return
        if tried:
            await asyncio.sleep(WRONG_KEY_WAIT)
        raise Refusal(403, "This device has no key for this run. Photograph the square code, or type the address with the key.")


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode())


def _cookie(headers: dict[str, str]) -> str:
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return ""
    return "" if found is None else found.value


async def _answer(send: Send, status: int, says: str) -> None:
    body = says.encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
