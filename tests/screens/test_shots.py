"""Screens at fixed sizes, as text and as the pictures of the documentation."""

from __future__ import annotations

import pytest

from readiness.pages.check_text import head_lines
from readiness.pages.columns import cut
from readiness.screens.asker import Asked
from tests.screens.refresh import SHOTS, Shot, taken
from tests.screens.small_job import asker_of

TEXTS = [shot for shot in SHOTS if shot.file.suffix == ".txt"]
DRAWN = [shot for shot in SHOTS if shot.file.suffix == ".svg"]


@pytest.mark.parametrize("shot", TEXTS, ids=lambda shot: shot.file.stem)
async def test_the_screen_is_as_it_was_looked_at(shot: Shot) -> None:
    assert await taken(shot) == shot.file.read_text(encoding="utf-8")


@pytest.mark.picture
@pytest.mark.parametrize("shot", DRAWN, ids=lambda shot: shot.file.stem)
async def test_the_pictures_of_the_documentation_show_the_screen_of_today(shot: Shot) -> None:
    """They change with the samples: python -m tests.screens.refresh, then look at them."""
    assert await taken(shot) == shot.file.read_text(encoding="utf-8")


@pytest.mark.picture
@pytest.mark.parametrize("shot", DRAWN, ids=lambda shot: shot.file.stem)
def test_a_picture_asks_for_nothing_from_outside(shot: Shot) -> None:
    text = shot.file.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
    assert "http" not in text
    assert "<circle" not in text


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_first_five_lines_are_the_five_that_matter(size: tuple[int, int]) -> None:
    """In order: verdict, what clears last, who clears it with a number, when, the next call."""
    first = await taken(Shot(TEXTS[0].file, size))
    five = first.splitlines()[:5]
    wanted = head_lines(asker_of().ask(Asked()).answer)
    assert five[0].startswith(">.< crossed: no, ")
    for shown, told in zip(five[1:], wanted[1:], strict=True):
        assert shown == cut(told, size[0])
    assert "555-0143" in five[2]
    assert "555-0143" in five[4]


async def test_no_line_is_wider_than_the_screen() -> None:
    for size in ((80, 24), (100, 24), (60, 24), (200, 60)):
        text = await taken(Shot(TEXTS[0].file, size))
        assert max(map(len, text.splitlines())) <= size[0]
