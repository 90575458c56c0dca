"""Answers as JSON, and their schema.

Invariant: one adapter dumps every answer, so the schema of an answer is what it is dumped by.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from pydantic import TypeAdapter


@lru_cache(maxsize=None, typed=True)
def adapter_of(kind: Any) -> TypeAdapter[Any]:  # noqa: ANN401  any answer type
    """Return the adapter of an answer type, made once."""
    return TypeAdapter(kind)


def answer_json(answer: object) -> str:
    """Return an answer as one JSON object, indented for people who read it all the same."""
    kind: Any = type(answer)
    return str(adapter_of(kind).dump_json(answer, indent=2).decode()) + "\n"


def answer_schema(kind: Any) -> dict[str, Any]:  # noqa: ANN401  any answer type
    """Return the JSON Schema of an answer type."""
    return dict(adapter_of(kind).json_schema(mode="serialization"))


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema of the job file."""
    from readiness.job.job import Job

    return Job.model_json_schema(by_alias=True)
