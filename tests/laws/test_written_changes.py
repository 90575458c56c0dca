"""Each kind of change, written into a diary, gives the verdict that the search has judged.

A job with something for every kind: a work of two rooms that one crew does not finish in time, a
Saturday before the asked day, two rims, a tub and a duct in the way, and what is booked on both
sides.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.drafting import Draft
from readiness.desk.statement import Statement, writer_of
from readiness.gates.asked import asked_gate
from readiness.planning.change import ChangeKind, Offer
from readiness.planning.listing import offer_of
from readiness.planning.trying import Trying
from readiness.planning.writing import lines_of
from tests.builders import at

ON = at("2026-05-11 07:00")
JOB = """
name = "Cedar Lane 3"
key = "5b0e77a1"
as_of = 2026-05-04T06:30:00
site = { time_zone = "UTC", country = "US", holidays = false, hours = "Mon-Fri 07:00-15:00" }
[rooms]
bath = { is = "bath", storey = "ground" }
kitchen = { is = "kitchen", storey = "upper" }
[surfaces]
bath.rim = { is = "rim joist", area = "40 sq ft" }
kitchen.rim = { is = "rim joist", area = "40 sq ft" }
[trades]
plumber = { name = "Ada Pipe" }
electrician = { name = "Bo Wire" }
framer = { name = "Cal Frame" }
[work]
wires = { trade = "electrician", in="kitchen", order="before", takes="1 d", booked=2026-05-12 }
tiles = { trade = "framer", in = "bath", order = "after", takes = "1 d", booked = 2026-05-11 }
trim = { trade="framer", in="kitchen", order="after", takes="1 d", booked=2026-05-12T10:00:00 }
[work.net]
trade = "framer"
in = ["bath", "kitchen"]
order = "before"
takes = "2 d"
starts_after = [{ end_of = "plumbing-approval", each_place = true }]
[work.slow]
trade = "plumber"
in = ["bath", "kitchen"]
order = "before"
approval = "plumbing-approval"
takes = "6 d"
fast_takes = "3 d"
dried_takes = "4 d"
[obstructions]
tub = { is = "tub", blocks = ["kitchen.rim"], set = 2026-05-01 }
duct = { is = "rim-duct", blocks = ["bath.rim"], set = 2026-05-01 }
[requirements]
[approvals]
plumbing-approval = { requested = 2026-05-01T09:00:00, slot = 2026-05-08T09:00:00 }
[trips]
first = { booked = 2026-05-11T07:00:00, lasts = "4 h" }
"""


@pytest.mark.parametrize("kind", list(ChangeKind))
def test_a_written_change_is_judged_as_it_was_tried(kind: ChangeKind, tmp_path: Path) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "job.toml").write_text(JOB)
    desk = open_desk(folder)
    outlook = desk.case().outlook
    nothing = Offer((), frozenset(), (), (), "")
    base = Trying(outlook, nothing, "first", ON).attempt(frozenset())
    offer = offer_of(base, nothing, "first")
    found = [change for change in offer.changes if change.kind is kind]
    assert found, [change.id for change in offer.changes]
    trying = Trying(outlook, offer, "first", ON)
    tried = trying.attempt(frozenset({found[0].id}))
    assert tried.verdicts is not None
    who = writer_of("Noor Haddad, contractor")
    draft = Draft(desk, who, "by ways")
    for line in lines_of(outlook.site.job, offer, "first", found[:1]):
        draft.add(Statement(dict(line), who))
    draft.write()
    written = open_desk(folder).case()
    gate = asked_gate(written.outlook, tried.on, "first")
    verdicts = written.judge.verdicts(gate, tried.on, "first")
    assert verdicts.word == tried.verdicts.word
    for surface, verdict in tried.verdicts.surfaces.items():
        assert verdicts.surfaces[surface].window == verdict.window
