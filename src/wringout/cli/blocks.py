"""A table of the report on a terminal."""

from __future__ import annotations

from typing import Any


def show_block(block: dict[str, Any]) -> None:
    """The block's table: words to the left, figures to the right, what fails with an asterisk.

    `block` is a table of `wringout.report.blocks`; its notes stand below it.
    """
    from rich.box import SIMPLE_HEAD
    from rich.table import Table
    from rich.text import Text

    from wringout.cli.output import console, say

    sheet = Table(
        title=block["title"] or None,
        title_justify="left",
        title_style="bold",
        box=SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    for place, column in enumerate(block["columns"]):
        heading = f"{column['title']}\n{column['unit']}" if column["unit"] else column["title"]
        if column["kind"] == "text":
            longest = max((len(_cell(row[place])) for row in block["rows"]), default=0)
            sheet.add_column(heading, overflow="fold", min_width=min(longest, 10))
        else:
            sheet.add_column(heading, justify="right", no_wrap=True)
    for row in block["rows"]:
        sheet.add_row(*(Text(_cell(cell)) for cell in row))
    console().print(sheet)
    fails = any(isinstance(cell, dict) and cell.get("fail") for row in block["rows"] for cell in row)
    for note in (*block["note"], *(("* stands where it fails, binds or changes",) if fails else ())):
        say(f"  {note}")


def _cell(cell: object) -> str:
    if isinstance(cell, dict):
        spread = f" {cell['sd']}" if cell.get("sd") else ""
        return f"{cell['text']}{spread}{' *' if cell.get('fail') else ''}"
    if isinstance(cell, float):
        return "<0.01" if cell < 0.01 else ">0.99" if cell > 0.99 else f"{cell:.2f}"
    return "" if cell is None else str(cell)
