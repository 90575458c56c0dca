"""What is asked before an arrival, and when it is asked again.

Invariant: the arrival of every job here is Monday 11 May at 07:00.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from readiness.diary.seen import Answer
from readiness.facts.vocabulary import Effect, Rung
from readiness.gates.due import CallKind, DueCall
from readiness.gates.due_calls import calls_due
from readiness.job.instants import EARLIER, NEVER
from readiness.job.origin import Origin
from readiness.schedule.outlook import outlook_of
from readiness.telling.case import case_of
from tests.builders import HEAD, ROOMS, TRIP, asked, at, facts, requirement, told, work

if TYPE_CHECKING:
    from readiness.facts.rows import Facts

BOOKED = "booked = 2026-05-11T07:00:00, "
ACCESS = {"category": "access", "scope": "site"}
DRIVE = facts(
    requirements={
        "rig-access": requirement(**ACCESS, effect="stops the trip", fresh_for="48 h elapsed")
    }
)
ASKED = "\n[requirements]\nrig-access = {}\n" + ROOMS + TRIP


def calls(text: str, as_of: str, tables: Facts, trip: str = "first") -> list[DueCall]:
    job = asked(text, as_of, tables)
    kinds = calls_due(job.outlook, job.case.judge, trip)
    return [call for call in kinds if call.kind is not CallKind.CONFIRM]


def drive(as_of: str, *answers: str, text: str = ASKED) -> list[DueCall]:
    said = "".join(f"[answers.a{n}]\n{answer}\n" for n, answer in enumerate(answers))
    return calls(f"{text}\n{said}", as_of, DRIVE)


def test_a_question_is_asked_from_its_first_time_on() -> None:
    assert drive("2026-05-09 06:59") == []
    (call,) = drive("2026-05-09 07:00")
    assert (call.code, call.whom, call.kind) == ("way-in", "contractor", CallKind.QUESTION)
    assert (told(call.until), call.overdue) == ("2026-05-11 07:00", False)
    assert call.decides is Effect.STOPS_TRIP


def test_a_yes_that_counts_ends_it() -> None:
    assert drive("2026-05-09 10:00", 'yes = ["rig-access"]\nat = 2026-05-09T09:00:00') == []


def test_who_has_said_no_is_left_alone_until_the_next_time() -> None:
    no = 'no = ["rig-access"]\nat = 2026-05-09T09:00:00\nby = "Dana"'
    assert drive("2026-05-10 06:59", no) == []
    (call,) = drive("2026-05-10 07:00", no)
    assert call.said is not None
    assert (call.said.told, call.said.by) == ("no", "Dana")


def test_who_does_not_know_is_left_alone_as_well() -> None:
    unknown = 'unknown = ["rig-access"]\nat = 2026-05-09T09:00:00'
    assert drive("2026-05-10 06:59", unknown) == []
    assert len(drive("2026-05-10 07:00", unknown)) == 1


def test_a_yes_that_will_be_too_old_is_asked_again_when_it_can_count() -> None:
    early = 'yes = ["rig-access"]\nat = 2026-05-08T09:00:00'
    assert [told(call.until) for call in drive("2026-05-09 07:00", early)] == ["2026-05-11 07:00"]


def test_two_who_differ_are_asked_at_once() -> None:
    (call,) = drive(
        "2026-05-09 10:00",
        'yes = ["rig-access"]\nat = 2026-05-09T09:00:00\nby = "Dana"',
        'no = ["rig-access"]\nat = 2026-05-09T09:30:00\nby = "Omar"',
    )
    assert call.said is not None
    assert call.said.contested
    assert "Dana" in call.said.told
    assert "Omar" in call.said.told


def test_what_was_answered_for_some_surfaces_is_asked_for_the_others() -> None:
    each = facts(requirements={"wood-moisture": requirement(title="Dry", effect="stops the trip")})
    text = "\n[requirements]\nwood-moisture = {}\n" + ROOMS + TRIP
    no = '[answers.a]\nno = ["wood-moisture"]\nin = ["bath.outer"]\nat = 2026-05-09T09:00:00\n'
    (call,) = calls(text + no, "2026-05-09 12:00", each)
    assert call.surfaces == ("kitchen.outer",)
    (both,) = calls(text + no, "2026-05-10 07:00", each)
    assert both.surfaces == ("bath.outer", "kitchen.outer")


def test_a_bare_yes_is_asked_for_what_shows_it() -> None:
    least = {"roll": "shown"}
    shown = facts(
        requirements={"gate-and-keys": requirement(**ACCESS, effect="stops the trip", least=least)}
    )
    text = "\n[requirements]\ngate-and-keys = {}\n" + ROOMS + TRIP
    yes = '[answers.a]\nyes = ["gate-and-keys"]\nat = 2026-05-06T09:00:00\n'
    (call,) = calls(text + yes, "2026-05-06 10:00", shown)
    assert call.wants is Rung.SHOWN
    assert calls(text + yes + 'how = "shown"', "2026-05-06 10:00", shown) == []


def test_what_the_crew_looks_at_on_arrival_is_not_asked_of_it_before() -> None:
    """The temperature of the wall is the lead's own reading; of the contractor it would be."""
    gun = facts(
        requirements={
            "substrate-temperature": requirement(due="gun", clears="crew lead"),
            "ignition-off": requirement(due="gun", clears="crew lead"),
        }
    )
    text = "\n[requirements]\nsubstrate-temperature = {}\nignition-off = {}\n" + ROOMS + TRIP
    assert [call.code for call in calls(text, "2026-05-10 08:00", gun)] == ["flames-off"]


def test_what_is_judged_on_the_spot_is_asked_once_on_the_eve() -> None:
    """A yes of the day before is too old at the gun, where the lead looks: nobody calls twice."""
    gun = facts(
        requirements={
            "ignition-off": requirement(due="gun", clears="crew lead", fresh_for="4 h elapsed")
        }
    )
    text = "\n[requirements]\nignition-off = {}\n" + ROOMS + TRIP
    yes = '[answers.a]\nyes = ["ignition-off"]\nat = 2026-05-10T08:00:00\n'
    assert len(calls(text, "2026-05-11 06:00", gun)) == 1
    assert calls(text + yes, "2026-05-11 06:00", gun) == []


WIRES = facts(
    work={"wires": work(approval="wiring-look", proof="approved", usual_in=["new house"])}
)
NEW = 'kind = "new house"\n'
LOOK = "[approvals]\nwiring-look = []\n"
HOUSE = HEAD + NEW + ROOMS + LOOK
WIRES_IN = (HOUSE + TRIP).replace(NEW, NEW + 'done = ["wires"]\n')


def test_work_is_asked_about_from_a_week_before_the_arrival() -> None:
    text = HOUSE + TRIP
    assert [c.kind for c in calls(text, "2026-05-04 06:59", WIRES)] == [CallKind.REQUEST]
    (work_call,) = [c for c in calls(text, "2026-05-04 07:00", WIRES) if c.kind is CallKind.WORK]
    assert (work_call.code, work_call.whom) == ("wires", "electrician")
    assert work_call.surfaces == ("bath.outer", "kitchen.outer")


def test_work_past_its_booked_end_is_one_call_and_overdue() -> None:
    text = HOUSE + TRIP + "[work.wires]\nagreed = 2026-05-05\n"
    found = [c for c in calls(text, "2026-05-08 08:00", WIRES) if c.code == "wires"]
    assert [(c.kind, c.overdue) for c in found] == [(CallKind.NOT_REPORTED, True)]


def test_an_office_is_asked_once_and_its_result_when_its_slot_is_over() -> None:
    (request,) = calls(WIRES_IN, "2026-05-06 08:00", WIRES)
    assert request.kind is CallKind.REQUEST
    asked_for = "{ requested = 2026-05-06T08:00:00, slot = 2026-05-07T09:00:00 }"
    look = WIRES_IN.replace("[]", f"[{asked_for}]")
    assert calls(look, "2026-05-07 16:29", WIRES) == []
    (result,) = calls(look, "2026-05-07 16:30", WIRES)
    assert (result.kind, result.overdue) == (CallKind.LOOK, False)
    passed = look.replace(asked_for, asked_for + ', { result = "passed", at = 2026-05-07 }')
    assert calls(passed, "2026-05-07 16:30", WIRES) == []


def test_a_request_has_the_last_moment_that_still_brings_the_office() -> None:
    (request,) = calls(WIRES_IN, "2026-05-06 08:00", WIRES)
    assert told(request.until) == "2026-05-07 16:30"
    (late,) = calls(WIRES_IN, "2026-05-08 08:00", WIRES)
    assert late.overdue
    one = WIRES_IN.replace("2026-05-11T07", "2026-05-08T07")
    (today,) = calls(one, "2026-05-06 08:00", WIRES)
    assert told(today.until) == "2026-05-06 16:30"


def test_a_request_that_can_no_longer_help_says_so() -> None:
    slow = facts(
        approvals={
            "wiring-look": {
                "title": "Look",
                "office": "building",
                "notice": "100 d",
                "correction_trade": "electrician",
                "correction_takes": "4 h",
                "why": "it vanishes",
            }
        },
        work={"wires": work(approval="wiring-look", proof="approved", usual_in=["new house"])},
    )
    (request,) = calls(WIRES_IN, "2026-05-06 08:00", slow)
    assert request.until == EARLIER
    assert request.overdue


TUB = '[obstructions]\ntub = { is = "tub", blocks = ["bath.outer"]%s }\n'
PILE = '[obstructions]\npile = { is = "pile", blocks = ["bath.outer"]%s }\n'


@pytest.mark.parametrize(
    ("text", "as_of", "expected"),
    [
        # a fixed thing that nobody has dated is asked about at once
        (TUB % "", "2026-05-04 06:30", [("tub", "plumber", "2026-05-11 07:00")]),
        # dated, it is asked about once the trip is near
        (TUB % ", pull = 2026-05-08", "2026-05-08 06:30", []),
        (TUB % ", pull = 2026-05-11", "2026-05-10 06:30", [("tub", "plumber", "2026-05-11 07:00")]),
        # nothing stands, nothing is asked
        (TUB % ", pulled = 2026-05-08", "2026-05-10 06:30", []),
        (TUB % ", set = 2026-05-14", "2026-05-10 06:30", []),
        # loose things go within the morning
        (PILE % "", "2026-05-08 06:30", []),
        (PILE % "", "2026-05-09 07:00", [("pile", "contractor", "2026-05-11 07:00")]),
    ],
)
def test_a_thing_in_the_way_is_asked_about_while_it_stands(
    text: str, as_of: str, expected: list[tuple[str, str, str]]
) -> None:
    found = calls(ROOMS + TRIP + text, as_of, facts())
    assert [(c.code, c.whom, told(c.until)) for c in found] == expected
    assert all(c.kind is CallKind.CLEAR for c in found)


def test_a_trip_that_nobody_has_booked_is_asked_for_as_forecast() -> None:
    """And nothing of it is overdue, since nobody waits for a rig."""
    found = drive("2026-05-04 06:30", text=ASKED.replace(BOOKED, ""))
    assert [(call.code, told(call.until)) for call in found] == [("way-in", "2026-05-04 07:00")]
    text = HOUSE + TRIP.replace(BOOKED, "") + "[work.wires]\nnot_before = 2026-05-13\n"
    assert calls(text, "2026-05-04 06:30", WIRES) == []


def test_a_trip_without_any_date_is_asked_only_for_what_stands_in_its_way() -> None:
    found = drive("2026-05-04 06:30", text=ASKED.replace(BOOKED, "") + TUB % "")
    assert [(call.code, call.until == NEVER, call.overdue) for call in found] == [
        ("tub", True, False)
    ]


def test_the_dispatcher_confirms_two_days_ahead() -> None:
    job = asked(ROOMS + TRIP, "2026-05-08 07:00")
    (call,) = calls_due(job.outlook, job.case.judge, "first")
    assert (call.kind, call.whom, told(call.until)) == (
        CallKind.CONFIRM,
        "dispatcher",
        "2026-05-09 07:00",
    )
    early = asked(ROOMS + TRIP, "2026-05-08 06:59")
    assert calls_due(early.outlook, early.case.judge, "first") == ()


def test_calls_come_by_cut_off() -> None:
    text = ASKED + TUB % "" + '[answers.a]\nno = ["rig-access"]\nat = 2026-05-04T09:00:00\n'
    found = calls(text, "2026-05-10 08:00", DRIVE)
    assert [call.until for call in found] == sorted(call.until for call in found)
    assert {call.code for call in found} == {"way-in", "tub"}


def test_a_result_that_somebody_has_only_said_is_asked_for_what_shows_it() -> None:
    """Once the trip is near: on the phone it was passed, for the rig it has to be shown."""
    shown = facts(
        approvals={
            "wiring-look": {
                "title": "Look",
                "office": "building",
                "least": {"roll": "shown"},
                "notice": "1 d",
                "correction_trade": "electrician",
                "correction_takes": "4 h",
                "why": "it vanishes",
            }
        },
        work={"wires": work(approval="wiring-look", proof="approved", usual_in=["new house"])},
    )
    said = '{ result = "passed", at = 2026-05-06, how = "said" }'
    text = WIRES_IN.replace("[]", f"[{said}]")
    assert calls(text, "2026-05-08 08:00", shown) == []
    (call,) = calls(text, "2026-05-09 08:00", shown)
    assert (call.kind, call.wants) == (CallKind.LOOK, Rung.SHOWN)
    assert call.surfaces == ("bath.outer", "kitchen.outer")
    proven = text.replace('"said"', '"shown"')
    assert calls(proven, "2026-05-09 08:00", shown) == []


def test_a_look_without_a_slot_is_asked_about_when_the_trip_is_near() -> None:
    text = WIRES_IN.replace("[]", "[{ requested = 2026-05-06T08:00:00 }]")
    assert calls(text, "2026-05-08 08:00", WIRES) == []
    assert [call.kind for call in calls(text, "2026-05-09 08:00", WIRES)] == [CallKind.LOOK]


def test_a_look_that_failed_is_asked_for_anew() -> None:
    failed = '{ result = "failed", surfaces = ["bath"], at = 2026-05-06 }'
    rest = '{ result = "passed", surfaces = ["kitchen"], at = 2026-05-06 }'
    text = WIRES_IN.replace("[]", f"[{failed}, {rest}]")
    request = next(c for c in calls(text, "2026-05-06 17:00", WIRES))
    assert (request.kind, request.surfaces) == (CallKind.REQUEST, ("bath.outer",))


def test_what_is_behind_one_trip_is_not_asked_for_the_other() -> None:
    two = (
        '[trips]\nfirst = { booked = 2026-05-11T07:00:00, surfaces = ["bath.outer"] }\n'
        'second = { booked = 2026-05-18T07:00:00, surfaces = ["kitchen.outer"] }\n'
    )
    late = "[work.wires]\nagreed = 2026-05-04\ndone_in = ['bath']\n"
    text = ROOMS + two + TUB % ""
    assert [call.code for call in calls(text, "2026-05-10 08:00", facts())] == ["tub"]
    assert calls(text, "2026-05-10 08:00", facts(), "second") == []
    whole = HOUSE + two + late
    found = calls(whole, "2026-05-07 08:00", WIRES)
    assert [call.kind for call in found] == [CallKind.REQUEST]
    other = calls(whole, "2026-05-08 08:00", WIRES, "second")
    assert [call.surfaces for call in other] == [("kitchen.outer",)]
    bath = "[work.tiles]\ntitle = 'Tile'\ntrade = 'framer'\nin = ['bath']\norder = 'before'\n"
    behind = ROOMS + two + bath + "takes = '4 h'\nagreed = 2026-05-04\n"
    assert [c.code for c in calls(behind, "2026-05-06 08:00", facts())] == ["tiles"]
    assert calls(behind, "2026-05-06 08:00", facts(), "second") == []


def test_a_yes_about_work_is_left_alone_until_the_next_time() -> None:
    """It says that it will be done, not that it is."""
    yes = '[answers.a]\nyes = ["wires"]\nat = 2026-05-06T09:00:00\n'
    done = [c.kind for c in calls(HOUSE + TRIP + yes, "2026-05-07 07:00", WIRES)]
    assert done == [CallKind.REQUEST]
    again = [c.kind for c in calls(HOUSE + TRIP + yes, "2026-05-09 07:00", WIRES)]
    assert CallKind.WORK in again


def test_a_yes_for_some_of_the_surfaces_leaves_the_others_to_ask() -> None:
    each = facts(requirements={"wood-moisture": requirement(title="Dry", scope="house")})
    text = "\n[requirements]\nwood-moisture = {}\n" + ROOMS + TRIP
    yes = '[answers.a]\nyes = ["wood-moisture"]\nin = ["bath.outer"]\nat = 2026-05-09T09:00:00\n'
    (call,) = calls(text + yes, "2026-05-09 12:00", each)
    assert call.surfaces == ("kitchen.outer",)


def test_a_result_is_asked_of_whoever_the_table_names() -> None:
    row = {
        "title": "Look",
        "office": "building",
        "notice": "1 d",
        "correction_trade": "electrician",
        "correction_takes": "4 h",
        "why": "it vanishes",
    }
    tables = facts(
        approvals={"sprinkler-approval": row},
        work={"pipe": work(approval="sprinkler-approval", proof="approved")},
    )
    asked_for = "[approvals]\nsprinkler-approval = [{ requested = 2026-05-06T08:00:00 }]\n"
    text = ROOMS + TRIP + asked_for + "[work.pipe]\ndone_in = ['bath', 'kitchen']\n"
    (call,) = calls(text, "2026-05-09 08:00", tables)
    assert (call.kind, call.whom) == (CallKind.LOOK, "sprinkler")
    assert calls(text.replace("2026-05-11", "2026-09-14"), "2026-05-09 08:00", tables) == []


def test_a_look_that_others_wait_for_is_asked_for_early_enough() -> None:
    """The framing is looked at after the wiring; both in the office's slots before the arrival."""
    both = WIRES_IN.replace(LOOK, LOOK + "frame-look = []\n")
    found = calls(both, "2026-05-06 08:00", WIRES)
    assert {call.code: told(call.until) for call in found} == {
        "wiring-look": "2026-05-06 16:30",
        "frame-look": "2026-05-07 16:30",
    }


@pytest.mark.parametrize(("minutes", "fits"), [("15:00", True), ("15:01", False)])
def test_a_request_by_its_cut_off_brings_the_office_in_time(minutes: str, *, fits: bool) -> None:
    """And one a minute later does not: the forecast agrees."""
    asked_for = f"{{ requested = 2026-05-07T{minutes}:00 }}"
    office = '[offices]\nbuilding = { cut_off = "15:00" }\n'
    (request,) = calls(WIRES_IN + office, "2026-05-06 08:00", WIRES)
    assert told(request.until) == "2026-05-07 15:00"
    text = WIRES_IN.replace("[]", f"[{asked_for}]") + office
    job = asked(text, "2026-05-07 17:00", WIRES)
    looks = [task.index for task in job.site.tasks if task.stay == "approval:wiring-look"]
    last = max(job.outlook.forecast.finish[look] for look in looks)
    assert (last <= at("2026-05-11 07:00")) is fits


def test_an_office_is_asked_for_nothing_more_than_a_week_ahead() -> None:
    far = WIRES_IN.replace("2026-05-11", "2026-06-08")
    assert calls(far, "2026-05-28 08:00", WIRES) == []
    assert [call.kind for call in calls(far, "2026-05-29 08:00", WIRES)] == [CallKind.REQUEST]


def test_what_is_waived_for_some_surfaces_is_asked_for_the_others() -> None:
    each = facts(requirements={"wood-moisture": requirement(title="Dry", scope="house")})
    text = "\n[requirements]\nwood-moisture = {}\n" + ROOMS + TRIP
    waived = (
        '[waivers]\nw = { requirement = "wood-moisture", surfaces = ["bath.outer"], '
        'trip = "first", role = "contractor", by = "Dana Ruiz", reason = "kiln dried", '
        "at = 2026-05-08 }\n"
    )
    (call,) = calls(text + waived, "2026-05-09 12:00", each)
    assert call.surfaces == ("kitchen.outer",)


def test_what_is_promised_is_not_overdue_before_its_time() -> None:
    text = HOUSE + TRIP + "[work.wires]\nagreed = 2026-05-05\n"
    job = asked(text, "2026-05-08 08:00", WIRES)
    promise = Answer(
        "wires",
        None,
        ("all",),
        at("2026-05-08 07:00"),
        date(2026, 5, 8),
        "Bao",
        Rung.SAID,
        "",
        Origin("diary"),
        datetime(2026, 5, 8, 15, tzinfo=UTC).replace(tzinfo=None),
    )
    seen = replace(job.outlook.seen, answers=(promise,))
    case = case_of(outlook_of(job.outlook.frame, seen))
    (found,) = [c for c in calls_due(case.outlook, case.judge, "first") if c.code == "wires"]
    assert (found.kind, found.overdue) == (CallKind.NOT_REPORTED, False)
    assert found.waits_until == at("2026-05-08 15:00")
