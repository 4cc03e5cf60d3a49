"""Long work: started by a POST, watched by GET, stopped by DELETE. One place, used by every section that makes one wait."""

from __future__ import annotations

import secrets
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, Literal

from pydantic import BaseModel, Field

from ..errors import HobwindError

MOST_JOBS, MOST_WAITING, KEPT_FOR = 60, 12, 600.0  # kept in all; waiting or running at once; s after the end
TOO_MANY = "too many things are being worked on at once; stop one of them, or wait a little"


class Stopped(Exception):
    """The user pressed stop."""


class JobState(BaseModel):
    """What is known of a job; `result` has the shape that the route which started it documents."""

    id: str
    kind: str
    state: Literal["waiting", "running", "done", "stopped", "failed"]
    share: float = Field(ge=0.0, le=1.0, description="how much is done, 0 to 1")
    says: str
    result: Any = None


class Busy(HobwindError, RuntimeError):
    """Too many jobs at once."""


@dataclass
class Watch:
    """What work reports to: progress out, the wish to stop in; `enough` asks for what was found so far, where work can give it."""

    share: float = 0.0
    says: str = "waiting"
    stop: threading.Event = field(default_factory=threading.Event)
    enough: threading.Event = field(default_factory=threading.Event)

    def tell(self, share: float, says: str) -> None:
        """Report progress; raises `Stopped` once the user has pressed stop."""
        if self.stop.is_set():
            raise Stopped
        self.share, self.says = min(max(share, 0.0), 1.0), says


Work = Callable[[Watch], Any]


@dataclass
class _Job:
    kind: str
    watch: Watch
    state: Literal["waiting", "running", "done", "stopped", "failed"] = "waiting"
    result: Any = None
    ended: float | None = None


class JobDesk:
    """Runs jobs on a few threads and keeps what came of them for some minutes."""

    def __init__(self, threads: int = 2) -> None:
        self._pool = ThreadPoolExecutor(threads, thread_name_prefix="job")
        self._jobs: dict[str, _Job] = {}
        self._lock = threading.Lock()

    def start(self, kind: str, work: Work) -> JobState:
        """Start work.

        Args:
            kind: one word for it, such as "verdict".
            work: called with a `Watch`; returns a result that JSON can hold.

        Returns:
            Its state.

        Raises:
            Busy: too many are waiting or running.
        """
        with self._lock:
            self._sweep()
            if sum(job.ended is None for job in self._jobs.values()) >= MOST_WAITING:
                raise Busy(TOO_MANY)
            name, job = secrets.token_urlsafe(12), _Job(kind, Watch())
            self._jobs[name] = job
        self._pool.submit(self._run, job, work)
        return self._state(name, job)

    def state(self, name: str) -> JobState | None:
        """How a job stands; None when there is none of that name."""
        job = self._jobs.get(name)
        return None if job is None else self._state(name, job)

    def stop(self, name: str) -> JobState | None:
        """Stop a job: at its next report, or at once when it has not begun."""
        with self._lock:
            job = self._jobs.get(name)
            if job is None:
                return None
            job.watch.stop.set()
            if job.ended is None:
                job.state, job.ended, job.watch.says = "stopped", time.monotonic(), "stopped"
        return self._state(name, job)

    def enough(self, name: str) -> JobState | None:
        """Ask a job for what it has found so far."""
        job = self._jobs.get(name)
        if job is None:
            return None
        job.watch.enough.set()
        return self._state(name, job)

    def close(self) -> None:
        """Stop everything."""
        for name in list(self._jobs):
            self.stop(name)
        self._pool.shutdown(wait=False, cancel_futures=True)

    def _run(self, job: _Job, work: Work) -> None:
        result: Any = None
        state: Literal["done", "stopped", "failed"] = "done"
        says = "done"
        with self._lock:
            if job.ended is not None:
                return
            job.state = "running"
        try:
            result = work(job.watch)
        except Stopped:
            state, says = "stopped", "stopped"
        except HobwindError as error:
            state, says = "failed", str(error)
        except Exception as error:  # a fault of ours: told in one line, as on the command line
            state, says = "failed", f"hobwind itself went wrong ({type(error).__name__}); your files are untouched"
        with self._lock:
            if job.ended is None:  # one that was stopped meanwhile stays so, and its result is dropped
                job.state, job.result, job.ended, job.watch.says = state, result, time.monotonic(), says
                job.watch.share = 1.0 if state == "done" else job.watch.share

    def _state(self, name: str, job: _Job) -> JobState:
        return JobState(id=name, kind=job.kind, state=job.state, share=job.watch.share, says=job.watch.says, result=job.result)

    def _sweep(self) -> None:
        """Forget what ended long ago, and the oldest when there are too many."""
        now = time.monotonic()
        ended = [(job.ended, name) for name, job in self._jobs.items() if job.ended is not None]
        for when, name in sorted(ended):
            if now - when > KEPT_FOR or len(self._jobs) >= MOST_JOBS:
                del self._jobs[name]
