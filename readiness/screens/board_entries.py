"""What the board gate says, as entries: may board start, what holds it, where, depth, items.

Invariant: every list begins under a heading of its own that a key goes to, and an entry that can
be answered or filled in says so by its id.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.board_text import zone_words
from readiness.pages.check_text import head_lines, told_who
from readiness.pages.moments import told
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.further_entries import further
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.questions.check import CheckAnswer
    from readiness.telling.blocker_lines import BlockerLine
    from readiness.telling.board_lines import AreaLine, BoardPart, ItemLine, MilestoneLine
    from readiness.telling.depth_lines import DepthLine

BLOCKER = "blocker "
"""Begins the id of what holds the board up; behind it stands its position."""
ROOM = "room "
"""Begins the id of a room; behind it stands its own."""
DEPTH = "depth "
"""Begins the id of the depth of a surface; behind it stands the surface."""

MILESTONES, HOLDING, ROOMS, DEPTHS, ITEMS = "milestones", "holding", "rooms", "depths", "items"
"""The lists, by what stands in the id of their heading."""

_INSIDE = 2
_BELOW = 4
MOST_PLACES = 6
HEAD_COLUMNS = 13
"""Of the word before each of the five lines of an answer."""
STATES = {"met": "done", "open": "open", "failed": "FAILED", "later": "later"}


def board_entries(
    answer: CheckAnswer,
    surfaces: Sequence[str] | None,
    typed: Iterable[str] = (),
    *,
    tells_verdict: bool = True,
) -> list[Entry]:
    """Return the entries of the board gate.

    Args:
        answer: Of the board gate.
        surfaces: What is shown; None means everything.
        typed: Surfaces for which readings are typed and not written.
        tells_verdict: Begin with the verdict; it does not stand above already.
    """
    board = answer.board
    assert board is not None  # noqa: S101  asked at the board gate
    return [
        Entry("first", tuple(_first(answer))[0 if tells_verdict else 1 :]),
        *_milestones(answer, board),
        *_holding(answer, surfaces),
        *_rooms(answer, board),
        *_depths(answer, board, surfaces, frozenset(typed)),
        *_items(board),
        *further(answer, why=False),
    ]


def _heading(id_: str, text: str, indent: int = 0) -> Entry:
    return Entry(f"{EntriesPane.HEADING}{id_}", (Line(text, is_strong=True, indent=indent),))


def _first(answer: CheckAnswer) -> Iterable[Line]:
    yield Line(answer.sentence, word=answer.verdict, is_strong=True)
    for line in head_lines(answer)[1:]:
        yield Line(f"{line[:HEAD_COLUMNS].strip()}: {line[HEAD_COLUMNS:]}")


def _milestones(answer: CheckAnswer, board: BoardPart) -> Iterable[Entry]:
    yield _heading(MILESTONES, "Milestones, each for itself")
    for line in board.milestones:
        yield Entry(f"milestone {line.code}", tuple(_milestone(answer, line)))


def _milestone(answer: CheckAnswer, line: MilestoneLine) -> Iterable[Line]:
    when = told(line.at, answer.instants.on.year) if line.at else "no date"
    mark = "seen" if line.seen else "expected"
    yield Line(f"{line.title}: {when} ({mark})", indent=_INSIDE)
    hangs = line.says if line.seen or not line.driver else f"hangs on {line.driver}"
    if hangs and not hangs.startswith("seen"):
        yield Line(hangs, indent=_BELOW)


def _holding(answer: CheckAnswer, surfaces: Sequence[str] | None) -> Iterable[Entry]:
    """Yield what holds the board up by who clears it, what only waits for another at the end."""
    shown = [
        (number, line)
        for number, line in enumerate(answer.blockers)
        if surfaces is None or not set(surfaces).isdisjoint(line.surfaces)
    ]
    yield _heading(HOLDING, f"What holds the board up: {len(shown)}, by who clears it")
    if not shown:
        yield Entry("nothing", (Line("Nothing holds it up.", indent=_INSIDE),))
    first = [pair for pair in shown if pair[1].follows is None]
    people = dict.fromkeys(line.who.id for _, line in first)
    for person in people:
        of_person = [pair for pair in first if pair[1].who.id == person]
        yield _heading(f"person {person}", told_who(of_person[0][1].who), _INSIDE)
        yield from (_blocker(number, line) for number, line in of_person)
    waiting = [pair for pair in shown if pair[1].follows is not None]
    if waiting:
        yield _heading("waiting", "and then, waiting for one of these", _INSIDE)
        yield from (_blocker(number, line) for number, line in waiting)


def _blocker(number: int, line: BlockerLine) -> Entry:
    held = len(line.surfaces)
    holds = f"; holds {held} surfaces" if held > 1 else ""
    by = f"; {line.clears_says}" if line.clears is not None else ""
    lines = [Line(f"{line.says}{holds}{by}", indent=_BELOW)]
    if line.remedy and line.state in {"open", "contested"} and not line.chain:
        lines.append(Line(f"remedy: {line.remedy}", indent=_BELOW + _INSIDE))
    return Entry(f"{BLOCKER}{number}", tuple(lines))


def _rooms(answer: CheckAnswer, board: BoardPart) -> Iterable[Entry]:
    rooms = [line for line in board.areas if line.kind == "room"]
    free = sum(1 for line in rooms if line.released)
    yield _heading(ROOMS, f"Released for board: {free} of {len(rooms)} rooms")
    for line in board.areas:
        yield Entry(f"{ROOM}{line.place}", (Line(_room(answer, line), indent=_INSIDE),))


def _room(answer: CheckAnswer, line: AreaLine) -> str:
    kind = "Storey" if line.kind == "storey" else "Room"
    if line.released:
        return f"{kind} {line.name}: released for board"
    year = answer.instants.on.year
    when = f"not before {told(line.earliest, year)}" if line.earliest else "no date"
    held = f", {len(line.held_up)} surfaces held up" if len(line.held_up) > 1 else ""
    held = ", 1 surface held up" if len(line.held_up) == 1 else held
    return f"{kind} {line.name}: {when}{held}"


def _depths(
    answer: CheckAnswer, board: BoardPart, surfaces: Sequence[str] | None, typed: frozenset[str]
) -> Iterable[Entry]:
    shown = [line for line in board.depths if surfaces is None or line.surface in surfaces]
    read = sum(1 for line in shown if line.at is not None)
    yield _heading(DEPTHS, f"Depth, field and perimeter apart: {read} of {len(shown)} read")
    for line in shown:
        is_typed = line.surface in typed
        lines = tuple(depth_entry_lines(line, answer.units, is_typed=is_typed))
        yield Entry(f"{DEPTH}{line.surface}", lines)


def depth_entry_lines(line: DepthLine, units: str, *, is_typed: bool) -> Iterable[Line]:
    """Yield what is known of the depth of one surface."""
    agreed = line.agreed or "no depth with its meaning"
    yield Line(f"{line.name}: {line.outcome or line.says} (agreed: {agreed})", indent=_INSIDE)
    yield from zone_lines(line, units)
    if line.refill:
        yield Line(f"spraying again: {line.refill}", indent=_BELOW)
    if is_typed:
        yield Line("readings are typed and not written yet", indent=_BELOW, is_strong=True)


def zone_lines(line: DepthLine, units: str) -> Iterable[Line]:
    """Yield the figures of the two zones that have readings."""
    for name, zone in (("field", line.field), ("perimeter", line.perimeter)):
        if zone is not None and zone.readings:
            yield Line(f"{name}: {zone_words(zone, units)}", indent=_BELOW)


def _items(board: BoardPart) -> Iterable[Entry]:
    left = sum(1 for item in board.items if item.state in {"open", "failed"})
    yield _heading(ITEMS, f"After the spray: {left} of {len(board.items)} still to see, do or tell")
    for phase in dict.fromkeys(item.phase for item in board.items):
        yield _heading(f"phase {phase}", phase, _INSIDE)
        for item in board.items:
            if item.phase == phase:
                yield Entry(f"item {item.code}", tuple(_item(item)))


def _item(item: ItemLine) -> Iterable[Line]:
    yield Line(f"[{STATES[item.state]}] {item.title} ({item.who.name})", indent=_INSIDE)
    yield Line(f"good: {item.passes_when}", indent=_BELOW)
    if item.state == "failed":
        yield Line(f"else: {item.remedy}", indent=_BELOW)
    if item.open_at and item.state in {"open", "failed"}:
        shown = ", ".join(item.open_at[:MOST_PLACES])
        more = len(item.open_at) - MOST_PLACES
        yield Line(f"open: {shown}{f' and {more} more' if more > 0 else ''}", indent=_BELOW)
