"""An entry of the diary in one line, as it is told back to whoever wrote it.

Invariant: every field that was said stands in the line.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from readiness.diary.entry import name_of
from readiness.pages.moments import told

if TYPE_CHECKING:
    from readiness.diary.entries import AnyEntry

SAYS_ITSELF = frozenset(
    {"reason", "what", "text", "cause", "reference", "value", "result", "reading", "correct"}
    | {"work", "approval", "thing", "requirement", "trip", "surface", "surfaces", "places"}
)
"""Fields whose content needs no word before it."""

SAID_OTHERWISE = {
    "office": "by",
    "off_trade": "",
    "extra_trade": "",
    "late_trade": "",
    "is_": "a",
    "blocks": "in front of",
}
"""What stands before the content of a field, where its name does not say it well."""


def entry_text(entry: AnyEntry, *, is_written: bool = True) -> str:
    """Return an entry in one line: what it is about, how it is known, by whom, when, its name.

    One that is not written yet has no name.
    """
    proof = [_plain(name, value) for name in PROOF if (value := getattr(entry, name))]
    name = f"; entry {name_of(entry)}" if is_written else ""
    said = f"{about_text(entry)} ({', '.join(proof)}{name}"
    return f"{said}, instead of {entry.replaces})" if entry.replaces else f"{said})"


APART = frozenset({"number", "writer", "written", "role", "trade", "via", "replaces", "kind"})
"""Fields that say how an entry came about."""
PROOF = ("how", "by", "seen")
"""Fields that say how something is known."""


def about_text(entry: AnyEntry) -> str:
    """Return what an entry is about: its kind and what it says, without by whom and when."""
    about = [
        _plain(name, getattr(entry, name))
        for name in type(entry).model_fields
        if name not in APART.union(PROOF) and getattr(entry, name) not in (None, "", ())
    ]
    return f"{entry.kind}: {', '.join(about)}" if about else entry.kind


def _plain(name: str, value: object) -> str:
    if name in {"how", ""} or name in SAYS_ITSELF:
        lead = ""
    else:
        lead = SAID_OTHERWISE.get(name, name.replace("_", " "))
    if isinstance(value, bool):
        return ("yes" if value else "no") if name == "yes" else lead if value else f"not {lead}"
    if isinstance(value, datetime):
        return told(value) if name == "seen" else f"{lead} {told(value)}".strip()
    if isinstance(value, tuple):
        value = ", ".join(_plain("", each) for each in value)
    return f"{lead} {value}".strip()
