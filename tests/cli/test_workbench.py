"""The command that opens the workbench: whom it lets in, where it answers, how it starts."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.conftest import Ran
from wringout.dossier import create

COMMAND = [sys.executable, "-c", "from wringout.cli import main; main()", "workbench"]


@contextmanager
def running(*arguments: str | Path) -> Iterator[str]:
    """The workbench while it runs; the one line that it printed."""
    command = [*COMMAND, *(str(argument) for argument in arguments), "--port", "0", "--no-browser"]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert server.stdout is not None
    assert server.stderr is not None
    with server.stdout, server.stderr:
        line = server.stdout.readline()
        try:
            yield line
        finally:
            server.terminate()
            server.wait(30)
        assert server.stdout.read() == ""
        assert server.stderr.read() == ""


def test_one_line_says_where_the_shelf_is(tmp_path: Path) -> None:
    """An address of this machine; the page behind it is the shelf."""
    create(tmp_path / "mine")
    with running(tmp_path) as line:
        found = re.fullmatch(r"Workbench: (http://127\.0\.0\.1:\d+/) \(end it with Ctrl-C\)\n", line)
        assert found
        with urllib.request.urlopen(found[1], timeout=30) as answer:
            assert "mine" in answer.read().decode()


def test_a_dossier_itself_is_opened_on_its_first_page(tmp_path: Path) -> None:
    """Its shelf is the folder that it lies in."""
    create(tmp_path / "my strip")
    with running(tmp_path / "my strip") as line:
        assert "/d/my%20strip/ " in line


def test_another_host_needs_a_token(wringout: Callable[..., Ran], tmp_path: Path) -> None:
    """Refused with a token ready to be copied; one that can be guessed is refused too."""
    open_door = wringout("workbench", tmp_path, "--host", "0.0.0.0")
    assert open_door.code == 1
    assert re.search(r"--token \S{20,}", open_door.err)
    guessed = wringout("workbench", tmp_path, "--host", "0.0.0.0", "--token", "secret")
    assert guessed.code == 1
    assert "could guess" in guessed.err


def test_a_port_that_is_taken_and_a_host_that_is_not_here_are_told(
    wringout: Callable[..., Ran], tmp_path: Path
) -> None:
    """In one sentence with the way out."""
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = str(other.getsockname()[1])
        taken = wringout("workbench", tmp_path, "--port", port, "--no-browser")
    assert taken.code == 1
    assert "--port" in taken.err
    assert wringout("workbench", tmp_path, "--port", "99999", "--no-browser").code == 1


@pytest.mark.parametrize("folder", ["nowhere", "file"])
def test_a_folder_that_is_none_is_told(wringout: Callable[..., Ran], tmp_path: Path, folder: str) -> None:
    """Missing, or a file."""
    (tmp_path / "file").write_text("")
    ran = wringout("workbench", tmp_path / folder, "--port", "0", "--no-browser")
    assert ran.code == 1
    assert "cannot be opened" in ran.err
