"""The closing record as one page of text.

Invariant: promised and measured stand on one line for each surface, and what is missing stands
before what is there to be read with it.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.board_text import length_words
from readiness.pages.check_text import M2_PER_SQ_FT
from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.record import RecordAnswer, RecordPicture, RecordSurface
    from readiness.telling.depth_lines import ZoneLine

WIDTH = 96
MM_PER_INCH = 25.4
MOST_NAMES = 4


def record_text(answer: RecordAnswer, *, why: bool = False) -> str:
    """Return the record as text.

    Args:
        answer: The answer.
        why: Tell where every depth was written down too.
    """
    return "\n".join(_lines(answer, why=why)) + "\n"


def _lines(answer: RecordAnswer, *, why: bool) -> Iterable[str]:
    yield f"Closing record: {answer.job}"
    where = ", ".join(
        part
        for part in (
            answer.address,
            f"climate zone {answer.climate}" if answer.climate else "",
            answer.code,
        )
        if part
    )
    if where:
        yield _wrapped(where)
    yield f"As of {told(answer.instants.as_of)} ({answer.instants.time_zone})"
    yield ""
    yield answer.sentence
    for line in answer.missing:
        yield _wrapped(f"  missing: {line}", 4)
    yield from _surfaces(answer, why=why)
    yield from _trips(answer)
    yield from _approvals(answer)
    yield from _list("Pictures", [_picture(one) for one in answer.pictures])
    yield from _list("For the owner", list(answer.owner))
    yield from _list("For whoever cuts, drills or roofs later", list(answer.later_trades))
    yield ""
    for caution in answer.cautions:
        yield _wrapped(f"Caution: {caution}", 2)


def _surfaces(answer: RecordAnswer, *, why: bool) -> Iterable[str]:
    if not answer.surfaces:
        return
    yield ""
    yield "Foam, surface by surface:"
    for line in answer.surfaces:
        yield _wrapped(f"  {line.name}: {_area(line, answer.units)}, {_facts(line)}", 4)
        promised = line.depth.agreed or "no depth with its meaning is agreed"
        yield _wrapped(f"    promised  {promised}", 14)
        yield _wrapped(f"    measured  {_measured(line, answer.units)}", 14)
        if why and line.depth.origin:
            yield _wrapped(f"    from      {line.depth.origin}", 14)
    methods = [line.depth.interval_method for line in answer.surfaces if line.depth.field]
    if methods:
        yield f"  Interval of the mean: {methods[0]}."


def _facts(line: RecordSurface) -> str:
    sprayed = f"sprayed {line.sprayed_on:%Y-%m-%d}" if line.sprayed_on else "sprayed"
    return ", ".join((line.kind, line.foam or "class not written", sprayed, line.word))


def _measured(line: RecordSurface, units: str) -> str:
    depth = line.depth
    if depth.field is None or depth.perimeter is None:
        return depth.says
    zones = [
        f"{name} {_zone(zone, read, units)}"
        for name, zone, read in (
            ("field", depth.field, line.readings_inches),
            ("perimeter", depth.perimeter, line.perimeter_inches),
        )
        if zone.readings
    ]
    return f"{'; '.join(zones)}: {depth.outcome} ({depth.by})"


def _zone(zone: ZoneLine, read: tuple[float, ...], units: str) -> str:
    values = [
        round(value * MM_PER_INCH) if units == "metric" else round(value, 2) for value in read
    ]
    as_read = ", ".join(f"{value:g}" for value in values)
    told_of = f"mean {length_words(zone.mean_inches, units)}"
    if zone.mean_from_inches is not None:
        low, high = (
            length_words(each, units) for each in (zone.mean_from_inches, zone.mean_to_inches)
        )
        told_of += f" ({low} to {high})"
    return f"{as_read} {'mm' if units == 'metric' else 'in'}, {told_of}"


def _area(line: RecordSurface, units: str) -> str:
    if units == "metric":
        return f"{line.area_square_feet * M2_PER_SQ_FT:.1f} m2"
    return f"{line.area_square_feet:g} sq ft"


def _trips(answer: RecordAnswer) -> Iterable[str]:
    lines = []
    for trip in answer.trips:
        said = [f"{trip.name}, {trip.firm}"]
        said.append(f"sheet: {trip.sheet or 'not written'}")
        said.append(f"lots: {', '.join(trip.lots) or 'not written'}")
        if trip.last_foam is not None:
            said.append(f"last foam {told(trip.last_foam)}")
        if trip.released is not None:
            by = f" by {trip.released_by}" if trip.released_by else ""
            said.append(f"workers let in {told(trip.released)}{by}")
        if trip.residents is not None:
            said.append(f"residents let in {told(trip.residents)}")
        lines.append("; ".join(said))
    yield from _list("Trips", lines)


def _approvals(answer: RecordAnswer) -> Iterable[str]:
    lines = []
    for line in answer.approvals:
        on = f", {told(line.on)}" if line.on is not None else ""
        by = f" by {line.by}" if line.by else ""
        count = len(line.surfaces)
        where = ", ".join(line.surfaces) if count <= MOST_NAMES else f"{count} surfaces"
        lines.append(f"{line.title}: {line.result}{by}{on} ({where})")
    yield from _list("Approvals", lines)


def _picture(picture: RecordPicture) -> str:
    return f"{picture.reference} ({', '.join(picture.places)}, {picture.on})"


def _list(title: str, lines: list[str]) -> Iterable[str]:
    if not lines:
        return
    yield ""
    yield f"{title}:"
    for line in lines:
        yield _wrapped(f"  - {line}", 4)


def _wrapped(text: str, hang: int = 0) -> str:
    return "\n".join(wrap(text, WIDTH, subsequent_indent=" " * hang, break_on_hyphens=False))
