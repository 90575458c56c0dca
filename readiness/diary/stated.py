"""What the job file states, as far as it was so at one moment: the oldest entries of all.

Invariant: nothing later than `as_of` is known.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from readiness.diary.seen import (
    EVERYWHERE,
    Answer,
    Begun,
    Booked,
    Confirmation,
    Done,
    Look,
    Placed,
    Reading,
    Seen,
    Stop,
    TripNews,
    Waiver,
)
from readiness.facts.vocabulary import Rung
from readiness.job.instants import instant_of_local, moment_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from readiness.job.job import Job
    from readiness.job.origin import Origin

Day = date | datetime


def fold(job: Job, as_of: int, origin_of: Callable[..., Origin]) -> Seen:
    """Return what the job file states, as far as it was so at `as_of`."""
    return _Fold(job, as_of, origin_of).seen()


class _Fold:
    """Reads the statements of one job file up to one moment."""

    def __init__(self, job: Job, as_of: int, origin_of: Callable[..., Origin]) -> None:
        self.job = job
        self.as_of = as_of
        self.origin_of = origin_of
        self.zone = ZoneInfo(job.site.time_zone)
        self.today = moment_of(as_of, self.zone).date()

    def seen(self) -> Seen:
        """Return the fold."""
        job = self.job
        work = {name: row for name, row in job.work.items() if row is not False}
        return Seen(
            as_of=self.as_of,
            done={
                name: done
                for name in dict.fromkeys((*job.done, *work))
                if (done := self._done(name))
            },
            begun={name: begun for name in work if (begun := self._begun(name)) is not None},
            booked={
                name: Booked(booking, row.agreed is not None, self.origin_of("work", name, key))
                for name, row in work.items()
                for key, booking in (("agreed", row.agreed), ("booked", row.booked))
                if booking is not None and (key == "agreed" or row.agreed is None)
            },
            not_before={name: row.not_before for name, row in work.items() if row.not_before},
            not_after={name: row.not_after for name, row in work.items() if row.not_after},
            looks={name: tuple(self._looks(name)) for name, rows in job.approvals.items() if rows},
            things={name: self._placed(name) for name in job.obstructions},
            answers=tuple(self._answers()),
            readings=tuple(self._readings()),
            trips={name: self._trip(name) for name in job.trips},
            waivers=tuple(
                Waiver(
                    code=row.requirement,
                    places=row.surfaces,
                    trip=row.trip,
                    role=row.role,
                    by=row.by,
                    reason=row.reason,
                    origin=self.origin_of("waivers", name),
                    at=self._end(row.at),
                )
                for name, row in job.waivers.items()
                if self._known(row.at)
            ),
            stops=tuple(self._stops()),
            confirmations=tuple(self._confirmations()),
            board=Booked(job.board, agreed=True, origin=self.origin_of("board"))
            if job.board
            else None,
        )

    def _instant(self, moment: datetime) -> int:
        return instant_of_local(moment.replace(tzinfo=None), self.zone)

    def _known(self, day: Day | None) -> bool:
        """Say whether something of that day or moment had happened at as_of."""
        if day is None:
            return True
        if isinstance(day, datetime):
            return self._instant(day) <= self.as_of
        return day <= self.today

    def _past(self, moment: datetime | None) -> int | None:
        """Return the instant of a moment that has come, else None."""
        if moment is None or not self._known(moment):
            return None
        return self._instant(moment)

    def _done(self, name: str) -> dict[str, Done]:
        found: dict[str, Done] = {}
        if name in self.job.done:
            found[EVERYWHERE] = Done(None, Rung.SEEN, self.origin_of("done"))
        row = self.job.work.get(name)
        if not row:
            return found
        if row.done is not None and row.done is not False:
            on = None if row.done is True else row.done
            if self._known(on):
                found[EVERYWHERE] = Done(on, row.how, self.origin_of("work", name, "done"))
        in_places = row.done_in if isinstance(row.done_in, dict) else dict.fromkeys(row.done_in)
        for place, day in in_places.items():
            if self._known(day):
                found[place] = Done(day, row.how, self.origin_of("work", name, "done_in", place))
        return found

    def _begun(self, name: str) -> Begun | None:
        row = self.job.work[name]
        assert row is not False  # noqa: S101  filtered by the caller
        if row.begun is None or not self._known(row.begun):
            return None
        origin = self.origin_of("work", name, "begun")
        share = float(row.share.percent) / 100 if row.share is not None else None
        return Begun(row.begun, share, row.remaining, row.how, origin)

    def _looks(self, name: str) -> list[Look]:
        rows = self.job.approvals[name]
        assert rows is not False  # noqa: S101  filtered by the caller
        looks = []
        for number, row in enumerate(rows):
            if row.part and row.requested is None and row.slot is None and row.result is None:
                continue
            told = row.result is not None and self._known(row.at)
            looks.append(
                Look(
                    surfaces=row.surfaces,
                    requested=row.requested if self._known(row.requested) else None,
                    slot=row.slot,
                    result=row.result if told else None,
                    on=row.at if told else None,
                    by=row.by,
                    how=row.how,
                    correct=row.correct,
                    origin=self.origin_of("approvals", name, number),
                )
            )
        return looks

    def _placed(self, name: str) -> Placed:
        row = self.job.obstructions[name]
        return Placed(
            since=row.set_,
            dated_by_work=bool(row.set_by) and row.set_ is None,
            pull=row.pull,
            pulled=row.pulled if row.pulled is not None and self._known(row.pulled) else None,
            reset=row.reset,
            origin=self.origin_of("obstructions", name),
        )

    def _answers(self) -> list[Answer]:
        answers = []
        for name, row in self.job.answers.items():
            if not self._known(row.at):
                continue
            at, day = self._at(row.at)
            for value, codes in ((True, row.yes), (False, row.no), (None, row.unknown)):
                for code in codes:
                    origin = self.origin_of("answers", name)
                    answers.append(
                        Answer(code, value, row.in_, at, day, row.by, row.how, row.trip, origin)
                    )
        return answers

    def _readings(self) -> list[Reading]:
        readings = []
        for name, row in self.job.readings.items():
            if self._known(row.at):
                at, day = self._at(row.at)
                origin = self.origin_of("readings", name)
                readings.append(Reading(row.is_, row.value, row.in_, at, day, row.by, origin))
        return readings

    def _at(self, day: Day) -> tuple[int, date]:
        """Return when a statement was made; a day alone is its midnight, to its disadvantage."""
        if isinstance(day, datetime):
            return self._instant(day), day.date()
        return self._instant(datetime.combine(day, time())), day

    def _end(self, day: Day) -> int:
        """Return the moment up to which a decision knew the facts; a day alone is all of it."""
        if isinstance(day, datetime):
            return self._instant(day)
        return self._instant(datetime.combine(day + timedelta(days=1), time())) - 1

    def _trip(self, name: str) -> TripNews:
        row = self.job.trips[name]
        sprayed = row.sprayed if isinstance(row.sprayed, dict) else dict.fromkeys(row.sprayed)
        return TripNews(
            arrival=row.agreed or row.booked,
            agreed=row.agreed is not None,
            offered=row.offered,
            offer_until=row.offer_holds_until,
            arrived=self._past(row.arrived),
            sprayed={place: day for place, day in sprayed.items() if self._known(day)},
            last_foam=self._past(row.last_foam),
            cleaned=self._past(row.cleaned),
            released=self._past(row.released),
            released_by=row.released_by,
            left_exposed=row.left_exposed,
            origin=self.origin_of("trips", name),
        )

    def _confirmations(self) -> list[Confirmation]:
        return [
            Confirmation(
                trip=name,
                yes=True,
                by=row.confirmed_by,
                reason="",
                at=self._at(row.confirmed)[0],
                origin=self.origin_of("trips", name, "confirmed"),
            )
            for name, row in self.job.trips.items()
            if row.confirmed is not None and self._known(row.confirmed)
        ]

    def _stops(self) -> list[Stop]:
        return [
            Stop(
                row.by,
                row.role,
                row.reason,
                row.places,
                self._instant(row.at),
                self.origin_of("stops", name),
            )
            for name, row in self.job.stops.items()
            if self._known(row.at) and (row.lifted is None or not self._known(row.lifted))
        ]
