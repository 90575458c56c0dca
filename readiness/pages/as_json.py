"""Answers as JSON, and their schema.

Invariant: one adapter dumps every answer, so the schema of an answer is what it is dumped by.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import TypeAdapter


@cache
def adapter_of(kind: type[Any]) -> TypeAdapter[Any]:
    """Return the adapter of an answer type, made once."""
    return TypeAdapter(kind)


def answer_json(answer: object) -> str:
    """Return an answer as one JSON object, indented for people who read it all the same."""
    return adapter_of(type(answer)).dump_json(answer, indent=2).decode() + "\n"


def answer_schema(kind: type[Any]) -> dict[str, Any]:
    """Return the JSON Schema of an answer type."""
    return adapter_of(kind).json_schema(mode="serialization")


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema of the job file."""
    from readiness.job.job import Job  # noqa: PLC0415  answers do without it

    return Job.model_json_schema(by_alias=True)
