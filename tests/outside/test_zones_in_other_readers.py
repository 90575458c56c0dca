"""Our zones in a reader of another language: every half hour of two years in its place.

Source: the reader is the published `ical.js`; what is right is the zone data of this machine.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import zoneinfo
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.conftest import ROOT
from tests.exchange.builders import entry, file_of
from tests.exchange.test_zone_rules import SAMPLED
from tests.stories.calendar_readers import NODE_MODULES, with_node

FIRST = datetime(2026, 5, 1, tzinfo=UTC)
LAST = FIRST + timedelta(days=2 * 365)
HALF_AN_HOUR = timedelta(minutes=30)
UNKNOWN = {"localtime", "posixrules", "Factory"}


def wrong(zone: str, runs: list[list[int]]) -> list[datetime]:
    """Return the half hours of the wall clock that are placed wrongly.

    One that does not exist is left out, and so is one that exists twice: this reader takes it for
    the second one against RFC 5545, section 3.3.5, and we write such times in UTC.
    """
    own, found = ZoneInfo(zone), []
    wall, place = FIRST, 0
    while wall < LAST:
        at = int(wall.timestamp())
        while place + 1 < len(runs) and runs[place + 1][0] <= at:
            place += 1
        meant = wall.replace(tzinfo=own)
        exists = meant.astimezone(UTC).astimezone(own).replace(tzinfo=UTC) == wall
        offset = meant.utcoffset() or timedelta()
        exists = exists and meant.replace(fold=1).utcoffset() == offset
        if exists and offset.total_seconds() != runs[place][1]:
            found.append(wall)
        wall += HALF_AN_HOUR
    return found


def runs_in_the_other_reader(zones: list[str], folder: Path) -> list[list[list[int]]]:
    files = []
    for number, zone in enumerate(zones):
        file = folder / f"{number}.ics"
        file.write_bytes(file_of(entry("2026-05-01 07:00", zone=zone), zone=zone))
        files.append(str(file))
    node = shutil.which("node")
    assert node is not None
    script = ROOT / "tests" / "stories" / "zones.js"
    span = [str(int(moment.timestamp())) for moment in (FIRST, LAST)]
    ran = subprocess.run(
        [node, str(script), NODE_MODULES, *span, *files],
        capture_output=True,
        text=True,
        check=True,
        timeout=1_200,
    )
    found: list[list[list[int]]] = json.loads(ran.stdout)
    return found


@with_node
@pytest.mark.parametrize("zone", SAMPLED[:6])
def test_a_zone_is_read_alike_elsewhere(zone: str, tmp_path: Path) -> None:
    (runs,) = runs_in_the_other_reader([zone], tmp_path)
    assert wrong(zone, runs) == []


@with_node
@pytest.mark.long
@pytest.mark.timeout(1_800)
def test_every_zone_is_read_alike_elsewhere(tmp_path: Path) -> None:
    zones = sorted(zoneinfo.available_timezones() - UNKNOWN)
    found = runs_in_the_other_reader(zones, tmp_path)
    bad = [zone for zone, runs in zip(zones, found, strict=True) if wrong(zone, runs)]
    assert bad == []
