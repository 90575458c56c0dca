"""Reads the checks of the foam: what failed wakes its mending, what passed finishes the check.

Invariant: a check is passed once everything it consists of was seen good after the spray; mending
sleeps unless something failed and no foam has gone on there since.
"""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import Effect, Rung
from readiness.foam.outcome import FAILS, Outcome
from readiness.job.durations import Duration
from readiness.job.instants import EARLIER, instant_of_local
from readiness.job.places import surfaces_of
from readiness.schedule.knowing import RANK
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.diary.seen import DepthsRead, Seen
    from readiness.schedule.knowing import Reader
    from readiness.site.site import CheckTasks, Site


class _Word(NamedTuple):
    """The last word on one thing at one surface."""

    good: bool | None
    """None while nobody can say."""
    at: int
    how: Rung = Rung.SEEN


def sprayed_since(site: Site, seen: Seen) -> dict[str, int]:
    """Return from when on the foam of a surface can be judged: its spray, or damage to it since.

    Words about the foam that are older say nothing. A day alone begins at midnight.
    """
    zone = zone_days(site.zone).zone
    since: dict[str, int] = {}
    for trip, news in seen.trips.items():
        for place, day in news.sprayed.items():
            at = EARLIER
            if day is not None:
                moment = day if isinstance(day, datetime) else datetime.combine(day, time())
                at = instant_of_local(moment.replace(tzinfo=None), zone)
            for surface in surfaces_of((place,), site.job):
                if site.trip_of.get(surface) == trip:
                    since[surface] = at
    for voided in seen.voided:
        for surface in voided.surfaces:
            if surface in since:
                since[surface] = max(since[surface], voided.at + 1)
    return since


def read_checks(reader: Reader) -> None:
    """Read how the check of every sprayed surface stands."""
    checks = reader.site.checks
    if not checks:
        return
    since = sprayed_since(reader.site, reader.seen)
    if reader.seen.depths:
        _read_depths(reader)
    words = _answers(reader, since)
    for surface in since:
        if surface in checks:
            _read_check(reader, surface, checks[surface], words.get(surface, {}))


def _read_depths(reader: Reader) -> None:
    """Judge the depth readings of every surface that has some."""
    from readiness.schedule.depths_known import agreed_depth, depth_known

    reads: dict[str, list[DepthsRead]] = {}
    for read in reader.seen.depths:
        reads.setdefault(read.surface, []).append(read)
    for surface, found in reads.items():
        agreed = agreed_depth(surface, reader.site.job, reader.site.facts.surfaces)
        reader.depths[surface] = depth_known(found, agreed)


def _answers(reader: Reader, since: Mapping[str, int]) -> dict[str, dict[str, _Word]]:
    """Return the last answer to each question of a check, by surface."""
    asked = {code for check in reader.site.checks.values() for code in check.codes}
    found: dict[str, dict[str, _Word]] = {}
    for answer in sorted(reader.seen.answers, key=lambda one: one.at):
        if answer.code not in asked:
            continue
        for surface in surfaces_of(answer.places, reader.site.job):
            if surface in since and answer.at >= since[surface]:
                of_surface = found.setdefault(surface, {})
                of_surface[answer.code] = _Word(answer.value, answer.at, answer.how)
    return found


def _read_check(
    reader: Reader, surface: str, check: CheckTasks, answers: Mapping[str, _Word]
) -> None:
    kinds = reader.site.facts.requirements
    passed_at, all_good, longest = EARLIER, True, 0
    day = reader.calendar(check.mend).day_minutes
    for code in check.codes:
        kind = kinds[code]
        word = _depth_word(reader, surface) if kind.measured else answers.get(code)
        if word is None or word.good is None:
            all_good = all_good and kind.effect in {Effect.COSTS, Effect.NOTE}
        elif word.good:
            all_good = all_good and RANK[word.how] >= RANK[kind.least.board]
            passed_at = max(passed_at, word.at)
        else:
            all_good = False
            if reader.seen.foamed.get(surface, EARLIER) <= word.at:
                longest = max(longest, Duration.parse(_takes(reader, surface, code)).minutes(day))
    if _is_damaged(reader, surface):
        all_good = False
        usual = (Duration.parse(kinds[code].mend_takes).minutes(day) for code in check.codes)
        longest = max(longest, min(usual))
    if all_good:
        for task in (check.mend, check.keep_out, check.check):
            reader.finish(task, passed_at)
    elif longest:
        reader.minutes[check.mend] = longest
        trip = reader.site.trips[reader.site.trip_of[surface]]
        reader.minutes[check.keep_out] = trip.keep_out_minutes


def _takes(reader: Reader, surface: str, code: str) -> str:
    """Return how long mending takes: as the row says, or to cut out what is uneven."""
    kind = reader.site.facts.requirements[code]
    if kind.measured and reader.depths[surface].outcome is Outcome.RESPRAY:
        from readiness.facts.loader import load_depth_figures

        return load_depth_figures()["respray"].takes
    return kind.mend_takes


def _depth_word(reader: Reader, surface: str) -> _Word | None:
    known = reader.depths.get(surface)
    if known is None:
        return None
    outcome = known.outcome
    good = None if outcome in {None, Outcome.MORE} else outcome not in FAILS
    return _Word(good, known.at)


def _is_damaged(reader: Reader, surface: str) -> bool:
    """Say whether foam was damaged there and none has gone on since."""
    return any(
        voided.foam_only
        and surface in voided.surfaces
        and reader.seen.foamed.get(surface, EARLIER) <= voided.at
        for voided in reader.seen.voided
    )
