"""Keys of one's own: chosen in the settings by id, checked before the screen opens."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click
import pytest

from readiness.cli.open import chosen_keys
from readiness.screens.asker import Asked
from readiness.screens.calls_screen import CallsScreen
from readiness.screens.key_map import KeyMapError, key_map_of
from tests.screens.driving import press
from tests.screens.picture import screen_text
from tests.screens.small_job import app_of, asker_of, near

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    (tmp_path / "readiness").mkdir()
    return tmp_path / "readiness" / "settings.toml"


def test_without_settings_nothing_is_chosen(settings: Path) -> None:
    assert not settings.exists()
    assert chosen_keys() == {}


def test_the_table_of_the_settings_is_read(settings: Path) -> None:
    settings.write_text('[keys]\nbooked-day = "z"\nscreen-calls = "f5"\n', encoding="utf-8")
    assert chosen_keys() == {"booked-day": "z", "screen-calls": "f5"}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("keys = 7\n", "keys is no table"),
        ('[keys]\nbooked-dai = "z"\n', "no command has this id; did you mean booked-day?"),
        ("[keys]\nbooked-day = 7\n", "7 is no key"),
        ('[keys]\nbooked-day = ["z"]\n', "['z'] is no key"),
        ('[keys]\nbooked-day = "zz"\n', "'zz' is no key"),
        ('[keys]\nbooked-day = "enter"\n', "enter has a meaning of its own"),
        ('[keys]\nbooked-day = "q"\n', "q is booked-day and quit on the screen job"),
        ('[keys]\ncalls-yes = "n"\n', "n is calls-yes and calls-no on the screen calls"),
    ],
)
def test_what_can_not_be_used_is_told_before_the_screen_opens(
    text: str, told: str, settings: Path
) -> None:
    settings.write_text(text, encoding="utf-8")
    with pytest.raises(click.UsageError) as refused:
        chosen_keys()
    assert told in refused.value.message
    assert str(settings) in refused.value.message


def test_all_problems_are_told_at_once() -> None:
    with pytest.raises(KeyMapError) as refused:
        key_map_of({"nonsense": "z", "booked-day": "enter", "theme": "q"})
    assert len(refused.value.problems) == 3


def test_two_that_change_places_do_not_clash() -> None:
    assert key_map_of({"quit": "t", "theme": "q"}) == {"quit": "t", "theme": "q"}


async def test_the_chosen_key_does_it_and_is_shown_everywhere() -> None:
    app = app_of(asker_of(near()), keys=key_map_of({"calls-yes": "j", "screen-calls": "f5"}))
    async with app.run_test() as pilot:
        await press(pilot, "2")
        assert len(app.screen_stack) == 1, "the old key does nothing"
        await press(pilot, "f2")
        assert "f5 calls" in screen_text(app)
        await press(pilot, "escape", "f5")
        screen = app.shown
        assert isinstance(screen, CallsScreen)
        await press(pilot, "down")
        assert "they say:  j yes  n no" in screen_text(app)
        proposing = []
        for key in ("y", "j"):
            await press(pilot, key)
            proposing.append(screen.is_proposing)
        assert proposing == [False, True]
        await press(pilot, "escape", "f1")
        assert "j              yes" in screen_text(app)


async def test_a_changed_day_key_moves_the_day() -> None:
    app = app_of(asker_of(), keys=key_map_of({"day-after": "x", "booked-day": "z"}))
    async with app.run_test() as pilot:
        await press(pilot, "x")
        assert "Tue 12 May" in screen_text(app)
        await press(pilot, "z")
        assert app.session.asked == Asked()
