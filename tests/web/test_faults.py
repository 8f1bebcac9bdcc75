"""A full disk and a locked folder: every kind of writing says so, and the files are as they were."""

from __future__ import annotations

import os
import re
import resource
import subprocess
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from time import monotonic, sleep

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from tests.web.test_loading_page import FIELDS
from wringout.dossier import create
from wringout.dossier.history import edit_value, steps, version_of
from wringout.evaluation import evaluate
from wringout.web.app import create_app

ROOM = "4m"
REASONS = re.compile(r"No space left on device|File too large|Read-only file system|Permission denied")
LOG = b"time,airspeed (kt)\n" + b"".join(b"2026-05-12 09:%02d:00,60\n" % k for k in range(60)) * 3
Refusing = Callable[[], AbstractContextManager[None]]


@dataclass(frozen=True)
class Disk:
    """A shelf with a dossier on a disk that can be filled or locked, and a browser before it."""

    shelf: Path
    browser: TestClient
    full: Callable[[], Iterator[None]]
    locked: Callable[[], Iterator[None]]

    @property
    def root(self) -> Path:
        """The dossier."""
        return self.shelf / "mine"


def _mounted(place: Path) -> bool:
    """Whether a small file system of its own is now at a folder; only the superuser may do that."""
    command = ["mount", "-t", "tmpfs", "-o", f"size={ROOM}", "tmpfs", str(place)]
    return os.geteuid() == 0 and subprocess.run(command, capture_output=True, check=False).returncode == 0


@pytest.fixture(scope="module")
def disk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Disk]:
    """A small file system where we may mount one, or else limits and permissions."""
    place: Path = tmp_path_factory.mktemp("disk")
    own = _mounted(place)
    try:
        create(place / "shelf" / "mine")
        app = create_app(place / "shelf")
        headers = {"origin": ORIGIN}
        with TestClient(
            app, base_url=ORIGIN, headers=headers, raise_server_exceptions=False, follow_redirects=False
        ) as browser:
            if own:
                yield Disk(place / "shelf", browser, lambda: _filled(place), lambda: _remounted(place))
            else:
                yield Disk(place / "shelf", browser, _limited, lambda: _closed(place / "shelf"))
    finally:
        if own:
            subprocess.run(["umount", "--lazy", str(place)], check=True)


def _filled(place: Path) -> Iterator[None]:
    ballast = place / "ballast"
    with suppress(OSError), ballast.open("wb", buffering=0) as file:
        while True:
            file.write(b"x" * 4096)
    try:
        yield
    finally:
        ballast.unlink()


def _remounted(place: Path) -> Iterator[None]:
    subprocess.run(["mount", "-o", "remount,ro", str(place)], check=True)
    try:
        yield
    finally:
        subprocess.run(["mount", "-o", "remount,rw", str(place)], check=True)


def _limited() -> Iterator[None]:
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (64, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def _closed(shelf: Path) -> Iterator[None]:
    folders = [shelf, *(path for path in shelf.rglob("*") if path.is_dir())]
    for folder in folders:
        folder.chmod(0o555)
    try:
        yield
    finally:
        for folder in folders:
            folder.chmod(0o755)


def version(disk: Disk, file: str) -> str:
    return version_of(disk.root, file)


CARD = "cards/flight-1.toml"
WRITINGS: dict[str, Callable[[Disk], tuple[str, dict[str, str]]]] = {
    "a value": lambda disk: (
        "/d/mine/edit",
        {
            "file": "dossier.toml",
            "version": version(disk, "dossier.toml"),
            "path": '["place"]',
            "value": "There",
        },
    ),
    "a text": lambda disk: (
        "/d/mine/text/claims.toml",
        {"version": version(disk, "claims.toml"), "text": "# nothing claimed\n" * 20},
    ),
    "a table of the airplane": lambda disk: (
        "/d/mine/airplane/table",
        {"path": "geometry", "version": version(disk, "airplane.toml"), "span": "10.3 m"},
    ),
    "a row taken away": lambda disk: (
        "/d/mine/airplane/away",
        {"path": "combined_limit.0", "version": version(disk, "airplane.toml")},
    ),
    "a loading": lambda disk: (
        "/d/mine/loading/save/card",
        {**FIELDS, "save.card": "flight-1", f"version.{CARD}": version(disk, CARD)},
    ),
    "a step back": lambda disk: (
        "/d/mine/undo",
        {"file": "missions.toml", "version": version(disk, "missions.toml")},
    ),
    "a new dossier": lambda _: ("/new", {"name": "another", "kind": "template"}),
    "a copy of a dossier": lambda _: ("/new", {"name": "copied", "kind": "everything", "source": "mine"}),
}  # fmt: skip


@pytest.fixture(params=["full", "locked"])
def refusing(request: pytest.FixtureRequest, disk: Disk) -> Refusing:
    """What makes the disk refuse, as a context."""
    if request.param == "locked" and os.geteuid() == 0 and not disk.shelf.parent.is_mount():
        pytest.skip("the superuser may write anywhere, and no file system can be mounted here")
    return contextmanager(disk.full if request.param == "full" else disk.locked)


def contents(disk: Disk) -> dict[str, bytes]:
    """All files of the shelf but those half written."""
    return {
        str(path.relative_to(disk.shelf)): path.read_bytes()
        for path in disk.shelf.rglob("*")
        if path.is_file() and not path.name.endswith(".part")
    }


@pytest.mark.parametrize("kind", [*WRITINGS, "a recording"])
def test_what_cannot_be_written_is_told(disk: Disk, refusing: Refusing, kind: str) -> None:
    """In a sentence with its reason; files stay, no half dossier appears, the pages still open."""
    if kind == "a step back" and not steps(disk.root, "missions.toml").undo:
        edit_value(
            disk.root, "missions.toml", version(disk, "missions.toml"), ("mission", 0, "question"), "Which?"
        )
    address, sent = WRITINGS[kind](disk) if kind in WRITINGS else ("/d/mine/recordings", {})
    before = contents(disk)
    with refusing():
        if sent:
            answer = disk.browser.post(address, data=sent)
        else:
            answer = disk.browser.post(address, files={"files": ("log.csv", LOG)})
        opened = disk.browser.get("/d/mine/")
    said = unescape(re.sub(r"<[^>]+>", " ", answer.text))
    assert answer.status_code in {422, 507}, (answer.status_code, said)
    assert REASONS.search(said), said
    assert "Traceback" not in said
    assert opened.status_code == 200
    after = contents(disk)
    assert {path: after.get(path) for path in before} == before
    assert all("/.history/" in path for path in after.keys() - before.keys())
    assert disk.browser.get("/").text.count('href="/d/') == 1


@pytest.mark.parametrize("task", ["evaluate", "report"])
def test_a_run_that_cannot_keep_its_results_says_so(disk: Disk, refusing: Refusing, task: str) -> None:
    """Of the stages, and of the report alone once the stages are kept; afterwards it can be done."""
    if task == "report" and not (disk.root / "results").exists():
        evaluate(disk.root)
    with refusing():
        begun = disk.browser.post(f"/d/mine/work/{task}")
        assert begun.status_code == 200, begun.text
        end = monotonic() + 120
        while "progress" in (said := disk.browser.get("/d/mine/work").text) and monotonic() < end:
            sleep(0.1)
    assert "could not be finished" in said, said
    assert REASONS.search(said), said
    assert not [*disk.root.rglob("*.pdf")]
