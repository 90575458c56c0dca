"""Takes calendars and mails of others: shows what they would change, and writes it on a yes.

Invariant: no file can hold the program up: reading it ends within a limit, whatever it holds.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from readiness.desk.drafting import Draft
from readiness.desk.sending import state_of
from readiness.desk.statement import Statement
from readiness.desk.time_limit import time_limit
from readiness.exchange.ics_reading import Window, read_calendars
from readiness.job.instants import is_dated, moment_of
from readiness.questions.replies import RepliesAnswer, replies

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer

LONGEST_READING_SECONDS = 60
_MARGIN = timedelta(days=14)
_LONGEST = timedelta(days=400)


def heard_calendar(desk: Desk, name: str, content: bytes, author: Writer) -> RepliesAnswer:
    """Return what a calendar or mail would change.

    Raises:
        JobFileError: It takes far too long to read.
    """
    with time_limit(name, LONGEST_READING_SECONDS):
        heard = read_calendars(content, _window(desk))
    whose = author.trade if author.trade in desk.case().site.job.trades else ""
    return replies(desk.case(), heard, state_of(desk), whose)


def write_heard(desk: Desk, answer: RepliesAnswer, author: Writer, writer: Writer) -> Desk:
    """Write what was shown, all of it or nothing."""
    draft = Draft(desk, writer, "by calendar")
    for fields in answer.entries:
        draft.add(Statement(dict(fields), author))
    return draft.write().desk


def _window(desk: Desk) -> Window:
    """Return the days of the job from now on; nothing outside of them is unfolded."""
    case = desk.case()
    first = moment_of(case.outlook.seen.as_of, desk.zone)
    dated = [instant for instant in case.outlook.forecast.finish if is_dated(instant)]
    last = moment_of(max([case.outlook.seen.as_of, *dated]), desk.zone) + _MARGIN
    return Window(first, min(last, first + _LONGEST), desk.zone)
