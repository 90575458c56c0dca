"""The answer of `check` as text, the five lines that matter most first.

Invariant: the first five lines are the verdict, the blocker that clears last, who clears it with
phone, when it clears, and the next call; all below is detail.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.marks import marked
from readiness.pages.moments import both_instants, told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.check import CheckAnswer
    from readiness.telling.blocker_lines import BlockerLine
    from readiness.telling.teller import Who

WIDTH = 96
MOST_TO_COME = 6


def check_text(answer: CheckAnswer, *, why: bool = False) -> str:
    """Return the answer as text.

    Args:
        answer: The answer.
        why: Tell the source of every line too.
    """
    instants = answer.instants
    parts = [
        [
            f"{answer.job}: "
            + both_instants(instants.as_of, instants.on, instants.time_zone, instants.gate)
        ],
        head_lines(answer),
        _blockers(answer, why=why),
        _rooms(answer),
        _keep_out(answer),
        _to_come(answer),
        _notes(answer),
        _findings(answer, why=why),
        [""] + [_wrapped(f"Caution: {caution}") for caution in answer.cautions],
    ]
    return "\n".join(line for part in parts for line in part) + "\n"


def head_lines(answer: CheckAnswer) -> list[str]:
    """Return the five lines that a screen begins with."""
    first = f"{marked(answer.verdict)}: {answer.sentence}"
    if not answer.blockers:
        return [first, *_when_nothing_holds(answer)]
    last = answer.blockers[0]
    call = answer.next_call
    return [
        first,
        f"held by      {last.says}",
        f"cleared by   {told_who(last.who)}",
        f"clears       {last.clears_says}",
        f"next call    {told_who(call.who)}: {call.about}" if call else "next call    none",
    ]


def _when_nothing_holds(answer: CheckAnswer) -> list[str]:
    due = next((line for line in answer.to_come if line.by is not None), None)
    year = answer.instants.on.year
    if due is None or due.by is None:
        return ["held by      nothing", "next call    none due"]
    return [
        "held by      nothing",
        f"still comes  {due.title}: {due.place}",
        f"by           {told(due.by, year)}",
        f"next call    {told_who(due.who)}",
    ]


def told_who(who: Who) -> str:
    """Return somebody with what they do and their number."""
    trade = "" if who.trade.casefold() in who.name.casefold() else f" ({who.trade})"
    return f"{who.name}{trade}, {who.phone or 'no phone written'}"


def _blockers(answer: CheckAnswer, *, why: bool) -> Iterable[str]:
    if not answer.blockers:
        return
    yield ""
    count = len(answer.blockers)
    yield f"What holds it up ({count}), the one that clears last first:"
    for number, line in enumerate(answer.blockers, 1):
        held = len(line.surfaces)
        surfaces = f"{held} surface{'s' if held > 1 else ''}"
        yield f"{number:>3}. {line.holds}: {line.says}; holds {surfaces}"
        yield f"     {told_who(line.who)}; {line.clears_says}"
        if len(line.chain) > 1:
            yield _wrapped("hangs on: " + " <- ".join(line.chain[1:]), "     ")
        if why:
            yield from _why(line)


def _why(line: BlockerLine) -> Iterable[str]:
    if line.why:
        yield _wrapped(f"why: {line.why}", "     ")
    yield _wrapped(f"from: {line.origin}", "     ")
    who = f"may be waived by the {line.may_waive}" if line.may_waive else "nobody may waive it"
    yield f"     {who}"


def _rooms(answer: CheckAnswer) -> Iterable[str]:
    yield ""
    size = f"{answer.ready_square_feet:g} of {answer.trip_square_feet:g} sq ft"
    yield f"Surfaces ({size} of the {answer.trip_name} trip could be sprayed):"
    for line in answer.surfaces:
        yield f"  {marked(line.word):<24} {line.name}"
        window = line.window
        if window is None or line.word in ("ready", "on course"):
            continue
        year = answer.instants.on.year
        opens = told(window.opens, year) if window.opens else "no date"
        if window.opens is None and not window.has_no_opening_date:
            opens = "open"
        closes = told(window.last_start, year) if window.last_start else "-"
        yield (
            f"      opens {opens} after {window.opens_by}"
            if opens != "open"
            else "      open from the start"
        )
        yield f"      last arrival {closes}: {window.closes_by}"
    if answer.two_trips:
        yield "  No surface is crossed by itself: as two trips each could have its day."


def _keep_out(answer: CheckAnswer) -> Iterable[str]:
    keep_out = answer.keep_out
    if keep_out is None:
        return
    year = answer.instants.on.year
    yield ""
    not_before = told(keep_out.not_before, year) if keep_out.not_before else "no date"
    yield (
        f"Keep out from {told(keep_out.from_, year)} until a named person releases it, "
        f"not before {not_before}."
    )
    if keep_out.usual_figure:
        hours = f"{keep_out.hours:g} h after the last foam"
        yield f"  {hours} is a usual planning figure; the product sheet decides."
    for line in answer.inside:
        when = told(line.from_, year) if line.from_ else "no date"
        phone = line.phone or "no phone written"
        yield f"  must stay out: {line.who}, {phone}: {line.title}, booked {when}"


def _to_come(answer: CheckAnswer) -> Iterable[str]:
    if not answer.to_come:
        return
    yield ""
    yield f"Still to come ({len(answer.to_come)}):"
    year = answer.instants.on.year
    for line in answer.to_come[:MOST_TO_COME]:
        by = f"by {told(line.by, year)}" if line.by else "no date"
        yield f"  {line.title}: {line.place}, {by} ({line.who.name})"
    if len(answer.to_come) > MOST_TO_COME:
        yield f"  and {len(answer.to_come) - MOST_TO_COME} more"


def _notes(answer: CheckAnswer) -> Iterable[str]:
    if not answer.notes:
        return
    yield ""
    costs = [line for line in answer.notes if line.effect == "costs money"]
    for line in costs:
        yield _wrapped(f"Costs money: {line.title} ({line.state}; {line.who.name})", "  ")
    rest = len(answer.notes) - len(costs)
    if rest:
        yield f"{rest} more not answered that stop nothing."


def _findings(answer: CheckAnswer, *, why: bool) -> Iterable[str]:
    if not answer.findings:
        return
    yield ""
    yield "Worth knowing:"
    for line in answer.findings:
        yield _wrapped(f"{line.code}: {line.says}" + (f" [{line.origin}]" if why else ""), "  ")


def _wrapped(text: str, indent: str = "") -> str:
    return "\n".join(wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  "))
