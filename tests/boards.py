"""A microcontroller on a pseudo-terminal, for tests of what comes in over a serial port."""

from __future__ import annotations

import os
import pty
import tty


class Board:
    """Speaks on a pseudo-terminal; `port` is its name as the system has it."""

    def __init__(self) -> None:
        self.ours, self.theirs = pty.openpty()
        tty.setraw(self.theirs)
        self.port = os.ttyname(self.theirs)

    def say(self, text: bytes) -> None:
        """Send text."""
        while text:
            text = text[os.write(self.ours, text) :]

    def close(self) -> None:
        """Pull the plug."""
        os.close(self.ours)
        os.close(self.theirs)
