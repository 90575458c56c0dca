"""How the entries of one calendar hang together: what waits for what, and with which gap.

Invariant: a tie never leaves its calendar and never joins an entry to itself; each is told at both
of its ends.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from readiness.job.instants import instant_of
from readiness.schedule.worktime import Worktime
from readiness.site.task import LinkKind
from readiness.telling.calendar_entries import Entry, Tie
from readiness.telling.changes import base_of
from readiness.telling.confirmations import ABOUT_WORDS
from readiness.telling.occasions import Occasion, OccasionKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.site.task import Link
    from readiness.telling.case import Case

_FROM_START = frozenset({LinkKind.START_TO_START, LinkKind.START_TO_END})
_TO_END = frozenset({LinkKind.END_TO_END, LinkKind.START_TO_END})

_Pair = tuple[str, str, LinkKind]


def tied(case: Case, occasions: Iterable[Occasion], entries: Iterable[Entry]) -> list[Entry]:
    """Return the entries of one calendar with their ties.

    Links of a stay of several days join its last day, or its first where they leave from a start.
    """
    by_item: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        by_item[base_of(entry.item)].append(entry)
    item_of = {
        task: occasion.item
        for occasion in occasions
        if occasion.item in by_item
        for task in _tasks(case, occasion)
    }
    gaps: dict[_Pair, int] = {}
    for link in case.site.links:
        earlier, later = item_of.get(link.source), item_of.get(link.target)
        if earlier is None or later is None or earlier == later:
            continue
        first = by_item[earlier][0 if link.kind in _FROM_START else -1]
        second = by_item[later][-1 if link.kind in _TO_END else 0]
        pair = (first.uid, second.uid, link.kind)
        gaps[pair] = max(gaps.get(pair, 0), _gap(case, link, first))
    ties: dict[str, list[Tie]] = defaultdict(list)
    for (first_uid, second_uid, kind), gap in sorted(gaps.items()):
        ties[first_uid].append(Tie(second_uid, kind.value, is_earlier=True, gap_minutes=gap))
        ties[second_uid].append(Tie(first_uid, kind.value, is_earlier=False, gap_minutes=gap))
    return [
        replace(entry, ties=tuple(ties.get(entry.uid, ())))
        for there in by_item.values()
        for entry in there
    ]


def _tasks(case: Case, occasion: Occasion) -> tuple[int, ...]:
    """Return the tasks whose links an occasion stands for; a keep-out ends with its release.

    A word that is wanted asks about tasks, and does none of them.
    """
    if occasion.kind is OccasionKind.KEEP_OUT:
        return (case.site.trips[occasion.about].release,)
    if occasion.kind is OccasionKind.BOARD:
        return (case.site.board_start,)
    return () if occasion.kind in ABOUT_WORDS else occasion.tasks


def _gap(case: Case, link: Link, earlier: Entry) -> int:
    """Return a gap in minutes on the clock, as the earlier entry is placed now."""
    timer = case.outlook.frame.calendars[case.site.job_calendar]
    if link.gap_elapsed or not isinstance(timer, Worktime) or not link.gap_minutes:
        return link.gap_minutes
    begins = instant_of(earlier.starts if link.kind in _FROM_START else earlier.ends)
    return timer.finish(begins, link.gap_minutes) - begins
