"""What one job has to show at this moment: pages and calendars, made when first asked for.

A calendar may be asked for before its changes were sent. Then its entries have the number that the
next sending will give them, and the moment at which this server first saw them: without that an
unchanged job would be another calendar every minute.
Invariant: nothing is written; what is shown was made from the files as they stand at the request,
for the minute of the request.
"""

from __future__ import annotations

import traceback
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from readiness.desk.keeping import pictures_of
from readiness.desk.papers import answers_of
from readiness.desk.private import PrivateWords
from readiness.desk.sending import state_of
from readiness.desk.stamps import is_settled, stamp_of_job
from readiness.exchange.calendar_file import calendar_bytes
from readiness.job.problems import JobFileError
from readiness.pages.paper_html import paper_html
from readiness.pages.paper_phone import Subscription, phone_paper
from readiness.pages.roles import calendar_of, paper_for
from readiness.questions.letters import Letter, batch
from readiness.serve.qr_code import qr_code
from readiness.serve.sheets import CALENDAR, HTML, sheet_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readiness.desk.desk import Desk
    from readiness.desk.stamps import Stamp
    from readiness.diary.sending_entries import SentEntry
    from readiness.pages.paper import Answers
    from readiness.questions.letters import LettersAnswer
    from readiness.serve.sheets import Sheet


class NothingToShowError(Exception):
    """The job can't be used at the moment."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for."""

    role: str
    is_calendar: bool
    token: str


@dataclass(slots=True)
class _Shown:
    """Everything made for one minute from one state of the files."""

    stamp: Stamp
    is_settled: bool
    desk: Desk | None
    """None if the job could not be used."""
    minute: int = 0
    sheets: dict[Wanted, Sheet | None] = field(default_factory=dict)
    answers: Answers | None = None
    letters: LettersAnswer | None = None


class Shelf:
    """One job."""

    def __init__(
        self, desk: Desk, read: Callable[[], Desk], url: str, tell: Callable[[str], None]
    ) -> None:
        """Keep a job that was read once already.

        Args:
            desk: The job.
            read: Reads it again.
            url: Under which address everything here is reached.
            tell: Tells whoever runs the server what is wrong.
        """
        self.job = desk.job.key
        self.name = desk.job.name
        self.links = True
        """Entries of calendars name those that they wait for."""
        self._file = desk.file
        self._read = read
        self._url = url
        self._tell = tell
        self._shown: _Shown | None = None
        self._noticed: dict[str, SentEntry] = {}

    @property
    def file(self) -> Path:
        """Return the job file."""
        return self._file

    def ready(self, wanted: Wanted) -> Sheet | None:
        """Return a sheet that was made already and is still true; quick.

        Raises:
            NothingToShowError: The job can't be used.
            KeyError: It has to be made.
        """
        shown = self._shown
        if shown is None or not shown.is_settled or shown.stamp != stamp_of_job(self._file):
            raise KeyError
        if shown.desk is None:
            raise NothingToShowError
        if shown.minute != shown.desk.clock():
            raise KeyError
        return shown.sheets[wanted]

    def made(self, wanted: Wanted) -> Sheet | None:
        """Return a sheet, made now if need be; None if nobody of the job is called so.

        Not for several threads at once.

        Raises:
            NothingToShowError: The job can't be used.
        """
        try:
            return self.ready(wanted)
        except KeyError:
            pass
        shown = self._as_of_now()
        if shown.desk is None:
            raise NothingToShowError
        sheet = self._calendar(shown, wanted) if wanted.is_calendar else self._page(shown, wanted)
        shown.sheets[wanted] = sheet
        return sheet

    def _as_of_now(self) -> _Shown:
        """Return what is shown now, read anew if a file or the minute is another one."""
        stamp, shown = stamp_of_job(self._file), self._shown
        if shown is None or not shown.is_settled or shown.stamp != stamp:
            settled = is_settled(stamp)
            quietly = shown is not None and shown.stamp == stamp
            shown = _Shown(stamp, settled, self._read_again(quietly=quietly))
        elif shown.desk is not None and shown.minute != shown.desk.clock():
            shown = _Shown(stamp, shown.is_settled, shown.desk)
        if shown.desk is not None and shown is not self._shown:
            shown.minute = shown.desk.clock()
        self._shown = shown
        return shown

    def _read_again(self, *, quietly: bool) -> Desk | None:
        try:
            return self._read()
        except JobFileError as error:
            told = f"{self.name} is not shown until this is mended:\n{error}"
        except Exception:  # noqa: BLE001  one job's fault must not end the others
            told = f"{self.name} is not shown: a fault of this program\n{traceback.format_exc()}"
        if not quietly:
            self._tell(told)
        return None

    def _page(self, shown: _Shown, wanted: Wanted) -> Sheet | None:
        assert shown.desk is not None  # noqa: S101  asked by the caller
        answers = self._answers(shown)
        paper = paper_for(wanted.role, answers)
        if paper is None:
            return None
        address = f"{self._url}/{wanted.token}"
        calendar = f"{address}.ics" if calendar_of(wanted.role) else ""
        webcal = f"webcal{calendar.removeprefix('https').removeprefix('http')}" if calendar else ""
        way_back = Subscription(calendar, webcal, qr_code(address))
        page = paper_html(phone_paper(paper, wanted.role, answers), None, way_back)
        return sheet_of(HTML, page.encode())

    def _calendar(self, shown: _Shown, wanted: Wanted) -> Sheet | None:
        assert shown.desk is not None  # noqa: S101  asked by the caller
        whose = calendar_of(wanted.role)
        if not whose:
            return None
        if shown.letters is None:
            shown.letters = self._letters(shown.desk, shown.minute)
        file = f"{whose}.ics"
        found = next((one for one in shown.letters.letters if one.file == file), None)
        if found is None:
            if paper_for(wanted.role, self._answers(shown)) is None:
                return None
            found = Letter(file, shown.desk.case(shown.minute).teller.who(whose), ())
        return sheet_of(CALENDAR, calendar_bytes(found, shown.letters))

    def _answers(self, shown: _Shown) -> Answers:
        assert shown.desk is not None  # noqa: S101  asked by the caller
        if shown.answers is None:
            case = shown.desk.case(shown.minute)
            pictures = pictures_of(shown.desk, case.outlook.seen.as_of)
            shown.answers = answers_of(case, pictures=pictures)
        return shown.answers

    def _letters(self, desk: Desk, minute: int) -> LettersAnswer:
        """Return what everybody is told, and keep the moment at which news was first seen."""
        case, state = desk.case(minute), state_of(desk)
        clean = PrivateWords(case, state).without
        found = batch(case, state, links=self.links)
        seen = {
            new.uid: before
            for new in found.new
            if (before := self._noticed.get(new.uid)) is not None
            and _content(before) == _content(new)
        }
        if seen:
            clashes = {uid: pair for uid, pair in state.clashes.items() if uid not in seen}
            entries = {**state.entries, **seen}
            again = batch(case, replace(state, entries=entries, clashes=clashes), links=self.links)
            self._noticed = {new.uid: new for new in found.new} | seen
            return clean(again.answer)
        self._noticed = {new.uid: new for new in found.new}
        return clean(found.answer)


def _content(entry: SentEntry) -> tuple[object, ...]:
    return (entry.digest, entry.sequence, entry.after, entry.cancelled, entry.starts, entry.ends)
