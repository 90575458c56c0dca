"""No subject of the trade was forgotten, and no kind of work belongs to no subject.

Invariant: `coverage.toml` names 96 subjects, each held by at least one row.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

from readiness.facts.loader import load_facts

SUBJECTS: dict[str, list[str]] = tomllib.loads(
    Path(__file__).with_name("coverage.toml").read_text("utf-8")
)

OF_ONE_KIND_OF_JOB = {
    "air of a closed attic": ["attic-air", "hatch-seal"],
    "gut renovation": ["rim-rot-repair", "masonry-repair", "old-flue-capped"],
    "addition": ["tie-in-opening", "tie-in-seal"],
    "post-frame": ["panel-wash", "interior-partitions", "liner-panels"],
    "crawl space": [
        "crawl-pipe-and-duct-repair",
        "crawl-vents-closed",
        "ground-sheet",
        "crawl-drying",
        "combustion-check",
    ],
    "basement": ["basement-stud-wall"],
    "sprinkler": ["sprinkler-recharge"],
}
"""Work that only some kinds of job know, beside the subjects of every house."""


def test_ninety_six_subjects_are_each_held_by_rows_that_exist() -> None:
    facts = load_facts()
    assert len(SUBJECTS) == 96
    for subject, rows in SUBJECTS.items():
        assert rows, subject
        for row in rows:
            table, name = row.split(".")
            assert name in getattr(facts, table), (subject, row)


def test_every_kind_of_work_belongs_to_a_subject() -> None:
    held = {row.removeprefix("work.") for rows in SUBJECTS.values() for row in rows}
    held |= {name for names in OF_ONE_KIND_OF_JOB.values() for name in names}
    assert sorted(set(load_facts().work) - held) == []


def test_every_approval_and_step_of_a_trip_belongs_to_a_subject() -> None:
    facts = load_facts()
    held = {row for rows in SUBJECTS.values() for row in rows}
    steps = {f"trip.{name}" for name in facts.trip} - {"trip.walk-in"}
    looks = {f"approvals.{name}" for name in facts.approvals} - {"approvals.sprinkler-approval"}
    assert sorted((steps | looks) - held) == []
