"""A microcontroller on a pseudo-terminal, for tests of what comes in over a serial port."""

from __future__ import annotations

import fcntl
import os
import pty
import struct
import termios
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

    def waiting(self) -> int:
        """Bytes that were sent and that nobody has taken yet."""
        return struct.unpack("i", fcntl.ioctl(self.theirs, termios.FIONREAD, b"\0" * 4))[0]

    def close(self) -> None:
        """Pull the plug."""
        os.close(self.ours)
        os.close(self.theirs)
