"""A table as people read it, the same in the command, on the page and in print."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WordTable:
    """A title, headings with their unit once, rows of finished cells; the first `words` columns are words.

    `note` is what must be said under it; a cell that begins with '!' fails what was asked of it, see `fails`.
    """

    title: str
    headings: tuple[tuple[str, str], ...]  # (heading, unit)
    rows: tuple[tuple[str, ...], ...]
    words: int = 1
    note: str = ""

    @property
    def plain_rows(self) -> tuple[tuple[str, ...], ...]:
        """The rows without the marks of what fails."""
        return tuple(tuple(plain_cell(cell) for cell in row) for row in self.rows)


def failing(cell: str) -> str:
    """A cell whose figure fails what is asked of it."""
    return f"!{cell}"


def fails(cell: str) -> bool:
    """Whether a cell fails what is asked of it."""
    return cell.startswith("!")


def plain_cell(cell: str) -> str:
    """A cell without its mark."""
    return cell.removeprefix("!")
