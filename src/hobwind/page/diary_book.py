"""The diary as the page opens it: logs that were left behind folded in, a daily copy kept after writing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from ..diary.exchange import keep_copy
from ..diary.journal import fold_left_behind
from ..diary.store import NAME, Diary, folder, open_diary


def is_there() -> bool:
    """Whether there is a diary yet; looking does not make one."""
    return (folder() / NAME).is_file() or any((folder() / "coming").glob("*.lines"))


@contextmanager
def opened(writes: bool = False) -> Iterator[Diary]:
    """The diary.

    Args:
        writes: whether something is going to be written, so that a copy is due.

    Yields:
        The open diary.

    Raises:
        DiaryError: it cannot be opened; the message says what to do.
    """
    with open_diary() as book:
        fold_left_behind(book)
        yield book
        if writes:
            keep_copy(book)
