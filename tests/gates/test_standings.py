"""The order of states of a requirement, one row of a table written by hand for each."""

from __future__ import annotations

import pytest

from readiness.facts.vocabulary import Gate
from tests.builders import ROOMS, Asked, asked, at, facts, problems, requirement, work

ON = at("2026-05-08 07:00")
"""Friday; the question is asked on Monday the 4th at 6:30 unless a test says so."""

KINDS = facts(
    requirements={
        "dry": requirement(
            fresh_for="72 h elapsed", wanted_before="2 d", least={"roll": "shown", "gun": "seen"}
        ),
        "paid": requirement(
            category="agreement", scope="house", effect="costs money", wanted_before="1 d"
        ),
        "asked": requirement(category="before", scope="house", due="promise", wanted_before="1 d"),
        "wet": requirement(reading="wood moisture", at_most="18 %", wanted_before="1 d"),
        "air": requirement(
            reading="relative humidity", at_most="85 %", scope="house", wanted_before="1 d"
        ),
        "warm": requirement(due="gun", wanted_before="1 d", fresh_for="4 h elapsed"),
        "bound": requirement(binding=True, override=None),
    }
)
TRIP = '[trips]\nfirst = { booked = 2026-05-08T07:00:00, lasts = "1 d" }\n'


def job(code: str, answers: str, as_of: str = "2026-05-04 06:30", more: str = "") -> Asked:
    """Return a job with one requirement and some answers."""
    text = ROOMS + f"[requirements]\n{code} = {{}}\n{more}[answers]\n{answers}" + TRIP
    return asked(text, as_of, KINDS)


def answer(said: str, day: str, how: str = "seen", by: str = "Ada", name: str = "a") -> str:
    """Return one answer about `dry`."""
    return f'{name} = {{ {said} = ["dry"], at = {day}, how = "{how}", by = "{by}" }}\n'


FRIDAY = "2026-05-08 06:30"
SEEN = answer("yes", "2026-05-07T09:00:00")
TABLE = [
    # answers, as_of, gate, state
    ("", "2026-05-04 06:30", Gate.PROMISE, "later"),
    ("", "2026-05-06 08:00", Gate.PROMISE, "later"),
    ("", "2026-05-07 08:00", Gate.PROMISE, "later"),
    ("", FRIDAY, Gate.ROLL, "unknown"),
    ("", FRIDAY, Gate.GUN, "unknown"),
    (SEEN, FRIDAY, Gate.PROMISE, "met"),
    (SEEN, FRIDAY, Gate.ROLL, "met"),
    (SEEN, FRIDAY, Gate.GUN, "met"),
    (answer("yes", "2026-05-07T09:00:00", "said"), FRIDAY, Gate.PROMISE, "met"),
    (answer("yes", "2026-05-07T09:00:00", "said"), FRIDAY, Gate.ROLL, "unknown"),
    (answer("yes", "2026-05-07T09:00:00", "shown"), FRIDAY, Gate.ROLL, "met"),
    (answer("yes", "2026-05-07T09:00:00", "shown"), FRIDAY, Gate.GUN, "unknown"),
    (answer("yes", "2026-05-05T07:00:00"), FRIDAY, Gate.ROLL, "met"),
    (answer("yes", "2026-05-05T06:59:00"), FRIDAY, Gate.ROLL, "stale"),
    (answer("yes", "2026-05-01T09:00:00"), "2026-05-04 06:30", Gate.PROMISE, "later"),
    (answer("no", "2026-05-07T09:00:00"), FRIDAY, Gate.ROLL, "open"),
    (answer("no", "2026-05-04T06:00:00"), "2026-05-04 06:30", Gate.PROMISE, "later"),
    (answer("unknown", "2026-05-07T09:00:00"), FRIDAY, Gate.ROLL, "unknown"),
    (
        SEEN + answer("no", "2026-05-07T10:00:00", name="b"),
        FRIDAY,
        Gate.ROLL,
        "open",
    ),
    (
        SEEN + answer("no", "2026-05-07T10:00:00", by="Bo", name="b"),
        FRIDAY,
        Gate.ROLL,
        "contested",
    ),
    (
        SEEN + answer("no", "2026-05-06T10:00:00", by="Bo", name="b"),
        FRIDAY,
        Gate.ROLL,
        "met",
    ),
]
PASSES = {"met", "expected", "later", "waived", "not applicable"}


@pytest.mark.parametrize(("answers", "as_of", "gate", "state"), TABLE)
def test_the_state_of_a_statement_at_a_gate(
    answers: str, as_of: str, gate: Gate, state: str
) -> None:
    found = job("dry", answers, as_of)
    assert found.state("dry", gate, ON, "bath.outer") == state
    verdicts = found.verdicts(gate, ON)
    passing = PASSES if gate is Gate.PROMISE else PASSES - {"expected", "later"}
    for standing in verdicts.standings:
        assert standing.passes == (standing.state.value in passing)
    due = gate in {Gate.ROLL, Gate.GUN}
    assert verdicts.is_yes == (state in passing or not due)


def test_what_is_first_due_at_a_later_gate_is_later_and_does_not_count() -> None:
    found = job("warm", "", FRIDAY)
    assert found.state("warm", Gate.ROLL, ON, "bath.outer") == "later"
    assert found.verdicts(Gate.ROLL, ON).is_yes
    assert found.state("warm", Gate.GUN, ON, "bath.outer") == "unknown"
    assert found.verdicts(Gate.GUN, ON).word.value == "not prepared"


def test_only_what_stops_something_can_make_it_not_ready() -> None:
    found = job("paid", 'a = { no = ["paid"], at = 2026-05-07, by = "Ada" }\n', FRIDAY)
    assert found.state("paid", Gate.ROLL, ON) == "open"
    assert found.verdicts(Gate.ROLL, ON).is_yes


def test_before_without_an_item_makes_it_too_early() -> None:
    found = job("asked", "", "2026-05-07 12:00")
    assert found.state("asked", Gate.PROMISE, at("2026-05-07 12:00")) == "unknown"
    assert found.verdicts(Gate.PROMISE, at("2026-05-07 12:00")).word.value == "too early"


WAIVER = (
    '[waivers]\nw = { requirement = "%s", surfaces = ["bath.outer"%s], trip = "first", '
    'role = "%s", by = "Ada", reason = "seen dry", at = 2026-05-07 }\n'
)


def test_a_waiver_speaks_for_its_surfaces_alone() -> None:
    found = job("dry", "", FRIDAY, WAIVER % ("dry", "", "contractor"))
    assert found.state("dry", Gate.ROLL, ON, "bath.outer") == "waived"
    assert found.state("dry", Gate.ROLL, ON, "kitchen.outer") == "unknown"
    both = job("dry", "", FRIDAY, WAIVER % ("dry", ', "kitchen.outer"', "contractor"))
    assert both.verdicts(Gate.ROLL, ON).is_yes


def test_nobody_waives_what_is_binding_and_nobody_but_its_role_the_rest() -> None:
    def told(code: str, role: str) -> list[str]:
        text = f"[requirements]\n{code} = {{}}\n" + WAIVER % (code, "", role)
        return problems("as_of = 2026-05-08T06:30:00\n" + ROOMS + text + TRIP, KINDS)

    assert told("dry", "contractor") == []
    assert told("bound", "contractor")
    assert told("dry", "dispatcher")


def test_a_no_for_part_of_a_place_is_heard() -> None:
    """The whole house was said to be fine; later somebody says that the kitchen is not."""
    yes = 'a = { yes = ["asked"], at = 2026-05-06T09:00:00, by = "Ada" }\n'
    no = 'b = { no = ["asked"], in = ["kitchen"], at = 2026-05-07T09:00:00, by = "Ada" }\n'
    assert job("asked", yes, FRIDAY).verdicts(Gate.ROLL, ON).is_yes
    found = job("asked", yes + no, FRIDAY)
    assert found.state("asked", Gate.ROLL, ON) == "open"
    surfaces = found.verdicts(Gate.ROLL, ON).surfaces
    assert surfaces["kitchen.outer"].word.value == "too early"
    assert surfaces["bath.outer"].word.value == "ready"


def test_a_yes_for_part_of_a_place_speaks_for_that_part() -> None:
    yes = 'a = { yes = ["asked"], in = ["bath"], at = 2026-05-07T09:00:00, by = "Ada" }\n'
    found = job("asked", yes, FRIDAY)
    assert found.state("asked", Gate.ROLL, ON) == "unknown"
    surfaces = found.verdicts(Gate.ROLL, ON).surfaces
    assert surfaces["bath.outer"].word.value == "ready"
    assert surfaces["kitchen.outer"].word.value == "too early"


@pytest.mark.parametrize(("value", "state"), [("18 %", "met"), ("18.5 %", "open")])
def test_a_reading_meets_its_limit_at_the_limit_itself(value: str, state: str) -> None:
    reading = (
        f'[readings]\nr = {{ is = "wood moisture", value = "{value}", in = ["bath"], '
        "at = 2026-05-08T06:00:00 }\n"
    )
    found = job("wet", "", FRIDAY, reading)
    assert found.state("wet", Gate.ROLL, ON, "bath.outer") == state
    assert found.state("wet", Gate.ROLL, ON, "kitchen.outer") == "unknown"


def test_one_reading_stands_for_a_house_until_another_place_has_its_own() -> None:
    reading = (
        '[readings]\nr = { is = "relative humidity", value = "60 %", in = ["bath"], '
        "at = 2026-05-08T06:00:00 }\n"
    )
    assert job("air", "", FRIDAY, reading).state("air", Gate.ROLL, ON) == "met"
    other = reading + (
        's = { is = "relative humidity", value = "95 %", in = ["kitchen"], '
        "at = 2026-05-08T05:00:00 }\n"
    )
    assert job("air", "", FRIDAY, other).state("air", Gate.ROLL, ON) == "open"


WORK = facts(work={"wires": work(least={"roll": "shown", "gun": "seen"})})
ITEMS = [
    # what is said of the work in the bath, gate, on, state
    ("", Gate.PROMISE, "2026-05-04 15:00", "expected"),
    ("", Gate.PROMISE, "2026-05-04 14:59", "open"),
    ("", Gate.ROLL, "2026-05-04 15:00", "expected"),
    ("", Gate.GUN, "2026-05-04 15:00", "expected"),
    ("done = 2026-05-01", Gate.GUN, "2026-05-04 07:00", "met"),
    ('done = 2026-05-01, how = "said"', Gate.PROMISE, "2026-05-04 07:00", "met"),
    ('done = 2026-05-01, how = "said"', Gate.ROLL, "2026-05-04 07:00", "expected"),
    ('done = 2026-05-01, how = "shown"', Gate.ROLL, "2026-05-04 07:00", "met"),
    ('done = 2026-05-01, how = "shown"', Gate.GUN, "2026-05-04 07:00", "expected"),
    ('begun = 2026-05-01, share = "50 %"', Gate.PROMISE, "2026-05-04 11:00", "expected"),
    ('begun = 2026-05-01, share = "50 %"', Gate.PROMISE, "2026-05-04 10:59", "open"),
]


@pytest.mark.parametrize(("said", "gate", "on", "state"), ITEMS)
def test_the_state_of_what_has_an_item(said: str, gate: Gate, on: str, state: str) -> None:
    text = ROOMS + f'[work]\nwires = {{ in = ["bath"], {said} }}\n'.replace(",  }", " }") + TRIP
    assert asked(text, tables=WORK).state("wires", gate, at(on)) == state


def test_a_failed_look_is_expected_when_it_can_be_repeated_and_open_on_the_day() -> None:
    looks = (
        '[approvals]\nframe-look = { result = "failed", at = 2026-05-01, by = "Ada", '
        'surfaces = ["bath.outer"] }\n'
    )
    found = asked(ROOMS + looks + TRIP)
    assert found.state("frame-look", Gate.PROMISE, ON, "bath.outer") == "expected"
    assert found.state("frame-look", Gate.PROMISE, at("2026-05-05 16:29"), "bath.outer") == "open"
    assert found.state("frame-look", Gate.ROLL, ON, "bath.outer") == "open"
    assert found.state("frame-look", Gate.GUN, ON, "bath.outer") == "open"


def test_a_loose_thing_is_open_while_it_stands() -> None:
    pile = '[obstructions]\npile = { is = "pile", blocks = ["bath.outer"]%s }\n'
    assert asked(ROOMS + pile % "" + TRIP).state("pile", Gate.ROLL, ON) == "open"
    later = asked(ROOMS + pile % ", set = 2026-05-20" + TRIP)
    assert later.state("pile", Gate.PROMISE, ON) == "not applicable"
    that_day = asked(ROOMS + pile % ", set = 2026-05-08" + TRIP, FRIDAY)
    assert that_day.state("pile", Gate.ROLL, ON) == "open"
    gone = asked(ROOMS + pile % ", pulled = 2026-05-02" + TRIP)
    assert gone.state("pile", Gate.PROMISE, ON) == "met"
    standing = asked(ROOMS + pile % "" + TRIP)
    assert standing.state("pile", Gate.PROMISE, ON) == "later"
    assert standing.verdicts(Gate.PROMISE, ON).word.value == "on course"
    assert standing.verdicts(Gate.ROLL, ON).word.value == "not prepared"


def test_once_the_gun_has_started_an_age_is_a_reminder() -> None:
    """The reading of the morning is too old by three; foam is on, and the rest goes on."""
    head = ROOMS + "[requirements]\nwarm = {}\n[answers]\n"
    said = 'a = { yes = ["warm"], at = 2026-05-08T06:50:00, by = "Ada" }\n'
    trip = TRIP.replace("lasts", "arrived = 2026-05-08T07:00:00%s, lasts")
    afternoon = "2026-05-08 15:00"
    waiting = asked(head + said + trip % "", afternoon, KINDS)
    assert waiting.state("warm", Gate.GUN, at(afternoon), "kitchen.outer") == "stale"
    begun = asked(head + said + trip % ', sprayed = ["bath"]', afternoon, KINDS)
    assert begun.state("warm", Gate.GUN, at(afternoon), "kitchen.outer") == "met"
    assert begun.verdicts(Gate.GUN, at(afternoon)).word.value == "ready"


def test_a_waiver_lapses_when_something_newer_is_known() -> None:
    both = WAIVER % ("dry", ', "kitchen.outer"', "contractor")
    same_day = answer("no", "2026-05-07T09:00:00")
    assert job("dry", same_day, FRIDAY, both).verdicts(Gate.ROLL, ON).is_yes
    newer = answer("no", "2026-05-08T06:10:00")
    assert job("dry", newer, FRIDAY, both).state("dry", Gate.ROLL, ON, "bath.outer") == "open"
