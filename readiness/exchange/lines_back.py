"""What travels back from a site card: answers, stops, readings and spray records, as lines.

Invariant: each line is one that `receive` understands, with its moment and its author in front;
nothing private is among them.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from readiness.diary import entries as kinds
from readiness.exchange.note_site_forms import READINGS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readiness.diary.history import Noted


def lines_back(notes: Iterable[Noted]) -> tuple[str, ...]:
    """Return the entries that the other firm wants to know, oldest first."""
    told = ((noted.entry, _line(noted.entry)) for noted in notes)
    return tuple(f"{_head(entry)}{line}" for entry, line in told if line)


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
        day = by.isoformat(sep=" ") if isinstance(by, datetime) else by
        return f"promised {entry.requirement} {day}"
    verb = {"yes": "yes", "no": "no"}.get(entry.value, "unknown")
    return f"{verb} {entry.requirement}{_places(entry.places)}"


def _reading(entry: kinds.ReadingTaken) -> str:
    word = {kind: word for word, kind in READINGS.items()}[entry.reading]
    return f"reading {word} {entry.value}{_places(entry.places)}"


def _lift(entry: kinds.Lifted) -> str:
    return f'lift "{entry.reason}"' if entry.reason else "lift"


def _confirmed(entry: kinds.SiteConfirmed) -> str:
    return f"{'confirmed' if entry.yes else 'refused'} {entry.trip} {entry.reason}".rstrip()


def _offered(entry: kinds.DaysOffered) -> str:
    moments = ", ".join(f"{moment:%Y-%m-%d %H:%M}" for moment in entry.moments)
    return f"offered {entry.trip} {moments}"


def _step(entry: kinds.Arrived | kinds.LastFoam | kinds.CleanedUp | kinds.Released) -> str:
    return f"{entry.kind} {entry.trip}"


def _sprayed(entry: kinds.Sprayed) -> str:
    share = f" {entry.share}" if entry.share is not None else ""
    return f"sprayed {entry.trip}{_places(entry.surfaces)}{share}"


def _depth(entry: kinds.DepthRead) -> str:
    inner = [_amount(str(depth)) for depth in entry.field]
    edge = [_amount(str(depth)) + "e" for depth in entry.perimeter]
    return f"depth {entry.surface} {' '.join((*inner, *edge))}"


def _remark(entry: kinds.Remark) -> str:
    return "" if entry.private else f'remark "{entry.text}"'.replace("\n", " ")


FORMS: dict[type, Callable[..., str]] = {
    kinds.Answered: _answer,
    kinds.Prepared: lambda entry: f"prepared {entry.requirement}{_places(entry.places)}",
    kinds.ReadingTaken: _reading,
    kinds.ReadingsVoid: lambda entry: f'void "{entry.cause}"{_places(entry.places)}',
    kinds.Stopped: lambda entry: f'stop "{entry.reason}"{_places(entry.places)}',
    kinds.Lifted: _lift,
    kinds.SiteConfirmed: _confirmed,
    kinds.DaysOffered: _offered,
    kinds.Arrived: _step,
    kinds.LastFoam: _step,
    kinds.CleanedUp: _step,
    kinds.Released: _step,
    kinds.Ventilated: lambda entry: f"ventilated {entry.trip}{'' if entry.yes else ' no'}",
    kinds.Sprayed: _sprayed,
    kinds.DepthRead: _depth,
    kinds.BayReserved: lambda entry: f"reserved {entry.trip}{_places(entry.surfaces)}",
    kinds.Remark: _remark,
}
"""How each kind that the other firm wants to know is typed; others stay at home."""


def _places(places: tuple[str, ...]) -> str:
    if places == ("all",):
        return ""
    return " " + ", ".join(places)


def _amount(depth: str) -> str:
    return depth.split(maxsplit=1)[0]
