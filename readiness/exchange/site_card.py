"""What the other firm may see of a job: a site card that it can open as a job of its own.

Address, surfaces with class and depth, the trips with their dates, who to call, and what is
answered; never prices, private remarks, health, door codes or the network of work.

Invariant: the text is a valid job file, and holds nothing that is not listed here.
"""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.job.depth_rows import DepthRow
    from readiness.job.job import Job
    from readiness.job.rows import SurfaceRow, TradeRow
    from readiness.job.trip_rows import TripRow


def site_card(
    job: Job, trips: Mapping[str, TripRow], answers: Iterable[str], readings: Iterable[str]
) -> str:
    """Return a job as a site card.

    Args:
        job: The job, amended by its diary.
        trips: The trips as they stand now, by id.
        answers: Lines of the table `[answers]` that may be seen.
        readings: Lines of the table `[readings]` that may be seen.
    """
    lines = [
        "# Site card: what the spray company needs to know. Answers, stops and spray records go",
        "# back as text: readiness handover CARD --to FILE, and readiness receive JOB FILE.",
        f"name = {_text(job.name)}",
        f"key = {_text(job.key)}",
        "card = true",
        *([f"kind = {_text(job.kind.value)}"] if job.kind is not None else []),
        f"site = {{ {', '.join(_site(job))} }}",
    ]
    if job.as_of is not None:
        lines.append(f"as_of = {job.as_of.isoformat()}")
    lines.append(f"units = {_text(job.units)}")
    if depth := list(_depth(job.depth)):
        lines.append(f"depth = {{ {', '.join(depth)} }}")
    lines += ["", "[rooms]"]
    lines += [f"{room} = {{ {', '.join(_room(job, room))} }}" for room in job.rooms]
    lines += ["", "[surfaces]"]
    lines += [
        f"{name} = {{ {', '.join(_surface(row, job))} }}" for name, row in job.surfaces.items()
    ]
    lines += ["", "[trades]"]
    lines += [f"{name} = {{ {', '.join(_trade(name, row))} }}" for name, row in job.trades.items()]
    lines += ["", "[trips]"]
    lines += [f"{name} = {{ {', '.join(_trip(row))} }}" for name, row in trips.items()]
    for table, rows in (("answers", list(answers)), ("readings", list(readings))):
        if rows:
            lines += ["", f"[{table}]", *rows]
    return "\n".join(lines) + "\n"


def _text(value: str) -> str:
    """Return a TOML string; JSON's escapes are TOML's too."""
    return json.dumps(value, ensure_ascii=False)


def _list(values: Iterable[str]) -> str:
    return "[" + ", ".join(_text(value) for value in values) + "]"


def _site(job: Job) -> Iterable[str]:
    site = job.site
    yield f"time_zone = {_text(site.time_zone)}"
    yield f"country = {_text(site.country)}"
    for key in ("state", "climate", "code", "address", "contact", "phone"):
        value = getattr(site, key)
        if value:
            yield f"{key} = {_text(value)}"


def _room(job: Job, room: str) -> Iterable[str]:
    row = job.rooms[room]
    yield f"is = {_text(row.is_.value)}"
    if row.name:
        yield f"name = {_text(row.name)}"
    if row.storey:
        yield f"storey = {_text(row.storey)}"


def _surface(row: SurfaceRow, job: Job) -> Iterable[str]:
    yield f"is = {_text(row.is_.value)}"
    if row.name:
        yield f"name = {_text(row.name)}"
    if row.rooms:
        yield f"rooms = {_list(row.rooms)}"
    for key in ("area", "cavity", "depth", "tolerance"):
        value = getattr(row, key)
        if value is not None:
            yield f"{key} = {_text(str(value))}"
    if row.depth_means:
        yield f"depth_means = {_text(row.depth_means.value)}"
    foam = row.foam or (job.products[row.product].class_.value if row.product else "")
    if foam:
        yield f"foam = {_text(foam)}"


def _depth(row: DepthRow) -> Iterable[str]:
    for key in type(row).model_fields:
        value = getattr(row, key)
        if value is not None:
            yield f"{key} = {value}" if isinstance(value, int) else f"{key} = {_text(str(value))}"


WITH_PHONE = frozenset({"contractor", "spray"})
"""Whose telephone goes along; the other trades gave theirs to the contractor only."""


def _trade(name: str, row: TradeRow) -> Iterable[str]:
    if row.name:
        yield f"name = {_text(row.name)}"
    if row.phone and name in WITH_PHONE:
        yield f"phone = {_text(row.phone)}"


def _trip(row: TripRow) -> Iterable[str]:
    yield f"surfaces = {_list(row.surfaces)}"
    for key in ("agreed", "booked"):
        value = getattr(row, key)
        if value is not None:
            yield f"{key} = {_moment(value)}"
    for key in ("lasts", "lasts_at_most", "keep_out"):
        value = getattr(row, key)
        if value is not None:
            yield f"{key} = {_text(str(value))}"
    if row.offered:
        yield f"offered = [{', '.join(_moment(moment) for moment in row.offered)}]"
    if row.rig:
        yield f"rig = {_text(row.rig)}"
    if row.rigs > 1:
        yield f"rigs = {row.rigs}"
    if row.sheet:
        yield f"sheet = {_text(row.sheet)}"
    yield from _left_out(row)


def _left_out(row: TripRow) -> Iterable[str]:
    """Yield what the trip does not spray, and what is done there instead."""
    if row.reserved:
        yield f"reserved = {_list(row.reserved)}"
    if row.follow_ups:
        pairs = (f"{_text(place)} = {_text(words)}" for place, words in row.follow_ups.items())
        yield f"follow_ups = {{ {', '.join(pairs)} }}"


def _moment(value: date | datetime) -> str:
    return value.isoformat()
