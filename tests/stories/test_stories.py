"""What went wrong on real sites, each told once on a small job: would the answer have helped?

Invariant: a story holds only what it is about; 2026-05-11 is the Monday of the trip.
"""

from __future__ import annotations

from collections.abc import Callable

from readiness.questions.anyway import anyway
from readiness.questions.calls import calls
from readiness.questions.letters import letters
from readiness.questions.today import today
from readiness.questions.when import when
from tests.builders import HEAD, ROOMS, TRIP, facts, requirement
from tests.stories.house import CONTRACTOR, DISPATCHER, LEAD, House, real, tiny

__all__ = ["real", "tiny"]

Build = Callable[..., House]

WIRES = """
[work.wires]
title = "Pull the wires"
trade = "electrician"
in = ["bath", "kitchen"]
order = "before"
takes = "1 d"
agreed = 2026-05-05
"""
APPROVED_WIRES = "\n[approvals]\nwiring-look = []\n" + WIRES + 'approval = "wiring-look"\n'
BOARD = """
[work.hang-board]
title = "Hang the board"
trade = "drywall"
in = ["bath", "kitchen"]
order = "after"
takes = "1 d"
"""
EVERYTHING_IN = WIRES + TRIP
SPRAY_DAY = "2026-05-11 06:30"


def sprayed(house: House) -> House:
    """Let the crew spray everything on the Monday, clean up and air."""
    house.at("2026-05-11 07:00").says("arrived", LEAD)
    house.at("2026-05-11 14:00").says("sprayed all", LEAD).says("last-foam", LEAD)
    return house.at("2026-05-11 15:00").says("cleaned", LEAD).says("ventilated", LEAD)


def test_a_hood_that_everybody_forgot(real: Build) -> None:
    """The duct of the range hood is remembered on the eve: the usual work had it all along.

    The kitchen's outside wall is held up by name, with who drills and ducts, days before the rig.
    """
    house = real('kind = "new house"\n' + HEAD + ROOMS + TRIP, "2026-05-08 12:00")
    held = [line for line in house.check().blockers if line.code == "range-hood-duct"]
    assert len(held) == 1
    assert "range-hood duct" in held[0].says
    assert "kitchen.outer" in held[0].surfaces
    assert "bath.outer" not in held[0].surfaces
    house.says("done range-hood-duct")
    assert not [line for line in house.check().blockers if line.code == "range-hood-duct"]


TUB = """
[work.tub]
title = "Set the tub"
trade = "plumber"
in = ["bath"]
order = "after"
takes = "4 h"
agreed = 2026-05-08
[obstructions]
tub = { is = "tub", blocks = ["bath.outer"], set_by = "tub" }
"""


def test_a_tub_set_before_the_foam_came(tiny: Build) -> None:
    """The plumber's Friday lies before the sprayer's Monday: told a week ahead, not by the gun."""
    house = tiny(ROOMS + TRIP + TUB)
    assert house.words() == {"bath.outer": "too late", "kitchen.outer": "on course"}
    (line,) = house.check().blockers
    assert line.who.id == "plumber"
    house.says("slip tub 2026-05-18 --cause order")
    assert house.word() == "on course"
    house.at("2026-05-08 12:00").says("set tub")
    assert house.words()["bath.outer"] == "too late"
    assert "in the way: tub" in house.blockers()[0]


def test_foam_that_ran_out_on_the_second_day(tiny: Build) -> None:
    """One room is done, the other waits; board that is agreed for Wednesday hears of it at once."""
    board = BOARD + "agreed = 2026-05-18\n"
    house = tiny(ROOMS + TRIP.replace('"1 d"', '"2 d"') + board, SPRAY_DAY)
    house.at("2026-05-11 07:00").says("arrived", LEAD)
    house.at("2026-05-12 11:00").says("sprayed bath.outer", LEAD)
    house.says('sprayed kitchen.outer "30 %"', LEAD).says("last-foam", LEAD)
    words = house.words()
    assert words["bath.outer"] == "keep-out"
    assert words["kitchen.outer"] == "part sprayed"
    house.says("trip second kitchen.outer").says("booked second 2026-05-20 07:00")
    assert {line.trip for line in when(house.case).trips} == {"first", "second"}
    assert any("board" in line.lower() for line in house.findings() + house.blockers("2026-05-20"))


def test_a_storm_day_that_was_used_for_blocking(tiny: Build) -> None:
    """The trip slips with its cause; what can be done meanwhile is listed, no more."""
    blocking = WIRES.replace("work.wires", "work.blocking").replace("Pull the wires", "Nail blocks")
    house = tiny(ROOMS + TRIP + blocking + BOARD, "2026-05-10 18:00")
    house.says('slip first "2 working days" --cause storm --name "Pell Foam"', DISPATCHER)
    (slip,) = house.case.outlook.seen.slips
    assert (slip.cause, slip.moved_by) == ("storm", "Pell Foam")
    house.at("2026-05-11 07:30")
    assert [line.title for line in today(house.case).lines] == ["Nail blocks"]


def test_a_dumpster_full_of_foam(tiny: Build) -> None:
    """Ducts that are not in yet hold the wall up; spraying anyway is told as foam that is cut."""
    ducts = WIRES.replace("work.wires", "work.ducts").replace("electrician", "hvac")
    house = tiny(ROOMS + TRIP + ducts.replace("2026-05-05", "2026-05-14"))
    assert house.word() == "too early"
    lines = anyway(house.case).lines
    assert all(line.possible and "cuts foam open" in line.then for line in lines)
    assert sum(line.square_feet for line in lines) == 200.0


def test_an_office_that_wants_no_wire_in_foam(real: Build) -> None:
    """One local rule turns the order round: the wiring of outside walls comes after the foam."""
    text = 'kind = "new house"\n' + HEAD + ROOMS + TRIP
    usual = real(text)
    assert any(line.code == "rough-electrical" for line in usual.check(SPRAY_DAY).blockers)
    ruled = real('rules = ["no-wiring-in-foam"]\n' + text)
    assert not any(line.code == "rough-electrical" for line in ruled.check(SPRAY_DAY).blockers)


def test_a_flooded_drive_and_three_hundred_feet_of_hose(tiny: Build) -> None:
    """The drive is asked about two days before; a flood afterwards takes the yes back."""
    drive = requirement(
        title="The rig can reach the house",
        category="access",
        scope="site",
        due="roll",
        wanted_before="2 d",
        fresh_for="48 h elapsed",
        override="dispatcher",
    )
    text = "\n[requirements]\nrig-access = {}\n" + ROOMS + TRIP
    house = tiny(text, "2026-05-09 18:00", facts(requirements={"rig-access": drive}))
    asked = [line.says for person in calls([house.case]).people for line in person.lines]
    assert any("drive" in says for says in asked)
    house.says("yes rig-access")
    assert house.word() == "on course"
    house.at("2026-05-11 05:30").says("no rig-access")
    assert house.word() == "not prepared"
    assert house.check().instants.gate == "roll"
    house.says('override rig-access all --reason "300 ft of hose from the road"', DISPATCHER)
    assert house.word() == "ready"


FURNACE = """
[work.furnace]
title = "Set the furnace"
trade = "hvac"
in = ["kitchen"]
order = "after"
takes = "4 h"
"""
TWO_TRIPS = """
[trips]
first = { booked = 2026-05-11T07:00:00, surfaces = ["bath.outer"], lasts = "4 h" }
second = { booked = 2026-05-18T07:00:00, surfaces = ["kitchen.outer"], lasts = "4 h" }
"""


def test_a_furnace_set_between_two_trips(tiny: Build) -> None:
    """It stands behind the first trip and in front of the second; only the second is too late."""
    house = tiny(ROOMS + TWO_TRIPS + FURNACE + "agreed = 2026-05-14\n")
    words = {trip: house.check(f"{day} 07:00").verdict for trip, day in DAYS.items()}
    assert words == {"first": "on course", "second": "too late"}
    house.says("slip furnace 2026-05-21 --cause foam")
    assert house.word("2026-05-18 07:00") == "on course"


DAYS = {"first": "2026-05-11", "second": "2026-05-18"}


def test_an_open_burner_in_an_attic_that_is_closed(real: Build) -> None:
    """Foam takes the air of a burner that draws from the house: nobody waives the question."""
    house = real('kind = "addition"\n' + HEAD + ROOMS + TRIP, "2026-05-11 06:00")
    (line,) = [each for each in house.check().blockers if each.code == "combustion-answered"]
    assert line.binding
    refused = house.refuses("override combustion-answered all --reason cold", DISPATCHER)
    assert "binding: nobody can waive it" in refused
    house.says("yes combustion-answered")
    assert "combustion-answered" not in {each.code for each in house.check().blockers}


def approved(tiny: Build) -> House:
    """Return a house whose wires are in and passed on the Wednesday before."""
    house = tiny(ROOMS + APPROVED_WIRES + TRIP, "2026-05-06 16:00")
    return house.says("done wires").says("passed wiring-look --by office")


def test_an_outlet_that_was_added_after_the_look(tiny: Build) -> None:
    """A change reopens its wall alone, and the old approval is worth nothing there."""
    house = approved(tiny)
    assert house.word() == "on course"
    house.at("2026-05-08 14:00").says('change "outlet" kitchen.outer --works wires --by owner')
    assert house.words() == {"bath.outer": "on course", "kitchen.outer": "too early"}
    house.at("2026-05-09 10:00").says("done wires kitchen")
    assert house.words()["kitchen.outer"] == "too early"
    house.says("passed wiring-look kitchen.outer --by office")
    assert house.word() == "on course"


def test_an_approval_for_all_but_one_wall(tiny: Build) -> None:
    """Only what the office names moves; the rest of the trip can go, the one wall can't."""
    house = tiny(ROOMS + APPROVED_WIRES + TRIP, "2026-05-06 16:00").says("done wires")
    house.says("failed wiring-look kitchen.outer --by office")
    house.says('passed wiring-look "all but kitchen.outer" --by office')
    house.at(SPRAY_DAY)
    assert house.words() == {"bath.outer": "ready", "kitchen.outer": "too early"}
    answer = house.check()
    assert (answer.ready_square_feet, answer.trip_square_feet) == (100.0, 200.0)


def test_a_tub_wall_sprayed_early_on_a_partial_approval(tiny: Build) -> None:
    """A trip of its own for one wall asks only for what is hidden in that wall."""
    early = TWO_TRIPS.replace("2026-05-18", "2026-05-25")
    house = tiny(ROOMS + APPROVED_WIRES + early, "2026-05-06 16:00")
    house.says("done wires bath").says("passed-part wiring-look bath.outer --by office")
    house.at(SPRAY_DAY)
    answer = house.check()
    assert (answer.trip, answer.verdict) == ("first", "ready")
    assert house.word("2026-05-25 07:00") == "on course"
    assert house.words(SPRAY_DAY)["kitchen.outer"] == "too early"


def test_a_crew_that_ran_over(tiny: Build) -> None:
    """The calendar said three o'clock; the last foam was at seven, and hours count from it."""
    house = tiny(ROOMS + EVERYTHING_IN, SPRAY_DAY)
    planned = house.check().keep_out
    assert planned is not None
    house.at("2026-05-11 07:00").says("arrived", LEAD)
    house.at("2026-05-11 19:00").says("sprayed all", LEAD).says("last-foam", LEAD)
    house.says("cleaned", LEAD).says("ventilated", LEAD)
    late = house.check().keep_out
    assert late is not None
    assert planned.not_before is not None
    assert late.not_before is not None
    assert late.not_before > planned.not_before
    assert late.running
    assert "not before Tue 12 May 19:00" in house.at("2026-05-12 16:00").refuses("release", LEAD)
    titles = [entry.title for each in letters(house.case).letters for entry in each.entries]
    assert any("KEEP OUT until released" in title for title in titles)
    assert house.at("2026-05-12 19:00").says("release", LEAD).words()["bath.outer"] != "keep-out"


def test_a_touch_up_after_the_clean_up(tiny: Build) -> None:
    """A hand's breadth of new foam starts the hours anew and wants its own clean-up."""
    house = sprayed(tiny(ROOMS + EVERYTHING_IN, SPRAY_DAY))
    house.at("2026-05-12 10:00").says("last-foam", LEAD)
    refused = house.at("2026-05-12 15:30").refuses("release", LEAD)
    assert "not before Wed 13 May 10:00" in refused
    assert "cleaned up since" in refused
    house.at("2026-05-13 10:00").says("cleaned", LEAD).says("ventilated", LEAD)
    house.says("release", LEAD)
    assert "keep-out" not in set(house.words().values())


def test_a_touch_up_after_the_release(tiny: Build) -> None:
    """Whoever was let in has to go out again: the release does not outlive new foam."""
    house = sprayed(tiny(ROOMS + EVERYTHING_IN, SPRAY_DAY))
    house.at("2026-05-12 14:00").says("release", LEAD)
    assert "keep-out" not in set(house.words().values())
    house.at("2026-05-12 16:00").says("last-foam", LEAD)
    assert set(house.words().values()) == {"keep-out"}


def test_plumbing_that_nobody_reported(tiny: Build) -> None:
    """Past its booked end without a word it is not done and not late: it is a call."""
    pipes = WIRES.replace("work.wires", "work.pipes").replace("electrician", "plumber")
    house = tiny(ROOMS + TRIP + pipes, "2026-05-07 08:00")
    assert any(finding.startswith("not-reported") for finding in house.findings())
    asked = [
        (person.who.id, line.code) for person in calls([house.case]).people for line in person.lines
    ]
    assert asked == [("plumber", "pipes")]
    house.says("done pipes")
    assert calls([house.case]).people == ()


def test_two_partners_of_whom_one_says_passed_and_one_failed(tiny: Build) -> None:
    """Neither counts: both are shown until somebody looks, whoever's clock runs ahead."""
    house = tiny(ROOMS + APPROVED_WIRES + TRIP, "2026-05-08 16:00").says("done wires")
    house.says("passed wiring-look", "Dana Ruiz, contractor")
    house.at("2026-05-08 16:05").says("failed wiring-look", "Omar Ruiz, contractor")
    assert house.word() == "too early"
    told = " ".join(house.blockers())
    assert "Dana Ruiz" in told
    assert "Omar Ruiz" in told
    house.at("2026-05-09 09:00").says("requested wiring-look")
    house.at("2026-05-09 12:00").says("passed wiring-look --by office")
    assert house.word() == "on course"


def test_a_drum_that_was_empty_at_sixty_percent(tiny: Build) -> None:
    """The wall is part sprayed, not sprayed; the rest can be left to a trip of its own."""
    house = tiny(ROOMS + EVERYTHING_IN, SPRAY_DAY).says("done wires")
    house.at("2026-05-11 07:00").says("arrived", LEAD)
    house.at("2026-05-11 12:00").says('sprayed kitchen.outer "60 %"', LEAD)
    assert house.words()["kitchen.outer"] == "part sprayed"
    house.says("sprayed kitchen.outer", LEAD)
    assert house.words()["kitchen.outer"] == "being sprayed"


def test_a_lead_who_stops_a_site_that_is_ready(tiny: Build) -> None:
    """Every paper is in order and the floor is wet: the stop wins until the same role lifts it."""
    house = tiny(ROOMS + EVERYTHING_IN, "2026-05-08 12:00").says("done wires").at(SPRAY_DAY)
    assert house.word() == "ready"
    house.says('stop "floor deck wet"', LEAD)
    assert house.word() == "stopped"
    assert "floor deck wet" in house.blockers()[0]
    assert "only the same role lifts it" in house.refuses("lift", CONTRACTOR)
    house.at("2026-05-11 06:50").says("lift", "Joe Fane, crew lead")
    assert house.word() == "ready"


def test_one_trade_lifts_no_other_trade_s_stop_nor_the_inspector_s(tiny: Build) -> None:
    """The same role is the same people: a plumber does not speak for the electrician."""
    house = tiny(ROOMS + EVERYTHING_IN, "2026-05-08 12:00").says("done wires").at(SPRAY_DAY)
    house.says("stop sparks", "Ola Bao, electrician")
    assert "stopped by Ola Bao (electrician)" in house.refuses("lift", "Ray Reed, plumber")
    house.says("lift", "Uwe Bao, electrician")
    house.says('stop "no permit on site"', "Eve Moss, inspector")
    assert house.word() == "stopped"
    assert "only the same role lifts it" in house.refuses("lift", "Uwe Bao, electrician")
    assert house.says("lift", "Jan Poll, office").word() == "ready"


def test_a_stop_of_the_job_file_names_no_trade_and_any_trade_lifts_it(tiny: Build) -> None:
    stop = """
[stops]
wet = { by = "Ola Bao", role = "trade", reason = "wet", at = 2026-05-08T09:00:00 }
"""
    house = tiny(ROOMS + EVERYTHING_IN + stop, "2026-05-08 12:00").says("done wires").at(SPRAY_DAY)
    assert house.word() == "stopped"
    assert "only the same role lifts it" in house.refuses("lift", CONTRACTOR)
    assert house.says("lift", "Ray Reed, plumber").word() == "ready"


def test_a_stop_needs_a_role(tiny: Build) -> None:
    house = tiny(ROOMS + EVERYTHING_IN, SPRAY_DAY)
    assert "needs the role" in house.refuses("stop wet", "somebody")


def test_a_furnace_and_board_that_nobody_booked(tiny: Build) -> None:
    """Work without a date waits for the foam; it closes no spray window."""
    house = tiny(ROOMS + TRIP + FURNACE + BOARD)
    assert house.word() == "on course"
    windows = [line.window for line in house.check().surfaces]
    assert all(window is None or window.last_start is None for window in windows)
    house.says("booked furnace 2026-05-11")
    assert house.words()["kitchen.outer"] == "too late"


def test_a_slot_that_falls_into_the_keep_out(tiny: Build) -> None:
    """Nobody enters before the release: the office's slot is refused, with the keep-out it hits."""
    house = tiny("\n[approvals]\nfoam-look = []\n" + ROOMS + EVERYTHING_IN, SPRAY_DAY)
    house.says("done wires").says('requested foam-look --slot "2026-05-12 09:00"')
    (refused,) = {finding.partition(",")[0] for finding in house.findings() if "slot-" in finding}
    assert refused == "slot-refused: Look at the foam"
    assert all("lies in a keep-out" in each for each in house.findings() if "slot-" in each)
    house.says('requested foam-look --slot "2026-05-14 09:00"')
    assert not [finding for finding in house.findings() if "slot-" in finding]
