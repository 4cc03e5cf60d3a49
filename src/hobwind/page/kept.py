"""A few answers kept, the least lately used thrown out; safe between threads."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


class Kept(Generic[K, V]):
    """At most so many answers by key."""

    def __init__(self, most: int) -> None:
        self.most = most
        self._rows: OrderedDict[K, V] = OrderedDict()
        self._lock = threading.Lock()

    def find(self, key: K) -> V | None:
        """The answer for a key, where it is still there."""
        with self._lock:
            return self._rows.get(key)

    def get(self, key: K, make: Callable[[], V]) -> V:
        """The answer for a key, made when it is not there; two who ask at once may both make it."""
        with self._lock:
            if key in self._rows:
                self._rows.move_to_end(key)
                return self._rows[key]
        made = make()
        with self._lock:
            self._rows[key] = made
            self._rows.move_to_end(key)
            while len(self._rows) > self.most:
                self._rows.popitem(last=False)
        return made

    def there(self, key: K) -> V | None:
        """The answer for a key; None when it is not, or no longer, kept."""
        with self._lock:
            return self._rows.get(key)

    def forget(self) -> None:
        """Throw every answer out."""
        with self._lock:
            self._rows.clear()
