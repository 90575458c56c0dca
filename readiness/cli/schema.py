"""`readiness schema`: the JSON Schema of the job file or of an answer.

Invariant: a schema comes from the very model that reads or dumps the thing.
"""

from __future__ import annotations

import json

import click

from readiness.cli.main import Exit

ANSWERS = {
    "check": ("readiness.questions.check", "CheckAnswer"),
    "when": ("readiness.questions.when", "WhenAnswer"),
    "chance": ("readiness.questions.chance", "ChanceAnswer"),
    "sequence": ("readiness.questions.sequence", "SequenceAnswer"),
    "conditions": ("readiness.questions.conditions", "ConditionsAnswer"),
    "foam": ("readiness.questions.foam", "FoamAnswer"),
    "record": ("readiness.questions.record", "RecordAnswer"),
    "ways": ("readiness.questions.ways", "WaysAnswer"),
    "plan": ("readiness.questions.plan", "PlanAnswer"),
    "apply": ("readiness.cli.applying", "Applied"),
    "calls": ("readiness.questions.calls", "CallsAnswer"),
    "send": ("readiness.questions.letters", "LettersAnswer"),
}
"""Module and type of the answer by command."""


@click.command("schema")
@click.argument("what", type=click.Choice(["job", *ANSWERS]))
def command(what: str) -> int:
    """Print the JSON Schema of the job file (job) or of the answer of a command."""
    import importlib

    if what == "job":
        from readiness.job.schema import job_schema

        schema = job_schema()
    else:
        from readiness.pages.as_json import answer_schema

        module, name = ANSWERS[what]
        schema = answer_schema(getattr(importlib.import_module(module), name))
    click.echo(json.dumps(schema, indent=2, ensure_ascii=False))
    return int(Exit.YES)
