"""What people type in answer to `new` is understood, or refused with a hint."""

from __future__ import annotations

import pytest

from readiness.exchange.job_answers import Firm, Where, read_firm, read_rooms, read_where
from readiness.facts.vocabulary import RoomKind
from readiness.job.written import MisreadError


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("US OH America/New_York", Where("US", "OH", "America/New_York")),
        ("ca, on, America/Toronto", Where("CA", "ON", "America/Toronto")),
        ("America/Toronto CA", Where("CA", "", "America/Toronto")),
    ],
)
def test_a_place_is_read_in_any_order(text: str, where: Where) -> None:
    assert read_where(text) == where


@pytest.mark.parametrize(
    "text",
    ["", "US", "Ohio", "US OH", "USA OH America/New_York", "US OH America/", "US OH ../../etc/x"],
)
def test_what_is_no_place_is_refused_with_a_hint(text: str) -> None:
    with pytest.raises(MisreadError) as refusal:
        read_where(text)
    assert refusal.value.hint


@pytest.mark.parametrize(
    ("text", "firm"),
    [
        ("Pell Foam, 555-0102", Firm("Pell Foam", "555-0102")),
        ("Pell Foam 555-0102", Firm("Pell Foam", "555-0102")),
        ("Pell, Roy and Co, (212) 555-0102", Firm("Pell, Roy and Co", "(212) 555-0102")),
        ("Route 9 Foam", Firm("Route 9 Foam")),
        ("Pell Foam", Firm("Pell Foam")),
        ("-", Firm("")),
    ],
)
def test_a_firm_is_a_name_and_perhaps_a_number(text: str, firm: Firm) -> None:
    assert read_firm(text) == firm


def test_a_number_alone_is_no_firm() -> None:
    with pytest.raises(MisreadError, match="a name"):
        read_firm("555-0102")


def test_rooms_are_named_storey_by_storey() -> None:
    rooms = read_rooms("ground: Entry hall, family room; upper: Bathroom, Bed 1, hall")
    assert [(room.id, room.storey, room.kind) for room in rooms] == [
        ("entry-hall", "ground", RoomKind.HALL),
        ("family-room", "ground", RoomKind.LIVING),
        ("bathroom", "upper", RoomKind.BATH),
        ("bed-1", "upper", RoomKind.BEDROOM),
        ("hall", "upper", RoomKind.HALL),
    ]


def test_storeys_without_a_name_are_numbered() -> None:
    assert [room.storey for room in read_rooms("kitchen; bath")] == ["storey 1", "storey 2"]
    assert read_rooms("kitchen")[0].storey == "ground"


def test_equal_rooms_of_two_storeys_stay_apart() -> None:
    rooms = read_rooms("ground: bath; upper: bath")
    assert [room.id for room in rooms] == ["bath", "upper-bath"]


@pytest.mark.parametrize(
    "text", ["", " ; ", "ground:", "bath, bath", "ground: all", "attic: attic", "!!!", "a\x07b"]
)
def test_what_names_no_rooms_is_refused(text: str) -> None:
    with pytest.raises(MisreadError):
        read_rooms(text)
