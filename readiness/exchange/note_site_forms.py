"""What can be said of work, offices, things in the way, readings and answers.

Invariant: each form gives the fields of one kind of entry.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime

from readiness.exchange.note_listener import (
    Build,
    Fields,
    Listener,
    NoteRefused,
    completed,
    known_places,
    named_places,
    place_of,
    places_of,
    question_of,
    trip_of,
    when_of,
)
from readiness.facts.vocabulary import ApprovalResult, ReadingKind
from readiness.job.foam_depths import is_too_deep
from readiness.job.instruments import figure_read
from readiness.job.problems import nearest
from readiness.job.quantities import Length
from readiness.job.written import MisreadError

RESULTS = {
    "passed": ApprovalResult.PASSED,
    "passed-part": ApprovalResult.PASSED_FOR_PART,
    "may-cover": ApprovalResult.MAY_COVER,
    "failed": ApprovalResult.FAILED,
    "accepted": ApprovalResult.ACCEPTED_OTHERWISE,
    "not-required": ApprovalResult.NOT_REQUIRED,
}

READINGS = {
    "substrate": ReadingKind.SUBSTRATE_TEMPERATURE,
    "moisture": ReadingKind.WOOD_MOISTURE,
    "surface": ReadingKind.SUBSTRATE_TEMPERATURE,
    "air": ReadingKind.AIR_TEMPERATURE,
    "humidity": ReadingKind.RELATIVE_HUMIDITY,
    "concrete": ReadingKind.CONCRETE_MOISTURE,
}


def work(kind: str) -> Build:
    """Return the form for work that is done, or is not after all."""

    def build(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
        del options
        work = completed(words[0], listener.works, "work")
        return {"kind": kind, "work": work, "places": places_of(listener, words[1:])}

    return build


SHARE = re.compile(r"([0-9]{1,3}) ?%")


def begun(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read work under way, with its share or what is left."""
    del options
    work = completed(words[0], listener.works, "work")
    rest = " ".join(words[1:])
    fields: Fields = {"kind": "begun", "work": work}
    if match := SHARE.search(rest):
        fields["share"] = f"{match[1]} %"
        rest = rest[: match.start()] + rest[match.end() :]
    elif match := re.search(r"([0-9.]+ ?(?:d|h|min)) left", rest):
        fields["remaining"] = match[1]
        rest = rest[: match.start()] + rest[match.end() :]
    fields["places"] = places_of(listener, rest.split())
    return fields


def requested(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a request to an office, and the slot it has confirmed."""
    approval = approval_named(listener, words[0])
    fields: Fields = {
        "kind": "requested",
        "approval": approval,
        "surfaces": places_of(listener, words[1:]),
    }
    for name in ("slot", "wanted"):
        if name in options:
            slot = when_of(listener, options[name])
            if not isinstance(slot, datetime):
                message = "a slot needs its hour"
                raise NoteRefused(message, f'write it like: --{name} "thu 7 may 09:00"')
            fields[name] = slot.isoformat()
    return {**fields, "part": True} if "part" in options else fields


def approval_named(listener: Listener, word: str) -> str:
    """Return the approval that a word means, its ending left out or not."""
    if word in listener.approvals:
        return word
    known = {name.removesuffix("-approval"): name for name in listener.approvals}
    return known[completed(word.removesuffix("-approval"), known, "approval")]


def result(verb: str) -> Build:
    """Return the form for one result of an office."""

    def build(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
        return {
            "kind": "result",
            "approval": approval_named(listener, words[0]),
            "surfaces": places_of(listener, words[1:]),
            "result": RESULTS[verb].value,
            "office": options.get("by", ""),
            "correct": options.get("correct", ""),
            **({"how": "recorded"} if "by" in options else {}),
        }

    return build


def thing_set(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a thing in the way; a new one is told with its kind."""
    fields: Fields = {"kind": "set", "thing": words[0]}
    if words[0] not in listener.job.obstructions:
        kind = options.get("is", "")
        if not kind:
            near = nearest(words[0], listener.job.obstructions)
            hint = f"did you mean {near}? " if near else ""
            message = f"{words[0]!r} is no thing of this job"
            raise NoteRefused(
                message, hint + "a new one is told as: set NAME --is KIND --blocks PLACES"
            )
        fields["is"] = completed(kind, listener.facts.obstructions, "kind of thing")
        fields["blocks"] = places_of(listener, options.get("blocks", "").split())
    return fields


def thing(listener: Listener, word: str) -> str:
    """Return the thing that a word means."""
    return completed(word, listener.job.obstructions, "thing in the way")


def pulled(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a thing taken out of the way."""
    del options
    return {"kind": "pulled", "thing": thing(listener, words[0])}


def thing_dated(key: str) -> Build:
    """Return the form for the day of a pull or of coming back."""

    def build(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
        del options
        day = when_of(listener, " ".join(words[1:]) or "?")
        return {"kind": "thing-dated", "thing": thing(listener, words[0]), key: day.isoformat()}

    return build


def reading(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a reading with its unit and the places it speaks for."""
    kind = READINGS[completed(words[0], READINGS, "kind of reading")]
    value, rest = words[1], words[2:]
    if rest and rest[0] in {"%", "F", "C", "f", "c"}:
        value, rest = f"{value} {rest[0]}", rest[1:]
    try:
        figure_read(kind, value)
    except MisreadError as error:
        raise NoteRefused(str(error)) from None
    return {
        "kind": "reading",
        "reading": kind.value,
        "value": value,
        "places": places_of(listener, rest),
        "how": "seen",
        **({"instrument": options["instrument"]} if "instrument" in options else {}),
    }


def void(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read what makes earlier readings void."""
    cause = options.get("cause") or words[0]
    rest = words if options.get("cause") else words[1:]
    return {"kind": "readings-void", "cause": cause, "places": places_of(listener, rest)}


def answer(value: str) -> Build:
    """Return the form for one answer."""

    def build(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
        return {
            "kind": "answer",
            "requirement": question_of(listener, words[0]),
            "value": value,
            "places": places_of(listener, words[1:]),
            "trip": trip_of(listener, options["trip"]) if "trip" in options else "",
        }

    return build


def promised(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a promise with its day; the places stand in an option, for days have many words."""
    asked, when = words[0], words[1:]
    if not when:
        raise IndexError
    return {
        "kind": "answer",
        "requirement": question_of(listener, asked),
        "value": "promised",
        "promised_by": when_of(listener, " ".join(when)).isoformat(),
        "places": places_of(listener, options.get("in", "").split()),
    }


def prepared(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a preparation that was seen."""
    del options
    return {
        "kind": "prepared",
        "requirement": completed(words[0], listener.requirements, "preparation"),
        "places": places_of(listener, words[1:]),
    }


_DEPTH = re.compile(r"(?P<value>[0-9]+(?:[.,][0-9]+)?)(?P<edge>e?)", re.IGNORECASE)


def depth_read(word: str, units: str) -> tuple[str, bool]:
    """Return one depth reading with its unit, and whether it is at the perimeter.

    Raises:
        NoteRefused: It is no depth, or one that no building has.
    """
    unit = "mm" if units == "metric" else "in"
    match = _DEPTH.fullmatch(word)
    if match is None:
        message = f"{word!r} is no depth"
        raise NoteRefused(message, "write it like: depth SURFACE 3.4 3.6 3.1e")
    value = f"{match['value'].replace(',', '.')} {unit}"
    if is_too_deep(Length.parse(value)):
        raise NoteRefused(
            f"{value} is deeper than any foam in a building",
            f"readings of this job are in {unit}",
        )
    return value, bool(match["edge"])


def _words_of_name(listener: Listener, words: list[str]) -> int:
    """Return how many words name the surface: the longest known name, or all before a depth."""
    known = known_places(listener)
    for count in range(len(words), 0, -1):
        if " ".join(words[:count]).casefold() in known:
            return count
    first = next((n for n, word in enumerate(words) if _DEPTH.fullmatch(word)), len(words))
    return max(1, first)


def depth(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read depth readings; `e` marks one at the perimeter."""
    del options
    if not words:
        raise IndexError
    count = _words_of_name(listener, words)
    name, words = " ".join(words[:count]), words[count:]
    surface = place_of(listener, name)
    if surface not in listener.job.surfaces:
        message = f"{name!r} is no surface"
        raise NoteRefused(message, "write it like: depth SURFACE 3.4 3.6 3.1e")
    field: list[str] = []
    perimeter: list[str] = []
    for word in words:
        value, is_edge = depth_read(word, listener.job.units)
        (perimeter if is_edge else field).append(value)
    if not field and not perimeter:
        raise IndexError
    return {
        "kind": "depth",
        "surface": surface,
        "field": field,
        "perimeter": perimeter,
        "how": "seen",
    }


def photo(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a picture by its name."""
    del options
    return {"kind": "photo", "reference": words[0], "places": places_of(listener, words[1:])}


def sealed(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read what was sealed by hand."""
    return {
        "kind": "sealed",
        "surfaces": named_places(listener, words),
        "what": options.get("reason", ""),
    }


def sign_off(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read what somebody signs for."""
    del options
    return {"kind": "sign-off", "what": words[0], "places": places_of(listener, words[1:])}


def remark(listener: Listener, words: list[str], options: Mapping[str, str]) -> Fields:
    """Read a remark."""
    del listener
    if not words:
        raise IndexError
    return {"kind": "remark", "text": " ".join(words), "private": "private" in options}
