"""The tables of keys and screens: one letter each, of its own name, and their pages."""

from __future__ import annotations

import pytest

from readiness.screens.actions import keys_page
from readiness.screens.app import JobApp
from readiness.screens.asker import Asked
from readiness.screens.job_screen import JobScreen
from readiness.screens.screen_table import SCREENS, ScreenRow
from tests.screens.refresh import (
    GOLDEN,
    KEYS_PAGE,
    SCREENS_PAGE,
    SHOTS,
    SIZES,
    picture_file,
    screens_page,
)
from tests.screens.small_job import app_of, asker_of

MOST_AT_FOOT = 7


@pytest.mark.parametrize("row", SCREENS, ids=lambda row: row.id)
def test_on_one_screen_no_two_keys_and_no_two_ids_are_alike(row: ScreenRow) -> None:
    acts = row.kind.ACTS
    assert len({act.key for act in acts}) == len(acts)
    assert len({act.id for act in acts}) == len(acts)


def test_an_id_means_the_same_on_every_screen() -> None:
    meant: dict[str, tuple[str, str]] = {}
    for row in SCREENS:
        for act in row.kind.ACTS:
            assert meant.setdefault(act.id, (act.key, act.action)) == (act.key, act.action)


def test_every_digit_opens_one_screen() -> None:
    """Ten fit: 1 to 9, then 0."""
    keys = [row.key for row in SCREENS]
    assert keys == [key for key in "1234567890" if key in keys]
    assert len({row.id for row in SCREENS}) == len(SCREENS)
    assert all(row.id == row.kind.ID for row in SCREENS)


def test_a_letter_is_the_first_of_its_name_on_the_first_screen() -> None:
    letters = [act for act in JobScreen.ACTS if len(act.key) == 1 and act.key.isalpha()]
    assert letters
    assert all(act.name.startswith(act.key) for act in letters)


@pytest.mark.parametrize("row", SCREENS, ids=lambda row: row.id)
def test_a_letter_is_one_of_its_name(row: ScreenRow) -> None:
    letters = [act for act in row.kind.ACTS if len(act.key) == 1 and act.key.isalpha()]
    assert letters
    assert [act.id for act in letters if act.key not in act.name] == []


@pytest.mark.parametrize("row", SCREENS, ids=lambda row: row.id)
def test_the_foot_has_at_most_seven(row: ScreenRow) -> None:
    """The two keys of the day stand there as one."""
    at_foot = {act.id.partition("-")[0] for act in row.kind.ACTS if act.at_foot}
    assert 0 < len(at_foot) <= MOST_AT_FOOT


def test_the_page_of_keys_lists_what_there_is() -> None:
    """Made anew by: python -m tests.screens.refresh."""
    assert KEYS_PAGE.read_text(encoding="utf-8") == keys_page()


def test_the_page_of_screens_shows_what_there_is() -> None:
    """Made anew by: python -m tests.screens.refresh."""
    assert SCREENS_PAGE.read_text(encoding="utf-8") == screens_page()


@pytest.mark.parametrize("row", SCREENS, ids=lambda row: row.id)
def test_every_screen_was_looked_at_as_text_and_as_picture(row: ScreenRow) -> None:
    files = {shot.file for shot in SHOTS}
    for size in SIZES:
        assert picture_file(row.id, size) in files
        assert GOLDEN / f"{row.id}-{size[0]}x{size[1]}.txt" in files


@pytest.mark.parametrize("row", SCREENS, ids=lambda row: row.id)
def test_every_id_is_a_binding(row: ScreenRow) -> None:
    ids = [getattr(binding, "id", None) for binding in row.kind.BINDINGS]
    assert ids == [act.id for act in row.kind.ACTS]


@pytest.mark.parametrize("row", SCREENS, ids=lambda row: row.id)
def test_every_action_is_there(row: ScreenRow) -> None:
    for act in row.kind.ACTS:
        name = act.action.removeprefix("app.").partition("(")[0]
        owner = JobApp if act.action.startswith("app.") else row.kind
        assert hasattr(owner, f"action_{name}"), act.id


async def test_a_key_map_changes_a_key_by_its_id() -> None:
    app = app_of(asker_of())
    app.set_keymap({"booked-day": "z"})
    async with app.run_test() as pilot:
        await pilot.press("right", "z")
        await app.workers.wait_for_complete()
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, JobScreen)
        assert screen.asked == Asked()


async def test_the_list_of_commands_holds_every_key() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await pilot.pause()
        titles = [command.title for command in app.get_system_commands(app.screen)]
    assert titles == [act.name for act in JobScreen.ACTS]
