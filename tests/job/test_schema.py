"""The JSON Schema of the job file."""

from __future__ import annotations

import json

from readiness.job.job import Job
from readiness.job.rows import WorkRow
from readiness.job.schema import field_sentences, job_schema


def test_the_schema_has_the_keys_of_the_file_with_their_sentences() -> None:
    schema = job_schema()
    work = schema["$defs"]["WorkRow"]["properties"]
    assert "in" in work
    assert "in_" not in work
    assert (
        work["share"]["description"] == "Share done of the part that is begun, written as `60 %`."
    )
    assert schema["properties"]["board"]["description"] == "Agreed: board may start."
    assert schema["required"] == ["name", "key", "site"]
    assert schema["additionalProperties"] is False
    json.dumps(schema)


def test_surfaces_may_stand_inside_a_room() -> None:
    plain, in_room = job_schema()["properties"]["surfaces"]["additionalProperties"]["anyOf"]
    assert in_room["additionalProperties"] == plain


def test_quantities_are_text_with_examples() -> None:
    text = json.dumps(job_schema())
    for example in ("5.5 in", "64 sq ft gross", "24 h elapsed", "FREQ=WEEKLY;BYDAY=FR", "60 %"):
        assert example in text


def test_sentences_are_those_below_the_fields() -> None:
    sentences = field_sentences(WorkRow)
    assert sentences["begun"] == "When the first of its open parts began."
    assert "title" not in sentences
    assert set(sentences) <= set(WorkRow.model_fields)
    assert field_sentences(Job)["card"].startswith("A site card")
