"""What an earlier start of board costs: works done the fast way, for the price their line names.

Every set of such works is planned whole, so what comes out is what a plan with them says; with more
than three of them only each alone and all together are looked at, and the answer says so.

Invariant: every price was written by somebody; a set that is dearer and no earlier is left out.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

from readiness.job.instants import is_dated
from readiness.planning.watching import unwatched
from readiness.planning.whole_plan import whole_plan
from readiness.schedule.frame import frame_of
from readiness.schedule.outlook import outlook_of
from readiness.site.lay_out import lay_out

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readiness.planning.watching import Watch
    from readiness.schedule.outlook import Outlook

MOST_IN_ALL_SETS = 3
"""With so many works every set of them is planned."""


class Faster(NamedTuple):
    """One set of works done the fast way."""

    stays: tuple[str, ...]
    cents: int
    board: int
    is_proven: bool
    """No plan with these works done fast has an earlier start of board."""


def can_be_fast(outlook: Outlook) -> tuple[str, ...]:
    """Return the works that have a fast way and are not begun."""
    known = outlook.known
    return tuple(
        name
        for name, stay in outlook.site.stays.items()
        if stay.row is not None
        and stay.row.fast_takes is not None
        and not any(
            part in known.state.begun or part in known.state.finished
            for part in outlook.site.stay_tasks[name].parts
        )
    )


def sets_of(names: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Yield the sets of works that are planned."""
    if len(names) <= MOST_IN_ALL_SETS:
        for count in range(1, len(names) + 1):
            yield from combinations(names, count)
        return
    yield from ((name,) for name in names)
    yield tuple(names)


def faster(outlook: Outlook, board: int, watch: Watch = unwatched) -> tuple[Faster, ...]:
    """Return the sets that bring the start of board forward, the cheapest first.

    Args:
        outlook: The forecast as things stand.
        board: When board may start with every work in its usual time.
        watch: Hears what is looked at.
    """
    rows = outlook.site.job.work
    priced = [name for name in can_be_fast(outlook) if _cents(outlook, name) is not None]
    found: list[Faster] = []
    for names in sets_of(priced):
        work = dict(rows)
        for name in names:
            row = rows[name]
            assert row is not False  # noqa: S101  a stay that is there
            work[name] = row.model_copy(update={"takes": row.fast_takes})
        job = outlook.site.job.model_copy(update={"work": work})
        site = lay_out(job, outlook.site.facts)
        hurried = outlook_of(frame_of(site, outlook.frame), outlook.seen)
        timed = whole_plan(hurried, watch=watch).timed
        if timed is None:
            continue
        start = timed.forecast.start[site.board_start]
        if is_dated(start) and start < board:
            cents = sum(_cents(outlook, name) or 0 for name in names)
            proven = all(standing.is_proven for standing in timed.solved.standings)
            found.append(Faster(names, cents, start, proven))
    found.sort(key=lambda each: (each.cents, each.board, each.stays))
    kept: list[Faster] = []
    for each in found:
        if all(each.board < cheaper.board for cheaper in kept):
            kept.append(each)
    return tuple(kept)


def _cents(outlook: Outlook, name: str) -> int | None:
    row = outlook.site.stays[name].row
    costs = row.fast_costs if row is not None else None
    return None if costs is None else round(costs * 100)
