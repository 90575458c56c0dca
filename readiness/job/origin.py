"""Where a thing was written, so that every sentence on a screen can say where it comes from.

Invariant: an origin is either a line of a file or a row of facts with its citation and status.
"""

from __future__ import annotations

from typing import NamedTuple


class Origin(NamedTuple):
    """A line of a file, or a row of facts."""

    source: str
    """File name, or the name of the table of facts."""
    line: int | None = None
    """Line of the file, counted from 1; None for a row of facts."""
    row: str = ""
    """Key path in the file, or id of the row."""
    status: str = ""
    """How far the source of a row of facts was seen; empty for files."""
    citation: str = ""
    """What the row of facts cites."""

    def told(self) -> str:
        """Return the origin as `--why` prints it."""
        if self.status:
            told = f"{self.citation} [{self.status}]" if self.citation else f"[{self.status}]"
            return f"usual: {self.row}; {told}"
        at = f"{self.source}:{self.line}" if self.line is not None else self.source
        return f"{at} {self.row}".rstrip()
