"""Answers as JSON are what their schema says, and the schema tells what its keys mean."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.cli.schema import ANSWERS


def schema_of(what: str) -> dict[str, object]:
    result = CliRunner().invoke(readiness, ["schema", what], catch_exceptions=False)
    found: dict[str, object] = json.loads(result.output)
    return found


def test_the_schema_of_the_job_file_tells_what_its_keys_mean() -> None:
    told = json.dumps(schema_of("job"))
    assert "Agreed: board may start." in told
    assert "When the first of its open parts began." in told


def test_the_schema_of_an_answer_tells_what_the_fields_of_its_parts_mean() -> None:
    definitions = schema_of("check")["$defs"]
    assert isinstance(definitions, dict)
    instants = definitions["Instants"]["properties"]
    assert instants["as_of"]["description"] == "What was known then."


@pytest.mark.parametrize("what", ANSWERS)
def test_no_answer_is_without_a_meaning(what: str) -> None:
    """Each class tells itself, and beside that fields tell what they mean."""
    schema = schema_of(what)
    parts = schema.get("$defs", {})
    assert isinstance(parts, dict)
    assert json.dumps(schema).count('"description"') > 1 + len(parts)
