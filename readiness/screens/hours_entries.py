"""The day asked about as entries: what is said first, the rows of time, what stands below them.

Invariant: what keeps people out stands before the rows, and what was not worked out is named.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.columns import plain
from readiness.pages.moments import day_told, told
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.hours_rows import ASKS, IS_NOW, KEPT_OUT, MARKS, hour_rows, moment_rows
from readiness.screens.hours_steps import (
    Happening,
    asked_day,
    comes,
    first_hours,
    happenings,
    has_whole_clock,
    hours_told,
    is_ahead,
    keep_outs,
    leaves,
    left_to_spray,
    residents_wait,
)
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable
    from datetime import date

    from readiness.questions.check import CheckAnswer
    from readiness.screens.hours_steps import Answers
    from readiness.telling.foam_day import NeedLine
    from readiness.telling.keep_out import KeepOutLine

_INSIDE = 2
WAITS = "waits between passes"
"""The step in which nobody sprays, as the clock of the trip names it."""
LEGEND = {
    "within": "within the limits",
    "close": "close to one",
    "outside": "outside",
    "not known": "not known",
}
DECIDES = "The crew lead decides on the spot; nothing here is a go."
NO_FORECAST = (
    "No forecast: lay a forecast.csv beside the job file, or open with --forecast FILE, and each "
    "hour stands against the limits."
)


def hours_title(answers: Answers) -> str:
    """Return what stands above the list: with which forecast, by the name of its file."""
    forecast = answers.conditions.forecast
    return f"hour by hour, {plain(forecast.file) if forecast is not None else 'no forecast'}"


def hours_entries(
    check: CheckAnswer, answers: Answers, opened: Collection[str] = ()
) -> list[Entry]:
    """Return the day asked about as entries.

    Args:
        check: The answer that all screens share.
        answers: The screen's own.
        opened: Ids of the rows that are told in full.
    """
    found = [_heading("asked", *_first(check, answers))]
    every, asked = _with_now(check, answers), asked_day(check)
    for day in sorted({asked, *(one.at.date() for one in every)}):
        of_day = [one for one in every if one.at.date() == day]
        found.append(_day_heading(day, check, answers))
        if day == asked and answers.conditions.hours:
            found += hour_rows(check, answers, of_day, opened)
        else:
            found += moment_rows(check, answers, of_day)
    found += _open_steps(answers) if is_ahead(check, answers) else ()
    found += _weather(check, answers)
    found += _cautions(check, answers)
    found += _sprayed(answers) if comes(check, answers) else ()
    return found


def _with_now(check: CheckAnswer, answers: Answers) -> list[Happening]:
    """Return what happens, with the moment of what is known among it on its own day."""
    as_of = check.instants.as_of
    every = happenings(check, answers)
    days = {asked_day(check), *(one.at.date() for one in every)}
    now = [Happening(as_of, IS_NOW)] if as_of.date() in days else []
    return sorted([*every, *now], key=lambda one: one.at)


def _heading(id_: str, *lines: Line) -> Entry:
    return Entry(f"{EntriesPane.HEADING}{id_}", lines)


def _strong(text: str) -> Line:
    return Line(text, is_strong=True)


# What is said first


def _first(check: CheckAnswer, answers: Answers) -> Iterable[Line]:
    year = check.instants.as_of.year
    conditions = answers.conditions
    yield _strong(_trip_told(check, answers, year))
    if answers.refused:
        yield Line(f"The forecast is not used: {answers.refused}")
    elif conditions.forecast is None:
        yield Line(NO_FORECAST)
    else:
        sentence = conditions.sentence[:1].upper() + conditions.sentence[1:]
        yield Line(f"{sentence}. {DECIDES}")
    for each, keep_out in keep_outs(check, answers):
        yield _strong(_kept_out(each, keep_out, is_asked=each is check, year=year))
        if keep_out.missing:
            yield Line(f"Before the release: {'; '.join(keep_out.missing)}.", indent=_INSIDE)
    count = sum(len(each.inside) for each, _ in keep_outs(check, answers))
    if count:
        are = "1 is" if count == 1 else f"{count} are"
        yield _strong(f"{are} booked inside in that time and must stay out, marked {ASKS} below.")


def _trip_told(check: CheckAnswer, answers: Answers, year: int) -> str:
    trip, keep_out = f"The {check.trip_name} trip", check.keep_out
    if keep_out is None:
        if answers.trip is None or answers.trip.released is None:
            return f"{trip} has no rig on its way."
        residents = ", residents not yet" if residents_wait(check) is not None else ""
        return f"{trip} is over; workers were let in again{residents}."
    if keep_out.running:
        left, count = left_to_spray(check)
        spray = f"{left} of {count} surfaces are still to spray" if left else "all is sprayed"
        return f"{trip} has begun {told(keep_out.from_, year)}; {spray}."
    if not comes(check, answers):
        first = first_hours(answers)
        then = f": the spray crew's next hours begin {told(first, year)}" if first else ""
        return f"No rig can come {day_told(check.instants.on, year)}{then}."
    end = leaves(answers)
    planned = "" if has_whole_clock(answers) else "as planned "
    leaving = f"; {planned}the rig leaves {told(end, year)}" if end else ""
    passed = " That hour has passed." if check.instants.on < check.instants.as_of else ""
    return f"{trip}: {answers.foam.day.says}{leaving}.{passed}"


def _kept_out(check: CheckAnswer, keep_out: KeepOutLine, *, is_asked: bool, year: int) -> str:
    trip = "" if is_asked else f" ({check.trip_name} trip)"
    said = f"Nobody inside from {told(keep_out.from_, year)} until a named person releases it{trip}"
    if keep_out.not_before is not None:
        usual = ", a usual planning figure; the product sheet decides"
        hours = f"{keep_out.hours:g} h from the trip's latest end"
        hours += usual if keep_out.usual_figure else ""
        said += f", not before {told(keep_out.not_before, year)} ({hours})"
    later = keep_out.residents_not_before
    if later is not None and later != keep_out.not_before:
        said += f"; residents not before {told(later, year)}"
    return f"{said}."


def _day_heading(day: date, check: CheckAnswer, answers: Answers) -> Entry:
    text = f"{day:%a} {day.day} {day:%b}"
    if day == asked_day(check):
        legend = ", ".join(_legend(check, answers))
        text = f"{day_told(check.instants.on, check.instants.as_of.year)}"
        text += f": {legend}" if legend else ""
    else:
        weather = next((one for one in answers.conditions.days if one.day == day), None)
        if weather is not None and weather.on_trip:
            hours = f"{weather.hours_all_groups} of {weather.hours} crew hours within the limits"
            text += f": {weather.says or hours}"
    return _heading(f"day {day}", _strong(text))


def _legend(check: CheckAnswer, answers: Answers) -> Iterable[str]:
    states = {line.state for line in answers.conditions.hours}
    yield from (f"{mark} {LEGEND[word]}" for word, mark in MARKS.items() if word in states)
    if keep_outs(check, answers):
        yield f"{KEPT_OUT} nobody inside"


# What stands below


def _sprayed(answers: Answers) -> Iterable[Entry]:
    """Yield the surfaces with their hours at the gun, and the waits between passes."""
    needs = [line for line in answers.foam.needs if line.hours]
    if needs:
        hours = hours_told(round(sum(line.hours for line in needs) * 60))
        count = "1 surface" if len(needs) == 1 else f"{len(needs)} surfaces"
        rounds = "The crew goes round pass by pass, so no surface has an hour of its own."
        lead = _strong(f"At the gun: {count}, {hours}, in the order of the trip")
        yield _heading("sprayed", lead, Line(rounds, indent=_INSIDE))
        yield from (Entry(f"need {line.surface}", (_need(line),)) for line in needs)
        for step in answers.foam.day.steps:
            if step.name == WAITS and step.minutes is not None:
                wait = hours_told(step.minutes) if step.minutes else "none, a round takes longer"
                yield _below("waits", f"{step.name}: {wait}")


def _open_steps(answers: Answers) -> Iterable[Entry]:
    """Yield what was not worked out, and why."""
    open_ = [step for step in answers.foam.day.steps if step.minutes is None]
    if open_:
        yield _heading("open", _strong("Not worked out, so nothing behind it has an hour"))
        yield from (_below(f"open {step.name}", f"{step.name}: {step.says}") for step in open_)


def _need(line: NeedLine) -> Line:
    passes = "passes by the product sheet"
    if line.passes is not None:
        passes = "1 pass" if line.passes == 1 else f"{line.passes} passes"
    done = f", {line.share_done:.0%} done" if line.share_done else ""
    hours = hours_told(round(line.hours * 60))
    return Line(f"{line.name}: {hours}, {passes}{done}", indent=_INSIDE)


def _below(id_: str, text: str) -> Entry:
    return Entry(id_, (Line(text, indent=_INSIDE),))


def _weather(check: CheckAnswer, answers: Answers) -> Iterable[Entry]:
    """Yield what else the air does that day and in the night after."""
    conditions = answers.conditions
    day = next((one for one in conditions.days if one.day == asked_day(check)), None)
    lines = [Line(note, indent=_INSIDE) for note in day.notes] if day is not None else []
    if day is not None and day.night is not None:
        night = f"the night after: {day.night.says}"
        lines.append(Line(night, indent=_INSIDE, is_strong=day.night.warns))
    lines += [Line(note, indent=_INSIDE) for note in (conditions.heat_note,) if note]
    if lines:
        yield _heading("weather", _strong("The air outdoors"))
        yield Entry("weather", tuple(lines))


def _cautions(check: CheckAnswer, answers: Answers) -> Iterable[Entry]:
    """Yield the usual cautions, each once, what keeps people out first."""
    every = (answers.foam.cautions[0], check.cautions[-1], *answers.conditions.cautions)
    for number, caution in enumerate(dict.fromkeys(every)):
        yield Entry(f"caution {number}", (Line(f"Caution: {caution}"),))
    yield Entry("decides", (Line(answers.conditions.decides),))
