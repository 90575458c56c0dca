"""From a request to the earliest look: the notice that an office wants.

Invariant: notice in days counts office days after the day of the request, and a request after
cut-off counts for the next office day; notice in hours counts office hours.
"""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from readiness.job.dates import clock_of_text
from readiness.job.durations import Duration
from readiness.job.instants import NEVER, moment_of
from readiness.site.calendars import MINUTES_A_DAY, Calendar, midnight_of, zone_days

if TYPE_CHECKING:
    from readiness.site.site import Site

_LONGEST_SEARCH_DAYS = 400


class Asking(NamedTuple):
    """How an office wants to be asked for one of its looks."""

    notice: Duration
    cut_off: str
    office: Calendar
    """The office's own hours, in which notice counts."""

    def earliest(self, since: int) -> int:
        """Return the earliest instant at which a slot may begin after a request."""
        return earliest_slot(since, self.notice, self.cut_off, self.office)


def asking_of(site: Site, approval: str) -> Asking:
    """Return how the office of an approval wants to be asked: by its own line, else as usual."""
    name = site.office_of[approval]
    row = site.job.offices.get(name)
    return Asking(
        (row.notice if row else None) or Duration.parse(site.approval_kinds[approval].notice),
        row.cut_off if row else "",
        site.calendars[site.office_calendar[name]],
    )


def correction_minutes(site: Site, approval: str, correction: int) -> int:
    """Return the working minutes that correcting something usually takes before a further look."""
    index = site.tasks[correction].calendar
    day = site.calendars[index if index is not None else site.job_calendar].day_minutes
    return Duration.parse(site.approval_kinds[approval].correction_takes).minutes(day)


def earliest_slot(since: int, notice: Duration, cut_off: str, office: Calendar) -> int:
    """Return the earliest instant at which a slot may begin, `NEVER` if the office never opens."""
    if notice.days and not notice.clock:
        return _after_days(since, ceil(notice.days), cut_off, office)
    minutes = notice.minutes(office.day_minutes)
    if notice.clock:
        return since + minutes
    return _after_hours(since, minutes, office)


def _after_days(since: int, days: int, cut_off: str, office: Calendar) -> int:
    moment = moment_of(since, zone_days(office.zone).zone)
    day = moment.date()
    late = bool(cut_off) and moment.time() > clock_of_text(cut_off)
    if late or not office.spans_on(day):
        day = _next_office_day(day, office) or day
    for _ in range(days):
        following = _next_office_day(day, office)
        if following is None:
            return NEVER
        day = following
    return max(since, midnight_of(day, office.zone))


def _next_office_day(day: date, office: Calendar) -> date | None:
    for step in range(1, _LONGEST_SEARCH_DAYS):
        following = day + timedelta(days=step)
        if office.spans_on(following):
            return following
    return None


def _after_hours(since: int, minutes: int, office: Calendar) -> int:
    left = minutes
    for opened, shut in office.spans(since, since + _LONGEST_SEARCH_DAYS * MINUTES_A_DAY):
        start = max(opened, since)
        if shut - start >= left:
            return start + left
        left -= max(0, shut - start)
    return NEVER


def slot_of(moment: int, slots: Calendar) -> tuple[int, int]:
    """Return the slot a confirmed moment lies in; outside of all it is a slot of no length."""
    for opened, shut in slots.spans_on(moment_of(moment, zone_days(slots.zone).zone).date()):
        if opened <= moment < shut:
            return opened, shut
    return moment, moment
