"""Makes the pages of docs/reference from the models, the commands and the tables of facts.

Run `python -m tests.docs.reference` to write them anew; read the difference before committing it.

Invariant: a page holds what the code says, so neither can change without the other.
"""

from __future__ import annotations

import ast
import dataclasses
import importlib
import inspect
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import click

from readiness.cli.main import COMMANDS, Exit, readiness
from readiness.cli.schema import ANSWERS
from readiness.pages.check_text import FINDINGS_FIRST
from tests.conftest import ROOT
from tests.docs.diary_page import diary
from tests.docs.fact_pages import approvals, chances, foam, obstructions, requirements, work
from tests.docs.job_page import job_file
from tests.docs.meanings import meanings_of
from tests.docs.sheets import page, table
from tests.docs.written_pages import date_words, quantities

FOLDER = ROOT / "docs" / "reference"
HOW_TO = ROOT / "docs" / "how-to"

ANSWERS_OF_OPTIONS = {
    "check --anyway": ("readiness.questions.anyway", "AnywayAnswer"),
    "calls --today": ("readiness.questions.today", "TodayAnswer"),
}
"""Answers that an option of a command asks for."""

SHAPES = {
    "str": "text",
    "bool": "true or false",
    "int": "whole number",
    "float": "number",
    "datetime": "moment",
    "date": "day",
}

ANSWERS_LEAD = """What the commands answer with `--json`: one JSON object each.
A moment is written with its offset at the site, a day as year, month, day; a number has its unit \
in its name.
Ids are those of the job file.
`readiness schema check` prints the same as a JSON Schema."""


def answers() -> str:
    """Return the page of the answers."""
    lines: list[str] = []
    seen: set[type] = set()
    for command, kind in answer_kinds().items():
        lines += [f"## `readiness {command} --json`", ""]
        lines += _answer(kind, seen)
    return page("Answers for programs", ANSWERS_LEAD, lines)


def answer_kinds() -> dict[str, type]:
    """Return the type of the answer of each command, and of each option that asks otherwise."""
    named = {**ANSWERS, **ANSWERS_OF_OPTIONS}
    return {
        command: getattr(importlib.import_module(module), name)
        for command, (module, name) in named.items()
    }


def answer_parts() -> list[type]:
    """Return every type of answer and every type inside one, each once."""
    seen: set[type] = set()
    for kind in answer_kinds().values():
        list(_answer(kind, seen))
    return sorted(seen, key=lambda kind: kind.__name__)


def fields_of(kind: type) -> dict[str, str]:
    """Return the fields of an answer; the name in JSON is that of the field."""
    return {field.name: field.name for field in dataclasses.fields(kind)}


def _answer(kind: type, seen: set[type]) -> Iterator[str]:
    """Yield the fields of an answer, then those of the answers inside it."""
    if kind in seen:
        return
    seen.add(kind)
    yield f"### {kind.__name__}"
    yield ""
    yield " ".join((kind.__doc__ or "").split())
    yield ""
    meanings = meanings_of(kind, fields_of(kind), "every-answer")
    yield from table(
        ("field", "holds", "meaning"),
        (
            (f"`{f.name}`", _shape(str(f.type)), meanings.get(f.name, ""))
            for f in dataclasses.fields(kind)
        ),
    )
    yield ""
    for inner in _inside(kind):
        yield from _answer(inner, seen)


def _shape(annotation: str) -> str:
    """Return a type in words: `tuple[Who, ...] | None` is a list of Who, or null."""
    words = annotation.removesuffix(" | None")
    many = re.fullmatch(r"tuple\[(\w+), \.\.\.\]", words)
    one = many[1] if many else words
    told = SHAPES.get(one) or f"[{one}](#{one.lower()})"
    return ("list of " if many else "") + told + (" or null" if words != annotation else "")


def _inside(kind: type) -> Iterator[type]:
    """Yield the answer types that the fields of an answer name."""
    module = importlib.import_module(kind.__module__)
    for field in dataclasses.fields(kind):
        for word in re.findall(r"[A-Z][A-Za-z]+", str(field.type)):
            found = getattr(module, word, None)
            if isinstance(found, type) and dataclasses.is_dataclass(found):
                yield found


def commands() -> str:
    """Return the page of the commands."""
    lines: list[str] = []
    context = click.Context(readiness, info_name="readiness")
    for name in COMMANDS:
        command = readiness.get_command(context, name)
        assert command is not None
        own = click.Context(command, info_name=name, parent=context)
        usage = " ".join(command.get_usage(own).split()).removeprefix("Usage: ")
        lines += [f"## {name}", "", f"`{usage}`", "", *_help(command), ""]
        options = [p for p in command.params if isinstance(p, click.Option)]
        if options:
            rows = ((f"`{_option(option)}`", option.help or "") for option in options)
            lines += [*table(("option", "meaning"), rows), ""]
    lines += ["## Exit codes", ""]
    sentences = exit_sentences()
    lines += table(("code", "meaning"), ((str(code.value), sentences[code.name]) for code in Exit))
    lead = (
        "Every command with its options.\n"
        "The answer goes to standard output, talk and problems to standard error.\n"
        "Where an option takes a day or a moment, [dates in plain words](date-words.md) do."
    )
    return page("Commands", lead, lines)


def _option(option: click.Option) -> str:
    """Return an option as it is typed, with the word for its value."""
    names = " ".join(option.opts)
    if option.is_flag:
        return names
    if isinstance(option.type, click.Choice):
        return f"{names} {'|'.join(str(one) for one in option.type.choices)}"
    value = option.metavar or option.type.name.upper()
    return f"{names} {value}"


def _help(command: click.Command) -> list[str]:
    text = (command.help or "").split("\b")[0]
    parts = (" ".join(part.split()) for part in text.split("\n\n"))
    return [sentence for part in parts for sentence in re.split(r"(?<=\.) (?=[A-Z])", part)]


def exit_sentences() -> dict[str, str]:
    """Return what the source says below each exit code."""
    body = ast.parse(inspect.getsource(Exit)).body[0]
    assert isinstance(body, ast.ClassDef)
    found: dict[str, str] = {}
    for field, after in zip(body.body, body.body[1:], strict=False):
        if isinstance(field, ast.Assign) and isinstance(after, ast.Expr):
            target = field.targets[0]
            if isinstance(target, ast.Name) and isinstance(after.value, ast.Constant):
                found[target.id] = str(after.value.value)
    return found


FINDINGS = {
    "trip-booking-broken": "a trip is booked before its last surface opens",
    "booking-broken": "booked work can't start when it is booked",
    "limit-missed": "work is forecast to start after its written `not_after`",
    "not-reported": "work is past its booked end and nobody has said a word",
    "done-too-soon": "work is done or begun before something that it waits for",
    "crew-overlap": "a trade is forecast in more places at once than it has crews",
    "hot-work-on-bare-foam": "hot work falls between the foam and its fire barrier",
    "slot-refused": "an office's slot lies inside a keep-out",
}


def findings() -> str:
    """Return the page of the findings."""
    assert set(FINDINGS_FIRST) <= set(FINDINGS)
    rows = ((f"`{code}`", meaning) for code, meaning in FINDINGS.items())
    return page(
        "Findings",
        "What no gate asks and is still worth a line; a finding never changes a verdict.",
        table(("code", "meaning"), rows),
    )


def how_to() -> str:
    """Return the list of the pages that tell how one thing is done, with the first line of each."""
    found = sorted(file for file in HOW_TO.glob("*.md") if file.name != "README.md")
    lines = [
        f"- [{title}]({file.name}): {first}" for file in found for title, first in [_top(file)]
    ]
    lead = "One page for each thing that somebody wants to get done; each command on it is run."
    return page("How to", lead, lines)


def _top(file: Path) -> tuple[str, str]:
    """Return the title of a page and its first line of text."""
    lines = file.read_text(encoding="utf-8").splitlines()
    texts = [line for line in lines[1:] if line and not line.startswith(("<!--", "#"))]
    return lines[0].removeprefix("# "), texts[0]


PAGES: dict[Path, Callable[[], str]] = {
    FOLDER / "job-file.md": job_file,
    FOLDER / "quantities.md": quantities,
    FOLDER / "date-words.md": date_words,
    FOLDER / "commands.md": commands,
    FOLDER / "answers.md": answers,
    FOLDER / "diary.md": diary,
    FOLDER / "work.md": work,
    FOLDER / "approvals.md": approvals,
    FOLDER / "requirements.md": requirements,
    FOLDER / "obstructions.md": obstructions,
    FOLDER / "chances.md": chances,
    FOLDER / "foam.md": foam,
    FOLDER / "findings.md": findings,
    HOW_TO / "README.md": how_to,
}
"""What each page is made by."""


def main() -> None:
    """Write every page."""
    for file, made in PAGES.items():
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(made(), encoding="utf-8")


if __name__ == "__main__":
    main()
