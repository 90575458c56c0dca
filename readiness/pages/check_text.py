"""The answer of `check` as text, the five lines that matter most first.

Invariant: the first five lines are the verdict, the blocker that clears last, who clears it with
phone, when it clears, and the next call; all below is detail.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.marks import marked
from readiness.pages.moments import both_instants, told, told_up
from readiness.telling.blocker_lines import clearing_told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.check import CheckAnswer, SurfaceLine
    from readiness.telling.blocker_lines import BlockerLine
    from readiness.telling.teller import Who
    from readiness.telling.vain_booking import BookedInVain

WIDTH = 96
M2_PER_SQ_FT = 0.3048**2
"""Exact: the international foot is 0.3048 m."""
M3_PER_BD_FT = 0.3048**2 * 0.0254
"""Exact: a board foot is one square foot, one inch deep."""
PREPARATION = "not prepared"
"""The side of what is only the morning's work."""
MOST_TO_COME = 6
MOST_FOLLOWERS = 4
MOST_FINDINGS = 3
FINDINGS_FIRST = (
    "hot-work-on-bare-foam",
    "trip-booking-broken",
    "booking-broken",
    "limit-missed",
    "not-reported",
    "done-too-soon",
    "crew-overlap",
)
"""Codes of findings, those that matter most to the trip first."""


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
        *(_before_board(answer, why=why) if answer.board else _before_foam(answer, why=why)),
        _keep_out(answer),
        _to_come(answer),
        _notes(answer),
        _findings(answer, why=why),
        [""] + [_wrapped(f"Caution: {caution}") for caution in answer.cautions],
    ]
    return "\n".join(line for part in parts for line in part) + "\n"


def _before_foam(answer: CheckAnswer, *, why: bool) -> list[Iterable[str]]:
    return [_blockers(answer, why=why), _in_vain(answer), _surfaces(answer)]


def _before_board(answer: CheckAnswer, *, why: bool) -> list[Iterable[str]]:
    """Return what only the board gate tells."""
    from readiness.pages import board_text

    board = answer.board
    assert board is not None  # noqa: S101  asked by the caller
    who = {line.who.id: told_who(line.who) for line in answer.blockers}
    return [
        board_text.milestone_lines(answer, board),
        board_text.open_lines(answer, who, why=why),
        board_text.area_lines(answer, board),
        board_text.depth_table(board, answer.units, why=why),
        board_text.item_list(board.items) if why else [],
    ]


def head_lines(answer: CheckAnswer) -> list[str]:
    """Return the five lines that a screen begins with; where one is cut, what matters stays."""
    first = f"{marked(answer.verdict)}: {answer.sentence}"
    if not answer.blockers:
        return [first, *_when_nothing_holds(answer)]
    last, count = answer.blockers[answer.told_first], len(answer.blockers)
    after = f", after {last.call.name}" if last.call.id != last.who.id else ""
    return [
        first,
        f"{'held by' if count == 1 else f'held by ({count})':<12} {last.says}",
        f"cleared by   {told_who(last.who)}{after}",
        f"clears       {clearing_told(last)}",
        f"next call    {_next_call(answer)}",
    ]


def _next_call(answer: CheckAnswer) -> str:
    """Return whom to call, with the number first, how much there is to ask, and about what."""
    call = answer.next_call
    if call is None:
        return "none"
    things = sum(line.call.id == call.who.id for line in answer.blockers)
    more = f" ({things} things)" if things > 1 else ""
    return f"{name_and_number(call.who)}{more}: {call.about}"


def _when_nothing_holds(answer: CheckAnswer) -> list[str]:
    """Return what still comes before the rig does, and what its crew does on arrival."""
    year = answer.instants.on.year
    due = [line for line in answer.to_come if line.by and not line.on_arrival]
    lines = ["held by      nothing"]
    if due and due[0].by is not None and due[-1].by is not None:
        first, last = told_up(due[0].by, year), told_up(due[-1].by, year)
        says = f"by {first}: {due[0].title}, {due[0].place}"
        count = len(_grouped(answer, on_arrival=False))
        lines.append(
            f"still comes  {f'{count} things by {last}; first ' if count > 1 else ''}{says}"
        )
        lines.append(f"next call    {name_and_number(due[0].who)}: {due[0].title}")
    else:
        before = "the rig" if answer.board is None else "the board"
        lines += [f"still comes  nothing before {before}", "next call    none due"]
    on_arrival = [line for line in answer.to_come if line.on_arrival]
    if on_arrival:
        count = len({line.title for line in on_arrival})
        lines.append(f"on arrival   {told_who(on_arrival[0].who)}: {count} things to see and read")
    return lines


def told_who(who: Who) -> str:
    """Return somebody with what they do and their number."""
    trade = "" if who.trade.casefold() in who.name.casefold() else f" ({who.trade})"
    return f"{who.name}{trade}, {who.phone or 'no phone written'}"


def name_and_number(who: Who) -> str:
    """Return somebody with their number, for a line in which every sign counts."""
    return f"{who.name}, {who.phone or 'no phone written'}"


def _blockers(answer: CheckAnswer, *, why: bool) -> Iterable[str]:
    if not answer.blockers:
        return
    yield ""
    count = len(answer.blockers)
    sides = {line.holds == PREPARATION for line in answer.blockers}
    morning = ", the morning's work at the end" if len(sides) > 1 else ""
    yield f"What holds it up ({count}), the one that clears last first{morning}:"
    shown = [pair for pair in enumerate(answer.blockers) if why or pair[1].follows is None]
    for place, (number, line) in enumerate(shown, 1):
        yield from _blocker(place, line, why=why)
        yield from _followers(number, answer)


def _in_vain(answer: CheckAnswer) -> Iterable[str]:
    if answer.booked_in_vain is None:
        return
    yield ""
    for sentence in in_vain_sentences(answer.booked_in_vain, answer.instants.as_of.year):
        yield _wrapped(sentence)


def in_vain_sentences(booked: BookedInVain, year: int) -> list[str]:
    """Return whom to tell that the rig is booked in vain, and from when it would not be."""
    when, who = told(booked.arrival, year), name_and_number(booked.who)
    sentences = [f"Booked for {when}, and that does not hold as things stand: {who}."]
    if booked.is_about_to_leave:
        sentences = [f"Before the rig leaves for {when}: call {who}."]
    if booked.open_from is not None:
        opens = told(booked.open_from, year)
        sentences.append(f"As things stand every surface is open from {opens} on.")
    return sentences


def _blocker(place: int, line: BlockerLine, *, why: bool) -> Iterable[str]:
    held = len(line.surfaces)
    surfaces = f"{held} surface{'s' if held > 1 else ''}"
    yield _wrapped(f"{place:>3}. {line.holds}: {line.says}; holds {surfaces}", hang=5)
    yield _wrapped(f"{told_who(line.who)}; {clearing_told(line)}", "     ")
    if line.call.id != line.who.id:
        about = "" if line.call_about in line.says else f": {line.call_about}"
        yield _wrapped(f"first {told_who(line.call)}{about}", "     ")
    if len(line.chain) > 1:
        yield _wrapped("hangs on: " + " <- ".join(line.chain[1:]), "     ")
    if why:
        yield from _why(line)


def _followers(number: int, answer: CheckAnswer) -> Iterable[str]:
    """Yield what only waits for a blocker, in one sentence."""
    year = answer.instants.on.year
    waiting = [
        line.says + (f" ({told(line.clears, year)})" if line.clears else "")
        for line in answer.blockers
        if line.follows == number
    ]
    if waiting:
        shown = "; ".join(waiting[:MOST_FOLLOWERS])
        more = (
            f"; and {len(waiting) - MOST_FOLLOWERS} more" if len(waiting) > MOST_FOLLOWERS else ""
        )
        yield _wrapped(f"and then, waiting for it: {shown}{more}", "     ")


def _why(line: BlockerLine) -> Iterable[str]:
    if line.why:
        yield _wrapped(f"why: {line.why}", "     ")
    yield _wrapped(f"from: {line.origin}", "     ")
    if line.shown_by and line.shown_by != (line.origin,):
        yield _wrapped(f"shown by: {'; '.join(line.shown_by)}", "     ")
    who = f"may be waived by the {line.may_waive}" if line.may_waive else "nobody may waive it"
    yield f"     {who}"


def _surfaces(answer: CheckAnswer) -> Iterable[str]:
    """Yield the surfaces that are held up with both edges, and the others by name only."""
    yield ""
    size = size_told(answer)
    yield f"Surfaces ({size} of the {answer.trip_name} trip could be sprayed):"
    by_word: dict[str, list[str]] = {}
    for line in answer.surfaces:
        if line.flags or line.word == "stopped":
            yield f"  {marked(line.word)}: {line.name}"
            yield from _edges(line, answer.instants.on.year)
        else:
            by_word.setdefault(line.word, []).append(line.name)
    for word, names in by_word.items():
        yield _wrapped(f"  {marked(word)}: {', '.join(names)}", hang=6)
    if answer.two_trips:
        yield "  No surface is crossed by itself: as two trips each could have its day."


def size_told(answer: CheckAnswer) -> str:
    """Return how much of the trip could be sprayed, in the units of the job."""
    size = area_told(answer.ready_square_feet, answer.trip_square_feet, answer.units)
    foam, all_foam = answer.ready_board_feet, answer.trip_board_feet
    if foam is None or all_foam is None:
        return size
    if answer.units == "metric":
        return f"{size}, {foam * M3_PER_BD_FT:.2f} of {all_foam * M3_PER_BD_FT:.2f} m3 of foam"
    return f"{size}, {foam:g} of {all_foam:g} bd ft"


def area_told(square_feet: float, of_square_feet: float, units: str) -> str:
    """Return one area out of another, in the units of a job."""
    if units == "metric":
        return f"{square_feet * M2_PER_SQ_FT:.1f} of {of_square_feet * M2_PER_SQ_FT:.1f} m2"
    return f"{square_feet:g} of {of_square_feet:g} sq ft"


def _edges(line: SurfaceLine, year: int) -> Iterable[str]:
    window = line.window
    if window is None:
        return
    if window.opens is not None:
        yield f"      opens {told(window.opens, year)} after {window.opens_by}"
    elif window.has_no_opening_date:
        yield f"      no date: {window.opens_by}"
    else:
        yield "      open from the start"
    if window.last_start is not None:
        yield f"      last arrival {told(window.last_start, year)}: {window.closes_by}"
    else:
        yield f"      {window.closes_by}"


def keep_out_sentence(answer: CheckAnswer) -> str:
    """Return from when to when nobody may be inside; on a day that can't be kept, with its if."""
    keep_out = answer.keep_out
    assert keep_out is not None  # noqa: S101  asked by the caller
    year = answer.instants.on.year
    not_before = told(keep_out.not_before, year) if keep_out.not_before else "no date"
    begins = "Keep out" if keep_out.running or answer.is_yes else "If it is sprayed then: keep out"
    return (
        f"{begins} from {told(keep_out.from_, year)} until a named person releases it, "
        f"not before {not_before}."
    )


def _keep_out(answer: CheckAnswer) -> Iterable[str]:
    keep_out = answer.keep_out
    if keep_out is None:
        return
    year = answer.instants.on.year
    yield ""
    yield _wrapped(keep_out_sentence(answer))
    if keep_out.usual_figure:
        hours = f"{keep_out.hours:g} h after the last foam"
        yield f"  {hours} is a usual planning figure; the product sheet decides."
    for line in answer.inside:
        when = told(line.from_, year) if line.from_ else "no date"
        phone = line.phone or "no phone written"
        yield f"  must stay out: {line.who}, {phone}: {line.title}, booked {when}"


def _to_come(answer: CheckAnswer) -> Iterable[str]:
    """Yield what must still come, then what is looked at on arrival."""
    for head, lines in to_come_parts(answer):
        yield ""
        yield f"{head}:"
        yield from (f"  {says} ({who.name})" for says, who in lines[:MOST_TO_COME])
        if len(lines) > MOST_TO_COME:
            yield f"  and {len(lines) - MOST_TO_COME} more"


def to_come_parts(answer: CheckAnswer) -> list[tuple[str, list[tuple[str, Who]]]]:
    """Return what still comes and what is seen on arrival: a heading, then sentences with whose.

    What is seen on arrival is worded as it has to be then, so the heading says that nobody has
    looked yet. Places of one sentence stand together.
    """
    before = _grouped(answer, on_arrival=False)
    then = _grouped(answer, on_arrival=True)
    parts = (
        (f"Still to come ({len(before)}{_all_by(answer)})", before),
        (f"To be checked on arrival, not seen yet ({len(then)})", then),
    )
    return [(head, lines) for head, lines in parts if lines]


def _all_by(answer: CheckAnswer) -> str:
    """Return by when all of what still comes has come; empty if something has no date."""
    dates = [line.by for line in answer.to_come if not line.on_arrival]
    known = [by for by in dates if by is not None]
    if len(known) < 2 or len(known) < len(dates):  # noqa: PLR2004  one stands with its own date
        return ""
    return f", all by {told_up(max(known), answer.instants.on.year)}"


def _grouped(answer: CheckAnswer, *, on_arrival: bool) -> list[tuple[str, Who]]:
    year = answer.instants.on.year
    places: dict[tuple[str, str, Who], list[str]] = {}
    for line in answer.to_come:
        if line.on_arrival is on_arrival:
            by = f"by {told_up(line.by, year)}" if line.by else "no date"
            places.setdefault((line.title, by, line.who), []).append(line.place)
    return [
        (f"{title}: {where[0] if len(where) == 1 else f'{len(where)} places'}, {by}", who)
        for (title, by, who), where in places.items()
    ]


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
    order = {code: rank for rank, code in enumerate(FINDINGS_FIRST)}
    told_first = sorted(answer.findings, key=lambda line: order.get(line.code, len(order)))
    shown = told_first if why else told_first[:MOST_FINDINGS]
    for line in shown:
        yield _wrapped(f"{line.code}: {line.says}" + (f" [{line.origin}]" if why else ""), "  ")
    if len(told_first) > len(shown):
        yield f"  and {len(told_first) - len(shown)} more; --why tells them all"


def _wrapped(text: str, indent: str = "", hang: int | None = None) -> str:
    further = " " * hang if hang is not None else indent + "  "
    stripped = text.lstrip() if not indent else text
    first = indent or text[: len(text) - len(stripped)]
    return "\n".join(wrap(stripped, WIDTH, initial_indent=first, subsequent_indent=further))
