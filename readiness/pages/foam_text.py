"""The answer of `foam` as text: what is to be settled first, then surfaces that are alike together.

Invariant: a line that rests on something from memory says so on the line itself, not only with
`--why`.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.moments import both_instants, told

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.questions.foam import FoamAnswer, FoamSurface
    from readiness.telling.foam_day import NeedLine
    from readiness.telling.foam_lines import MarkLine, RuleLine

WIDTH = 96
MILLIMETRES_PER_INCH = 25.4
SQUARE_METRES_PER_SQUARE_FOOT = 0.09290304
SHORT_FIRST = ("short", "not known", "owed", "to ask", "reached", "not owed", "not in our tables")


_UNANSWERED = {"barrier": "no work of the job covers it, so the gate asks who allowed that"}
_WRITE_WORK = "no work of the job answers it yet: write one under [work]"


def foam_text(answer: FoamAnswer, *, why: bool = False) -> str:
    """Return the answer as text.

    Args:
        answer: The answer.
        why: Tell the source of every line too.
    """
    instants = answer.instants
    lines = [
        f"{answer.job}: "
        + both_instants(instants.as_of, instants.on, instants.time_zone, instants.gate),
        *_wrapped(f"{answer.trip_name} trip: {answer.sentence}"),
        *_wrapped(answer.decides),
        *_wrapped(f"code {answer.code or 'not written'}, zone {answer.climate or 'not written'}"),
    ]
    if answer.edition_says:
        lines += _wrapped(f"note: {answer.edition_says}")
    lines += _products(answer)
    lines += _quantities(answer, why=why)
    lines += _day(answer, why=why)
    for names, surface in _alike(answer.surfaces):
        lines += ["", *_surface(names, surface, answer.units, why=why)]
    lines += _follows(answer)
    lines += _asked(answer, why=why)
    if why and answer.beside:
        lines += ["", "Told beside, compared with nothing:"]
        lines += [one for line in answer.beside for one in _rule(line, why=why)]
    if answer.unverified:
        lines += ["", "Used here and not verified (from memory):"]
        lines += [
            one
            for mark in answer.unverified
            for one in _wrapped(f"{mark.what}: {mark.source}", "  ", "  ")
        ]
    lines += [""]
    lines += [line for caution in answer.cautions for line in _wrapped(f"Caution: {caution}")]
    return "\n".join(lines) + "\n"


def _wrapped(text: str, indent: str = "", hang: str = "  ") -> list[str]:
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + hang) or [indent]


def _products(answer: FoamAnswer) -> Iterable[str]:
    if not answer.products:
        yield "products: none is written, so figures of the class stand in"
    for product in answer.products:
        report = f", {product.report}" if product.report else ", no report written"
        yield from _wrapped(
            f"{product.name}, {product.foam}: {product.sheet}{report}; goes before our figures"
        )


def _alike(surfaces: Iterable[FoamSurface]) -> Iterable[tuple[list[str], FoamSurface]]:
    """Yield surfaces of which everything but name and area is the same as one."""
    found: dict[tuple[object, ...], list[FoamSurface]] = {}
    for surface in surfaces:
        key = (
            surface.kind,
            surface.exposure,
            surface.product,
            surface.depth_inches,
            surface.suits,
            surface.rules,
        )
        found.setdefault(key, []).append(surface)
    for alike in found.values():
        yield [one.name for one in alike], alike[0]


def _foam(surface: FoamSurface, units: str) -> str:
    """Return how deep of what, or which of both is not written."""
    if surface.depth_inches is None:
        return f"{surface.product}, depth not written" if surface.product else "no foam is written"
    depth = _depth(surface.depth_inches, units)
    return f"{depth} of {surface.product}" if surface.product else f"{depth}, class not written"


def _surface(names: list[str], surface: FoamSurface, units: str, *, why: bool) -> Iterable[str]:
    where = "" if surface.exposure == "in the frame" else f", {surface.exposure}"
    yield from _wrapped(f"{', '.join(names)} ({surface.kind}{where}): {_foam(surface, units)}")
    yield from _wrapped(f"class: {surface.suits.says}", "  ")
    if why:
        yield from _sources(surface.suits.rests_on)
    for line in sorted(surface.rules, key=lambda line: SHORT_FIRST.index(line.state)):
        yield from _rule(line, why=why)


def _rule(line: RuleLine, *, why: bool) -> Iterable[str]:
    text = f"{line.state}: {line.topic}, {line.says}"
    if line.owes:
        text += f" -> {', '.join(line.answered_by) or 'no work of the job yet'}"
    yield from _wrapped(text + status_told(line.rests_on), "  ")
    if line.asks and line.who is not None:
        phone = line.who.phone or "no number"
        yield from _wrapped(f"ask {line.who.name}, {phone}: {line.asks}", "    ")
    if why:
        yield from _sources(line.rests_on)


def status_told(marks: Sequence[MarkLine]) -> str:
    """Return the statuses of what a line rests on, what nobody has seen said in full."""
    told_statuses = dict.fromkeys(
        "from memory, not verified" if mark.status == "from memory" else mark.status
        for mark in marks
    )
    return f" [{'; '.join(told_statuses)}]" if told_statuses else ""


def _sources(marks: Iterable[MarkLine]) -> Iterable[str]:
    for mark in marks:
        yield from _wrapped(f"from: {mark.what}: {mark.source} [{mark.status}]", "      ")


def _follows(answer: FoamAnswer) -> Iterable[str]:
    if not answer.follows:
        return
    yield ""
    yield "What follows:"
    for line in answer.follows:
        works = ", ".join(line.works) or _UNANSWERED.get(line.what, _WRITE_WORK)
        is_all = len(line.surfaces) == len(answer.surfaces)
        names = "every surface of the trip" if is_all else ", ".join(line.names)
        yield from _wrapped(f"{line.what} ({line.gate} gate): {works}: {names}", "  ")


def _asked(answer: FoamAnswer, *, why: bool) -> Iterable[str]:
    """Yield what is asked for the whole job: by person in short, or with sources in full."""
    if not answer.asked:
        return
    yield ""
    yield "To ask for the whole job (in full with --why):" if not why else "To ask:"
    if why:
        for line in answer.asked:
            yield from _rule(line, why=why)
        return
    by_who: dict[str, list[str]] = {}
    for line in answer.asked:
        who = f"{line.who.name}, {line.who.phone or 'no number'}" if line.who else "the contractor"
        by_who.setdefault(who, []).append(line.says + status_told(line.rests_on))
    for who, told_lines in by_who.items():
        yield f"  {who}:"
        for told_line in told_lines:
            yield from _wrapped(told_line, "    ")


def _quantities(answer: FoamAnswer, *, why: bool) -> Iterable[str]:
    if not answer.needs:
        return
    plain = sum(line.plain_board_feet for line in answer.needs)
    sprayed = sum(line.sprayed_board_feet for line in answer.needs)
    yield ""
    yield f"Foam: {plain:,.0f} bd ft by area and depth, {sprayed:,.0f} bd ft through the gun"
    for names, line in _alike_needs(answer.needs):
        yield from _wrapped(_need(names, line, answer.units), "  ")
    for drum in answer.drums:
        yield from _wrapped(
            f"drum sets, {drum.foam}: {drum.board_feet:,.0f} bd ft at {drum.per_set:,.0f} each "
            f"is {drum.sets:g}; load {drum.to_load}" + status_told(drum.rests_on),
            "  ",
        )
        if why:
            yield from _sources(drum.rests_on)


def _alike_needs(needs: Iterable[NeedLine]) -> Iterable[tuple[list[str], NeedLine]]:
    """Yield what is unusual line by line, and nothing for the plain ones."""
    for line in needs:
        if line.left_inches or line.share_done:
            yield [line.name], line


def _need(names: list[str], line: NeedLine, units: str) -> str:
    text = f"{', '.join(names)}: {_depth(line.depth_inches, units)} on this trip"
    if line.left_inches:
        text += f", {_depth(line.left_inches, units)} left for another"
    if line.share_done:
        text += f", {line.share_done:.0%} done"
    return text


def _day(answer: FoamAnswer, *, why: bool) -> Iterable[str]:
    day = answer.day
    yield ""
    yield from _wrapped(f"Hours: {day.says}" + status_told(day.rests_on))
    for step in day.steps:
        if step.minutes is None:
            yield from _wrapped(f"{step.name}: {step.says}", "  ")
        elif step.name == "waits between passes" and not step.minutes:
            yield f"  {step.name}: none, going round takes longer than the sheet's wait"
        elif step.minutes:
            until = f", until {told(step.until, answer.instants.on.year)}" if step.until else ""
            yield f"  {step.name}: {step.minutes // 60} h {step.minutes % 60:02} min{until}"
    if why:
        yield from _sources(day.rests_on)


def _depth(inches: float, units: str) -> str:
    if units == "metric":
        return f"{inches * MILLIMETRES_PER_INCH:.0f} mm"
    return f"{inches:g} in"
