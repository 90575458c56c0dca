"""What the pages of a job are written from.

Invariant: no page is written from an answer that holds private words.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from readiness.desk.private import PrivateWords
from readiness.facts.vocabulary import Gate
from readiness.pages.paper import Answers
from readiness.questions.calls import calls
from readiness.questions.check import check
from readiness.questions.foam import foam
from readiness.questions.letters import letters
from readiness.questions.particulars import particulars
from readiness.questions.record import record
from readiness.questions.when import when

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.kept import Picture
    from readiness.telling.case import Case, On


def answers_of(
    case: Case, on: On = None, trip: str = "", pictures: Iterable[Picture] = ()
) -> Answers:
    """Return the answers that the pages of a job are written from, without private words.

    Args:
        case: The job at one moment.
        on: A day or moment at the site.
        trip: Id of the trip; empty means the one that the day names.
        pictures: Those that the diary names.
    """
    clean = PrivateWords(case).without
    kept = tuple(pictures)
    return Answers(
        check=clean(now := check(case, on, None, trip)),
        board=clean(check(case, None, Gate.BOARD, now.trip)),
        calls=clean(calls([case])),
        letters=clean(letters(case)),
        particulars=clean(particulars(case, on, trip)),
        foam=cache(lambda: clean(foam(case, on, trip))),
        record=cache(lambda: clean(record(case, kept))),
        when=cache(lambda: clean(when(case))),
    )
