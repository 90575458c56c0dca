"""The owner's and the inspector's pages: what each asked for, and nothing that is another's.

What they want is common practice, no source; each point was asked for by people in those roles.
"""

from __future__ import annotations

import re
from pathlib import Path

from readiness.desk.desk import desk_of
from readiness.desk.keeping import pictures_of
from readiness.desk.papers import answers_of
from readiness.pages.paper import Paper, Points, Rows
from readiness.pages.roles import paper_for as page_of_role
from tests.desk.builders import note
from tests.pages.papers import paper_for
from tests.pages.test_paper_html import HOUSE, SAMPLES

ADDITION = SAMPLES["garden-room-addition"]
OFFICE = "C. Dole, office"
CREW = "Ada Pell, crew lead"


def section(paper: Paper, heading: str) -> Points | Rows:
    """Return a section of a page; it must be there."""
    found = next(each for each in paper.sections if each.heading == heading)
    assert isinstance(found, Points | Rows)
    return found


def lines(paper: Paper, heading: str) -> list[tuple[str, ...]]:
    """Return the lines of a section as cells."""
    found = section(paper, heading)
    if isinstance(found, Rows):
        return list(found.rows)
    return [(point.head, point.text) for point in found.points]


def pairs(paper: Paper, heading: str) -> dict[str, str]:
    """Return the second cell of each line of a section by its first."""
    return {line[0]: line[1] for line in lines(paper, heading)}


def after(tmp_path: Path, *said: tuple[str, str, str], role: str) -> Paper:
    """Return a page of the addition once somebody has said lines, each at its moment."""
    (tmp_path / "job.toml").write_text(ADDITION.replace("as_of", "# as_of"), encoding="utf-8")
    for at, who, line in said:
        note(tmp_path, *line.split(), at=at, by=who)
    from readiness.cli.asking import desk_at
    from readiness.desk.desk import open_desk

    desk = desk_at(open_desk(tmp_path), said[-1][0])
    case = desk.case()
    pictures = pictures_of(desk, case.outlook.seen.as_of)
    paper = page_of_role(role, answers_of(case, pictures=pictures))
    assert paper is not None
    return paper


SPRAYED = (
    ("2026-08-27 07:30", CREW, "arrived main"),
    ("2026-08-27 12:00", CREW, "sprayed main garden-room.south-wall bath.east-wall"),
    ("2026-08-27 12:05", CREW, "photo south-wall-done.jpg garden-room.south-wall"),
    ("2026-08-27 12:10", CREW, "lots main A-771, B-772"),
)


def test_the_permit_and_the_field_of_the_result_come_first_for_the_inspector() -> None:
    paper = paper_for(HOUSE, "inspector")
    assert paper.sections[0].heading == "For your entry"
    assert [row[0] for row in lines(paper, "For your entry")] == [
        "Permit",
        "Code of the field for your result",
    ]
    assert paper.sections[1].heading == "Results"


def test_a_result_for_part_names_the_walls_that_it_leaves_out() -> None:
    results = {(row[0], row[1]): row[4] for row in lines(paper_for(HOUSE, "inspector"), "Results")}
    assert results["Approval of rough wiring", "passed for part"] == (
        "29 surfaces, all but Laundry wall"
    )
    assert results["Approval of rough wiring", "failed"] == "Laundry wall"
    assert results["Approval of framing", "passed"] == "all 30 surfaces"
    bath = {row[0]: row[4] for row in lines(paper_for(ADDITION, "inspector"), "Results")}
    assert bath["Approval of rough plumbing"] == "Bath east wall"


def test_the_inspectors_own_conditions_are_printed_back_to_be_ticked(tmp_path: Path) -> None:
    """Also those under which it may be covered and corrected later."""
    failed = lines(paper_for(HOUSE, "inspector"), "Your conditions, in your words")
    assert failed == [("[ ] nail plates at the dryer circuit", "Laundry wall")]
    said = ("2026-08-25 13:30", OFFICE, "may-cover framing --correct strap-at-ridge")
    paper = after(tmp_path, said, role="inspector")
    ((head, text),) = lines(paper, "Your conditions, in your words")
    assert head == "[ ] strap-at-ridge"
    assert text.endswith("; may cover, correct later")


def test_what_foam_hides_stands_with_its_day_and_pictures(tmp_path: Path) -> None:
    paper = after(tmp_path, *SPRAYED, role="inspector")
    assert lines(paper, "Hidden behind foam already") == [
        ("Thu 27 Aug 2026", "Garden room south wall, Bath east wall"),
        ("Pictures", "south-wall-done.jpg"),
    ]
    before = paper_for(ADDITION, "inspector")
    assert lines(before, "Hidden behind foam already") == []


def test_numbers_stand_as_they_were_entered(tmp_path: Path) -> None:
    numbers = pairs(after(tmp_path, *SPRAYED, role="inspector"), "Numbers")
    assert numbers["Labels or lots of the drums"] == "A-771, B-772"
    report = numbers["Report and data sheet of Product A (closed cell)"]
    assert report.startswith("evaluation report A-12")
    assert numbers["Certificate of the insulation"] == ""


def test_the_barrier_stands_with_who_and_when_and_no_opinion() -> None:
    rows = lines(paper_for(HOUSE, "inspector"), "Barrier over the foam")
    assert (rows[0][0], rows[0][1], rows[0][2]) == (
        "Hang the board",
        "Ruiz Board",
        "Wed 24 Jun to Tue 30 Jun 2026",
    )
    assert ("Coat foam that stays exposed", "Lund Coatings", "no day set") in {
        row[:3] for row in rows
    }
    text = repr(paper_for(HOUSE, "inspector"))
    assert not re.search(r"\bsuits?\b|from memory|not verified|required by", text)


def test_neither_is_told_of_other_trades_when_to_ask_again() -> None:
    """The first thing to come in this job is a cable of another trade."""
    assert "Pull data" in paper_for(ADDITION, "contractor").ask_again
    for role in ("owner", "inspector"):
        told = paper_for(ADDITION, role).ask_again
        assert told == "Tue 25 Aug 13:00: the inspector comes"


def test_the_owner_reads_until_when_a_change_moves_no_foam() -> None:
    """The same days as `when` tells, the earliest of each room."""
    answers = answers_of(desk_of(ADDITION, Path("job.toml")).case())
    days = [line.last_day for line in answers.when().changes if line.name == "Bath"]
    first = min(day for day in days if day is not None)
    changes = pairs(paper_for(ADDITION, "owner"), "A change after today")
    assert changes["Bath"] == f"until {first:%a} {first.day} {first:%b} without moving the foam"
    assert changes["Garden room"] == "a change moves the foam by now"
    assert "Ask what it costs before you say yes" in changes["Say it before the foam"]


def test_once_the_rig_is_there_no_change_is_offered(tmp_path: Path) -> None:
    paper = after(tmp_path, *SPRAYED, role="owner")
    assert lines(paper, "A change after today") == []


def test_the_owner_sees_pictures_wall_by_wall_and_what_is_to_be_mended(tmp_path: Path) -> None:
    thin = (
        ("2026-08-27 14:00", CREW, "last-foam main"),
        ("2026-08-27 14:30", CREW, "cleaned main"),
        ("2026-08-27 15:00", CREW, "depth garden-room.south-wall 1.1 1.3 1.2 1.1 1.0"),
        ("2026-08-29 15:00", CREW, "ventilated main"),
        ("2026-08-29 16:00", CREW, "release main"),
    )
    paper = after(tmp_path, *SPRAYED, *thin, role="owner")
    assert lines(paper, "Pictures of the walls") == [
        ("Garden room south wall", "south-wall-done.jpg")
    ]
    ((where, by),) = lines(paper, "Still to be mended")
    assert where == "Garden room south wall"
    assert by.startswith("by High Plains Spray, ")


def test_drum_sets_stand_where_rig_and_yard_look() -> None:
    """As `foam` tells them: whole sets, what they rest on, and its marks."""
    drums = answers_of(desk_of(HOUSE, Path("job.toml")).case()).foam().drums
    assert [drum.to_load for drum in drums] == [2, 2]
    trip = pairs(paper_for(HOUSE, "dispatcher"), "The trip")
    assert trip["Drum sets, open cell"].startswith("load tonight, from the warm room: 2 (16,3")
    assert "common practice]" in trip["Drum sets, open cell"]
    site = pairs(paper_for(HOUSE, "crew lead"), "The site")
    assert site["Drum sets, closed cell"].startswith("on the truck: 2 (5,492 bd ft at 4,200 each")
    for role in ("owner", "inspector", "contractor", "board crew"):
        assert "drum set" not in repr(paper_for(HOUSE, role)).casefold()


def test_the_lead_is_asked_what_a_depth_means_only_where_nobody_wrote_it() -> None:
    told = section(paper_for(ADDITION, "crew lead"), "Surfaces of this trip")
    asked = section(paper_for(HOUSE, "crew lead"), "Surfaces of this trip")
    assert "agreed in writing" in told.lead
    assert "ask which one was agreed" in asked.lead
