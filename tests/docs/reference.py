"""Makes the pages of docs/reference from the models, the commands and the tables of facts.

Run `python -m tests.docs.reference` to write them anew; read the difference before committing it.

Invariant: nothing on these pages is typed by hand, so they can't say something else than the code.
"""

from __future__ import annotations

import dataclasses
import importlib
import re
from collections.abc import Iterable, Iterator
from typing import Any

import click

from readiness.cli.main import COMMANDS, Exit, readiness
from readiness.cli.schema import ANSWERS
from readiness.facts.loader import load_facts, load_questions
from readiness.job.schema import field_sentences, job_schema
from readiness.pages.check_text import FINDINGS_FIRST
from tests.conftest import ROOT

FOLDER = ROOT / "docs" / "reference"
MADE = "<!-- made by: python -m tests.docs.reference -->"


def page(title: str, lead: str, lines: Iterable[str]) -> str:
    """Return a page with its title and one sentence of lead."""
    return "\n".join([f"# {title}", "", MADE, "", lead, "", *lines]) + "\n"


def table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    """Yield the lines of a table; bars inside cells are escaped."""
    yield "| " + " | ".join(head) + " |"
    yield "|" + "---|" * len(head)
    for row in rows:
        yield "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in row) + " |"


def job_file() -> str:
    """Return the page of the job file."""
    schema = job_schema()
    definitions = schema.get("$defs", {})
    lines = ["## The file", "", *_keys(schema)]
    for name, definition in sorted(definitions.items()):
        if "properties" in definition:
            lines += ["", f"## {name}", "", *_doc(definition), *_keys(definition)]
        elif "enum" in definition:
            words = ", ".join(f"`{word}`" for word in definition["enum"])
            lines += ["", f"## {name}", "", *_doc(definition), f"One of {words}."]
    lead = "Every table and key of `job.toml`, which is TOML 1.0."
    return page("The job file", lead, lines)


def _doc(definition: dict[str, Any]) -> list[str]:
    text = " ".join(str(definition.get("description", "")).split())
    return [text, ""] if text else []


def _keys(definition: dict[str, Any]) -> Iterator[str]:
    required = set(definition.get("required", ()))
    yield from table(
        ("key", "holds", "needed", "meaning"),
        (
            (
                f"`{key}`",
                _holds(value),
                "yes" if key in required else "",
                str(value.get("description", "")),
            )
            for key, value in definition["properties"].items()
        ),
    )


def _holds(value: dict[str, Any]) -> str:
    """Return what a key holds, in words."""
    if "$ref" in value:
        return str(value["$ref"]).rsplit("/", 1)[-1]
    if "anyOf" in value or "oneOf" in value:
        options = value.get("anyOf") or value.get("oneOf") or []
        told = dict.fromkeys(_holds(option) for option in options if option.get("type") != "null")
        return " or ".join(told)
    if "enum" in value:
        return " or ".join(f"`{word}`" for word in value["enum"])
    if "const" in value:
        return f"`{str(value['const']).lower()}`"
    kind = value.get("type", "text")
    if kind == "array":
        return f"list of {_holds(value.get('items', {}))}"
    if kind == "object":
        inner = value.get("additionalProperties", {})
        return f"table of {_holds(inner)}" if isinstance(inner, dict) else "table"
    form = {"date": "day", "date-time": "moment"}.get(str(value.get("format", "")))
    return form or {"string": "text", "boolean": "true or false"}.get(str(kind), str(kind))


def answers() -> str:
    """Return the page of the answers."""
    lines: list[str] = []
    seen: set[type] = set()
    for command, (module, name) in ANSWERS.items():
        kind = getattr(importlib.import_module(module), name)
        lines += [f"## `readiness {command} --json`", ""]
        lines += _answer(kind, seen)
    lead = "What the commands answer with `--json`; moments carry their offset at the site."
    return page("Answers", lead, lines)


def _answer(kind: type, seen: set[type]) -> Iterator[str]:
    """Yield the fields of an answer, then those of the answers inside it."""
    if kind in seen:
        return
    seen.add(kind)
    yield f"### {kind.__name__}"
    yield ""
    yield " ".join((kind.__doc__ or "").split())
    yield ""
    sentences = field_sentences(kind)
    fields = dataclasses.fields(kind)
    yield from table(
        ("field", "holds", "meaning"),
        ((f"`{f.name}`", f"`{f.type}`", sentences.get(f.name, "")) for f in fields),
    )
    yield ""
    for inner in _inside(kind):
        yield from _answer(inner, seen)


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
        rows = ((f"`{' '.join(option.opts)}`", option.help or "") for option in options)
        lines += [*table(("option", "meaning"), rows), ""]
    lines += ["## Exit codes", ""]
    sentences = field_sentences_of_enum()
    lines += table(("code", "meaning"), ((str(code.value), sentences[code.name]) for code in Exit))
    return page("Commands", "Every command with its options.", lines)


def _help(command: click.Command) -> list[str]:
    text = (command.help or "").split("\b")[0]
    return [" ".join(text.split())]


def field_sentences_of_enum() -> dict[str, str]:
    """Return what the source says below each exit code."""
    import ast
    import inspect

    body = ast.parse(inspect.getsource(Exit)).body[0]
    assert isinstance(body, ast.ClassDef)
    found: dict[str, str] = {}
    for field, after in zip(body.body, body.body[1:], strict=False):
        if isinstance(field, ast.Assign) and isinstance(after, ast.Expr):
            target = field.targets[0]
            if isinstance(target, ast.Name) and isinstance(after.value, ast.Constant):
                found[target.id] = str(after.value.value)
    return found


def facts() -> str:
    """Return the page of the tables of facts."""
    tables = load_facts()
    lines = ["## Work", ""]
    lines += table(
        ("id", "what", "who", "foam order", "usual time", "source"),
        (
            (
                f"`{name}`",
                kind.title,
                kind.trade,
                ", ".join(dict.fromkeys(rule.order.value for rule in kind.touches)) or "free",
                kind.takes + (" each" if kind.each else ""),
                _source(kind.source, kind.status),
            )
            for name, kind in tables.work.items()
        ),
    )
    lines += ["", "## Requirements", ""]
    lines += table(
        ("id", "what must be so", "first due at", "effect", "may be waived by", "source"),
        (
            (
                f"`{name}`",
                kind.title,
                kind.due.value,
                kind.effect.value,
                "nobody" if kind.binding else str(kind.override.value if kind.override else ""),
                _source(kind.source, kind.status),
            )
            for name, kind in tables.requirements.items()
        ),
    )
    lines += ["", "## Approvals", ""]
    lines += table(
        ("id", "what", "office", "notice", "source"),
        (
            (f"`{n}`", k.title, k.office, k.notice, _source(k.source, k.status))
            for n, k in tables.approvals.items()
        ),
    )
    lines += ["", "## Things in the way", ""]
    lines += table(
        ("id", "what", "fixed", "free depth", "who pulls it", "source"),
        (
            (
                f"`{n}`",
                k.title,
                "fixed" if k.fixed else "loose",
                k.clearance or "",
                f"{k.pull_trade}, {k.pull_takes}",
                _source(k.source, k.status),
            )
            for n, k in tables.obstructions.items()
        ),
    )
    lines += ["", "## Questions", ""]
    lines += table(
        ("id", "question", "asked before arrival", "of"),
        ((f"`{n}`", k.title, ", ".join(k.ask), k.whom) for n, k in load_questions().items()),
    )
    lead = (
        "The usual rows of the trade, as this version has them; a job changes or removes them, "
        "except what is binding."
    )
    return page("Facts", lead, lines)


def _source(source: str, status: object) -> str:
    return source if source.startswith("common practice") else f"{source} [{status}]"


FINDINGS = {
    "trip-booking-broken": "a trip is booked before its last surface opens",
    "booking-broken": "booked work can't start when it is booked",
    "limit-missed": "work is forecast to start after its written `not_after`",
    "not-reported": "work is past its booked end and nobody has said a word",
    "done-too-soon": "work is done or begun before something that it waits for",
    "crew-overlap": "a trade is forecast in more places at once than it has crews",
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


PAGES = {
    "job-file.md": job_file,
    "answers.md": answers,
    "commands.md": commands,
    "facts.md": facts,
    "findings.md": findings,
}
"""What each page is made by."""


def main() -> None:
    """Write every page."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, made in PAGES.items():
        (FOLDER / name).write_text(made(), encoding="utf-8")


if __name__ == "__main__":
    main()
