"""The pages of docs/reference say what the code says.

Invariant: a page that was not made anew after a change is noticed.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pydantic import BaseModel

from readiness.cli.main import Exit
from readiness.diary.entry import Entry
from readiness.exchange.note_words import FORMS
from readiness.facts.loader import load_facts, load_foam
from readiness.job.job import Job
from readiness.job.loading import load_job_text
from readiness.job.quantities import Duration
from readiness.job.rows import LinkRow
from tests.conftest import ROOT
from tests.docs.diary_page import KINDS, kind_of
from tests.docs.diary_page import PARTS as DIARY_PARTS
from tests.docs.job_page import EXAMPLE, TABLES, example_lines, job_file, keys_of
from tests.docs.meanings import LISTED, SHARED, meanings_of, repeated
from tests.docs.reference import (
    FINDINGS,
    FOLDER,
    HOW_TO,
    PAGES,
    answer_parts,
    exit_sentences,
    fields_of,
)
from tests.docs.written_pages import refusal_of

ROWS: list[type[BaseModel]] = [Job, LinkRow, *TABLES.values()]
PARTS = answer_parts()
MADE_ELSEWHERE = {"keys.md", "screens.md"}


@pytest.mark.parametrize("file", PAGES, ids=lambda file: str(file.relative_to(ROOT)))
def test_a_page_is_as_it_would_be_made_now(file: Path) -> None:
    """Else run: python -m tests.docs.reference."""
    assert file.read_text(encoding="utf-8") == PAGES[file]()


def test_every_page_is_made_by_somebody() -> None:
    """A page of a table that was given up is taken away."""
    there = {file.name for file in FOLDER.glob("*.md")} - MADE_ELSEWHERE
    assert there == {file.name for file in PAGES if file.parent != HOW_TO}


def test_every_code_of_a_finding_is_explained() -> None:
    text = (ROOT / "readiness" / "gates" / "findings.py").read_text(encoding="utf-8")
    codes = set(re.findall(r'"([a-z]+(?:-[a-z]+)+)"', text))
    assert codes == set(FINDINGS)


def test_every_exit_code_is_explained() -> None:
    assert set(exit_sentences()) == {code.name for code in Exit}


@pytest.mark.parametrize("model", ROWS, ids=lambda model: model.__name__)
def test_every_key_of_the_job_file_has_one_meaning(model: type[BaseModel]) -> None:
    """Else write a sentence below the field, and only where that can't be, into the list."""
    keys = keys_of(model)
    assert set(meanings_of(model, keys, "every-row")) == set(keys)
    assert not repeated(model, keys)


@pytest.mark.parametrize("kind", PARTS, ids=lambda kind: kind.__name__)
def test_every_field_of_an_answer_has_one_meaning(kind: type) -> None:
    fields = fields_of(kind)
    assert set(meanings_of(kind, fields, "every-answer")) == set(fields)
    assert not repeated(kind, fields)


@pytest.mark.parametrize("model", [*KINDS, *DIARY_PARTS], ids=lambda model: model.__name__)
def test_every_field_of_the_diary_has_one_meaning(model: type[BaseModel]) -> None:
    keys = {key: name for key, name in keys_of(model).items() if name != "kind"}
    own = {key: name for key, name in keys.items() if name not in Entry.model_fields}
    told = {
        **meanings_of(Entry, keys_of(Entry), "every-entry"),
        **meanings_of(model, own, "every-entry"),
    }
    assert set(keys) <= set(told)
    assert not repeated(model, keys)


def test_every_form_of_a_line_stands_on_the_page_of_the_diary() -> None:
    text = (FOLDER / "diary.md").read_text(encoding="utf-8")
    assert [form.usage for form in FORMS.values() if form.usage not in text] == []
    assert [kind_of(model) for model in KINDS if f"## {kind_of(model)}\n" not in text] == []


def test_the_list_of_meanings_names_no_model_that_is_gone() -> None:
    known = {model.__name__ for model in [*ROWS, *PARTS, Entry, *KINDS, *DIARY_PARTS]}
    assert set(LISTED) - set(SHARED) <= known


def test_the_job_shown_can_be_used_and_has_every_table() -> None:
    """What the page shows are lines of this file, so a reader can take them as they are."""
    job, _ = load_job_text(EXAMPLE.read_text(encoding="utf-8"), EXAMPLE.name, load_facts())
    assert all(getattr(job, table) for table in TABLES)
    page = job_file()
    assert all(line in page for table in TABLES for line in example_lines(table))


def test_every_table_of_a_job_has_its_section() -> None:
    tables = {
        name
        for name, info in Job.model_fields.items()
        if any(row.__name__ in str(info.annotation) for row in TABLES.values())
    }
    assert tables == set(TABLES)


def test_a_text_that_is_not_refused_is_not_shown_as_refused() -> None:
    with pytest.raises(AssertionError):
        refusal_of(Duration, "3 d")


def test_every_row_of_the_tables_stands_on_its_page() -> None:
    facts, foam = load_facts(), load_foam()
    for name, rows in (
        ("foam", {**foam.uses, **foam.r_values, **foam.condensation}),
        ("foam", {**foam.rules, **foam.figures}),
        ("work", facts.work),
        ("approvals", facts.approvals),
        ("requirements", facts.requirements),
        ("obstructions", facts.obstructions),
    ):
        text = (FOLDER / f"{name}.md").read_text(encoding="utf-8")
        for key, row in rows.items():
            assert f"`{key}`" in text
            assert row.source.partition("|")[0] in text
