"""What a job hands over: a site card to the spray company, or lines back to the contractor.

Invariant: only what `site_card` and `lines_back` list leaves a job.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from readiness.desk.answers_of_network import answers_of_network
from readiness.exchange.lines_back import lines_back
from readiness.exchange.site_card import site_card
from readiness.job.instants import moment_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.desk.desk import Desk
    from readiness.diary.history import Noted
    from readiness.diary.seen import Answer, Reading
    from readiness.job.trip_rows import TripRow
    from readiness.telling.case import Case

CARD_HEAD = "# Site card:"
LINES_HEAD = "# For readiness receive:"


def handed_over(desk: Desk) -> tuple[str, str, bytes]:
    """Return the text, what it is in words, and how its first line begins."""
    if desk.job.card:
        return _lines_back(desk)
    case = desk.case()
    job = case.site.job
    trips = {name: _as_it_stands(desk, name, row) for name, row in job.trips.items()}
    seen = case.outlook.seen
    answers = [*_answers(seen.answers, desk), *_of_network(case, desk)]
    text = site_card(job, trips, answers, _readings(seen.readings, desk))
    told = f"a site card with {len(job.surfaces)} surfaces and {len(trips)} trips"
    return text, told, CARD_HEAD.encode()


def _lines_back(desk: Desk) -> tuple[str, str, bytes]:
    """Return the lines that go back from a site card."""
    history = desk.diary.history
    notes: tuple[Noted, ...] = ()
    if history is not None:
        notes = history.until(moment_of(desk.clock(), desk.zone), for_gates=False)
    back = lines_back(notes)
    text = "\n".join((f"{LINES_HEAD} {desk.job.name}", *back.lines)) + "\n"
    told = f"{len(back.lines)} lines of answers, stops and spray records"
    if back.private_remarks:
        told += f"; {back.private_remarks} private remarks stay here"
    if back.reasons_left_out:
        told += f"; {back.reasons_left_out} reasons look private and stay here"
    return text, told, LINES_HEAD.encode()


def _answers(answers: Iterable[Answer], desk: Desk) -> list[str]:
    """Return what has been answered, as lines of the table of answers, oldest first."""
    lines = []
    for number, answer in enumerate(answers, 1):
        if answer.value is None:
            continue
        word = "yes" if answer.value else "no"
        places = ", ".join(map(_text, answer.places))
        lines.append(
            f"handed-over-{number} = {{ {word} = [{_text(answer.code)}], in = [{places}], "
            f"by = {_text(answer.by)}, at = {_wall(answer.at, desk)}, "
            f"how = {_text(answer.how.value)} }}"
        )
    return lines


def _of_network(case: Case, desk: Desk) -> list[str]:
    """Return what the network says of looks, hidden work and things, as answers of today."""
    by, at = case.site.job.name, _wall(case.outlook.seen.as_of, desk)
    return [
        f"from-the-network-{number} = {{ {word} = [{_text(code)}], "
        f"in = [{', '.join(map(_text, surfaces))}], by = {_text(by)}, at = {at}, "
        f'how = "recorded" }}'
        for number, (word, code, surfaces) in enumerate(answers_of_network(case), 1)
    ]


def _readings(readings: Iterable[Reading], desk: Desk) -> list[str]:
    """Return what has been read, as lines of the table of readings, oldest first."""
    return [
        f"handed-over-{number} = {{ is = {_text(reading.kind.value)}, "
        f"value = {_text(reading.value)}, in = [{', '.join(map(_text, reading.places))}], "
        f"at = {_wall(reading.at, desk)}, by = {_text(reading.by)} }}"
        for number, reading in enumerate(readings, 1)
    ]


def _wall(instant: int, desk: Desk) -> str:
    return moment_of(instant, desk.zone).replace(tzinfo=None).isoformat()


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False)


def _as_it_stands(desk: Desk, name: str, row: TripRow) -> TripRow:
    """Return a trip with the date it has now."""
    news = desk.case().outlook.seen.trips.get(name)
    if news is None:
        return row
    date = {"agreed": news.arrival if news.agreed else None}
    date["booked"] = None if news.agreed else news.arrival
    return row.model_copy(update={**date, "offered": news.offered})
