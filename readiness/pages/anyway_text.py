"""The answers of `check --anyway` and `calls --today` as text.

Invariant: what is not possible says so first and has no figure.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.check_text import WIDTH, told_who
from readiness.pages.moments import both_instants, told

if TYPE_CHECKING:
    from readiness.questions.anyway import AnywayAnswer, AnywayLine
    from readiness.questions.today import TodayAnswer


def anyway_text(answer: AnywayAnswer) -> str:
    """Return what spraying in spite of each blocker would mean."""
    instants = answer.instants
    lines = [
        f"{answer.job}: "
        + both_instants(instants.as_of, instants.on, instants.time_zone, instants.gate)
    ]
    if not answer.lines:
        lines.append("Nothing holds it up, so nothing has to be overridden.")
    elif not answer.possible:
        lines.append(f"The {answer.trip_name} trip can't go ahead: some of this nobody may waive.")
    else:
        lines.append(f"If the {answer.trip_name} trip went ahead all the same:")
    for number, line in enumerate(answer.lines, 1):
        lines += _anyway_line(number, line, answer.currency)
    lines += _price_lines(answer)
    return "\n".join(lines) + "\n"


def _price_lines(answer: AnywayAnswer) -> list[str]:
    """Return the sum, or why there is none."""
    if answer.price is not None:
        money = f"{answer.price:,.0f} {answer.currency}".rstrip()
        return wrap(
            f"Together up to {money} by your own prices: each surface cut out and sprayed again "
            "once, with one more trip; lost days and whoever carries it are not in it.",
            WIDTH,
        )
    if answer.missing_prices:
        prices = [key for key in answer.missing_prices if key != "depth"]
        lacking = [f"{', '.join(prices)} under [costs]"] if prices else []
        lacking += ["the depth of every surface"] if "depth" in answer.missing_prices else []
        return wrap(f"No price: the job file does not say {' and '.join(lacking)}.", WIDTH)
    return []


def _anyway_line(number: int, line: AnywayLine, currency: str) -> list[str]:
    out = wrap(f"{number:>3}. {line.says}", WIDTH, subsequent_indent="     ")
    out += wrap(line.then, WIDTH, initial_indent="     ", subsequent_indent="       ")
    if line.possible:
        feet = f", {line.board_feet:g} bd ft" if line.board_feet is not None else ""
        amount = f"up to {line.square_feet:g} sq ft{feet}" if line.square_feet else ""
        decides = f"the {line.may_decide} decides that" if line.may_decide else "nobody has a say"
        if line.price is not None:
            amount += f", up to {line.price:,.0f} {currency}".rstrip()
        amount += "; " if amount else ""
        out += wrap(
            f"{amount}{decides}, by name and with a reason",
            WIDTH,
            initial_indent="     ",
            subsequent_indent="       ",
        )
    return out


def today_text(answer: TodayAnswer) -> str:
    """Return what can still be done today."""
    lines = [f"{answer.job}: still useful today, as of {told(answer.instants.as_of)}"]
    if not answer.lines:
        lines.append("Nothing can go on today without hurting the next trip.")
    for line in answer.lines:
        mark = "the spray waits for it" if line.holds_up else "in the gap"
        text = f"{told_who(line.who)}: {line.title}: {', '.join(line.places)}"
        lines += wrap(f"{text} - about {line.hours:g} h, {mark}", WIDTH, subsequent_indent="  ")
    lines.append("Nobody works inside a keep-out, and nothing hot near bare foam.")
    return "\n".join(lines) + "\n"
