"""Every reader ends each case with the right entries, once: by subscription and by mail.

A reader keeps what it got by identity, takes a higher number, and throws an older one away, as
RFC 5546, section 2.1.5 asks; the two that keep by themselves get every file in order.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Sequence
from contextlib import ExitStack
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.exchange.rfc_lines import complaints
from tests.stories.calendar_readers import READERS, Reader
from tests.stories.calendar_story import Case, Shown, Story

CASES = (
    "agree",
    "send",
    "move",
    "confirm",
    "decline",
    "cancel",
    "agree again",
    "clock change",
    "lost diary",
    "two senders",
)
WAYS = ("subscribed", "invited")


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Story:
    return Story(tmp_path_factory.mktemp("story")).play()


def gets(case: Case, way: str) -> Sequence[Path]:
    """Return the files that come by subscription, or by mail."""
    if way == "invited":
        return case.invitations
    return () if case.feed is None else (case.feed,)


def shows(reader: Reader) -> Shown:
    """Return what stands in a calendar and was not cancelled, by date, in UTC."""
    alive = sorted(each for each in reader.holds().values() if each.status != "CANCELLED")
    return tuple(
        (f"{datetime.fromtimestamp(each.starts, UTC):%m-%d %H:%M}", each.title.partition(",")[0])
        for each in alive
    )


def wrong(reader: Reader, case: Case, way: str) -> str:
    """Return what a calendar does not hold as it should after a case; empty if all is right."""
    reader.takes(gets(case, way))
    found = shows(reader)
    if found != case.shows:
        return f"{case.name}: shows {found}, not {case.shows}"
    held = len(reader.holds())
    return "" if held == case.held else f"{case.name}: holds {held} entries, not {case.held}"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=marks) for name, (_, marks) in READERS.items()]
)
@pytest.mark.filterwarnings("ignore")
def test_every_reader_ends_each_case_with_the_right_entries_once(
    name: str, way: str, story: Story, tmp_path: Path
) -> None:
    assert tuple(case.name for case in story.cases) == CASES
    with ExitStack() as stack:
        reader = READERS[name][0](tmp_path, stack)
        assert [said for case in story.cases if (said := wrong(reader, case, way))] == []


def test_what_is_sent_in_each_case_keeps_the_rules(story: Story) -> None:
    """Judged by our strict reader; an invitation has a method, which a calendar must not have."""
    for case in story.cases:
        assert case.feed is None or complaints(case.feed.read_bytes()) == []


def test_an_old_file_that_comes_late_changes_nothing(story: Story, tmp_path: Path) -> None:
    """Whoever keeps the rules about numbers throws the first calendar away, at the end."""
    with ExitStack() as stack:
        reader = READERS["icalendar"][0](tmp_path, stack)
        for case in (*story.cases, story.cases[1]):
            reader.takes(gets(case, "subscribed"))
        assert shows(reader) == story.cases[-1].shows


def table(folder: Path) -> Iterable[str]:
    """Yield the table of readers and cases; a cell is the number of entries that stand there."""
    cases = Story(folder).play().cases
    yield f"| reader | way | {' | '.join(CASES)} |"
    yield f"|---|---|{'---|' * len(CASES)}"
    for name, (make, marks) in READERS.items():
        skipped = [mark.kwargs["reason"] for mark in marks if mark.args[0]]
        for way in WAYS:
            if skipped:
                yield f"| {name} | {way} | skipped: {skipped[0]} |"
                continue
            with ExitStack() as stack:
                reader = make(folder / name / way, stack)
                cells = [wrong(reader, case, way) or f"{len(case.shows)}" for case in cases]
            yield f"| {name} | {way} | {' | '.join(cells)} |"


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        for line in table(Path(made)):
            print(line)  # noqa: T201  the table is what it is run for
