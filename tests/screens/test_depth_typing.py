"""Readings while they are typed: nothing is lost, what is wrong is said, and the rule is note's."""

from __future__ import annotations

from readiness.screens.depth_typing import Typed, readings, wrong_of


def typed(text: str) -> Typed:
    """Return what is typed by these signs; a blank goes on."""
    found = Typed()
    for sign in text:
        found = found.following() if sign == " " else found.put(sign)
    return found


def test_numbers_follow_each_other_and_a_mark_says_where() -> None:
    found = typed("3.4 3,6 3.1e ")
    assert found.words == ("3.4", "3,6", "3.1e")
    assert found.at == 3
    assert [each.is_edge for each in readings(found, "US")] == [False, False, True]
    assert [str(each.value) for each in readings(found, "US")] == ["3.4 in", "3.6 in", "3.1 in"]
    assert [str(each.value) for each in readings(typed("80 95e"), "metric")] == ["80 mm", "95 mm"]


def test_an_empty_reading_is_not_left_behind() -> None:
    assert typed("3.4   3.6").words == ("3.4", "3.6")
    assert typed(" ") == Typed()
    assert typed("e") == Typed(), "a mark without a number says nothing"


def test_what_is_wrong_is_said_where_it_stands_and_half_a_number_is_not_wrong_yet() -> None:
    assert wrong_of(typed("3."), "US") == {}
    assert wrong_of(typed("3. "), "US") == {0: "'3.' is no depth"}
    assert wrong_of(typed("3.4 34 3.1"), "US") == {1: "34 in is deeper than any foam in a building"}
    assert wrong_of(typed("80 800"), "metric") == {
        1: "800 mm is deeper than any foam in a building"
    }
    assert wrong_of(typed("3.4.1"), "US") == {0: "'3.4.1' is no depth"}


def test_going_back_and_typing_replaces_and_backspace_mends() -> None:
    found = typed("3.4 34 3.1 ").gone(1)
    assert found.put("2").put(".").put("9").words == ("3.4", "2.9", "3.1")
    assert found.taken_back().put(".").put("4").words == ("3.4", "3.4", "3.1")
    assert found.put("e").words == ("3.4", "34e", "3.1"), "a mark does not replace the number"
    assert found.put("e").put("e").words == ("3.4", "34", "3.1")


def test_a_reading_is_taken_out_and_the_others_close_up() -> None:
    found = typed("3.4 34 3.1 ").gone(1).taken_out()
    assert found.words == ("3.4", "3.1")
    assert found.at == 1
    emptied = typed("3.4 3.6 3.1 ").gone(1).taken_back().taken_back().taken_back()
    assert emptied.cells[1] == ""
    assert emptied.moved(1).words == ("3.4", "3.1")
    assert emptied.moved(1).at == 1


def test_backspace_at_the_end_goes_back_into_the_last_reading() -> None:
    found = typed("3.4 3.6 ").taken_back()
    assert found.at == 1
    assert found.put("5").words == ("3.4", "3.65")


def test_moving_stays_among_the_readings() -> None:
    found = typed("3.4 3.6 ")
    assert found.moved(-10).at == 0
    assert found.moved(10).at == 2
    assert found.gone(0).moved(1).at == 1
    assert found.gone(0).following().at == 1


def test_a_reading_has_an_end() -> None:
    assert typed("1234567").words == ("12345",)
