"""The answer of `chance` as text: the day in words, then days, what holds it, what a call is worth.

Invariant: a share is told in percent with its standard error, and what is only usual says so.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.moments import both_instants, day_told, told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.planning.trials_told import DayLine, WorthLine
    from readiness.questions.chance import ChanceAnswer

WIDTH = 96
COLUMNS = (18, 14, 14, 14, 14, 16)
"""Widths of the table of arrivals."""

LEAST_GAIN = 0.005
"""Less than half a point is told as nothing."""


def chance_text(answer: ChanceAnswer, *, why: bool = False) -> str:
    """Return the answer as text.

    Args:
        answer: The answer.
        why: Also where each figure and each work comes from.
    """
    instants = answer.instants
    lines = [
        f"{answer.job}: "
        + both_instants(instants.as_of, instants.on, instants.time_zone, instants.gate)
    ]
    lines += opens_told(answer)
    lines += _days(answer)
    lines += advice_told(answer)
    lines += _holds(answer, why=why)
    lines += _worth(answer)
    lines += _assumed(answer, why=why)
    for note in answer.notes:
        lines += wrap(note, WIDTH, initial_indent="- ", subsequent_indent="  ")
    return "\n".join(lines) + "\n"


def percent_told(share: float) -> str:
    """Return a share in whole percent, but never 0 or 100 for what only nearly is."""
    whole = round(share * 100)
    if whole == 0 and share > 0:
        return "<1 %"
    if whole == 100 and share < 1:  # noqa: PLR2004
        return ">99 %"
    return f"{whole} %"


def opens_told(answer: ChanceAnswer) -> Iterable[str]:
    """Yield by when the trip opens, a line for each chance."""
    if not answer.opens:
        return
    year = answer.instants.as_of.year
    if answer.opens[-1].opens is None and answer.opens[-1].first_arrival is not None:
        yield f"The {answer.trip_name} trip waits for no work that this job file knows of."
        return
    latest = answer.opens[-1].opens
    if latest is not None and latest <= answer.instants.as_of:
        since = told(latest, year)
        yield f"The {answer.trip_name} trip is open: everything before it was done by {since}."
        return
    yield f"The {answer.trip_name} trip opens"
    for line in answer.opens:
        if line.opens is None:
            yield f"  {line.chance * 10:.0f} of 10: no date"
            continue
        arrive = (
            f"; first arrival {told(line.first_arrival, year)}"
            if line.first_arrival is not None
            else "; no arrival"
        )
        within = ""
        if line.opens_low is not None and line.opens_high is not None:
            minutes = (line.opens_high - line.opens_low).total_seconds() / 120
            within = f" (+- {minutes:.0f} min)" if minutes else ""
        yield f"  {line.chance * 10:.0f} of 10 chance by {told(line.opens, year)}{within}{arrive}"
    if answer.opens_planned is not None:
        yield f"  as planned, without chance: {told(answer.opens_planned, year)}"


def _days(answer: ChanceAnswer) -> Iterable[str]:
    if not answer.days:
        return
    year = answer.instants.as_of.year
    yield ""
    heads = ("Arrival", "works", "too early", "too late", "weather", "days open before")
    yield "".join(f"{head:<{width}}" for head, width in zip(heads, COLUMNS, strict=True)).rstrip()
    for line in answer.days:
        yield from _day(line, year, answer.currency)


def _day(line: DayLine, year: int, currency: str) -> Iterable[str]:
    shares = (
        (line.chance, line.chance_error),
        (line.too_early, line.too_early_error),
        (line.too_late, line.too_late_error),
        (line.weather, line.weather_error),
    )
    cells = (
        told(line.arrival, year),
        *(f"{percent_told(share)} +- {error * 100:.1f}" for share, error in shares),
        f"{line.waiting_days:.1f} +- {line.waiting_days_error:.2f}",
    )
    text = "".join(f"{cell:<{width}}" for cell, width in zip(cells, COLUMNS, strict=True))
    marks = [
        word for word, on in (("booked", line.booked), ("not offered", not line.offered)) if on
    ]
    yield f"{text}{', '.join(marks)}".rstrip()
    if line.cost is not None:
        cost = f"costs {line.cost:,.0f} +- {line.cost_error:,.0f} {currency}".rstrip()
        yield f"{'':<{COLUMNS[0]}}{cost} on average"


def advice_told(answer: ChanceAnswer) -> Iterable[str]:
    """Yield which day to book, or what would decide it."""
    if not answer.days:
        return
    year = answer.instants.as_of.year
    if answer.best is not None:
        yield ""
        yield f"By your own prices the day to book is {told(answer.best, year)}{as_good(answer)}."
        return
    if answer.missing_prices and answer.break_even:
        yield ""
        keys = " and ".join(answer.missing_prices)
        yield f"No day is recommended: [costs] does not say {keys}. What would decide:"
        for line in answer.break_even:
            pair = f"{day_told(line.later, year)} instead of {day_told(line.earlier, year)}"
            if line.lost_days is None:
                says = f"{pair} pays at no price: it is no likelier to work"
            else:
                says = (
                    f"{pair} pays if a wasted trip, with the wait for the next, costs more than "
                    f"{line.lost_days:.1f} +- {line.lost_days_error:.1f} lost days"
                )
            yield from wrap(says, WIDTH, initial_indent="  ", subsequent_indent="    ")


def as_good(answer: ChanceAnswer) -> str:
    """Return which other day costs the same as far as the trials can tell; empty if none does."""
    year = answer.instants.as_of.year
    costs = {line.arrival: line for line in answer.days if line.cost is not None}
    if answer.best is None or answer.best not in costs:
        return ""
    least = costs[answer.best]
    close = [
        line
        for line in costs.values()
        if line is not least
        and line.chance
        and (line.cost or 0) - (least.cost or 0)
        <= 2 * ((line.cost_error or 0) ** 2 + (least.cost_error or 0) ** 2) ** 0.5
    ]
    if not close:
        return ""
    days = ", ".join(told(line.arrival, year) for line in close)
    return f"; as good, as far as the trials can tell: {days}"


def _holds(answer: ChanceAnswer, *, why: bool) -> Iterable[str]:
    if not answer.holds:
        return
    yield ""
    yield "What holds it      last           on the chain"
    for line in answer.holds:
        last = f"{percent_told(line.last)} +- {line.last_error * 100:.1f}"
        chain = f"{percent_told(line.on_chain)} +- {line.on_chain_error * 100:.1f}"
        text = f"                   {last:<13}  {chain:<13}  {line.title}, {line.who.name}"
        yield from wrap(text, WIDTH + 12, subsequent_indent=" " * 51, drop_whitespace=True)
        if why:
            yield f"{' ' * 51}{line.origin}"


def _worth(answer: ChanceAnswer) -> Iterable[str]:
    if answer.asked is None:
        return
    yield ""
    told_day = told(answer.asked, answer.instants.as_of.year)
    lines = [line for line in answer.worth if line.gains >= LEAST_GAIN]
    if not lines:
        yield f"No single call or request makes {told_day} likelier by half a point."
        return
    yield f"What one call would be worth for {told_day}"
    for line in lines:
        yield from wrap(_worth_line(line), WIDTH, initial_indent="  ", subsequent_indent="     ")


def _worth_line(line: WorthLine) -> str:
    phone = f", {line.who.phone}" if line.who.phone else ""
    gain = f"+{line.gains * 100:.1f} points +- {line.gains_error * 100:.1f}"
    return f"{gain}  {line.who.name}{phone}: {line.says}"


def _assumed(answer: ChanceAnswer, *, why: bool) -> Iterable[str]:
    if not answer.assumed:
        return
    yield ""
    yield f"Reckoned with ({answer.trials:,} trials, {answer.shape} lengths, seed {answer.seed})"
    if any(not line.own for line in answer.assumed):
        yield "  usual = common practice, no source; your own figures go under [chances]"
    for line in answer.assumed:
        whom = f", {line.whom}" if line.whom else ""
        mark = "your own" if line.own else "usual"
        source = f" [{line.source}]" if why else ""
        yield f"  {line.about}{whom}: {line.told} ({mark}){source}"
