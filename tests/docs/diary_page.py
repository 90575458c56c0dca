"""Makes the page of the diary from its kinds of entry and from the lines that write them.

Invariant: every kind is on the page with every key, every form that `note` knows and one line that
a test reads.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import get_args

from pydantic import BaseModel, TypeAdapter

from readiness.diary.entries import AnyEntry
from readiness.diary.entry import Entry
from readiness.diary.sending_entries import MailedNotice, SentEntry
from readiness.exchange.note_words import FORMS
from tests.docs.job_page import keys_of, keys_table
from tests.docs.sheets import page
from tests.exchange.note_lines import LINES

KINDS: tuple[type[Entry], ...] = get_args(get_args(AnyEntry)[0])
"""Every kind of entry, in the order of its modules."""

PARTS: tuple[type[BaseModel], ...] = (SentEntry, MailedNotice)
"""What stands inside an entry and is told on its own."""

PART_LINKS = "|".join(part.__name__.lower() for part in PARTS)

LEAD = """A diary lies beside the job file in the folder `diary`: one file for each writer, one \
line of JSON for each entry.
Nothing in it is ever rewritten; whoever erred writes the entry anew, and it names the one it \
replaces.
People write it with [`readiness note`](commands.md#note), `readiness receive` or on the screen, \
in the lines shown here.
The lines shown are said of a small job with a trip `first`, and a test reads each."""


def kind_of(model: type[Entry]) -> str:
    """Return the word by which an entry of this kind is told."""
    return str(model.model_fields["kind"].default)


def lines_of(model: type[Entry]) -> list[str]:
    """Return lines that write an entry of this kind."""
    return [line for line, fields in LINES.items() if fields["kind"] == kind_of(model)]


def forms_of(model: type[Entry]) -> list[str]:
    """Return the forms by which an entry of this kind is written."""
    verbs = dict.fromkeys(line.split()[0] for line in lines_of(model))
    return [f"{FORMS[verb].usage}" for verb in verbs]


def diary() -> str:
    """Return the page of the diary."""
    lines = ["## What every entry carries", "", *_keys(Entry, skip=())]
    for model in KINDS:
        lines += ["", f"## {kind_of(model)}", "", " ".join((model.__doc__ or "").split()), ""]
        lines += _lines(model)
        lines += _keys(model, skip=tuple(Entry.model_fields))
    for part in PARTS:
        lines += ["", f"### {part.__name__}", "", " ".join((part.__doc__ or "").split()), ""]
        lines += _keys(part, skip=())
    return page("The diary", LEAD, lines)


def _lines(model: type[Entry]) -> Iterator[str]:
    forms = forms_of(model)
    if not forms:
        yield "The program writes it by itself."
        yield ""
        return
    yield "```text"
    yield from forms
    yield "```"
    yield ""
    said = "Said like this:" if len(lines_of(model)) > 1 else "For example:"
    yield f"{said} " + "; ".join(f"`{line}`" for line in lines_of(model)) + "."
    yield ""


def _keys(model: type[BaseModel], skip: tuple[str, ...]) -> Iterator[str]:
    definition = TypeAdapter(model).json_schema(by_alias=True)
    own = {key: name for key, name in keys_of(model).items() if name not in {*skip, "kind"}}
    if own:
        for row in keys_table(model, definition, own, "every-entry"):
            yield re.sub(f"\\(#(?!{PART_LINKS})", "(job-file.md#", row)
