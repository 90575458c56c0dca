"""The JSON Schema of the job file, for editors and for the pages that describe it.

Invariant: a key of the schema has the sentence that stands below its field in the source.
"""

from __future__ import annotations

import ast
import inspect
from itertools import pairwise
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pydantic import BaseModel


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema of a job file.

    The file writes surfaces of a room as `room.name = { ... }`, which is a table inside a table;
    the schema allows both.
    """
    from readiness.job import depth_rows, foam_rows, job, rows

    schema = job.Job.model_json_schema(by_alias=True, mode="validation")
    models = {
        name: model
        for module in (rows, depth_rows, foam_rows, job)
        for name, model in vars(module).items()
        if inspect.isclass(model) and issubclass(model, rows.Row)
    }
    definitions: dict[str, Any] = {"Job": schema, **schema.get("$defs", {})}
    for name, model in models.items():
        if name in definitions:
            _describe(definitions[name], model)
    surfaces = schema["properties"]["surfaces"]
    row = surfaces["additionalProperties"]
    surfaces["additionalProperties"] = {
        "anyOf": [row, {"type": "object", "additionalProperties": row}]
    }
    return schema


def _describe(definition: dict[str, Any], model: type[BaseModel]) -> None:
    """Put the sentence of each field beside its key."""
    sentences = field_sentences(model)
    for name, info in model.model_fields.items():
        key = info.alias or name
        if name in sentences and key in definition["properties"]:
            definition["properties"][key]["description"] = sentences[name]


def field_sentences(model: type[Any]) -> dict[str, str]:
    """Return what the source says below each field of a model.

    The models could collect this themselves, but only at every start of the program.
    """
    try:
        tree = ast.parse(inspect.cleandoc("\n" + inspect.getsource(model)))
    except (OSError, SyntaxError):
        return {}
    body = tree.body[0].body if isinstance(tree.body[0], ast.ClassDef) else []
    found: dict[str, str] = {}
    for field, after in pairwise(body):
        if (
            isinstance(field, ast.AnnAssign)
            and isinstance(field.target, ast.Name)
            and isinstance(after, ast.Expr)
            and isinstance(after.value, ast.Constant)
            and isinstance(after.value.value, str)
        ):
            found[field.target.id] = " ".join(after.value.value.split())
    return found
