"""The answer of `conditions` as text: the trip's first day first, then readings, then each day.

Invariant: the first lines are the sentence, what decides and how far the forecast reaches; an hour
with heat stands on a line of its own that says estimate.
"""

from __future__ import annotations

from dataclasses import replace
from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.moments import both_instants, told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.conditions import ConditionsAnswer, LimitLine
    from readiness.telling.case import Instants
    from readiness.telling.measured import MeasuredLine, NextReading
    from readiness.telling.weather_days import GroupHours, HoursSpan, WeatherDay

WIDTH = 96
MOISTURE = "wood moisture"
"""Two figures for it are published and both are told, whichever is in force."""


def conditions_text(answer: ConditionsAnswer, *, why: bool = False) -> str:
    """Return the answer as text.

    Args:
        answer: The answer.
        why: Tell every published limit with its source too.
    """
    instants = answer.instants
    lines = [
        f"{answer.job}: "
        + both_instants(instants.as_of, instants.on, instants.time_zone, instants.gate),
        f"{answer.trip_name} trip: {answer.sentence}",
        answer.decides,
        *_forecast(answer),
        *_readings(answer),
        *_next(answer),
        *_days(answer),
    ]
    if answer.drying is not None:
        lines += ["", *_wrapped(f"Drying: {answer.drying.says}")]
    lines += _groups(answer)
    lines += _limits(answer, why=why)
    if answer.heat_note:
        lines += ["", *_wrapped(answer.heat_note)]
    if answer.cautions:
        lines += [""]
        lines += [line for caution in answer.cautions for line in _wrapped(f"Caution: {caution}")]
    return "\n".join(lines) + "\n"


def _wrapped(text: str, indent: str = "", hang: str = "") -> list[str]:
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + hang) or [indent]


def _forecast(answer: ConditionsAnswer) -> Iterable[str]:
    forecast = answer.forecast
    if forecast is None:
        return
    year = answer.instants.on.year
    if forecast.known_until is None or forecast.known_from is None:
        known = "it says nothing of now or later"
    else:
        since = f"known from {told(forecast.known_from, year)} "
        known = "known " if forecast.known_from <= answer.instants.as_of else since
        known += f"until {told(forecast.known_until, year)}"
    yield from _wrapped(
        f"forecast {forecast.file}: {told(forecast.from_, year)} to "
        f"{told(forecast.until, year)}; {known}"
    )
    for gap in forecast.gaps:
        yield from _wrapped(f"gap {gap}", "  ", "  ")


def _readings(answer: ConditionsAnswer) -> Iterable[str]:
    yield ""
    if not answer.readings:
        yield "Readings: none"
        return
    yield "Readings:"
    alike: dict[MeasuredLine, list[str]] = {}
    for line in answer.readings:
        alike.setdefault(replace(line, where=""), []).append(line.where)
    for line, places in alike.items():
        said = _reading(line, "; ".join(places), answer.instants.on.year)
        yield from _wrapped(said, "  ", "  ")


def _reading(line: MeasuredLine, where: str, year: int) -> str:
    note = " (a note, stops nothing)" if line.state == "outside" and not line.stops else ""
    said = f"{line.state}{note}: {line.measures} {line.value}, {where}"
    if line.limit and line.margin:
        side = "outside" if line.state == "outside" else "to spare"
        said += f"; {line.limit}, {line.margin} {side}"
    if line.void:
        said += f"; void since {line.void}"
    elif line.too_old:
        said += "; too old at the arrival"
    taken = f"{told(line.at, year)}" if line.at is not None else "no date"
    return f"{said} ({taken}{', ' + line.by if line.by else ''})"


def _next(answer: ConditionsAnswer) -> Iterable[str]:
    if not answer.next_readings:
        return
    yield "To read next:"
    for number, line in enumerate(answer.next_readings, 1):
        yield from _wrapped(_asked(number, line, answer.instants), "", "     ")


def _asked(number: int, line: NextReading, instants: Instants) -> str:
    from_ = line.not_before
    is_later = from_ is not None and from_ > instants.as_of
    when = f", from {told(from_, instants.on.year)} on" if from_ and is_later else ""
    who = f"{line.who.name}, {line.who.phone or 'no number'}"
    return f"{number:>3}. {line.measures}, {line.where}: {line.why}{when} ({who})"


def _days(answer: ConditionsAnswer) -> Iterable[str]:
    for day in answer.days:
        yield ""
        yield from _day(day)


def _day(day: WeatherDay) -> Iterable[str]:
    trip = " [trip]" if day.on_trip else ""
    name = f"{day.day:%a} {day.day.day} {day.day:%b}{trip}"
    if day.crew_from is None or day.crew_until is None:
        shift = "no crew that day"
    else:
        shift = f"crew {day.crew_from:%H:%M}-{day.crew_until:%H:%M}"
        if not day.says:
            shift += f": {day.hours_all_groups} of {day.hours} h within for every group"
            if day.hours_not_known:
                shift += f", {day.hours_not_known} h not known"
    yield f"{name}, {shift}"
    if day.says:
        yield f"  not known: {day.says}"
        return
    for names, group in _alike(day.groups):
        yield from _group(names, group)
    for note in day.notes:
        yield from _wrapped(f"note: {note}", "  ", "  ")
    if day.night is not None:
        word = "NIGHT AFTER" if day.night.warns else "night after"
        yield from _wrapped(f"{word}: {day.night.says}", "  ", "  ")


def _alike(groups: tuple[GroupHours, ...]) -> Iterable[tuple[str, GroupHours]]:
    """Yield groups whose hours are the same as one, with all their names."""
    found: dict[GroupHours, list[str]] = {}
    for group in groups:
        found.setdefault(replace(group, group=""), []).append(group.group)
    for group, names in found.items():
        yield "every group" if len(names) == len(groups) > 1 else "; ".join(names), group


def _group(names: str, group: GroupHours) -> Iterable[str]:
    within = _spans(group.within) or "no hour"
    close = f", {group.hours_close} close to a limit" if group.hours_close else ""
    text = f"{names}: within {within} ({group.hours_within} crew h{close})"
    if group.because:
        text += f"; outside by {group.because}"
    if group.hours_not_known:
        text += f"; {group.hours_not_known} h not known"
    yield from _wrapped(text, "  ", "  ")
    if group.with_heat:
        yield from _wrapped(
            f"with heat (estimate, meets nothing): also {_spans(group.with_heat)} "
            f"({group.hours_with_heat} crew h)",
            "    ",
            "  ",
        )


def _spans(spans: tuple[HoursSpan, ...]) -> str:
    """Return spans of one day, its end as 24:00."""
    told_spans = []
    for span in spans:
        ends = f"{span.until:%H:%M}"
        over = span.until.date() != span.from_.date() and ends == "00:00"
        told_spans.append(f"{span.from_:%H:%M}-{'24:00' if over else ends}")
    return ", ".join(told_spans)


def _groups(answer: ConditionsAnswer) -> Iterable[str]:
    yield ""
    yield "One reading speaks for:"
    for group in answer.groups:
        yield from _wrapped(f"{group.name}: {', '.join(group.names)}", "  ", "  ")
        if answer.forecast is not None:
            yield from _wrapped(f"substrate: {group.substrate_from}", "    ", "  ")


def _limits(answer: ConditionsAnswer, *, why: bool) -> Iterable[str]:
    yield ""
    yield "Limits in force (the product sheet goes before them, once the job file has it):"
    yield from _limit_lines(one for one in answer.limits if one.in_force)
    others = [one for one in answer.limits if not one.in_force]
    shown = others if why else [one for one in others if one.measures == MOISTURE]
    if shown:
        yield "Also published, not applied here:"
        yield from _limit_lines(shown)


def _limit_lines(limits: Iterable[LimitLine]) -> Iterable[str]:
    for limit in limits:
        source = "" if limit.source == limit.status else f"; {limit.source}"
        if limit.source.startswith(limit.status):
            source = limit.source.removeprefix(limit.status)
        yield from _wrapped(f"{limit.title}: {limit.says} [{limit.status}{source}]", "  ", "  ")
