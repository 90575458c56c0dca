"""Flags become words, surfaces become trips; the whole table is written out by hand."""

from __future__ import annotations

import pytest

from readiness.facts.vocabulary import Gate
from readiness.gates.verdict import Flags, union
from readiness.questions.check import check
from tests.builders import ROOMS, asked, at

ON = at("2026-05-11 07:00")

WORDS = [
    # early, late, unprepared, promise, roll
    (False, False, False, "on course", "ready"),
    (False, False, True, "not prepared", "not prepared"),
    (True, False, False, "too early", "too early"),
    (True, False, True, "too early", "too early"),
    (False, True, False, "too late", "too late"),
    (False, True, True, "too late", "too late"),
    (True, True, False, "crossed", "crossed"),
    (True, True, True, "crossed", "crossed"),
]


@pytest.mark.parametrize(("early", "late", "unprepared", "promise", "roll"), WORDS)
def test_the_word_of_every_set_of_flags(
    *, early: bool, late: bool, unprepared: bool, promise: str, roll: str
) -> None:
    flags = Flags(early, late, unprepared)
    assert flags.word(Gate.PROMISE).value == promise
    assert flags.word(Gate.ROLL).value == roll
    assert flags.word(Gate.GUN).value == roll


PAIRS = [
    # flags of the bath, flags of the kitchen, word of the trip, crossed only by union
    ("", "", "ready", False),
    ("", "H", "not prepared", False),
    ("", "E", "too early", False),
    ("", "L", "too late", False),
    ("", "EL", "crossed", False),
    ("H", "H", "not prepared", False),
    ("H", "E", "too early", False),
    ("H", "L", "too late", False),
    ("H", "EL", "crossed", False),
    ("E", "E", "too early", False),
    ("E", "L", "crossed", True),
    ("E", "EL", "crossed", False),
    ("E", "EH", "too early", False),
    ("L", "L", "too late", False),
    ("L", "EH", "crossed", True),
    ("L", "EL", "crossed", False),
    ("EL", "EL", "crossed", False),
    ("EH", "EH", "too early", False),
    ("EH", "H", "too early", False),
    ("", "EH", "too early", False),
    ("EL", "EH", "crossed", False),
]
ALONE = {
    "": "ready",
    "H": "not prepared",
    "E": "too early",
    "L": "too late",
    "EL": "crossed",
    "EH": "too early",
}


def held(bath: str, kitchen: str) -> str:
    """Return a job whose two surfaces carry these flags: no yes, a tub, a pile."""
    work = things = ""
    for place, flags in (("bath", bath), ("kitchen", kitchen)):
        surface = f"{place}.outer"
        if "E" in flags:
            work += (
                f'wires-{place} = {{ trade = "electrician", in = ["{place}"], order = "before", '
                'takes = "1 d", booked = 2026-05-20 }\n'
            )
        if "L" in flags:
            things += f'tub-{place} = {{ is = "tub", blocks = ["{surface}"] }}\n'
        if "H" in flags:
            things += f'pile-{place} = {{ is = "pile", blocks = ["{surface}"] }}\n'
    trip = '[trips]\nfirst = { booked = 2026-05-11T07:00:00, lasts = "1 d" }\n'
    return ROOMS + "[work]\n" + work + "[obstructions]\n" + things + trip


@pytest.mark.parametrize(("bath", "kitchen", "word", "by_union"), PAIRS)
@pytest.mark.parametrize("turned", [False, True])
def test_the_word_of_a_trip_of_every_pair_of_surfaces(
    bath: str, kitchen: str, word: str, *, by_union: bool, turned: bool
) -> None:
    if turned:
        bath, kitchen = kitchen, bath
    verdicts = asked(held(bath, kitchen)).verdicts(Gate.ROLL, ON)
    words = {name: verdict.word.value for name, verdict in verdicts.surfaces.items()}
    assert words == {"bath.outer": ALONE[bath], "kitchen.outer": ALONE[kitchen]}
    assert verdicts.word.value == word
    assert (word == "crossed" and "crossed" not in words.values()) == by_union
    flags = union(verdict.flags for verdict in verdicts.surfaces.values())
    assert verdicts.flags == flags


@pytest.mark.parametrize(
    ("bath", "kitchen", "by_union"), [("E", "L", True), ("EL", "L", False), ("E", "E", False)]
)
def test_a_trip_that_is_crossed_only_by_union_needs_two_trips(
    bath: str, kitchen: str, *, by_union: bool
) -> None:
    assert check(asked(held(bath, kitchen)).case).two_trips == by_union


TWO_TRIPS = (
    '[trips]\nfirst = { booked = 2026-05-11T07:00:00, surfaces = ["kitchen.outer"] }\n'
    'later = { booked = 2026-05-20T07:00:00, surfaces = ["bath.outer"] }\n'
)


def test_surfaces_of_a_later_trip_and_reserved_ones_do_not_count() -> None:
    text = held("EL", "")
    text = text[: text.index("[trips]")]
    assert asked(text + TWO_TRIPS).verdicts(Gate.PROMISE, ON).word.value == "on course"
    reserved = '[trips]\nfirst = { booked = 2026-05-11T07:00:00, reserved = ["bath.outer"] }\n'
    found = asked(text + reserved).verdicts(Gate.PROMISE, ON)
    assert found.word.value == "on course"
    assert found.surfaces["bath.outer"].word.value == "reserved"


def test_a_stop_beats_every_verdict_until_its_role_lifts_it() -> None:
    stop = (
        '[stops]\ns = { by = "Lee", role = "crew lead", reason = "wet deck", '
        "at = 2026-05-04T06:00:00%s }\n"
    )
    text = held("", "")
    assert asked(text + stop % "").verdicts(Gate.PROMISE, ON).word.value == "stopped"
    lifted = stop % ", lifted = 2026-05-04T06:20:00"
    assert asked(text + lifted).verdicts(Gate.PROMISE, ON).word.value == "on course"
    in_bath = stop % ', places = ["bath"]'
    found = asked(text + in_bath).verdicts(Gate.PROMISE, ON)
    assert found.surfaces["kitchen.outer"].word.value == "on course"
    assert found.word.value == "stopped"


def test_on_the_day_work_that_is_only_expected_makes_it_not_prepared_with_an_hour() -> None:
    """At roll; by the time of the gun the same makes it too early."""
    work = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", '
        'takes = "2 h" }\n'
    )
    trip = '[trips]\nfirst = { booked = 2026-05-04T09:30:00, lasts = "4 h" }\n'
    job, on = asked(ROOMS + work + trip), at("2026-05-04 09:30")
    assert job.verdicts(Gate.PROMISE, on).word.value == "on course"
    assert job.verdicts(Gate.ROLL, on).word.value == "not prepared"
    assert job.verdicts(Gate.GUN, on).word.value == "too early"
    (blocker,) = job.blockers(Gate.ROLL, on)
    assert blocker.clears_at == at("2026-05-04 09:00")


ARRIVED = (
    '[work]\ntub = {{ trade = "plumber", in = ["bath"], order = "after", takes = "1 d", '
    "booked = 2026-05-13T07:00:00 }}\n"
    '[trips]\nfirst = {{ booked = 2026-05-11T07:00:00, lasts = "1 d", arrived = {arrived} }}\n'
)


def test_once_arrived_the_actual_arrival_is_what_may_be_too_late() -> None:
    on = at("2026-05-11 13:00")
    job = asked(ROOMS + ARRIVED.format(arrived="2026-05-11T07:00:00"), "2026-05-11 07:00")
    assert job.verdicts(Gate.GUN, on).word.value == "ready"
    late = asked(ROOMS + ARRIVED.format(arrived="2026-05-11T09:00:00"), "2026-05-11 09:00")
    assert late.verdicts(Gate.GUN, on).word.value == "too late"


def test_once_arrived_a_forecast_release_that_passes_a_commit_is_too_late() -> None:
    """They came on time, and by the afternoon nothing is sprayed."""
    job = asked(ROOMS + ARRIVED.format(arrived="2026-05-11T07:00:00"), "2026-05-11 13:00")
    found = job.verdicts(Gate.GUN, at("2026-05-11 13:00"))
    assert found.surfaces["bath.outer"].flags.late
    assert not found.surfaces["kitchen.outer"].flags.late
    assert [blocker.code for blocker in job.blockers(Gate.GUN, at("2026-05-11 13:00"))] == ["tub"]


def test_work_after_the_foam_that_has_begun_is_too_late_however_early_the_rig_came() -> None:
    """They came on Monday, foam is not on yet, and on Thursday the tub goes in."""
    text = (
        '[work]\ntub = { trade = "plumber", in = ["bath"], order = "after", takes = "1 d", '
        "begun = 2026-05-14T07:00:00 }\n"
        '[trips]\nfirst = { booked = 2026-05-11T07:00:00, lasts = "1 d", '
        "arrived = 2026-05-11T07:00:00 }\n"
    )
    job = asked(ROOMS + text, "2026-05-14 07:00")
    window = job.window("bath.outer")
    assert window.last_start > ON
    found = job.verdicts(Gate.GUN, at("2026-05-14 07:00"))
    assert found.surfaces["bath.outer"].flags.late


HERE = ", arrived = 2026-05-04T07:00:00"
SPRAYED = HERE + ', sprayed = ["all"]'
LAST_FOAM = SPRAYED + ", last_foam = 2026-05-04T12:00:00"
RELEASED = LAST_FOAM + (
    ', cleaned = 2026-05-04T13:00:00, released = 2026-05-05T14:00:00, released_by = "Lee"'
)
LIVES = [
    # what is known of the trip, word of the surface
    ("", "on course"),
    (HERE, "on course"),
    (SPRAYED, "being sprayed"),
    (LAST_FOAM, "keep-out"),
    (RELEASED, "waiting for approval"),
]


@pytest.mark.parametrize(("news", "word"), LIVES)
def test_the_words_after_the_gun_has_started(news: str, word: str) -> None:
    trip = f'first = {{ booked = 2026-05-04T07:00:00{news}, lasts = "1 d" }}'
    text = f"[approvals]\nfoam-look = []\n[trips]\n{trip}\n"
    job = asked(ROOMS + text, "2026-05-06 06:30")
    assert job.verdicts(Gate.PROMISE, ON).surfaces["bath.outer"].word.value == word


@pytest.mark.parametrize(
    ("looks", "word"),
    [
        ('foam-look = { result = "passed", at = 2026-05-06, by = "Ada" }', "passed"),
        ('foam-look = { result = "failed", at = 2026-05-06, by = "Ada" }', "to mend"),
        ("foam-look = []", "waiting for approval"),
    ],
)
def test_the_words_after_the_release(looks: str, word: str) -> None:
    text = f"[approvals]\n{looks}\n[trips]\nfirst = {{ booked = 2026-05-04T07:00:00{RELEASED} }}\n"
    job = asked(ROOMS + text, "2026-05-07 06:30")
    verdicts = job.verdicts(Gate.PROMISE, ON)
    assert verdicts.surfaces["bath.outer"].word.value == word
    assert verdicts.word.value == word


def test_the_trip_has_the_word_of_its_least_advanced_surface() -> None:
    looks = (
        '[approvals]\nfoam-look = { result = "passed", at = 2026-05-06, by = "Ada", '
        'surfaces = ["bath"] }\n'
    )
    text = looks + f"[trips]\nfirst = {{ booked = 2026-05-04T07:00:00{RELEASED} }}\n"
    verdicts = asked(ROOMS + text, "2026-05-07 06:30").verdicts(Gate.PROMISE, ON)
    assert verdicts.surfaces["bath.outer"].word.value == "passed"
    assert verdicts.word.value == "waiting for approval"


def test_left_exposed_and_closed_in() -> None:
    text = f'[trips]\nfirst = {{ booked = 2026-05-04{RELEASED}, left_exposed = ["bath"] }}\n'
    board = (
        '[work]\nhang-board = { trade = "drywall", in = ["kitchen"], order = "after", '
        'takes = "1 d", done = 2026-05-06 }\n'
    )
    verdicts = asked(ROOMS + board + text, "2026-05-07 06:30").verdicts(Gate.PROMISE, ON)
    assert verdicts.surfaces["bath.outer"].word.value == "left exposed"
    assert verdicts.surfaces["kitchen.outer"].word.value == "closed in"
