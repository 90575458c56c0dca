"""An entry of the diary as the line that would say it again, to go on typing when it is corrected.

Invariant: the line says what the entry says; what no line can say has none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readiness.exchange import lines_back
from readiness.exchange.message import quoted
from readiness.exchange.note_site_forms import RESULTS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from readiness.diary.entries import AnyEntry


def entry_line(entry: AnyEntry) -> str:
    """Return the line that says what an entry says; empty if no line does."""
    shared = lines_back.FORMS.get(type(entry))
    if shared is not None:
        private = " --private" if getattr(entry, "private", False) else ""
        return f"{shared(entry)}{private}"
    form = FORMS.get(entry.kind)
    if form is None:
        return ""
    return " ".join(form(entry.model_dump(mode="json", by_alias=True)).split())


def _places(data: Mapping[str, Any], key: str = "places") -> str:
    places = [place for place in data[key] or () if place != "all"]
    return ", ".join(places)


def _option(name: str, value: object) -> str:
    return f"--{name} {quoted(str(value))}" if value else ""


def _moment(text: object) -> str:
    """Return a day or moment as people type it."""
    return str(text).replace("T", " ")[:16]


def _begun(data: Mapping[str, Any]) -> str:
    left = f"{data['remaining']} left" if data["remaining"] else ""
    return f"begun {data['work']} {_places(data)} {data['share'] or left}"


def _requested(data: Mapping[str, Any]) -> str:
    slot = _option("slot", data["slot"] and _moment(data["slot"]))
    return f"requested {data['approval']} {_places(data, 'surfaces')} {slot}"


def _result(data: Mapping[str, Any]) -> str:
    verb = {result.value: verb for verb, result in RESULTS.items()}[data["result"]]
    by, correct = _option("by", data["office"]), _option("correct", data["correct"])
    return f"{verb} {data['approval']} {_places(data, 'surfaces')} {by} {correct}"


def _thing_set(data: Mapping[str, Any]) -> str:
    blocks = _option("blocks", _places(data, "blocks"))
    return f"set {data['thing']} {_option('is', data['is'])} {blocks}"


def _thing_dated(data: Mapping[str, Any]) -> str:
    verb = "pull" if data["pull"] else "put-back"
    return f"{verb} {data['thing']} {_moment(data['pull'] or data['reset'] or '')}"


def _dated(data: Mapping[str, Any]) -> str:
    if data["when"] is None:
        return f"struck {data['what']}"
    verb = "agreed" if data["agreed"] else "booked"
    return f"{verb} {data['what']} {_moment(data['when'])}"


def _change(data: Mapping[str, Any]) -> str:
    works = _option("works", ", ".join(data["works"]))
    by, agreed = _option("by", data["asked_by"]), _option("agreed-by", data["agreed_by"])
    what = f"change {quoted(data['what'])} {_places(data, 'surfaces')}"
    return f"{what} {works} {by} {agreed}"


def _override(data: Mapping[str, Any]) -> str:
    reason, trip = _option("reason", data["reason"]), _option("trip", data["trip"])
    return f"override {data['requirement']} {_places(data, 'surfaces')} {reason} {trip}"


FORMS: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "done": lambda data: f"done {data['work']} {_places(data)}",
    "not-done": lambda data: f"not-done {data['work']} {_places(data)}",
    "begun": _begun,
    "requested": _requested,
    "result": _result,
    "set": _thing_set,
    "pulled": lambda data: f"pulled {data['thing']}",
    "thing-dated": _thing_dated,
    "photo": lambda data: f"photo {quoted(data['reference'])} {_places(data)}",
    "dated": _dated,
    "slip": lambda data: (
        f"slip {data['what']} {quoted(_moment(data['to']))} {_option('cause', data['cause'])}"
    ),
    "trip": lambda data: f"trip {data['trip']} {_places(data, 'surfaces')}",
    "sealed": lambda data: f"sealed {_places(data, 'surfaces')} {_option('reason', data['what'])}",
    "off": lambda data: f"off {data['off_trade']} {data['days'][0]}",
    "extra": lambda data: f"extra {data['extra_trade']} {data['days'][0]}",
    "late": lambda data: f"late {data['late_trade']} {_moment(data['until'][0])}",
    "takes": lambda data: (
        f"takes {data['work']} {quoted(data['takes'])} {_option('reason', data['reason'])}"
    ),
    "crews": lambda data: f"crews {data['work']} {data['crews']}",
    "first": lambda data: f"first {data['work']} {_places(data)}",
    "change": _change,
    "damage": lambda data: (
        f"damage {quoted(data['what'])} {_places(data, 'surfaces')}"
        f" {_option('trade', data['by_trade'])}"
    ),
    "override": _override,
    "sign-off": lambda data: f"sign-off {quoted(data['what'])} {_places(data)}",
}
"""By kind, where the lines that go back to the other firm do not have one."""
