"""Checks that ranges are in order and that chances speak of what this job has.

Invariant: after these checks a range never ends before its likely duration, or begins after it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readiness.job.checking import Checking
    from readiness.job.quantities import Duration
    from readiness.job.rows import WorkRow

_DAY_MINUTES = 480
"""The length of a working day here: only durations of one kind are compared."""


def check_ranges(checking: Checking) -> None:
    """Tell ranges that are out of order, and chances of what is not there."""
    for name, row in checking.written_work.items():
        _check_range(checking, name, row)
    job = checking.job
    if job.costs.rebook is not None and job.costs.rebook.clock:
        what = f"{job.costs.rebook} is counted on the clock"
        checking.tell(("costs", "rebook"), what, hint='write working days of the job, "3 d"')
    for trade in job.chances.no_shows:
        checking.known(("chances", "no_shows", trade), trade, checking.known_trades, "known trade")
    for work in job.chances.materials:
        path = ("chances", "materials", work)
        checking.known(path, work, checking.present_work, "work of this job")
    for approval in job.chances.looks:
        path = ("chances", "looks", approval)
        checking.known(path, approval, checking.facts.approvals, "known approval")


def _check_range(checking: Checking, name: str, row: WorkRow) -> None:
    _check_fast(checking, name, row)
    least, most = row.takes_at_least, row.takes_at_most
    if row.takes is None:
        for key, written in (("takes_at_least", least), ("takes_at_most", most)):
            if written is not None:
                hint = "write takes, the likely duration, beside it"
                checking.tell(("work", name, key), "a range without its likely duration", hint=hint)
        return
    _check_order(checking, ("work", name, "takes_at_least"), least, row.takes, row.takes)
    _check_order(checking, ("work", name, "takes_at_most"), row.takes, most, row.takes)


def _check_fast(checking: Checking, name: str, row: WorkRow) -> None:
    """Tell a fast way, or a drying with heat, that takes longer than usual or counts otherwise."""
    usual = row.takes
    if usual is None:
        return
    for key, says, short in (
        ("fast_takes", "the fast way takes", row.fast_takes),
        ("dried_takes", "with heat it takes", row.dried_takes),
    ):
        if short is None:
            continue
        if short.clock != usual.clock or short.minutes(_DAY_MINUTES) > usual.minutes(_DAY_MINUTES):
            what = f"{says} {short}, the usual one {usual}"
            hint = "write a shorter time, counted like takes"
            checking.tell(("work", name, key), what, read=str(short), hint=hint)


def _check_order(
    checking: Checking,
    path: tuple[str, str, str],
    shorter: Duration | None,
    longer: Duration | None,
    likely: Duration,
) -> None:
    """Tell two durations that are the wrong way round, or not counted alike."""
    if shorter is None or longer is None:
        return
    written = longer if shorter is likely else shorter
    word = "at most" if shorter is likely else "at least"
    if shorter.clock != longer.clock:
        what = f"{word} {written} is not counted like {likely}"
        checking.tell(path, what, read=str(written), hint="write both in working time or neither")
    elif longer.minutes(_DAY_MINUTES) < shorter.minutes(_DAY_MINUTES):
        relation = "less" if shorter is likely else "more"
        what = f"{word} {written} is {relation} than the likely {likely}"
        checking.tell(path, what, read=str(written))
