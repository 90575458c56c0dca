"""Small jobs with a diary: entries as short keywords, folded without a file or a clock.

Invariant: an entry is written when it was seen, in the file of whoever says it, unless a test says
otherwise; the site stands in UTC.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from readiness.diary.amended import amended
from readiness.diary.history import History, Line, history_of
from readiness.diary.stated import fold
from readiness.diary.told import told_on
from readiness.facts.rows import Facts
from readiness.gates.verdict import Verdicts
from readiness.job.instants import instant_of_local
from readiness.job.loading import load_job_text
from readiness.schedule.frame import frame_of
from readiness.schedule.outlook import outlook_of
from readiness.site.calendars import zone_days
from readiness.site.lay_out import lay_out
from readiness.telling.case import case_of
from tests.builders import ROOMS, Asked, facts, requirement, with_head

Data = dict[str, Any]

TUESDAY = "2026-05-05T09:00:00"
FRIDAY = "2026-05-08 06:30"
"""Half an hour before the rig of the job below arrives."""

TABLES = facts(
    requirements={
        "dry": requirement(override="contractor", due="roll", wanted_before="1 d"),
        "empty": requirement(binding=True, due="roll", wanted_before="1 d"),
        "wood": requirement(
            reading="wood moisture", at_most="19 %", due="roll", wanted_before="1 d"
        ),
    }
)

JOB = (
    ROOMS
    + """
[work]
wires = { trade = "electrician", in = ["bath", "kitchen"], order = "before", takes = "16 h" }
lining = { trade = "drywall", in = ["bath", "kitchen"], order = "after", takes = "2 d" }

[trips]
first = { booked = 2026-05-08T07:00:00, lasts = "4 h" }
"""
)


def said(kind: str, seen: str = TUESDAY, by: str = "Ada Moss", **fields: object) -> Data:
    """Return an entry as a line of a diary holds it; `number` follows when it is folded."""
    plain = {name.rstrip("_"): value for name, value in fields.items()}
    day_only = len(seen) == len("2026-05-05")
    return {
        "kind": kind,
        "writer": by.casefold().replace(" ", "-"),
        "seen": seen,
        "written": (seen + "T20:00:00" if day_only else seen) + "Z",
        "by": by,
        **plain,
    }


def numbered(*entries: Data) -> list[Line]:
    """Return entries as the lines of their writers' files, numbered in order."""
    count: dict[str, int] = {}
    lines = []
    for entry in entries:
        writer = entry["writer"]
        count[writer] = count.get(writer, 0) + 1
        whole = {"number": count[writer], **entry}
        lines.append(Line(whole, f"diary/{writer}.jsonl", count[writer]))
    return lines


def history(*entries: Data) -> History:
    """Return the diary of these entries, of which none may be wrong."""
    found, problems = history_of(numbered(*entries))
    assert not problems, [str(problem) for problem in problems]
    return found


def folded(text: str, found: History, as_of: str = FRIDAY, tables: Facts = TABLES) -> Asked:
    """Return a job with a diary at a moment of the site's wall clock."""
    job, lines = load_job_text(with_head(text), "job.toml", tables)
    moment = datetime.fromisoformat(as_of)
    notes = found.until(moment.replace(tzinfo=UTC))
    job = amended(job, notes)
    site = lay_out(job, tables, lines.origin)
    instant = instant_of_local(moment, zone_days(site.zone).zone)
    seen = told_on(fold(job, instant, lines.origin), job, notes)
    return Asked(case_of(outlook_of(frame_of(site), seen)))


def after(*entries: Data, text: str = JOB, as_of: str = FRIDAY, tables: Facts = TABLES) -> Asked:
    """Return the small job once these entries are known."""
    return folded(text, history(*entries), as_of, tables)


def words(found: Verdicts) -> dict[str, str]:
    """Return the word of every surface."""
    return {surface: verdict.word.value for surface, verdict in found.surfaces.items()}
