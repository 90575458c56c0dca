"""Whom to call: one line per person, what decides first, what is promised apart."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from readiness.facts.vocabulary import Gate
from readiness.pages.calls_text import calls_text
from readiness.questions.calls import MOST_QUESTIONS, CallLine, CallsAnswer, calls
from tests.builders import HEAD, ROOMS, TRIP, Asked, asked, at, facts, requirement, work
from tests.diary.builders import Data
from tests.gates import test_board as board
from tests.stories.house import DISPATCHER, House, tiny

__all__ = ["tiny"]

Build = Callable[..., House]

SITE = {"category": "access", "scope": "site"}
CODES = {
    "rig-access": "stops the trip",
    "work-lighting": "stops the room",
    "site-drained": "costs money",
    "roof-dry": "note",
    "openings-closable": "stops the trip",
    "heat-on": "stops the trip",
    "holes-listed": "stops the trip",
    "trades-told": "stops the trip",
}
TABLES = facts(
    requirements={code: requirement(**SITE, effect=effect) for code, effect in CODES.items()},
    work={"wires": work(usual_in=["new house"])},
)
CONTACT = HEAD.replace("site = {", 'site = { contact = "Dana Ruiz", phone = "555-0140",')
MANY = CONTACT + "\n[requirements]\n" + "".join(f"{code} = {{}}\n" for code in CODES) + ROOMS + TRIP
TRADE = '[trades]\nroofer = { name = "%s", phone = "%s" }\n'


def lines(answer: CallsAnswer, name: str) -> tuple[CallLine, ...]:
    return next((p.lines for p in answer.people if p.who.name == name), ())


def many(as_of: str = "2026-05-10 08:00", text: str = MANY) -> Asked:
    return asked(text, as_of, TABLES)


def test_a_person_is_asked_seven_things_at_most_and_what_decides_first() -> None:
    text = MANY.replace("roof-dry = {}\n", "people-and-pets-out = {}\n")
    more = {"people-and-pets-out": requirement(**SITE, effect="stops the trip")}
    tables = facts(
        requirements={
            **{code: requirement(**SITE, effect=effect) for code, effect in CODES.items()},
            **more,
        }
    )
    (person,) = [
        each
        for each in calls([asked(text, "2026-05-10 08:00", tables).case]).people
        if each.who.name == "Dana Ruiz"
    ]
    effects = [line.decides for line in person.lines]
    assert effects == sorted(effects, key=["stops the trip", "stops the room", "costs money"].index)
    assert len(person.lines) + person.more == 7
    assert MOST_QUESTIONS == 7


def test_what_is_left_for_the_next_call_still_counts_as_overdue() -> None:
    extra = {f"work-{n}": {"title": f"Do {n}", "trade": "electrician"} for n in range(9)}
    rows = "".join(
        f'[work.{name}]\ntitle = "{row["title"]}"\ntrade = "{row["trade"]}"\nin = ["bath"]\n'
        'order = "before"\ntakes = "1 h"\nagreed = 2026-05-05\n'
        for name, row in extra.items()
    )
    answer = calls([asked(ROOMS + TRIP + rows, "2026-05-08 06:30").case])
    (person,) = answer.people
    assert (len(person.lines), person.more) == (7, 2)
    assert answer.overdue == 9


def test_the_head_of_a_person_tells_the_first_cut_off_not_that_of_the_first_line() -> None:
    tables = facts(
        requirements={
            "rig-access": requirement(**SITE, effect="stops the trip"),
            "site-drained": requirement(**SITE, effect="costs money", wanted_before="24 h elapsed"),
        }
    )
    text = CONTACT + "\n[requirements]\nrig-access = {}\nsite-drained = {}\n" + ROOMS + TRIP
    (_, person) = calls([asked(text, "2026-05-10 06:30", tables).case]).people
    assert [line.decides for line in person.lines] == ["stops the trip", "costs money"]
    assert person.until_says == "before 07:00 today"
    assert person.lines[0].until_says == "before Mon 11 May 07:00"


def test_one_number_is_one_line_over_several_jobs() -> None:
    two = [many(), many(text=MANY.replace("Cedar Lane 3", "Elm 5").replace("5b0e77a1", "5b0e77a2"))]
    answer = calls([each.case for each in two])
    (dana,) = [each for each in answer.people if each.who.phone == "555-0140"]
    assert {line.job for line in dana.lines} == {"Cedar Lane 3", "Elm 5"}
    assert answer.one_moment
    told = calls_text(answer)
    assert told.count("555-0140") == 1
    assert "[Elm 5] " in told


def test_two_without_a_number_are_not_taken_for_one() -> None:
    text = MANY.replace('contact = "Dana Ruiz", phone = "555-0140",', "")
    two = [many(text=text), many(text=text.replace("5b0e77a1", "5b0e77a2"))]
    answer = calls([each.case for each in two])
    assert [each.who.name for each in answer.people].count("the contractor") == 2


def test_people_come_by_their_first_cut_off() -> None:
    answer = calls([many().case])
    moments = [person.until for person in answer.people if person.until is not None]
    assert moments == sorted(moments)


def test_a_promise_is_waited_for_and_heard_of_when_its_time_is_over(tiny: Build) -> None:
    text = CONTACT + "\n[requirements]\nrig-access = {}\n" + ROOMS + TRIP
    tables = facts(requirements={"rig-access": requirement(**SITE, effect="stops the trip")})
    house = tiny(text, "2026-05-09 10:00", tables)
    house.says('promised rig-access "sun 10 may 12:00"').says("confirmed", DISPATCHER)
    answer = calls([house.case])
    assert answer.people == ()
    (waited,) = answer.waiting
    assert (waited.code, waited.who.name, waited.by_says) == (
        "way-in",
        "Dana Ruiz",
        "Sun 10 May 12:00",
    )
    house.at("2026-05-10 12:01")
    answer = calls([house.case])
    assert answer.waiting == ()
    (line,) = lines(answer, "Dana Ruiz")
    assert line.overdue
    assert line.until_says == "since 12:00 today"
    assert "promised by Sun 10 May 12:00, not heard since" in line.so_far
    house.says("yes rig-access")
    assert calls([house.case]).people == ()


def test_a_promise_about_work_is_waited_for(tiny: Build) -> None:
    wires = (
        '[work.wires]\ntitle = "Pull the wires"\ntrade = "electrician"\nin = ["bath"]\n'
        'order = "before"\ntakes = "1 d"\nagreed = 2026-05-05\n'
    )
    house = tiny(ROOMS + TRIP + wires, "2026-05-07 08:00")
    assert [line.kind for line in lines(calls([house.case]), "electrician")] == ["not reported"]
    house.says('promised wires "thu 7 may 15:00"')
    answer = calls([house.case])
    assert (answer.people, answer.overdue) == ((), 0)
    assert [each.code for each in answer.waiting] == ["wires"]
    house.at("2026-05-07 15:01")
    (line,) = lines(calls([house.case]), "electrician")
    assert line.overdue
    house.says("done wires")
    assert calls([house.case]).people == ()


def test_a_confirmation_is_of_one_day(tiny: Build) -> None:
    """A trip that has slipped since is confirmed anew."""
    house = tiny(ROOMS + TRIP, "2026-05-08 10:00").says("confirmed", DISPATCHER)
    assert calls([house.case]).people == ()
    house.at("2026-05-08 11:00").says('slip first "2 working days" --cause storm', DISPATCHER)
    assert calls([house.at("2026-05-10 08:00").case]).people[0].lines[0].kind == "confirm"


def test_an_approval_that_a_change_has_voided_is_asked_for_again(tiny: Build) -> None:
    wires = (
        '\n[approvals]\nwiring-look = []\n[work.wires]\ntitle = "Pull"\ntrade = "electrician"\n'
        'in = ["bath", "kitchen"]\norder = "before"\ntakes = "1 d"\napproval = "wiring-look"\n'
    )
    house = tiny(ROOMS + wires + TRIP, "2026-05-06 16:00")
    house.says("done wires").says("passed wiring-look --by office")
    assert calls([house.case]).people == ()
    house.at("2026-05-07 08:00").says('change "outlet" kitchen.outer --works wires --by owner')
    kinds = {line.kind: line for p in calls([house.case]).people for line in p.lines}
    assert set(kinds) == {"will it be done", "ask for a look"}
    assert kinds["ask for a look"].places == ("Kitchen outer",)


def test_two_results_that_differ_are_one_call_that_shows_both(tiny: Build) -> None:
    wires = (
        '\n[approvals]\nwiring-look = []\n[work.wires]\ntitle = "Pull"\ntrade = "electrician"\n'
        'in = ["bath"]\norder = "before"\ntakes = "1 d"\napproval = "wiring-look"\n'
    )
    house = tiny(ROOMS + wires + TRIP, "2026-05-06 16:00").says("done wires")
    house.says("passed wiring-look", "Dana Ruiz, contractor")
    house.says("failed wiring-look", "Omar Ruiz, contractor")
    (line,) = [line for p in calls([house.case]).people for line in p.lines]
    assert line.kind == "has it passed"
    assert "Dana Ruiz" in line.so_far
    assert "Omar Ruiz" in line.so_far


@pytest.mark.parametrize(
    ("minutes", "says"),
    [("2026-05-10 08:00", "before Mon 11 May 07:00"), ("2026-05-11 06:00", "before 07:00 today")],
)
def test_a_cut_off_of_today_is_told_by_its_hour(minutes: str, says: str) -> None:
    answer = calls([many(minutes).case])
    assert {line.until_says for line in lines(answer, "Dana Ruiz")} == {says}


def test_one_call_is_one_block_of_text_with_the_number_first() -> None:
    text = CONTACT + "\n[requirements]\nrig-access = {}\n" + ROOMS + TRIP
    tables = facts(requirements={"rig-access": requirement(**SITE, effect="stops the trip")})
    no = 'no = ["rig-access"]\nat = 2026-05-09T09:00:00\nby = "Dana"'
    told = calls_text(calls([asked(f"{text}[answers.a]\n{no}\n", "2026-05-10 07:00", tables).case]))
    question = "Is the drive firm and clear, and do length, weight and height of the rig fit?"
    assert told.split("\n\n")[2].splitlines() == [
        "555-0140     Dana Ruiz (contractor), first: before Mon 11 May 07:00",
        f"  1. {question}: whole house",
        "     - before Mon 11 May 07:00",
        "     Dana, Sat 9 May 09:00: no",
    ]


def test_nobody_to_call_is_said_so() -> None:
    assert "Nobody has to be called now." in calls_text(calls([asked(ROOMS + TRIP).case]))


@pytest.mark.parametrize(
    ("thing", "says"),
    [
        ('tub = { is = "tub", blocks = ["bath.outer"] }', "In the way: tub: when is it pulled?"),
        (
            'tub = { is = "tub", blocks = ["bath.outer"], pull = 2026-05-11 }',
            "In the way: tub: pulled by Mon 11 May 11:00?",
        ),
        (
            'pile = { is = "pile", blocks = ["bath.outer"] }',
            "In the way: pile: gone by the arrival?",
        ),
    ],
)
def test_a_thing_in_the_way_is_asked_about_in_its_own_words(thing: str, says: str) -> None:
    job = asked(f"{ROOMS}{TRIP}[obstructions]\n{thing}\n", "2026-05-10 08:00")
    told = [line for p in calls([job.case]).people for line in p.lines if line.kind != "confirm"]
    assert [line.says for line in told] == [says]


def test_a_bare_yes_tells_what_would_raise_it() -> None:
    least = requirement(**SITE, effect="stops the trip", least={"roll": "shown"})
    text = CONTACT + "\n[requirements]\ngate-and-keys = {}\n" + ROOMS + TRIP
    yes = '[answers.a]\nyes = ["gate-and-keys"]\nat = 2026-05-06T09:00:00\nby = "Dana"\n'
    tables = facts(requirements={"gate-and-keys": least})
    (line,) = lines(calls([asked(text + yes, "2026-05-06 10:00", tables).case]), "Dana Ruiz")
    assert line.so_far == "Dana, Wed 6 May 09:00: yes; a picture, mail or number shows it"


def test_a_yes_that_came_too_early_says_so() -> None:
    tables = facts(
        requirements={
            "rig-access": requirement(**SITE, effect="stops the trip", fresh_for="48 h elapsed")
        }
    )
    text = CONTACT + "\n[requirements]\nrig-access = {}\n" + ROOMS + TRIP
    yes = '[answers.a]\nyes = ["rig-access"]\nat = 2026-05-06T09:00:00\n'
    (line,) = lines(calls([asked(text + yes, "2026-05-09 10:00", tables).case]), "Dana Ruiz")
    assert line.so_far == "so far, Wed 6 May 09:00: yes, too long before the arrival"


def test_where_a_job_has_several_trips_each_line_names_its_own() -> None:
    two = (
        '\n[trips]\nfirst = { booked = 2026-05-11T07:00:00, surfaces = ["bath.outer"] }\n'
        'second = { booked = 2026-05-12T07:00:00, surfaces = ["kitchen.outer"] }\n'
    )
    told = calls_text(calls([asked(ROOMS + two, "2026-05-09 12:00").case]))
    assert "[first trip] Will the rig come as agreed?" in told
    assert "[second trip] Will the rig come as agreed?" in told


def test_jobs_that_fix_their_own_moment_are_not_told_as_one() -> None:
    answer = calls([many().case, many("2026-05-09 08:00").case])
    assert not answer.one_moment
    assert "calls as of the moment that each file fixes" in calls_text(answer)


def test_what_is_left_for_later_and_what_is_promised_are_told_below(tiny: Build) -> None:
    rows = "".join(
        f'[work.w{n}]\ntitle = "Do {n}"\ntrade = "electrician"\nin = ["bath"]\n'
        'order = "before"\ntakes = "1 h"\nagreed = 2026-05-05\n'
        for n in range(9)
    )
    house = tiny(ROOMS + TRIP + rows, "2026-05-07 08:00").says('promised w8 "thu 7 may 15:00"')
    told = calls_text(calls([house.case]))
    assert "and 1 more for the next call" in told
    assert told.splitlines()[-2:] == [
        "Promised, so nobody asks again before:",
        "  Thu 7 May 15:00  Do 8: booked Tue 5 May 07:00, done as booked?: Bath - electrician",
    ]


def test_a_look_that_can_no_longer_be_had_says_so() -> None:
    wires = (
        '\n[offices]\nbuilding = { notice = "100 d" }\n[approvals]\nwiring-look = []\n'
        '[work.wires]\ntitle = "Pull"\ntrade = "electrician"\nin = ["bath"]\n'
        'order = "before"\ntakes = "1 d"\napproval = "wiring-look"\ndone_in = ["bath"]\n'
    )
    answer = calls([asked(ROOMS + wires + TRIP, "2026-05-06 08:00").case])
    (line,) = [line for p in answer.people for line in p.lines]
    assert (line.until, line.until_says, line.overdue) == (
        None,
        "too late to be seen before this arrival",
        True,
    )


def test_nobody_is_called_about_a_trip_whose_crew_is_there(tiny: Build) -> None:
    house = tiny(ROOMS + TRIP, "2026-05-11 06:30")
    assert calls([house.case]).overdue == 1
    house.at("2026-05-11 07:00").says("arrived", "Lea Brandt, crew lead")
    assert calls([house.case]).people == ()


def after_the_spray(*further: Data, as_of: str = board.WEDNESDAY) -> CallsAnswer:
    return calls([board.job(*further, as_of=as_of).case])


def codes(answer: CallsAnswer) -> list[str]:
    return sorted(line.code for person in answer.people for line in person.lines)


def test_after_the_spray_nobody_is_called_while_only_the_clock_is_missing() -> None:
    assert codes(after_the_spray(*board.SPRAYED, as_of="2026-05-11 20:00")) == []


def test_once_the_hours_are_over_the_release_is_asked_for_and_nothing_else() -> None:
    answer = after_the_spray(*board.SPRAYED, as_of="2026-05-12 14:30")
    assert codes(answer) == ["release"]
    assert answer.people[0].lines[0].until_says == "no start of board is agreed"


def test_what_is_missing_for_the_release_is_said_in_the_call() -> None:
    dirty = [entry for entry in board.SPRAYED if entry["kind"] != "cleaned"]
    (person,) = after_the_spray(*dirty, as_of="2026-05-12 14:30").people
    assert "no entry says that the crew has cleaned up since" in person.lines[0].says


def test_after_the_release_everything_is_asked_that_waits_for_nothing_else() -> None:
    """What is asked and what waits for it are together what holds the board up."""
    found = board.job(*board.RELEASED)
    asked_about = set(codes(calls([found.case])))
    held = {each.code for each in found.blockers(Gate.BOARD, at(board.WEDNESDAY))}
    assert asked_about <= held
    assert {"depth-proven", "bond-holds"} <= asked_about


def test_a_failed_check_asks_when_it_is_mended_and_a_passed_job_calls_nobody() -> None:
    answer = after_the_spray(*board.RELEASED, board.LOW, *board.GOOD[1:])
    (line,) = [line for person in answer.people for line in person.lines]
    assert (line.code, line.says[:6]) == ("depth-proven", "Not so")
    assert codes(after_the_spray(*board.RELEASED, *board.GOOD)) == []


def test_a_promised_mending_is_waited_for() -> None:
    no = board.yes("bond-holds", "2026-05-13T08:20:00", value="no", places=("bath.outer",))
    when = {"value": "promised", "promised_by": "2026-05-14", "seen": "2026-05-13T08:30:00"}
    promise = {**no, **when, "written": "2026-05-13T08:30:00Z"}
    answer = after_the_spray(*board.RELEASED, *board.GOOD, no, promise)
    assert [each.code for each in answer.waiting] == ["bond-holds"]
    assert codes(answer) == []
