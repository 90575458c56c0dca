"""What travels back from a site card: answers, stops, readings and spray records, as lines.

Invariant: each line is one that `receive` understands, with its moment and its author in front;
nothing private is among them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.diary import entries as kinds
from readiness.exchange.message import quoted
from readiness.exchange.note_site_forms import READINGS
from readiness.exchange.private_words import looks_private

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readiness.diary.history import Noted


@dataclass(frozen=True, slots=True)
class LinesBack:
    """What goes back, and how much of it stays at home."""

    lines: tuple[str, ...]
    private_remarks: int
    """Remarks that are private, or look like it."""
    reasons_left_out: int
    """Lines that go without their reason, because it looks private."""


def lines_back(notes: Iterable[Noted]) -> LinesBack:
    """Return the entries that the other firm wants to know, oldest first."""
    lines: list[str] = []
    private = left_out = 0
    for noted in notes:
        entry = noted.entry
        if isinstance(entry, kinds.Remark) and (entry.private or looks_private(entry.text)):
            private += 1
            continue
        text = "cause" if isinstance(entry, kinds.ReadingsVoid) else "reason"
        if looks_private(getattr(entry, text, "")):
            left_out += 1
            entry = entry.model_copy(update={text: REASON_AT_HOME})
        line = _line(entry)
        if line:
            lines.append(f"{_head(entry)}{line} --how {entry.how.value}")
    return LinesBack(tuple(lines), private, left_out)


REASON_AT_HOME = "call for the reason"
"""Stands for a reason that looks private."""


def _head(entry: kinds.AnyEntry) -> str:
    when = entry.seen
    moment = f"{when:%Y-%m-%d %H:%M}" if isinstance(when, datetime) else when.isoformat()
    role = entry.trade or (entry.role.value if entry.role else "")
    return f"{moment} {entry.by}{', ' + role if role else ''}: "


def _line(entry: kinds.AnyEntry) -> str:
    """Return an entry in the form in which it is typed, or nothing if it stays at home."""
    form = FORMS.get(type(entry))
    return form(entry) if form is not None else ""


def _answer(entry: kinds.Answered) -> str:
    if entry.value == "promised":
        by = entry.promised_by
        day = f"{by:%Y-%m-%d %H:%M}" if isinstance(by, datetime) else by
        named = _places(entry.places).strip()
        where = f" --in {quoted(named)}" if named else ""
        return f"promised {entry.requirement} {day}{where}"
    verb = {"yes": "yes", "no": "no"}.get(entry.value, "unknown")
    trip = f" --trip {entry.trip}" if entry.trip else ""
    return f"{verb} {entry.requirement}{_places(entry.places)}{trip}"


def _reading(entry: kinds.ReadingTaken) -> str:
    word = {kind: word for word, kind in READINGS.items()}[entry.reading]
    return f"reading {word} {entry.value}{_places(entry.places)}"


def _lift(entry: kinds.Lifted) -> str:
    return f"lift {quoted(entry.reason)}" if entry.reason else "lift"


def _confirmed(entry: kinds.SiteConfirmed) -> str:
    reason = f" --reason {quoted(entry.reason)}" if entry.reason else ""
    return f"{'confirmed' if entry.yes else 'refused'} {entry.trip}{reason}"


def _offered(entry: kinds.DaysOffered) -> str:
    moments = ", ".join(f"{moment:%Y-%m-%d %H:%M}" for moment in entry.moments)
    return f"offered {entry.trip} {moments}"


def _step(entry: kinds.Arrived | kinds.CleanedUp) -> str:
    return f"{entry.kind} {entry.trip}"


def _last_foam(entry: kinds.LastFoam) -> str:
    return f"last-foam {entry.trip} {', '.join(entry.surfaces)}".rstrip()


def _released(entry: kinds.Released) -> str:
    return f"release {entry.trip}{' residents' if entry.residents else ''}"


def _sprayed(entry: kinds.Sprayed) -> str:
    share = f" {entry.share}" if entry.share is not None else ""
    return f"sprayed {entry.trip} {', '.join(entry.surfaces)}{share}"


def _depth(entry: kinds.DepthRead) -> str:
    inner = [_amount(str(depth)) for depth in entry.field]
    edge = [_amount(str(depth)) + "e" for depth in entry.perimeter]
    return f"depth {entry.surface} {' '.join((*inner, *edge))}"


def _reserved(entry: kinds.BayReserved) -> str:
    behind = f" --behind {quoted(entry.behind)}" if entry.behind else ""
    reason = f" --reason {quoted(entry.follow_up)}" if entry.follow_up else ""
    return f"reserved {entry.trip} {', '.join(entry.surfaces)}{behind}{reason}"


def _remark(entry: kinds.Remark) -> str:
    return f"remark {quoted(entry.text)}"


FORMS: dict[type, Callable[..., str]] = {
    kinds.Answered: _answer,
    kinds.Prepared: lambda entry: f"prepared {entry.requirement}{_places(entry.places)}",
    kinds.ReadingTaken: _reading,
    kinds.ReadingsVoid: lambda entry: f"void {quoted(entry.cause)}{_places(entry.places)}",
    kinds.Stopped: lambda entry: f"stop {quoted(entry.reason)}{_places(entry.places)}",
    kinds.Lifted: _lift,
    kinds.SiteConfirmed: _confirmed,
    kinds.DaysOffered: _offered,
    kinds.RigsBrought: lambda entry: f"rigs {entry.trip} {entry.rigs}",
    kinds.Arrived: _step,
    kinds.LotsNoted: lambda entry: f"lots {entry.trip} {' '.join(entry.lots)}",
    kinds.LastFoam: _last_foam,
    kinds.CleanedUp: _step,
    kinds.Released: _released,
    kinds.Ventilated: lambda entry: f"ventilated {entry.trip}{'' if entry.yes else ' no'}",
    kinds.Sprayed: _sprayed,
    kinds.DepthRead: _depth,
    kinds.BayReserved: _reserved,
    kinds.Remark: _remark,
}
"""How each kind that the other firm wants to know is typed; others stay at home."""


def _places(places: tuple[str, ...]) -> str:
    if places == ("all",):
        return ""
    return " " + ", ".join(places)


def _amount(depth: str) -> str:
    return depth.split(maxsplit=1)[0]
