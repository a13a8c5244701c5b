"""What a report is made of: parts with sentences, lists, tables and a strip of weeks; and the same as plain text."""

from __future__ import annotations

from msgspec import Struct

from tendwork.view.stand_ins import stand_in
from tendwork.view.text import display_width, padded, wrapped


class Said(Struct, frozen=True):
    """A paragraph."""

    text: str


class Items(Struct, frozen=True):
    """A list."""

    items: tuple[str, ...]


class Table(Struct, frozen=True):
    """A table: the first column is text, those of `numbers` stand to the right."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: bool = True


class Strip(Struct, frozen=True):
    """Rows of marks under months, each with its label; `means` says what the marks are."""

    head: str
    rows: tuple[tuple[str, str], ...]
    means: str

    @property
    def text(self) -> str:
        """The months and the rows, one line each."""
        label = max(display_width(name) for name, _ in self.rows) + 2
        return "\n".join([" " * label + self.head, *(padded(name, label) + marks for name, marks in self.rows)])


Block = Said | Items | Table | Strip


class Part(Struct, frozen=True):
    """A heading and what stands under it."""

    title: str
    blocks: tuple[Block, ...]


class ReportPage(Struct, frozen=True):
    """A report; every text in it is safe to show. `summary` are the year's three sentences."""

    site_name: str
    title: str
    span: str
    summary: tuple[str, ...]
    parts: tuple[Part, ...]


def report_text(report: ReportPage, columns: int = 80, ascii_only: bool = False) -> str:
    """The report in so many columns, without a trailing newline; `ascii_only` is of its marks."""
    lines = [*wrapped(f"{report.site_name}: {report.title}", columns), *wrapped(report.span, columns), ""]
    lines += wrapped(" ".join(report.summary), columns)
    for part in report.parts:
        lines += ["", f"{part.title} ".ljust(columns, "-")]
        for number, block in enumerate(part.blocks):
            lines += [""] if number and isinstance(block, Table | Strip) else []
            lines += _block_lines(block, columns, ascii_only)
    return "\n".join(line.rstrip() for line in lines)


def _block_lines(block: Block, columns: int, ascii_only: bool) -> list[str]:
    if isinstance(block, Said):
        return wrapped(block.text, columns)
    if isinstance(block, Items):
        return [line for item in block.items for line in wrapped(item, columns, "- ")]
    if isinstance(block, Table):
        return _table_lines(block, columns)
    drawn = "".join(map(stand_in, block.text)) if ascii_only else block.text
    return [*drawn.split("\n"), *wrapped(block.means, columns)]


def _table_lines(table: Table, columns: int) -> list[str]:
    """Columns as wide as their widest cell; what is left over is taken from the first, and the last is wrapped."""
    rows = [table.head, *table.rows]
    widths = [max(display_width(row[place]) for row in rows) for place in range(len(table.head))]
    if table.numbers:
        widths[0] = max(8, min(widths[0], columns - sum(widths[1:]) - 2 * (len(widths) - 1)))
        return ["  ".join(padded(row[at], widths[at], right=at > 0) for at in range(len(widths))) for row in rows]
    lines = []
    for row in rows:
        first = "".join(padded(cell, width) + "  " for cell, width in zip(row[:-1], widths, strict=False))
        lines += wrapped(row[-1], columns, first)
    return lines
