"""Where each key of a job file stands, asked by the path a `Job` has for it.

Invariant: a path that was written gives its own line, any other the line of its nearest parent.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from readiness.job.origin import Origin
from readiness.job.positions import Path, line_of, positions


@dataclass(frozen=True)
class Lines:
    """The lines of one job file; they are looked for when the first is asked for."""

    file_name: str
    text: str = field(repr=False)
    renamed: dict[Path, Path] = field(default_factory=dict)
    """Paths of a job that are written differently in the file, e.g. surfaces inside a room."""

    @cached_property
    def _known(self) -> dict[Path, int]:
        return positions(self.text)

    def of(self, *path: str | int) -> int | None:
        """Return the line of a path, or of its nearest parent; None if nothing of it is written."""
        return line_of(self.written_path(path), self._known)

    def of_written(self, path: Path) -> int | None:
        """Return the line of a path in the notation of the file."""
        return line_of(path, self._known)

    def origin(self, *path: str | int) -> Origin:
        """Return the origin of what stands at a path."""
        return Origin(self.file_name, self.of(*path), ".".join(str(part) for part in path))

    def written_path(self, path: Path) -> Path:
        """Return the parts of a path that stand in the file, in its own notation.

        A path of a model has further parts: tags of shapes, positions of a thing that was written
        without brackets. They are left out.
        """
        path = self.renamed.get(path[:2], path[:2]) + path[2:]
        found: Path = ()
        for part in path:
            if (*found, part) in self._known:
                found = (*found, part)
        return found


def key_text(path: Path) -> str:
    """Return a path as people write it: dots between keys, places in lists counted from 1."""
    told = ""
    for part in path:
        if isinstance(part, int):
            told += f"[{part + 1}]"
        else:
            told += f".{part}" if told else part
    return told
