"""The table of keys: one letter each, of its own name, and the page that lists them."""

from __future__ import annotations

from readiness.screens.actions import ACTS, bindings, keys_page
from readiness.screens.asker import Asked
from readiness.screens.job_screen import JobScreen
from tests.screens.refresh import KEYS_PAGE
from tests.screens.small_job import app_of, asker_of

MOST_AT_FOOT = 7


def test_no_two_keys_and_no_two_ids_are_alike() -> None:
    assert len({act.key for act in ACTS}) == len(ACTS)
    assert len({act.id for act in ACTS}) == len(ACTS)


def test_a_letter_is_the_first_of_its_name() -> None:
    letters = [act for act in ACTS if len(act.key) == 1]
    assert letters
    assert all(act.name.startswith(act.key) for act in letters)


def test_the_foot_has_at_most_seven() -> None:
    """The two keys of the day stand there as one."""
    at_foot = {act.id.partition("-")[0] for act in ACTS if act.at_foot}
    assert 0 < len(at_foot) <= MOST_AT_FOOT


def test_the_page_of_keys_lists_what_there_is() -> None:
    """Made anew by: python -m tests.screens.refresh."""
    assert KEYS_PAGE.read_text(encoding="utf-8") == keys_page()


def test_every_id_is_a_binding() -> None:
    ids = [getattr(binding, "id", None) for binding in bindings()]
    assert ids == [act.id for act in ACTS]


def test_every_action_is_there() -> None:
    for act in ACTS:
        name = act.action.removeprefix("app.").partition("(")[0]
        app = app_of(asker_of())
        owner = app if act.action.startswith("app.") else JobScreen
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
    assert titles == [act.name for act in ACTS]
