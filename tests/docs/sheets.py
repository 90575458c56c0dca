"""The parts that every made page has: its head, its tables, the source of a row.

Invariant: a page says in its second line what makes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

MADE = "<!-- made by: python -m tests.docs.reference -->"


def page(title: str, lead: str, lines: Iterable[str]) -> str:
    """Return a page with its title and its lead, one sentence per line."""
    return "\n".join([f"# {title}", "", MADE, "", *lead.splitlines(), "", *lines]).rstrip() + "\n"


def table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    """Yield the lines of a table; bars inside cells are escaped."""
    yield "| " + " | ".join(head) + " |"
    yield "|" + "---|" * len(head)
    for row in rows:
        yield "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in row) + " |"


def source_of(source: str, status: object) -> str:
    """Return a source and how far it was seen."""
    return source if source.startswith("common practice") else f"{source} [{status}]"


def code(words: Iterable[object]) -> str:
    """Return words as they are typed, one after another."""
    return ", ".join(f"`{word}`" for word in words)
