"""The chances of a trip, as entries: which day, what holds it, what a call is worth.

Invariant: every share and every mean stands with its standard error, and what is only usual says
so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.chance_text import LEAST_GAIN, advice_told, opens_told, percent_told
from readiness.pages.check_text import told_who
from readiness.pages.moments import told
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.planning.trials_told import AssumedLine, DayLine, HoldLine, WorthLine
    from readiness.questions.chance import ChanceAnswer

TENTHS = 10
WORKS, FAILS = "=", "."
"""A tenth of the futures in which the day works, and one in which it does not."""
_INSIDE = 2
_BELOW = 6

DAYS, HOLDS, WORTH, ASSUMED = "day", "holds", "worth", "assumed"
"""The parts of the list: ids of their entries begin so."""


def chance_entries(answer: ChanceAnswer) -> list[Entry]:
    """Return the whole answer as entries."""
    found = [_heading("asked", *_sentence(answer))]
    if answer.days:
        head = f"Which day? Each {WORKS} is a tenth of the futures, in which it works."
        found.append(_heading(DAYS, _strong(head)))
        found += (_day(line, answer) for line in answer.days)
        found += _advice(answer)
    found += _opens(answer)
    if answer.holds:
        found.append(_heading(HOLDS, _strong("What holds it, what opens it last first")))
        found += (_hold(line) for line in answer.holds)
    found += _worth(answer)
    found += _assumed(answer)
    return found


def day_of_entry(id_: str, answer: ChanceAnswer) -> DayLine | None:
    """Return the arrival of an entry; None if it is about something else."""
    return next((line for line in answer.days if _day_id(line) == id_), None)


def tenths(share: float) -> str:
    """Return a share as ten signs; what is possible and not certain is never drawn as neither."""
    count = round(share * TENTHS)
    if 0 < share < 1:
        count = min(max(count, 1), TENTHS - 1)
    return WORKS * count + FAILS * (TENTHS - count)


def with_error(share: float, error: float) -> str:
    """Return a share in percent with its standard error."""
    return f"{percent_told(share)} +- {error * 100:.1f}"


def _heading(id_: str, *lines: Line) -> Entry:
    return Entry(f"{EntriesPane.HEADING}{id_}", lines)


def _strong(text: str) -> Line:
    return Line(text, is_strong=True)


def _sentence(answer: ChanceAnswer) -> Iterable[Line]:
    """Yield how likely the asked day is, or why nothing is drawn."""
    asked = next((line for line in answer.days if line.arrival == answer.asked), None)
    if asked is not None:
        booked = ", booked," if asked.booked else ""
        works = with_error(asked.chance, asked.chance_error)
        day = told(asked.arrival, answer.instants.as_of.year)
        yield _strong(f"{day}{booked} works in {works} of the futures.")
    elif not answer.days:
        yield from (_strong(note) for note in answer.notes[:1])


def _opens(answer: ChanceAnswer) -> Iterable[Entry]:
    """Yield by when the trip opens."""
    lines = [
        Line(text.strip(), is_strong=not number, indent=_INSIDE if number else 0)
        for number, text in enumerate(opens_told(answer))
    ]
    if lines:
        yield _heading("opens", *lines)


def _day_id(line: DayLine) -> str:
    return f"{DAYS} {line.arrival:%Y-%m-%d %H:%M}"


def _day(line: DayLine, answer: ChanceAnswer) -> Entry:
    words = [with_error(line.chance, line.chance_error)]
    words += [word for word, on in (("booked", line.booked), ("asked", _is_asked(line, answer)))
              if on]  # fmt: skip
    words += [] if line.offered else ["not offered"]
    words += ["the day to book"] if line.arrival == answer.best else []
    day = told(line.arrival, answer.instants.as_of.year)
    first = Line(f"{day:<17} {tenths(line.chance)} {', '.join(words)}", indent=_INSIDE)
    return Entry(_day_id(line), (first, Line(_because(line, answer), indent=_BELOW)))


def _is_asked(line: DayLine, answer: ChanceAnswer) -> bool:
    return line.arrival == answer.asked and not line.booked


def _because(line: DayLine, answer: ChanceAnswer) -> str:
    parts = [
        f"too early {with_error(line.too_early, line.too_early_error)}",
        f"too late {with_error(line.too_late, line.too_late_error)}",
        f"weather {with_error(line.weather, line.weather_error)}",
        f"stands open {line.waiting_days:.2f} +- {line.waiting_days_error:.2f} days before",
    ]
    if line.cost is not None and line.cost_error is not None:
        cost = f"costs {line.cost:,.0f} +- {line.cost_error:,.0f} {answer.currency}"
        parts.append(cost.rstrip())
    return "; ".join(parts)


def _advice(answer: ChanceAnswer) -> Iterable[Entry]:
    lines = [
        Line(text.strip(), indent=_INSIDE if text.startswith(" ") else 0)
        for text in advice_told(answer)
        if text
    ]
    if lines:
        yield _heading("advice", *lines)


def _hold(line: HoldLine) -> Entry:
    shares = (
        f"last in {with_error(line.last, line.last_error)} of the futures, on the chain in "
        f"{with_error(line.on_chain, line.on_chain_error)}"
    )
    who = f"{line.title}: {told_who(line.who)}"
    return Entry(f"{HOLDS} {line.id}", (Line(who, indent=_INSIDE), Line(shares, indent=_BELOW)))


def _worth(answer: ChanceAnswer) -> Iterable[Entry]:
    if answer.asked is None:
        return
    day = told(answer.asked, answer.instants.as_of.year)
    lines = [line for line in answer.worth if line.gains >= LEAST_GAIN]
    if not lines:
        text = f"No single call or request makes {day} likelier by half a point."
        yield _heading(WORTH, _strong(text))
        return
    yield _heading(WORTH, _strong(f"What one call would be worth for {day}"))
    for number, line in enumerate(lines):
        yield Entry(f"{WORTH} {number}", tuple(_call(line)))


def _call(line: WorthLine) -> Iterable[Line]:
    gain = f"+{line.gains * 100:.1f} points +- {line.gains_error * 100:.1f}"
    yield Line(f"{gain}: {told_who(line.who)}", indent=_INSIDE)
    yield Line(line.says, indent=_BELOW)


def _assumed(answer: ChanceAnswer) -> Iterable[Entry]:
    if not answer.assumed:
        return
    head = f"Reckoned with ({answer.shape} lengths, seed {answer.seed})"
    usual = "usual: common practice, no source; your own figures go under [chances]"
    yield _heading(ASSUMED, _strong(head), Line(usual))
    for number, line in enumerate(answer.assumed):
        yield Entry(f"{ASSUMED} {number}", (Line(_figure(line), indent=_INSIDE),))
    if answer.days:
        yield Entry(f"{ASSUMED} notes", tuple(Line(note) for note in answer.notes))


def _figure(line: AssumedLine) -> str:
    whom = f", {line.whom}" if line.whom else ""
    return f"{line.about}{whom}: {line.told} ({'your own' if line.own else 'usual'})"
