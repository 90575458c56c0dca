"""Answers as JSON, and their schema.

Invariant: one adapter dumps every answer, so the schema of an answer is what it is dumped by.
"""

from __future__ import annotations

from dataclasses import is_dataclass
from functools import lru_cache
from typing import Any, cast, get_args, get_type_hints

from pydantic import TypeAdapter

from readiness.job.schema import field_sentences


@lru_cache(maxsize=None, typed=True)
def adapter_of(kind: Any) -> TypeAdapter[Any]:  # noqa: ANN401  any answer type
    """Return the adapter of an answer type, made once."""
    return TypeAdapter(kind)


def answer_json(answer: object) -> str:
    """Return an answer as one JSON object, indented for people who read it all the same."""
    kind: Any = type(answer)
    return str(adapter_of(kind).dump_json(answer, indent=2).decode()) + "\n"


def answer_schema(kind: Any) -> dict[str, Any]:  # noqa: ANN401  any answer type
    """Return the JSON Schema of an answer type, with the sentence of each field beside its key."""
    schema = dict(adapter_of(kind).json_schema(mode="serialization"))
    definitions: dict[str, Any] = {kind.__name__: schema, **schema.get("$defs", {})}
    for answer in _answers_in(kind):
        properties = definitions[answer.__name__]["properties"]
        for key, sentence in field_sentences(answer).items():
            properties[key]["description"] = sentence
    return schema


def _answers_in(kind: Any) -> set[type[Any]]:  # noqa: ANN401  any type of a field
    """Return a type of answer and those that its fields hold."""
    found: set[type[Any]] = set()
    waiting = [kind]
    while waiting:
        one = waiting.pop()
        if not is_dataclass(one):
            waiting += get_args(one)
        elif one not in found:
            found.add(cast("type[Any]", one))
            waiting += get_type_hints(one).values()
    return found
