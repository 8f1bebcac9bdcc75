"""Lines of a text log one by one, in bounded memory whatever the file is."""

from collections.abc import Iterator
from pathlib import Path

LONGEST_LINE = 1024  # bytes; a longer line is handed over in its first part only


def numbered_lines(path: Path) -> Iterator[tuple[int, bytes]]:
    """Number, from 1, and content of each line that holds anything, without blanks around it.

    Of a line longer than 1024 bytes only the beginning is given.
    """
    number, inside = 0, False
    with path.open("rb") as stream:
        while piece := stream.readline(LONGEST_LINE):
            if not inside:
                number += 1
                content = piece.strip()
                if content:
                    yield number, content
            inside = not piece.endswith(b"\n")
