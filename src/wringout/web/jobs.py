"""Long work beside the pages: one piece at a time for each dossier, watched, and stopped when asked."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from threading import RLock, Thread
from typing import IO, Any, Literal

from wringout.problems import InputError, Problem

Standing = Literal["running", "done", "failed", "stopped"]
MOST_AT_ONCE = 4
_PATIENCE = 5.0  # s to end by itself before it is killed


@dataclass(frozen=True, slots=True)
class Job:
    """One piece of work as it stands; `stage` is the one that ended last."""

    task: str
    root: Path
    standing: Standing = "running"
    stage: str = ""
    done: int = 0
    total: int = 0
    problems: tuple[Problem, ...] = ()


class Jobs:
    """The work of one workbench."""

    def __init__(self) -> None:
        self._lock = RLock()
        self._jobs: dict[Path, Job] = {}
        self._running: dict[Path, subprocess.Popen[str]] = {}

    def of(self, root: Path) -> Job | None:
        """The work on the dossier at `root`, running or the last that ended; None where there was none."""
        with self._lock:
            return self._jobs.get(root)

    def every(self) -> tuple[Job, ...]:
        """All work, running or the last that ended of each dossier."""
        with self._lock:
            return tuple(self._jobs.values())

    def running(self) -> tuple[Job, ...]:
        """All work that runs."""
        return tuple(job for job in self.every() if job.standing == "running")

    def start(self, root: Path, task: str) -> Job:
        """Begin a task of `worker.TASKS`.

        Raises
        ------
        InputError
            Work on this dossier is still running, or too much runs at once, or the system refuses.
        """
        with self._lock:
            known = self._jobs.get(root)
            if known is not None and known.standing == "running":
                raise InputError(
                    Problem("this dossier is being worked on already", "wait until it is done, or stop it")
                )
            if len(self.running()) >= MOST_AT_ONCE:
                raise InputError(
                    Problem(f"{MOST_AT_ONCE} dossiers are being worked on already", "wait until one is done")
                )
            job = Job(task, root)
            try:
                process = _spawn(root, task)
            except OSError as error:
                raise InputError(
                    Problem(
                        f"the work cannot be started ({error.strerror})", "close other programs and try again"
                    )
                ) from error
            self._jobs[root], self._running[root] = job, process
        Thread(target=self._watch, args=(root, process), daemon=True).start()
        return job

    def stop(self, root: Path) -> Job | None:
        """End the work on a dossier and all processes it started; what it has finished stays in the store."""
        with self._lock:
            job, process = self._jobs.get(root), self._running.get(root)
            if job is None or process is None or job.standing != "running":
                return job
            self._jobs[root] = replace(job, standing="stopped")
        _end(process)
        return self.of(root)

    def close(self) -> None:
        """End all work."""
        for job in self.running():
            self.stop(job.root)

    def _watch(self, root: Path, process: subprocess.Popen[str]) -> None:
        assert process.stdout is not None
        assert process.stderr is not None
        last_words: list[str] = []
        listener = Thread(target=_listen, args=(process.stderr, last_words), daemon=True)
        listener.start()
        with process.stdout:
            for line in process.stdout:
                self._hear(root, json.loads(line))
        code = process.wait()
        listener.join(_PATIENCE)
        with self._lock:
            job = self._jobs[root]
            self._running.pop(root, None)
            if job.standing == "running":
                problems = job.problems or (_ended_without_words(code, last_words),)
                ended = (
                    replace(job, standing="failed", problems=problems)
                    if code
                    else replace(job, standing="done")
                )
                self._jobs[root] = ended

    def _hear(self, root: Path, said: dict[str, Any]) -> None:
        with self._lock:
            job = self._jobs[root]
            if "problems" in said:
                self._jobs[root] = replace(job, problems=tuple(Problem(**item) for item in said["problems"]))
            else:
                self._jobs[root] = replace(job, stage=said["stage"], done=said["done"], total=said["total"])


def _spawn(root: Path, task: str) -> subprocess.Popen[str]:
    """A fresh interpreter at the head of its own group of processes: all of it can be ended at once."""
    return subprocess.Popen(
        [sys.executable, "-m", "wringout.web.worker", task, str(root)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        errors="replace",
        start_new_session=True,
    )


def _end(process: subprocess.Popen[str]) -> None:
    _signal(process, signal.SIGTERM)
    with suppress(subprocess.TimeoutExpired):
        process.wait(_PATIENCE)
    if hasattr(signal, "SIGKILL"):
        _signal(process, signal.SIGKILL)  # whatever of the group has not heard
    process.wait()


def _signal(process: subprocess.Popen[str], number: signal.Signals) -> None:
    try:
        if hasattr(os, "killpg"):
            os.killpg(process.pid, number)
        else:
            process.terminate()
    except ProcessLookupError:
        pass  # it has ended by itself


def _listen(stream: IO[str], last_words: list[str]) -> None:
    with stream:
        for line in stream:
            sys.stderr.write(line)
            last_words[:] = [*last_words, line.strip()][-3:]


def _ended_without_words(code: int, last_words: list[str]) -> Problem:
    if code < 0:
        return Problem(
            f"the work was ended from outside (signal {-code})",
            "if memory is short, close other programs; then start it again: what was finished is kept",
        )
    reason = next((word for word in reversed(last_words) if word), f"exit code {code}")
    return Problem(f"wringout itself has a fault ({reason[:200]})", "report it with what the command printed")
