"""Paths stay inside the dossier; writes are whole."""

import hashlib
import os
import time
from pathlib import Path

import pytest

from wringout.dossier import read_file, write_file
from wringout.dossier.files import FORGOTTEN, file_digest, inside, sweep
from wringout.problems import InputError


def test_what_is_written_is_read(tmp_path: Path) -> None:
    """Folders are made on the way, old content is replaced, nothing else is left behind."""
    write_file(tmp_path, "results/fit/a.npz", b"old")
    assert write_file(tmp_path, "results/fit/a.npz", b"new") == tmp_path / "results/fit/a.npz"
    assert read_file(tmp_path, "results/fit/a.npz") == b"new"
    assert [entry.name for entry in (tmp_path / "results/fit").iterdir()] == ["a.npz"]
    assert file_digest(tmp_path, "results/fit/a.npz") == hashlib.sha256(b"new").hexdigest()


def test_a_write_that_fails_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk gives out before the rename, the old content is still there and no scrap beside it."""
    write_file(tmp_path, "a.toml", b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="No space left"):
        write_file(tmp_path, "a.toml", b"new")
    assert read_file(tmp_path, "a.toml") == b"old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.toml"]


@pytest.mark.parametrize(
    "path",
    [
        "../x",
        "/etc/passwd",
        "a/../../x",
        "C:\\x",
        "C:/x",
        "a\\b",
        "",
        "  ",
        "x\0y",
        "~/../../x",
        "..",
        "a" * 5000,
    ],
)
def test_no_path_leads_out(tmp_path: Path, path: str) -> None:
    """Neither reading nor writing follows a path out of the dossier, nor stumbles over an impossible one."""
    with pytest.raises(InputError):
        read_file(tmp_path, path)
    with pytest.raises(InputError):
        write_file(tmp_path, path, b"x")


def test_links_out_are_refused(tmp_path: Path) -> None:
    """A link that leads out is refused, one that stays inside is followed, one in a circle is refused."""
    root = tmp_path / "dossier"
    root.mkdir()
    (tmp_path / "secret").write_bytes(b"secret")
    (root / "out").symlink_to(tmp_path / "secret")
    (root / "folder").symlink_to(tmp_path)
    (root / "real").write_bytes(b"real")
    (root / "in").symlink_to(root / "real")
    (root / "circle").symlink_to(root / "circle")
    for path in ("out", "folder/secret"):
        with pytest.raises(InputError, match="link out"):
            read_file(root, path)
        with pytest.raises(InputError, match="link out"):
            write_file(root, path, b"x")
    with pytest.raises(InputError):
        read_file(root, "circle")
    assert read_file(root, "in") == b"real"
    assert (tmp_path / "secret").read_bytes() == b"secret"


def test_recordings_are_never_altered(tmp_path: Path) -> None:
    """Raw logs are evidence: nothing is written where they lie."""
    with pytest.raises(InputError, match="raw recording"):
        write_file(tmp_path, "recordings/flight.csv", b"x")
    with pytest.raises(InputError, match="raw recording"):
        write_file(tmp_path, "./recordings/flight.csv", b"x")


def test_what_cannot_be_read_is_said(tmp_path: Path) -> None:
    """Missing, a folder, a pipe, too large: one sentence each."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "large").write_bytes(b"x" * 11)
    os.mkfifo(tmp_path / "pipe")
    for path, says in (
        ("none", "missing"),
        ("folder", "a folder"),
        ("pipe", "a device"),
        ("large", "more than"),
    ):
        with pytest.raises(InputError, match=says):
            read_file(tmp_path, path, largest=10)
    assert inside(tmp_path, "a/b") == tmp_path / "a" / "b"


def test_only_what_a_kill_left_half_written_is_swept(tmp_path: Path) -> None:
    """Old scraps of writing go; what is being written now, what people hide and what lies elsewhere stay."""
    outside = tmp_path / "outside"
    outside.mkdir()
    root = tmp_path / "dossier"
    (root / "recordings").mkdir(parents=True)
    (root / "linked").symlink_to(outside)
    old = [root / ".a.toml.x1.part", root / "recordings/.12-log.csv", outside / ".b.toml.x1.part"]
    kept = [root / ".keep", root / "recordings/.gitkeep", root / "a.part", root / ".a.toml.x2.part"]
    for place in (*old, *kept):
        place.write_bytes(b"x")
    for place in (*old, *kept[:3]):
        os.utime(place, (1.0, 1.0))
    assert sweep(root) == 2
    assert [place for place in (*old, *kept) if not place.exists()] == old[:2]
    os.utime(kept[3], (1.0, time.time() - FORGOTTEN - 1.0))
    assert sweep(root) == 1
