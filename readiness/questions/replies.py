"""What would a file from somebody's calendar change? Replies, proposals, and times they can't come.

Invariant: nothing is taken as done: a reply counts only from whoever was invited, to the number
they were last given, and says no more than that the entry was received or refused; everything that
is left out is told with its reason.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from readiness.diary.sent import NOTHING_SENT, SentState
from readiness.job.instants import instant_of
from readiness.telling.heard import NOTHING_HEARD, Answer, Busy, Heard
from readiness.telling.recipients import CONTRACTOR

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.site.calendars import Calendar
    from readiness.telling.case import Case

LEAST_SHARE = 0.5
"""Busy for this share of a shift or more is a day off; an errand of an hour is not."""

_STATUS = {
    "ACCEPTED": "received, and nothing stands against it",
    "DECLINED": "declined",
    "TENTATIVE": "received, not sure yet",
    "DELEGATED": "passed on to somebody else",
}


@dataclass(frozen=True, slots=True)
class ReplyLine:
    """One reply or proposal, and what becomes of it."""

    line: int
    outcome: str
    """`taken`, `already known`, `stale`, `unknown`, `uninvited`, `not ours`, or `ahead`."""
    says: str


@dataclass(frozen=True, slots=True)
class DayTaken:
    """A working day on which somebody can't come."""

    day: date
    says: str


@dataclass(frozen=True, slots=True)
class RepliesAnswer:
    """What a file would change."""

    job: str
    as_of: datetime
    replies: tuple[ReplyLine, ...] = ()
    days_off: tuple[DayTaken, ...] = ()
    """Days that become days off of the trade."""
    own: tuple[str, ...] = ()
    """Busy times that are only our own entries coming back."""
    notes: tuple[str, ...] = ()
    """Busy times that change nothing, and what to ask."""
    lost: tuple[str, ...] = ()
    """What could not be read, by line."""
    entries: tuple[dict[str, Any], ...] = ()
    """What the diary would get."""


def replies(
    case: Case, heard: Heard = NOTHING_HEARD, state: SentState = NOTHING_SENT, whose: str = ""
) -> RepliesAnswer:
    """Return what a file would change.

    Args:
        case: The job at one moment.
        heard: What the file says.
        state: What was sent, mailed and answered so far.
        whose: The trade whose busy times they are; empty if nobody said.
    """
    as_of = case.teller.moment(case.outlook.seen.as_of)
    assert as_of is not None  # noqa: S101  the moment of a question has a date
    judge = _Judge(case, state)
    judged = [judge.reply(answer) for answer in heard.answers]
    own, foreign = _apart(case, heard.busy, state, whose)
    taken, notes = _days(case, foreign, whose) if whose else ([], _asked_whose(foreign))
    entries = [fields for _, fields in judged if fields]
    if taken:
        days = [each.day.isoformat() for each in taken]
        entries.append({"kind": "off", "off_trade": whose, "days": days})
    return RepliesAnswer(
        job=case.site.job.name,
        as_of=as_of,
        replies=tuple(line for line, _ in judged),
        days_off=tuple(taken),
        own=tuple(own),
        notes=tuple(notes),
        lost=tuple(f"line {line}: {what}" if line else what for line, what in heard.losses),
        entries=tuple(entries),
    )


class _Judge:
    """Judges replies in the order in which they stand in the file.

    Source: RFC 5546, sections 2.1.5, 3.2.3, 3.2.7 and 6.1.
    """

    def __init__(self, case: Case, state: SentState) -> None:
        self.case, self.state = case, state
        trades = case.site.job.trades
        self.organizer = trades[CONTRACTOR].email.casefold() if CONTRACTOR in trades else ""
        self.last = dict(state.replies)

    def reply(self, answer: Answer) -> tuple[ReplyLine, dict[str, Any]]:
        """Return what becomes of a reply, and what the diary gets of it."""
        sent = self.state.entries.get(answer.uid)
        if sent is None:
            return self._line(answer, "unknown", "an answer to no entry of ours"), {}
        about = f"{sent.short}, {self._told(sent.starts)}"
        if answer.organizer != self.organizer:
            says = f"{about}: it names {answer.organizer or 'nobody'} as the one who invites"
            return self._line(answer, "not ours", says), {}
        mailed = self.state.mails.get(answer.uid)
        invited = mailed.address.casefold() if mailed is not None else ""
        who = _who(answer, invited)
        if not invited or who != invited:
            says = f"{about}: {who or 'nobody alone'} was not invited"
            return self._line(answer, "uninvited", says), {}
        if answer.sequence > sent.sequence:
            says = f"{about}: it answers number {answer.sequence}, which was never given"
            return self._line(answer, "ahead", says), {}
        if answer.sequence < sent.sequence:
            says = f"{about}: it answers an older version; ask again"
            return self._line(answer, "stale", says), {}
        last = self.last.get((answer.uid, who))
        if last is not None and (answer.sequence, answer.stamp) <= last:
            outcome = "already known" if (answer.sequence, answer.stamp) == last else "stale"
            return self._line(answer, outcome, f"{about}: {who} has said later"), {}
        self.last[answer.uid, who] = (answer.sequence, answer.stamp)
        says = f"{about}: {who}: {self._words(answer)}"
        fields = {
            "kind": "replied",
            "uid": answer.uid,
            "what": sent.item,
            "address": who,
            "answer": answer.status if answer.method == "REPLY" else "COUNTER",
            "sequence": answer.sequence,
            "stamp": answer.stamp.isoformat(),
            "comment": answer.comment,
        }
        return self._line(answer, "taken", says), fields

    def _words(self, answer: Answer) -> str:
        comment = f' ("{answer.comment}")' if answer.comment else ""
        if answer.method == "COUNTER":
            if answer.proposed is None:
                return f"proposes another time{comment}; call them"
            starts, ends = answer.proposed
            told = f"{self._told(starts)} to {self._told(ends)}"
            return f"proposes {told}{comment}; nothing is moved by it: agree on it, then note it"
        words = _STATUS.get(answer.status, "has not answered")
        call = "; call them" if answer.status in {"DECLINED", "DELEGATED"} else ""
        return f"{words}{comment}{call}"

    def _told(self, moment: datetime) -> str:
        return self.case.teller.told(instant_of(moment))

    @staticmethod
    def _line(answer: Answer, outcome: str, says: str) -> ReplyLine:
        return ReplyLine(answer.line, outcome, says)


def _who(answer: Answer, invited: str) -> str:
    """Return who answers: of a reply the only attendee, of a proposal the one who was invited.

    Source: RFC 5546, sections 3.2.3 and 3.2.7 (a proposal names all attendees).
    """
    if answer.method == "COUNTER" and invited in answer.attendees:
        return invited
    return answer.attendees[0] if len(answer.attendees) == 1 else ""


def _apart(
    case: Case, busy: Iterable[Busy], state: SentState, whose: str
) -> tuple[list[str], list[Busy]]:
    """Return our own entries that come back, in words, and what is left.

    Free and busy times carry no identity, so equal times are taken for the same thing.
    """
    ours = {
        (each.starts, each.ends): each.short
        for each in state.entries.values()
        if not each.cancelled and each.to == whose
    }
    own: list[str] = []
    foreign: list[Busy] = []
    for each in busy:
        known = state.entries.get(each.uid)
        short = known.short if known is not None else ours.get((each.starts, each.ends))
        if short is None:
            foreign.append(each)
        else:
            own.append(f"{short}, {case.teller.told(instant_of(each.starts))}")
    return own, foreign


def _asked_whose(busy: list[Busy]) -> list[str]:
    if not busy:
        return []
    return [f"{len(busy)} busy times of nobody in particular: say whose, --from 'NAME, TRADE'"]


def _days(case: Case, busy: list[Busy], whose: str) -> tuple[list[DayTaken], list[str]]:
    """Return the shifts that are taken for half or more, and the rest in words."""
    calendar = _calendar_of(case, whose)
    taken: list[DayTaken] = []
    notes: list[str] = []
    days: dict[date, list[Busy]] = {}
    for each in busy:
        day = each.starts.astimezone(case.teller.zone).date()
        while day <= each.ends.astimezone(case.teller.zone).date():
            days.setdefault(day, []).append(each)
            day += timedelta(days=1)
    for day, there in sorted(days.items()):
        shift = calendar.shift_on(day)
        if shift is None:
            continue
        minutes = _covered(there, shift)
        told = ", ".join(dict.fromkeys(each.title for each in there if each.title)) or "busy"
        if minutes >= LEAST_SHARE * (shift[1] - shift[0]):
            taken.append(DayTaken(day, f"{day:%a} {day.day} {day:%b}: {told}"))
        elif minutes:
            notes.append(
                f"{day:%a} {day.day} {day:%b}: {told}, {minutes} minutes of the shift: no day off"
            )
    return taken, notes


def _calendar_of(case: Case, trade: str) -> Calendar:
    index = next((task.calendar for task in case.site.tasks if task.trade == trade), None)
    return case.site.calendars[case.site.job_calendar if index is None else index]


def _covered(busy: Iterable[Busy], shift: tuple[int, int]) -> int:
    """Return how many minutes of a shift are taken."""
    spans = sorted((instant_of(each.starts), instant_of(each.ends)) for each in busy)
    minutes, reached = 0, shift[0]
    for starts, ends in spans:
        begin, end = max(starts, reached), min(ends, shift[1])
        if end > begin:
            minutes += end - begin
            reached = end
    return minutes
