"""Surfaces that are written inside a room, as `bath-1.outer`, and the rooms such ids name.

Invariant: each surface has one flat id, however its table was written, and the line of each stays
known.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from readiness.job.problems import Problem, did_you_mean

if TYPE_CHECKING:
    from readiness.job.lines import Lines
    from readiness.job.positions import Path


@dataclass(frozen=True, slots=True)
class FlatSurfaces:
    """The table of surfaces with every surface on one level."""

    rows: dict[str, Any] = field(default_factory=dict)
    renamed: dict[Path, Path] = field(default_factory=dict)
    """Where each surface that stands inside a room is written."""
    twice: list[str] = field(default_factory=list)
    """Ids that two tables have."""


def flat_surfaces(table: object) -> FlatSurfaces:
    """Return surfaces by flat id.

    `bath-1.outer = { is = ... }` is a table `outer` inside a table `bath-1` for the parser; a table
    that says what it `is`, or holds no table, is a surface, any other a room that holds surfaces.
    """
    flat = FlatSurfaces()
    for name, row in table.items() if isinstance(table, dict) else ():
        if not _holds_surfaces(row):
            _add(flat, name, row)
            continue
        for inner, inner_row in row.items():
            _add(flat, f"{name}.{inner}", inner_row)
            flat.renamed["surfaces", f"{name}.{inner}"] = ("surfaces", name, inner)
    return flat


def _add(flat: FlatSurfaces, surface: str, row: object) -> None:
    """Add a surface, or note that its id is taken."""
    if surface in flat.rows:
        flat.twice.append(surface)
    flat.rows[surface] = row


def _holds_surfaces(row: object) -> bool:
    """Say whether a table below `[surfaces]` is a room that holds surfaces."""
    if not isinstance(row, dict) or isinstance(row.get("is"), str):
        return False
    return any(isinstance(value, dict) for value in row.values())


def doubles_of(flat: FlatSurfaces, lines: Lines) -> list[Problem]:
    """Tell surfaces that were written once inside a room and once by their flat id."""
    problems = []
    for surface in flat.twice:
        ways = (("surfaces", surface), flat.renamed["surfaces", surface])
        first, second = sorted(lines.of_written(path) or 0 for path in ways)
        what = f"stands in the file twice, first on line {first}"
        key = f"surfaces.{surface}"
        problems.append(Problem(lines.file_name, second, key, what, hint="keep one of them"))
    return problems


def rooms_of_ids(data: dict[str, Any], lines: Lines) -> list[Problem]:
    """Add the rooms that ids like `bath-1.outer` name, or tell those that `[rooms]` leaves out.

    A file without `[rooms]` says its rooms by its surfaces; where rooms are listed, another name is
    a slip.
    """
    surfaces = data.get("surfaces")
    rooms = data.get("rooms")
    if not isinstance(surfaces, dict) or not (rooms is None or isinstance(rooms, dict)):
        return []
    named = {name: name.partition(".")[0] for name in surfaces if "." in name}
    if rooms is None:
        if named:
            data["rooms"] = {room: {} for room in named.values()}
        return []
    return [
        Problem(
            lines.file_name,
            lines.of("surfaces", surface),
            f"surfaces.{surface}",
            f"room {room} is not in [rooms]",
            read=room,
            hint=did_you_mean(room, rooms),
        )
        for surface, room in named.items()
        if room not in rooms
    ]
