"""What can be said of trips, dates, changes, overrides and stops.

Invariant: each form gives the fields of one kind of entry.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from readiness.exchange.note_listener import (
    Build,
    Fields,
    Listener,
    NoteRefused,
    completed,
    named_places,
    places_of,
    trip_or_only,
    when_of,
)
from readiness.exchange.note_site_forms import SHARE
from readiness.job.durations import Duration
from readiness.job.written import MisreadError


def confirmed(*, yes: bool) -> Build:
    """Return the form for the dispatcher's yes or no."""

    def build(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
        trip, rest = trip_or_only(listener, words)
        reason = options.get("reason") or " ".join(rest)
        return {"kind": "confirmed", "trip": trip, "yes": yes, "reason": reason}

    return build


def offered(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read offered days with their hours, and until when the offer holds."""
    trip, rest = trip_or_only(listener, words)
    moments = [when_of(listener, piece.strip()) for piece in " ".join(rest).split(",")]
    told = [moment.isoformat() for moment in moments if isinstance(moment, datetime)]
    if len(told) < len(moments):
        message = "an offered day needs its hour"
        raise NoteRefused(message, "write it like: offered main thu 7 may 07:00, fri 8 may 07:00")
    fields: Fields = {"kind": "offered", "trip": trip, "moments": told}
    if "until" in options:
        until = when_of(listener, options["until"])
        if not isinstance(until, datetime):
            message = "an offer holds until an hour"
            raise NoteRefused(message, 'write it like: --until "wed 6 may 12:00"')
        fields["holds_until"] = until.isoformat()
    return fields


def dated(*, agreed: bool) -> Build:
    """Return the form for a date agreed or booked."""

    def build(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
        del options
        what = completed(words[0], (*listener.trips, *listener.works, "board"), "work or trip")
        day = when_of(listener, " ".join(words[1:]) or "?")
        return {"kind": "dated", "what": what, "when": day.isoformat(), "agreed": agreed}

    return build


def struck(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read that a date is off."""
    del options
    what = completed(words[0], (*listener.trips, *listener.works, "board"), "work or trip")
    return {"kind": "dated", "what": what, "when": None, "agreed": False}


def slip(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a moved booking with its cause."""
    what = completed(words[0], (*listener.trips, *listener.works, "board"), "work or trip")
    if "cause" not in options:
        message = "a slip needs its cause"
        raise NoteRefused(message, 'write it like: slip main "2 working days" --cause storm')
    try:
        to = listener.later_by(what, " ".join(words[1:]) or "?")
    except ValueError as error:
        raise NoteRefused(str(error)) from None
    return {
        "kind": "slip",
        "what": what,
        "to": to.isoformat(sep=" ", timespec="minutes")
        if isinstance(to, datetime)
        else to.isoformat(),
        "cause": options["cause"],
        "moved_by": options.get("name", ""),
    }


def trip_changed(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a trip and its surfaces."""
    del options
    return {"kind": "trip", "trip": words[0], "surfaces": places_of(listener, words[1:])}


def reserved(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read bays left unsprayed on purpose."""
    trip, rest = trip_or_only(listener, words)
    found: dict[str, object] = {
        "kind": "reserved",
        "trip": trip,
        "surfaces": named_places(listener, rest),
        "follow_up": options.get("reason", ""),
    }
    if "behind" in options:
        found["behind"] = _with_bay(listener, options["behind"])
    return found


def _with_bay(listener: Listener, word: str) -> str:
    """Return the thing that a word means, if the bay behind it may be left out."""
    thing = completed(word, listener.job.obstructions, "thing")
    kind = listener.facts.obstructions[listener.job.obstructions[thing].is_]
    if not kind.may_leave_bay:
        message = f"behind {thing} no bay can be left out: {kind.title}"
        raise NoteRefused(message, kind.instead or "it has to be pulled, or its surface left out")
    return thing


def off(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a day on which a trade does not come."""
    del options
    trade, day = _trade_and_day(listener, words)
    return {"kind": "off", "off_trade": trade, "days": [day]}


def extra(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a day off on which a trade comes all the same."""
    del options
    trade, day = _trade_and_day(listener, words)
    return {"kind": "extra", "extra_trade": trade, "days": [day]}


def _trade_and_day(listener: Listener, words: list[str]) -> tuple[str, str]:
    trade = completed(words[0], listener.job.trades, "trade")
    day = when_of(listener, " ".join(words[1:]) or "?")
    only_day = day.date() if isinstance(day, datetime) else day
    return trade, only_day.isoformat()


def late(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read until when a trade works on in the evening of a day."""
    del options
    trade = completed(words[0], listener.job.trades, "trade")
    until = when_of(listener, " ".join(words[1:]) or "?")
    if not isinstance(until, datetime):
        message = "an evening needs the hour until which the trade works"
        raise NoteRefused(message, 'write it like: late plumber "thu 7 may 20:00"')
    return {"kind": "late", "late_trade": trade, "until": [until.isoformat()]}


def takes(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read how long a work takes from now on."""
    work = completed(words[0], listener.works, "work")
    try:
        duration = Duration.parse(" ".join(words[1:]))
    except MisreadError as error:
        raise NoteRefused(str(error), 'write it like: takes wires "2 d"') from None
    fields: Fields = {"kind": "takes", "work": work, "takes": str(duration)}
    if "reason" in options:
        fields["reason"] = options["reason"]
    return fields


def crews(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read how many crews come for a work."""
    del options
    work = completed(words[0], listener.works, "work")
    number = " ".join(words[1:])
    if not number.isdecimal() or not int(number):
        message = "how many crews come is a number"
        raise NoteRefused(message, "write it like: crews wires 2")
    return {"kind": "crews", "work": work, "crews": int(number)}


def first(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read which places of a work come first; none means its usual order."""
    del options
    work = completed(words[0], listener.works, "work")
    return {"kind": "first", "work": work, "places": places_of(listener, words[1:])}


def rigs(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read how many rigs spray at once on a trip."""
    del options
    trip, rest = trip_or_only(listener, words)
    number = " ".join(rest)
    if not number.isdecimal() or not int(number):
        message = "how many rigs come is a number"
        raise NoteRefused(message, "write it like: rigs main 2")
    return {"kind": "rigs", "trip": trip, "rigs": int(number)}


def change(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a change and the work it reopens."""
    works = [
        completed(word, listener.works, "work")
        for word in options.get("works", "").replace(",", " ").split()
    ]
    return {
        "kind": "change",
        "what": words[0],
        "surfaces": named_places(listener, words[1:]),
        "works": works,
        "asked_by": options.get("by", ""),
        "agreed_by": options.get("agreed-by", ""),
    }


def damage(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read damage to foam."""
    trade = options.get("trade", "")
    return {
        "kind": "damage",
        "what": words[0],
        "surfaces": named_places(listener, words[1:]),
        "by_trade": completed(trade, listener.job.trades, "trade") if trade else "",
    }


def override(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a decision to go on, with its reason."""
    if not options.get("reason"):
        message = "an override needs its reason"
        raise NoteRefused(message, 'write it like: override REQUIREMENT SURFACES --reason "WHY"')
    known = (
        *listener.requirements,
        *listener.works,
        *listener.approvals,
        *listener.job.obstructions,
    )
    trip, _ = trip_or_only(listener, [options["trip"]] if "trip" in options else [])
    return {
        "kind": "override",
        "requirement": completed(words[0], known, "requirement"),
        "surfaces": named_places(listener, words[1:]),
        "trip": trip,
        "reason": options["reason"],
    }


def stop(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a stop."""
    del options
    return {"kind": "stop", "reason": words[0], "places": places_of(listener, words[1:])}


def lift(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read that a stop is lifted."""
    del listener
    return {"kind": "lift", "reason": options.get("reason") or " ".join(words)}


def of_trip(kind: str) -> Build:
    """Return the form for one step of a trip."""

    def build(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
        del options
        trip, rest = trip_or_only(listener, words)
        if rest:
            message = f"{' '.join(rest)!r} was not expected"
            raise NoteRefused(message, f"write it like: {kind} [TRIP]")
        return {"kind": kind, "trip": trip}

    return build


def lots(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read the lot numbers of the drums."""
    del options
    trip, rest = trip_or_only(listener, words)
    if not rest:
        raise IndexError
    numbers = [number for word in rest if (number := word.strip(","))]
    return {"kind": "lots", "trip": trip, "lots": numbers}


def last_foam(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read when the last foam was, and where, if it was a touch-up of single surfaces."""
    del options
    trip, rest = trip_or_only(listener, words)
    surfaces = places_of(listener, rest) if rest else []
    return {"kind": "last-foam", "trip": trip, "surfaces": surfaces}


def released(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read who lets others in again: workers, or the residents too."""
    del options
    trip, rest = trip_or_only(listener, words)
    for_residents = rest in (["residents"], ["for", "residents"])
    if rest and not for_residents:
        message = f"{' '.join(rest)!r} was not expected"
        raise NoteRefused(message, "write it like: release [TRIP] [residents]")
    return {"kind": "release", "trip": trip, "residents": for_residents}


def ventilated(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read whether fans have run."""
    del options
    trip, rest = trip_or_only(listener, words)
    answer = completed(rest[0].casefold() if rest else "yes", ("yes", "no"), "answer")
    return {"kind": "ventilated", "trip": trip, "yes": answer == "yes"}


def sprayed(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read surfaces, or a share of them, as sprayed."""
    del options
    trip, rest = trip_or_only(listener, words)
    text = " ".join(rest)
    fields: Fields = {"kind": "sprayed", "trip": trip, "how": "seen"}
    if match := SHARE.search(text):
        fields["share"] = f"{match[1]} %"
        text = text[: match.start()] + text[match.end() :]
    fields["surfaces"] = named_places(listener, text.split())
    return fields
