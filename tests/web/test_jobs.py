"""Long work: watched, refused in words, really stopped."""

from __future__ import annotations

import os
import shutil
import signal
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from wringout.dossier import create, load
from wringout.evaluation.freshness import freshness, kept_evaluation
from wringout.problems import InputError
from wringout.web.jobs import Job, Jobs

PATIENCE = 120.0


def until(true: Callable[[], bool], patience: float = PATIENCE) -> None:
    """Wait until it is so; a test fails where it never is."""
    end = time.monotonic() + patience
    while not true():
        assert time.monotonic() < end, "it did not come true in time"
        time.sleep(0.05)


def ended(jobs: Jobs, root: Path) -> Job:
    """The work on a dossier once it has ended."""
    until(lambda: root not in {job.root for job in jobs.running()})
    job = jobs.of(root)
    assert job is not None
    return job


def group_is_alive(number: int) -> bool:
    """Whether any process of a group is left that has not ended."""
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if int(fields[2]) == number and fields[0] != "Z":
                return True
    return False


def test_an_evaluation_beside_the_pages_gives_what_the_pages_then_show(
    browser: TestClient, shelf: Path
) -> None:
    """Begun by a button, told while it runs and after a reload, and then the answer on the first page."""
    root = shelf / "mine"
    assert not any(state.fresh for state in freshness(load(root)))
    assert kept_evaluation(load(root)) is None
    begun = browser.post("/d/mine/work/evaluate")
    assert 'hx-trigger="every' in begun.text
    assert "Stop" in browser.get("/d/mine/").text
    assert "being evaluated" in browser.get("/").text
    assert 'hx-trigger="every' in browser.post("/d/mine/work/evaluate").text  # a second press joins the first
    until(lambda: "Done." in browser.get("/d/mine/work").text)
    assert all(state.fresh for state in freshness(load(root)))
    evaluation = kept_evaluation(load(root))
    assert evaluation is not None
    page = browser.get("/d/mine/").text.replace("\u00a0", " ")
    assert evaluation.headlines[0].label in page
    assert 'class="headlines"' in page
    assert "application/json" in page
    assert "evaluated" in browser.get("/").text
    browser.post("/d/mine/edit", data={
        "file": "airplane.toml", "version": _version(root), "path": '["geometry", "span"]', "value": "10.4 m",
    })  # fmt: skip
    assert "changed since it was evaluated" in browser.get("/d/mine/").text


def _version(root: Path) -> str:
    from wringout.dossier.history import version_of

    return version_of(root, "airplane.toml")


def test_what_fails_is_told_in_the_words_of_the_dossier(browser: TestClient, shelf: Path) -> None:
    """A recording that cannot be read stops the evaluation with its sentence."""
    root = shelf / "mine"
    (root / "recordings").mkdir(exist_ok=True)
    broken = Path(__file__).parent.parent / "broken" / "recordings" / "no_fixes.gpx"
    shutil.copy(broken, root / "recordings")
    card = root / "cards" / "flight-1.toml"
    card.write_text(card.read_text() + '\n[[recording]]\npath = "recordings/no_fixes.gpx"\n')
    browser.post("/d/mine/work/evaluate")
    until(lambda: "could not be finished" in browser.get("/d/mine/work").text)
    text = browser.get("/d/mine/").text
    assert "no_fixes.gpx" in text
    assert "Traceback" not in text
    assert "Evaluate" in text


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are counted through /proc")
def test_stopping_ends_every_process_and_what_was_finished_stays(demo_root: Path) -> None:
    """The worker, and the processes that it started to search flights on every core."""
    root = demo_root.parent / "stopped"
    shutil.copytree(demo_root, root, ignore=shutil.ignore_patterns("results"))
    jobs = Jobs()
    jobs.start(root, "evaluate")
    group = jobs._running[root].pid
    until(lambda: len(_members(group)) > 2)
    with pytest.raises(InputError, match="worked on already"):
        jobs.start(root, "evaluate")
    job = jobs.stop(root)
    assert job is not None
    assert job.standing == "stopped"
    until(lambda: not group_is_alive(group), 10.0)
    assert not list(root.rglob("*.part"))
    assert jobs.start(root, "evaluate").standing == "running"
    jobs.close()
    assert jobs.running() == ()
    load(root)


def _members(group: int) -> list[str]:
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if int(fields[2]) == group:
                found.append(entry.name)
    return found


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs signals")
def test_a_worker_killed_from_outside_is_told(tmp_path: Path) -> None:
    """As when the system takes back its memory."""
    create(tmp_path / "mine")
    jobs = Jobs()
    jobs.start(tmp_path / "mine", "evaluate")
    os.kill(jobs._running[tmp_path / "mine"].pid, signal.SIGKILL)
    job = ended(jobs, tmp_path / "mine")
    assert job.standing == "failed"
    assert "signal 9" in job.problems[0].what


def test_a_fault_in_a_worker_is_told_as_a_fault(tmp_path: Path) -> None:
    """Exit code and last words, not a page of code."""
    create(tmp_path / "mine")
    jobs = Jobs()
    jobs.start(tmp_path / "mine", "no such task")
    job = ended(jobs, tmp_path / "mine")
    assert job.standing == "failed"
    assert "KeyError" in job.problems[0].what
