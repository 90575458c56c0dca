"""How long a diary takes: replayed to a verdict, and one durable entry behind it.

Invariant: both are measured against the least that any program would have to do: read every line
with the library's own reader, and write one line and wait for the disk.
"""

from __future__ import annotations

import json
import os
import random
import statistics
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.diary_files import append
from readiness.facts.vocabulary import Gate
from readiness.job.instants import instant_of
from tests.bench.ratio import compare, delayed, elapsed_ms, fails_when_delayed

pytestmark = pytest.mark.bench

ENTRIES = 50_000
REPLAY_LIMIT = 3
APPEND_LIMIT = 1.5
REAL_DISK_MS = 0.2
"""A file system whose bare fsync is quicker keeps nothing safe, so there is nothing to compare."""

START = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
ARRIVAL = datetime(2026, 5, 11, 11, 0, tzinfo=UTC)
WRITERS = ("ada-moss", "lee-fox", "ida-bell", "pat-hale")
JOB = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
kind = "new house"
site = { time_zone = "America/New_York", country = "US", state = "OH" }
as_of = 2026-05-10T06:30:00

[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen" }

[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft net" }
kitchen.outer = { is = "wall above grade", area = "100 sq ft net" }

[trips]
first = { agreed = 2026-05-11T07:00:00, lasts = "1 d" }
"""
PLACES = (["all"], ["bath"], ["kitchen"], ["bath.outer"], ["kitchen.outer"])


def content(chance: random.Random, turn: int) -> dict[str, Any]:
    """Return what one entry says: mostly readings, remarks, pictures and answers, as on a site."""
    place = chance.choice(PLACES)
    kinds: list[tuple[int, dict[str, Any]]] = [
        (
            30,
            {"kind": "reading", "reading": "wood moisture", "value": f"{chance.randint(11, 17)} %"},
        ),
        (10, {"kind": "reading", "reading": "air temperature", "value": "61 F"}),
        (
            20,
            {"kind": "remark", "text": f"walk {turn}: nothing to see but dust on the sill plates"},
        ),
        (15, {"kind": "photo", "reference": f"wall-{turn}.jpg"}),
        (
            10,
            {"kind": "answer", "requirement": "rig-access", "value": chance.choice(["yes", "no"])},
        ),
        (5, {"kind": "prepared", "requirement": "clear-floor"}),
        (5, {"kind": "done", "work": chance.choice(["fire-blocking", "rough-electrical"])}),
        (2, {"kind": "not-done", "work": "rough-electrical"}),
        (1, {"kind": "requested", "approval": "electrical-approval", "surfaces": place}),
        (1, {"kind": "slip", "what": "rough-electrical", "to": "2026-05-08", "cause": "storm"}),
        (1, {"kind": "damage", "what": "a gouge", "surfaces": place}),
    ]
    found = dict(chance.choices([k for _, k in kinds], [weight for weight, _ in kinds])[0])
    if found["kind"] in {"reading", "photo", "answer", "prepared", "done", "not-done"}:
        found["places"] = place
    return found


def long_diary(folder: Path) -> None:
    """Write a job with a diary of 50,000 entries by four people, half a minute apart."""
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    (folder / "diary").mkdir()
    chance = random.Random(3)
    lines: dict[str, list[str]] = {writer: [] for writer in WRITERS}
    for turn in range(ENTRIES):
        writer = chance.choice(WRITERS)
        moment = START + timedelta(seconds=10 * turn)
        entry = {
            "writer": writer,
            "number": len(lines[writer]) + 1,
            "seen": (moment - timedelta(hours=4)).replace(second=0, tzinfo=None).isoformat(),
            "written": moment.isoformat().replace("+00:00", "Z"),
            "by": writer.replace("-", " ").title(),
            "role": "contractor",
            "trade": "",
            "how": "seen",
            "via": "",
            "replaces": "",
            **content(chance, turn),
        }
        lines[writer].append(json.dumps(entry))
    for writer, told in lines.items():
        text = "".join(line + "\n" for line in told)
        (folder / "diary" / f"{writer}.jsonl").write_text(text, encoding="utf-8")


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the job."""
    folder = tmp_path_factory.mktemp("long")
    long_diary(folder)
    return folder


def replay(job: Path) -> object:
    """Return the verdict, everything read anew."""
    desk = open_desk(job)
    case = desk.case(instant_of(START + timedelta(days=6)))
    return case.judge.verdicts(Gate.PROMISE, instant_of(ARRIVAL), "first").word


def parsed(job: Path) -> int:
    """Return how many lines the library's reader finds, one after the other."""
    count = 0
    for file in (job / "diary").iterdir():
        with file.open("rb") as lines:
            for line in lines:
                count += bool(json.loads(line))
    return count


def test_a_long_diary_is_replayed_to_a_verdict(job: Path) -> None:
    assert parsed(job) == ENTRIES
    assert replay(job)
    compare(
        "50,000 entries to a verdict",
        lambda: replay(job),
        lambda: parsed(job),
        limit=REPLAY_LIMIT,
        turns=5,
    ).check()
    fails_when_delayed("replay", lambda: replay(job), lambda: parsed(job), limit=REPLAY_LIMIT)


REMARK = {
    "kind": "remark",
    "text": "floor deck wet at the west door, mats are out",
    "by": "Ada Moss",
    "seen": "2026-05-07T09:00:00",
    "written": "2026-05-07T13:00:00Z",
}


def fsync_ms(folder: Path) -> float:
    """Return how long this file system takes to make one line safe."""
    with bare(folder) as write:
        return statistics.median(elapsed_ms(write) for _ in range(15))


@contextmanager
def bare(folder: Path) -> Iterator[Callable[[], object]]:
    """Give a bare write of one line with its fsync, on a descriptor that stays open."""
    descriptor = os.open(folder / "bare", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
    line = (json.dumps({**REMARK, "writer": "ada-moss", "number": 1}) + "\n").encode()

    def write() -> None:
        os.write(descriptor, line)
        os.fsync(descriptor)

    try:
        yield write
    finally:
        os.close(descriptor)


def test_one_durable_entry_costs_little_more_than_the_disk(tmp_path: Path) -> None:
    """Where the disk is real; elsewhere both are only told, since nothing waits for anything."""
    file = tmp_path / "diary" / "ada-moss.jsonl"
    append(file, [REMARK] * 50)

    def durable() -> object:
        return append(file, [REMARK])

    is_real = fsync_ms(tmp_path) >= REAL_DISK_MS
    with bare(tmp_path) as write:
        found = compare("one durable entry", durable, write, limit=APPEND_LIMIT, turns=101)
        if is_real:
            found.check()
            fails_when_delayed("one durable entry", durable, write, limit=APPEND_LIMIT)
        else:
            print(f"\nbench {found}; reported only, the file system waits for no disk")  # noqa: T201
            assert (
                compare("delayed", delayed(durable, 5), write, limit=APPEND_LIMIT, turns=3).ratio
                > found.ratio
            )
