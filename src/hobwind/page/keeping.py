"""Build files in one folder: listed, read, saved whole, autosaved beside; nothing outside that folder is ever opened."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from ..errors import FileError, InputError
from ..files import read_text, write_whole

NAME = re.compile(r"[^\W_][\w .()+-]{0,79}\.toml")
MOST_TEXT = 200_000  # letters of a build
MOST_LISTED = 200


def digest_of(text: str) -> str:
    """The mark of a text: it changes when any letter does."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:32]


class Changed(FileError):
    """The file on disk is not the one that was loaded; carries what stands there now."""

    def __init__(self, name: str, text: str | None, new: bool = False) -> None:
        self.text, self.digest = text, "" if text is None else digest_of(text)
        there = "is in the folder already" if new else "was changed by somebody else since it was loaded here"
        gone = "is gone from the folder" if text is None else there
        super().__init__(f"{name} {gone}. Nothing was written: choose which of the two to keep")


@dataclass(frozen=True)
class Folder:
    """The one folder whose build files may be read and written."""

    path: Path

    def names(self) -> list[str]:
        """Build files in the folder, by name."""
        try:
            found = sorted(path.name for path in self.path.iterdir() if NAME.fullmatch(path.name) and path.is_file())
        except OSError:
            return []
        return found[:MOST_LISTED]

    def place(self, name: str) -> Path:
        """Path of a file of that name.

        Args:
            name: a plain file name ending in .toml.

        Returns:
            Its path, in the folder itself.

        Raises:
            InputError: not such a name, or a link that leads out of the folder.
        """
        if not NAME.fullmatch(name):
            raise InputError(
                f'the name "{name[:60]}" cannot be used: letters, figures, blanks, - . ( ) + and the ending .toml, '
                "such as my-fan.toml"
            )
        path = self.path / name
        try:
            inside = path.resolve().parent == self.path.resolve()
        except (OSError, RuntimeError) as error:  # a link that leads to itself
            raise InputError(f"{name} is a link that leads nowhere; choose another name") from error
        if not inside:
            raise InputError(f"{name} is a link out of the folder; copy the file here instead")
        return path

    def read(self, name: str) -> str:
        """Text of a build file.

        Raises:
            InputError: no such name.
            FileError: it cannot be read.
        """
        return read_text(self.place(name), MOST_TEXT)

    def text_now(self, name: str) -> str | None:
        """Text as it stands on disk; None when there is no such file."""
        return self.read(name) if self.place(name).exists() else None

    def save(self, name: str, text: str, loaded: str) -> str:
        """Write a build file whole.

        Args:
            name: of the file.
            text: to write.
            loaded: digest of the file as it was loaded; "" for a file that must not be there yet.

        Returns:
            The new digest.

        Raises:
            Changed: what stands on disk is not what was loaded.
            InputError: no such name.
            FileError: it cannot be written.
        """
        path, now = self.place(name), self.text_now(name)
        if now != text and (digest_of(now) if now is not None else "") != loaded:
            raise Changed(name, now, loaded == "")
        write_whole(path, text)
        self._spare(name).unlink(missing_ok=True)
        return digest_of(text)

    def _spare(self, name: str) -> Path:
        return self.place(name).with_name(f".{name.removesuffix('.toml')}.autosave.toml")

    def autosave(self, name: str, text: str) -> None:
        """Write the text beside the file, so that a crash loses nothing."""
        write_whole(self._spare(name), text)

    def autosaved(self, name: str) -> str | None:
        """What was autosaved and never saved; None when there is nothing."""
        spare = self._spare(name)
        if not spare.is_file() or spare.is_symlink():
            return None
        text = read_text(spare, MOST_TEXT)
        return None if text == self.text_now(name) else text

    def drop_autosave(self, name: str) -> None:
        """Throw away what was autosaved."""
        self._spare(name).unlink(missing_ok=True)
