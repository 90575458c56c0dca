"""One line of every form, with what it says, and lines that are nearly right.

Invariant: the job they are said of is small and its clock stands on Monday 4 May 2026 at 06:30.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from readiness.exchange.note_listener import Listener
from readiness.job.durations import Duration
from readiness.job.loading import load_job_text
from readiness.job.words import understand
from readiness.site.answers import questions_of
from readiness.site.lay_out import lay_out
from tests.builders import HEAD, facts, requirement

NOW = datetime(2026, 5, 4, 6, 30)  # noqa: DTZ001  wall clock

TABLES = facts(
    requirements={
        "rig-access": requirement(),
        "roof-dry": requirement(),
        "wood-moisture": requirement(reading="wood moisture", at_most="18 %"),
    }
)
JOB = """
[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen", name = "Kitchen and den" }
[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft" }
kitchen.north-wall = { is = "wall above grade", area = "100 sq ft", name = "North wall" }
kitchen.south-wall = { is = "wall above grade", area = "100 sq ft", name = "South wall" }
[trades]
plumber = { phone = "555-0144" }
[requirements]
rig-access = {}
roof-dry = {}
wood-moisture = {}
[approvals]
wiring-look = []
foam-look = []
[work]
wires = { trade = "electrician", in = ["bath", "kitchen"], order = "before", takes = "16 h", \
approval = "wiring-look" }
lining = { trade = "drywall", in = ["bath", "kitchen"], order = "after", takes = "2 d" }
[obstructions]
tub = { is = "tub", blocks = ["bath.outer"] }
stairs = { is = "stairs", blocks = ["kitchen.south-wall"] }
[trips]
first = { booked = 2026-05-11T07:00:00, lasts = "4 h" }
"""


def listener(text: str = JOB) -> Listener:
    """Return what is needed to understand lines about the small job, or another of its kind."""
    job, lines = load_job_text(HEAD + text, "job.toml", TABLES)
    site = lay_out(job, TABLES, lines.origin)
    return Listener(
        job=job,
        facts=TABLES,
        works=tuple(site.stays),
        approvals=tuple(site.approval_kinds),
        requirements=tuple(dict.fromkeys(r.code for r in site.requirements if r.task is None)),
        trips=tuple(job.trips),
        read_when=_when,
        later_by=_later,
        questions=(*questions_of(site), *site.stays),
        names=site.places.names,
    )


def _when(text: str) -> date | datetime:
    said = understand(text, NOW, lambda day, count: day + timedelta(days=count))
    return datetime.combine(said.day, said.at) if said.at is not None else said.day


def _later(what: str, text: str) -> date | datetime:
    assert what == "first"
    return datetime(2026, 5, 11, 7) + timedelta(days=int(Duration.parse(text).days))  # noqa: DTZ001


ALL = ["all"]
SEEN = {"how": "seen"}

LINES: dict[str, dict[str, Any]] = {
    "begun wires bath 40 %": {
        "kind": "begun",
        "work": "wires",
        "share": "40 %",
        "places": ["bath"],
    },
    "begun wires 3 h left": {"kind": "begun", "work": "wires", "remaining": "3 h", "places": ALL},
    "done wires bath, North wall": {
        "kind": "done",
        "work": "wires",
        "places": ["bath", "kitchen.north-wall"],
    },
    "not-done wires": {"kind": "not-done", "work": "wires", "places": ALL},
    'requested wiring-look bath --slot "thu 7 may 09:00"': {
        "kind": "requested",
        "approval": "wiring-look",
        "surfaces": ["bath"],
        "slot": "2026-05-07T09:00:00",
    },
    "requested wiring-look bath --part": {
        "kind": "requested",
        "approval": "wiring-look",
        "surfaces": ["bath"],
        "part": True,
    },
    'requested wiring-look bath --wanted "wed 6 may 09:00"': {
        "kind": "requested",
        "approval": "wiring-look",
        "surfaces": ["bath"],
        "wanted": "2026-05-06T09:00:00",
    },
    'passed wiring-look "all but North wall" --by office': {
        "kind": "result",
        "approval": "wiring-look",
        "surfaces": ["all but kitchen.north-wall"],
        "result": "passed",
        "office": "office",
        "correct": "",
        "how": "recorded",
    },
    "passed-part wiring-look bath.outer": {
        "kind": "result",
        "approval": "wiring-look",
        "surfaces": ["bath.outer"],
        "result": "passed for part",
        "office": "",
        "correct": "",
    },
    'may-cover wiring-look --correct "staple by the door"': {
        "kind": "result",
        "approval": "wiring-look",
        "surfaces": ALL,
        "result": "may cover, correct later",
        "office": "",
        "correct": "staple by the door",
    },
    'failed wiring-look bath --correct "no fire caulk"': {
        "kind": "result",
        "approval": "wiring-look",
        "surfaces": ["bath"],
        "result": "failed",
        "office": "",
        "correct": "no fire caulk",
    },
    "accepted wiring-look --by engineer": {
        "kind": "result",
        "approval": "wiring-look",
        "surfaces": ALL,
        "result": "accepted otherwise",
        "office": "engineer",
        "correct": "",
        "how": "recorded",
    },
    "not-required wiring-look bath --how said": {
        "kind": "result",
        "approval": "wiring-look",
        "surfaces": ["bath"],
        "result": "not required here",
        "office": "",
        "correct": "",
        "how": "said",
    },
    "set tub": {"kind": "set", "thing": "tub"},
    "set board-stack --is pile --blocks kitchen": {
        "kind": "set",
        "thing": "board-stack",
        "is": "pile",
        "blocks": ["kitchen"],
    },
    "pulled tub": {"kind": "pulled", "thing": "tub"},
    "pull tub fri 8 may": {"kind": "thing-dated", "thing": "tub", "pull": "2026-05-08"},
    "put-back tub thu 14 may": {"kind": "thing-dated", "thing": "tub", "reset": "2026-05-14"},
    'reading moisture 17% North wall --instrument "pin meter"': {
        "kind": "reading",
        "reading": "wood moisture",
        "value": "17%",
        "places": ["kitchen.north-wall"],
        "instrument": "pin meter",
        **SEEN,
    },
    "reading surface 52 F bath": {
        "kind": "reading",
        "reading": "substrate temperature",
        "value": "52 F",
        "places": ["bath"],
        **SEEN,
    },
    "void rain North wall": {
        "kind": "readings-void",
        "cause": "rain",
        "places": ["kitchen.north-wall"],
    },
    "prepared roof-dry": {"kind": "prepared", "requirement": "roof-dry", "places": ALL},
    "yes rig-access": {
        "kind": "answer",
        "requirement": "rig-access",
        "value": "yes",
        "places": ALL,
        "trip": "",
    },
    "no roof-dry --trip first": {
        "kind": "answer",
        "requirement": "roof-dry",
        "value": "no",
        "places": ALL,
        "trip": "first",
    },
    "unknown wood-moisture bath": {
        "kind": "answer",
        "requirement": "wood-moisture",
        "value": "doesn't know",
        "places": ["bath"],
        "trip": "",
    },
    "promised rig-access wed 6 may 12:00 --in bath": {
        "kind": "answer",
        "requirement": "rig-access",
        "value": "promised",
        "promised_by": "2026-05-06T12:00:00",
        "places": ["bath"],
    },
    "confirmed": {"kind": "confirmed", "trip": "first", "yes": True, "reason": ""},
    "refused first drive is under water": {
        "kind": "confirmed",
        "trip": "first",
        "yes": False,
        "reason": "drive is under water",
    },
    'offered thu 7 may 07:00, fri 8 may 07:00 --until "wed 6 may 12:00"': {
        "kind": "offered",
        "trip": "first",
        "moments": ["2026-05-07T07:00:00", "2026-05-08T07:00:00"],
        "holds_until": "2026-05-06T12:00:00",
    },
    "agreed wires tue 5 may": {
        "kind": "dated",
        "what": "wires",
        "when": "2026-05-05",
        "agreed": True,
    },
    "booked first thu 14 may 07:00": {
        "kind": "dated",
        "what": "first",
        "when": "2026-05-14T07:00:00",
        "agreed": False,
    },
    "struck lining": {"kind": "dated", "what": "lining", "when": None, "agreed": False},
    'slip first "2 working days" --cause storm --name "Pell Foam"': {
        "kind": "slip",
        "what": "first",
        "to": "2026-05-13 07:00",
        "cause": "storm",
        "moved_by": "Pell Foam",
    },
    "trip second North wall, South wall": {
        "kind": "trip",
        "trip": "second",
        "surfaces": ["kitchen.north-wall", "kitchen.south-wall"],
    },
    'reserved South wall --reason "line set comes later"': {
        "kind": "reserved",
        "trip": "first",
        "surfaces": ["kitchen.south-wall"],
        "follow_up": "line set comes later",
    },
    'reserved South wall --behind stairs --reason "boards, edges sealed"': {
        "kind": "reserved",
        "trip": "first",
        "surfaces": ["kitchen.south-wall"],
        "follow_up": "boards, edges sealed",
        "behind": "stairs",
    },
    'sealed South wall --reason "canned foam at the sill"': {
        "kind": "sealed",
        "surfaces": ["kitchen.south-wall"],
        "what": "canned foam at the sill",
    },
    "off plumber fri 8 may": {"kind": "off", "off_trade": "plumber", "days": ["2026-05-08"]},
    "extra plumber sat 9 may": {"kind": "extra", "extra_trade": "plumber", "days": ["2026-05-09"]},
    'late plumber "thu 7 may 19:30"': {
        "kind": "late",
        "late_trade": "plumber",
        "until": ["2026-05-07T19:30:00"],
    },
    'takes wires 40 h --reason "a second shift"': {
        "kind": "takes",
        "work": "wires",
        "takes": "40 h",
        "reason": "a second shift",
    },
    "crews wires 2": {"kind": "crews", "work": "wires", "crews": 2},
    "first wires bath": {"kind": "first", "work": "wires", "places": ["bath"]},
    "rigs 2": {"kind": "rigs", "trip": "first", "rigs": 2},
    'change "outlet for a heater" North wall --works wires --by owner --agreed-by Dana': {
        "kind": "change",
        "what": "outlet for a heater",
        "surfaces": ["kitchen.north-wall"],
        "works": ["wires"],
        "asked_by": "owner",
        "agreed_by": "Dana",
    },
    'damage "a gouge by the pipe" bath.outer --trade plumber': {
        "kind": "damage",
        "what": "a gouge by the pipe",
        "surfaces": ["bath.outer"],
        "by_trade": "plumber",
    },
    'override rig-access all --reason "300 ft of hose"': {
        "kind": "override",
        "requirement": "rig-access",
        "surfaces": ALL,
        "trip": "first",
        "reason": "300 ft of hose",
    },
    'stop "floor deck wet" bath': {"kind": "stop", "reason": "floor deck wet", "places": ["bath"]},
    "lift dried": {"kind": "lift", "reason": "dried"},
    "arrived": {"kind": "arrived", "trip": "first"},
    'sprayed North wall "60 %"': {
        "kind": "sprayed",
        "trip": "first",
        "surfaces": ["kitchen.north-wall"],
        "share": "60 %",
        **SEEN,
    },
    "lots first A-1047, B-2210": {"kind": "lots", "trip": "first", "lots": ["A-1047", "B-2210"]},
    "last-foam": {"kind": "last-foam", "trip": "first", "surfaces": []},
    "last-foam first North wall": {
        "kind": "last-foam",
        "trip": "first",
        "surfaces": ["kitchen.north-wall"],
    },
    "cleaned": {"kind": "cleaned", "trip": "first"},
    "ventilated no": {"kind": "ventilated", "trip": "first", "yes": False},
    "release": {"kind": "release", "trip": "first", "residents": False},
    "release first residents": {"kind": "release", "trip": "first", "residents": True},
    "depth North wall 3.4 3.6 3.1e": {
        "kind": "depth",
        "surface": "kitchen.north-wall",
        "field": ["3.4 in", "3.6 in"],
        "perimeter": ["3.1 in"],
        **SEEN,
    },
    "photo north-wall.jpg North wall": {
        "kind": "photo",
        "reference": "north-wall.jpg",
        "places": ["kitchen.north-wall"],
    },
    'sign-off "foam certificate"': {"kind": "sign-off", "what": "foam certificate", "places": ALL},
    'remark "gate code with the neighbor" --private': {
        "kind": "remark",
        "text": "gate code with the neighbor",
        "private": True,
    },
}
"""What each line says, as the fields of its entry."""

REFUSED: dict[str, str] = {
    "": "an empty line says nothing",
    "doen wires": "did you mean: done WORK [PLACES]",
    "nothing at all": "forms are: done WORK [PLACES]; not-done",
    "done": "something is missing after 'done'; write it like: done WORK [PLACES]",
    "done wire": "",
    "done wirez": "'wirez' is no work of this job; did you mean wires?",
    "done wires BTH": "'BTH' is no place of this job; did you mean bath?",
    "done wires bth": "'bth' is no place of this job; did you mean bath?",
    "done wires Nort wall": "'Nort wall' is no place of this job; did you mean north wall?",
    "done wires --plaecs bath": "'--plaecs' is not known here",
    "done wires --in": "--in has no value",
    "done wires --private": "only a remark can be private",
    "requested wiring-look --slot fri 8 may": "'8' is no place of this job",
    'requested wiring-look --slot "fri 8 may"': "a slot needs its hour",
    "done wires --part": "only a look can be asked for in part",
    "late plumber thu 7 may": "an evening needs the hour until which the trade works",
    "takes wires soon": "'soon' is not a duration",
    "passed wirring-look": "'wirring-look' is no approval of this job; did you mean wiring-look?",
    "passed look": "'look' is no approval of this job",
    "reserved South wall --behind tub": "behind tub no bay can be left out",
    "set tubb": "'tubb' is no thing of this job; did you mean tub?",
    "set stack --is pil --blocks bath": "",
    "pull tub next thursday": "Thu 7 May 2026 or Thu 14 May 2026?",
    "pulled": "something is missing after 'pulled'",
    "reading moisture": "something is missing after 'reading'",
    "reading damp 17%": "'damp' is no kind of reading of this job",
    "yes rig-acess": "did you mean rig-access?",
    "yes ro": "",
    "promised": "something is missing after 'promised'; write it like: promised",
    "promised rig-access": "something is missing after 'promised'",
    "offered thu 7 may": "an offered day needs its hour",
    'offered thu 7 may 07:00 --until "wed 6 may"': "an offer holds until an hour",
    "agreed wires 5/4/2026": "Sun 5 Apr 2026 or Mon 4 May 2026?",
    'slip first "2 working days"': "a slip needs its cause",
    'slip first "2 days" --cause storm': "working or calendar days?",
    "trip": "something is missing after 'trip'",
    "reserved": "something is missing after 'reserved'",
    "change outlet": "something is missing after 'change'; write it like: change",
    "override rig-access all": "an override needs its reason",
    "override rig-access --reason cold": "something is missing after 'override'",
    "arrived early": "'early' was not expected; write it like: arrived [TRIP]",
    "sprayed": "something is missing after 'sprayed'",
    "lots": "something is missing after 'lots'; write it like: lots [TRIP] NUMBERS",
    "last-foam North wal": "'North wal' is no place of this job; did you mean north wall?",
    "release tenants": "'tenants' was not expected; write it like: release [TRIP] [residents]",
    "ventilated maybe": "'maybe' is no answer of this job",
    "depth": "something is missing after 'depth'",
    "depth North wall": "something is missing after 'depth'",
    "depth kitchen 3.4": "'kitchen' is no surface",
    "depth Nort wall 3.4": "'Nort wall' is no place of this job; did you mean north wall?",
    "depth bath.outer 3in": "'3in' is no depth; write it like: depth SURFACE 3.4 3.6 3.1e",
    "depth bath.outer -3": "'-3' is no depth",
    "depth North wall 3.4 thin": "'thin' is no depth; write it like: depth SURFACE 3.4 3.6 3.1e",
    "remark": "something is missing after 'remark'",
    "done wires --how guessed": "'guessed' is no way to know something of this job",
}
"""Lines that are nearly right, with what the refusal says; an empty one is understood after all."""
