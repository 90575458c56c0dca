"""The answer of `ways` as text: two sentences for each way, then what comes with it.

Invariant: what has no price is named, and cautions stand with the way that needs them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.check_text import WIDTH, area_told
from readiness.pages.columns import wrapped
from readiness.pages.moments import both_instants

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.questions.ways import CostLine, WayLine, WaysAnswer

INDENT = "     "


def ways_text(answer: WaysAnswer, *, why: bool = False) -> str:
    """Return the answer as text; `why` adds the bill of each way and what it writes."""
    instants = answer.instants
    lines = [
        f"{answer.job}: "
        + both_instants(instants.as_of, instants.on, instants.time_zone, instants.gate),
        *wrapped(answer.sentence, WIDTH),
    ]
    for way in answer.ways:
        lines += _way(way, answer.units, why=why)
    if not answer.ways:
        lines += _against(answer, why=why)
    for note in answer.notes:
        lines += wrapped(note, WIDTH, "  ", "")
    return "\n".join(lines) + "\n"


def _against(answer: WaysAnswer, *, why: bool) -> Iterator[str]:
    """Yield what stands against the day; `why` tells the whole proof where it is long."""
    told = answer.proof if why else answer.in_short
    if len(told) > 1:
        yield f"No set of the {answer.offered} changes gets past all of this:"
    for number, against in enumerate(told, 1):
        yield from wrapped(against, WIDTH, INDENT, f"{number:>3}. ")
    if told != answer.proof:
        yield from wrapped(f"--why tells all {len(answer.proof)} steps of it.", WIDTH, "  ", "")


def share_told(way: WayLine, units: str) -> str:
    """Return how much is still sprayed on the day; empty if a way leaves nothing out."""
    share = way.share
    if share is None:
        return ""
    size = area_told(share.square_feet, share.of_square_feet, units)
    return f"sprays {share.surfaces} of {share.of_surfaces} surfaces that day, {size}"


def _way(way: WayLine, units: str, *, why: bool) -> Iterator[str]:
    yield ""
    yield from wrapped(way.does, WIDTH, INDENT, f"{way.number:>3}. ")
    yield from wrapped(way.costs, WIDTH, INDENT)
    if way.share is not None:
        yield from wrapped(share_told(way, units), WIDTH, INDENT + "  ", INDENT)
    if way.people:
        told = ", ".join(f"{who.name} {who.phone}".strip() for who in way.people)
        yield from wrapped(f"tell: {told}", WIDTH, INDENT + "  ", INDENT)
    if way.brings:
        yield from wrapped(f"brings: {'; '.join(way.brings)}", WIDTH, INDENT + "  ", INDENT)
    for caution in way.cautions:
        yield from wrapped(f"Caution: {caution}", WIDTH, INDENT + "  ", INDENT)
    if len(way.bill) > 1 or why:
        lost = [] if why else [item for item in way.bill if item.days]
        for item in way.bill:
            if item in lost:
                continue
            says = f"{item.what}: {_amount([item], way.currency)}"
            says += f" [{item.origin}]" if why and item.origin else ""
            yield from wrapped(says, WIDTH, INDENT + "    ", INDENT + "  ")
        if lost:
            says = f"{sum(item.days for item in lost):.1f} trade-days lost to its keep-out"
            says += f": {_amount(lost, way.currency)}"
            yield from wrapped(says, WIDTH, INDENT + "    ", INDENT + "  ")
    if why:
        yield from _why(way)


def _why(way: WayLine) -> Iterator[str]:
    """Yield where what it changes is written, and what it writes."""
    for origin in way.origins:
        yield from wrapped(f"from: {origin}", WIDTH, INDENT + "  ", INDENT)
    for line in way.lines:
        said = ", ".join(f"{key} {value}" for key, value in line.items() if key != "kind")
        yield from wrapped(f"writes {line['kind']}: {said}", WIDTH, INDENT + "  ", INDENT)


def _amount(items: list[CostLine], currency: str) -> str:
    """Return what the items come to together, unless a price of one is missing."""
    amounts = [item.amount for item in items if item.amount is not None]
    if len(amounts) < len(items):
        return "no price written"
    return f"{sum(amounts):,.2f} {currency}".strip()
