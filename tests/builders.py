"""Small jobs from short texts, with tables of facts of their own, asked without a file or a clock.

The usual job stands in UTC without holidays, works Monday to Friday from 7 to 15 in one shift, and
its spray crew needs an hour to set up, half an hour to clean up and 24 hours of keep-out.

Invariant: 2026-05-04 is a Monday; every date of the tests is counted from there.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from readiness.diary.stated import fold
from readiness.facts.loader import load_facts
from readiness.facts.rows import Facts
from readiness.gates.blockers import blockers_of
from readiness.gates.findings import findings_of
from readiness.job.instants import instant_of, instant_of_local, is_dated
from readiness.job.loading import load_job_text
from readiness.job.problems import JobFileError
from readiness.schedule.frame import frame_of
from readiness.schedule.outlook import outlook_of
from readiness.site.calendars import zone_days
from readiness.site.lay_out import lay_out
from readiness.telling.case import Case, case_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.facts.vocabulary import Gate
    from readiness.gates.blockers import Blocker
    from readiness.gates.findings import Finding
    from readiness.gates.verdict import Verdicts
    from readiness.gates.windows import SprayWindow
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Site

AS_OF = "2026-05-04 06:30"

HEAD = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
site = { time_zone = "UTC", holidays = false, hours = "Mon-Fri 07:00-15:00" }
"""

ROOMS = """
[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen" }

[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft" }
kitchen.outer = { is = "wall above grade", area = "100 sq ft" }
"""

TRIP = """
[trips]
first = { booked = 2026-05-11T07:00:00, lasts = "1 d" }
"""

_TRADES = ("spray", "electrician", "plumber", "framer", "hvac", "contractor", "drywall", "office")

_STEPS = {
    "walk-in": "60 min",
    "conditions-check": "0 min",
    "masking": "0 min",
    "box-covers": "0 min",
    "air-handling-off": "0 min",
    "containment": "0 min",
    "rig-warm-up": "0 min",
    "spray": "1 d",
    "probe": "0 min",
    "trim": "0 min",
    "clean-up": "30 min",
    "keep-out": "24 h elapsed",
}

_FACTS: dict[str, dict[str, dict[str, Any]]] = {
    "work": {},
    "requirements": {},
    "approvals": {
        "wiring-look": {
            "title": "Look at the wiring",
            "office": "building",
            "notice": "1 d",
            "correction_trade": "electrician",
            "correction_takes": "4 h",
            "binding": True,
            "why": "it vanishes",
        },
        "frame-look": {
            "title": "Look at the framing",
            "office": "building",
            "covers_framing": True,
            "after": ["wiring-look"],
            "notice": "1 d",
            "correction_trade": "framer",
            "correction_takes": "4 h",
            "binding": True,
            "why": "it vanishes",
        },
        "foam-look": {
            "title": "Look at the foam",
            "office": "building",
            "after_spray": True,
            "notice": "1 d",
            "due": "board",
            "correction_trade": "spray",
            "correction_takes": "4 h",
            "binding": True,
            "why": "board hides it",
        },
    },
    "obstructions": {
        "tub": {
            "title": "A tub",
            "fixed": True,
            "blocks": ["wall above grade"],
            "clearance": "24 in",
            "pull_trade": "plumber",
            "pull_takes": "4 h",
        },
        "stairs": {
            "title": "Stairs along the wall",
            "fixed": False,
            "blocks": ["wall above grade"],
            "pull_trade": "contractor",
            "pull_takes": "4 h",
            "bay_by_hand": True,
        },
        "pile": {
            "title": "A pile of board",
            "fixed": False,
            "blocks": ["wall above grade"],
            "pull_trade": "contractor",
            "pull_takes": "1 h",
        },
    },
    "trip": {
        step: {"title": step, "takes": takes, "clock": step == "keep-out"}
        for step, takes in _STEPS.items()
    },
    "trades": {
        trade: {"title": trade, "hours": "Mon-Fri 07:00-15:00", "letters": trade[:2].upper()}
        for trade in _TRADES
    },
    "rules": {},
    "surfaces": {
        "wall above grade": {"title": "wall", "framed": True},
        "sound wall": {"title": "sound wall", "framed": False},
    },
}


def facts(**tables: Mapping[str, Mapping[str, object]]) -> Facts:
    """Return tiny tables; rows given are added to them, or replace those of their name."""
    merged = {name: dict(rows) for name, rows in _FACTS.items()}
    for name, rows in tables.items():
        merged[name].update({row: dict(fields) for row, fields in rows.items()})
    return Facts.model_validate(merged)


def requirement(**fields: object) -> dict[str, object]:
    """Return a row of a requirement: a condition of a surface, due at roll."""
    return {
        "title": "It is so",
        "category": "condition",
        "scope": "surface",
        "question": "Is it so?",
        "clears": "contractor",
        "why": "it must be",
        **fields,
    }


def work(**fields: object) -> dict[str, object]:
    """Return a row of a kind of work: of a room, a day for each part, before every surface."""
    return {
        "title": "Do it",
        "trade": "electrician",
        "scope": "room",
        "touches": [{"order": "before"}],
        "takes": "1 d",
        "each": True,
        "why": "it belongs there",
        **fields,
    }


TINY = facts()


@dataclass(frozen=True)
class Asked:
    """One small job at one moment, with short ways to what a test looks at."""

    case: Case

    @property
    def outlook(self) -> Outlook:
        """Return its forecast."""
        return self.case.outlook

    @property
    def site(self) -> Site:
        """Return its site."""
        return self.case.site

    def task(self, name: str) -> int:
        """Return the index of the task with that id."""
        found = [task.index for task in self.site.tasks if task.id == name]
        assert found, f"no task {name} among {[task.id for task in self.site.tasks]}"
        return found[0]

    def start(self, name: str) -> int:
        """Return the forecast start of a task."""
        return self.outlook.forecast.start[self.task(name)]

    def finish(self, name: str) -> int:
        """Return the forecast finish of a task."""
        return self.outlook.forecast.finish[self.task(name)]

    def window(self, surface: str) -> SprayWindow:
        """Return the spray window of a surface."""
        return self.case.judge.windows[surface]

    def verdicts(self, gate: Gate, on: int, trip: str = "first") -> Verdicts:
        """Return the verdicts at a gate for an arrival."""
        return self.case.judge.verdicts(gate, on, trip)

    def blockers(self, gate: Gate, on: int, trip: str = "first") -> tuple[Blocker, ...]:
        """Return what holds the trip up."""
        return blockers_of(self.outlook, self.verdicts(gate, on, trip))

    def findings(self) -> tuple[Finding, ...]:
        """Return what no gate asks and people still want to know."""
        return findings_of(self.outlook)

    def state(self, code: str, gate: Gate, on: int, place: str = "") -> str:
        """Return the state of the requirement of that code, at its one place or the named one."""
        found = [
            requirement.index
            for requirement in self.site.requirements
            if requirement.code == code and place in {"", requirement.place}
        ]
        assert len(found) == 1, f"{len(found)} requirements {code} at {place or 'any place'}"
        return self.verdicts(gate, on).standings[found[0]].state.value

    def links(self) -> set[tuple[str, str]]:
        """Return all links as pairs of ids."""
        tasks = self.site.tasks
        return {(tasks[link.source].id, tasks[link.target].id) for link in self.site.links}


def laid_out(text: str, tables: Facts = TINY) -> Site:
    """Return the site of a job text under the usual head."""
    job, lines = load_job_text(with_head(text), "job.toml", tables)
    return lay_out(job, tables, lines.origin)


def asked(text: str, as_of: str = AS_OF, tables: Facts = TINY) -> Asked:
    """Return a job text, under the usual head, at a moment of the site's wall clock."""
    job, lines = load_job_text(with_head(text), "job.toml", tables)
    site = lay_out(job, tables, lines.origin)
    moment = instant_of_local(datetime.fromisoformat(as_of), zone_days(site.zone).zone)
    return Asked(case_of(outlook_of(frame_of(site), fold(job, moment, lines.origin))))


def real(text: str, as_of: str = AS_OF) -> Asked:
    """Return a job text at a moment, with the tables that ship with the package."""
    return asked(text, as_of, load_facts())


def problems(text: str, tables: Facts = TINY) -> list[str]:
    """Return what is wrong with a job text; nothing if it can be laid out."""
    try:
        load_job_text(with_head(text), "job.toml", tables)
    except JobFileError as error:
        return [problem.what for problem in error.problems]
    return []


def with_head(text: str) -> str:
    """Return a text under the usual head, unless it brings its own."""
    return text if text.lstrip().startswith("name") else HEAD + text


def at(moment: str) -> int:
    """Return the instant of a moment in UTC."""
    return instant_of(datetime.fromisoformat(moment).replace(tzinfo=UTC))


def told(instant: int) -> str:
    """Return an instant as a moment in UTC, or the word for what has no date."""
    if not is_dated(instant):
        return "never" if instant > 0 else "earlier"
    return datetime.fromtimestamp(instant * 60, UTC).strftime("%Y-%m-%d %H:%M")
