"""One run of the page: a socket on this machine only unless asked otherwise, the addresses that are ours, the browser."""

from __future__ import annotations

import secrets
import socket
import threading
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from ..errors import InputError

USUAL_PORT, TRIES = 8417, 20
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"  # none that is mistaken for another one
KEY_LETTERS = 8
HERE = "127.0.0.1"


@dataclass(frozen=True)
class Opening:
    """A socket that listens, the Host headers that are ours, the address to open, and the key when others may come in."""

    listener: socket.socket
    hosts: frozenset[str]
    address: str
    key: str = ""


def open_door(port: int | None, lan: bool) -> Opening:
    """Listen.

    Args:
        port: wanted; None takes the usual one or the next that is free.
        lan: let other devices on the network in, with a key made for this run.

    Returns:
        The opening.

    Raises:
        InputError: the port cannot be had.
    """
    bound = "0.0.0.0" if lan else HERE
    listener = _listen(bound, port)
    number = int(listener.getsockname()[1])
    names = [HERE, "localhost"]
    outward = _outward() if lan else ""
    if lan and outward:
        names.append(outward)
    key = "".join(secrets.choice(LETTERS) for _ in range(KEY_LETTERS)) if lan else ""
    address = f"http://{outward or HERE}:{number}/" + (f"k/{key}" if lan else "")
    # A browser leaves the port out when it is the protocol's own.
    hosts = frozenset(f"{name}:{number}" for name in names) | (frozenset(names) if number == 80 else frozenset())
    return Opening(listener, hosts, address, key)


def _listen(bound: str, port: int | None) -> socket.socket:
    wanted = range(USUAL_PORT, USUAL_PORT + TRIES) if port is None else [port]
    for number in wanted:
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((bound, number))
            listener.listen(128)
            return listener
        except OSError:
            listener.close()
    if port is None:
        raise InputError(f"no port from {USUAL_PORT} to {USUAL_PORT + TRIES - 1} is free; name another one with --port")
    raise InputError(f"--port: {port} is taken or not allowed; name another one from 1024 to 65535, or leave --port out")


def _outward() -> str:
    """This machine's address on the local network; "" when it has none. Nothing is sent."""
    probe = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    try:
        probe.connect(("192.0.2.1", 9))  # an address kept for documents (RFC 5737)
        return str(probe.getsockname()[0])
    except OSError:
        return ""
    finally:
        probe.close()


def square_code(address: str) -> str:
    """The address as a square code of block letters, to be photographed from the screen."""
    import io

    import segno

    text = io.StringIO()
    segno.make(address, error="m").terminal(text, compact=True)
    return text.getvalue()


def serve(folder: Path, first: str, opening: Opening, browser: bool, say: Callable[[str], None]) -> None:
    """Serve until stopped.

    Args:
        folder: the only folder whose build files are read and written.
        first: file in it that is shown first; "" for none.
        opening: from `open_door`.
        browser: open one.
        say: prints a line.
    """
    import uvicorn

    from .server import make_app, make_workshop

    app = make_app(make_workshop(folder, first, opening.key), opening.hosts)
    config = uvicorn.Config(app, log_level="warning", access_log=False, server_header=False, date_header=False, lifespan="on",
                            timeout_graceful_shutdown=2)  # fmt: skip
    if opening.key:
        say("Other devices on this network may come in with the key below, as long as this runs. The line is not encrypted:")
        say("whoever listens in on the network can read along. Build files in this folder can be read and written from there.")
        say(square_code(opening.address))
    say(f"hobwind is at {opening.address}  (Ctrl-C ends it)")
    if browser:
        threading.Timer(0.3, webbrowser.open, (opening.address,)).start()
    uvicorn.Server(config).run(sockets=[opening.listener])
