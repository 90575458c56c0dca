"""Laws of the diary, over random entries of a small site.

As of a moment: the whole diary as of T is the diary cut at T, for every instant.
Nothing that is left unread matters: the entries that count tell the same as all of them together.
The order in which files are read makes no difference.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any
from unittest.mock import patch

from hypothesis import given
from hypothesis import strategies as st

from readiness.diary import counting
from readiness.diary.history import History, Line, history_of
from readiness.facts.vocabulary import Gate
from readiness.job.instants import instant_of
from tests.builders import Asked
from tests.diary.builders import JOB, folded

TEXT = (
    "[approvals]\nwiring-look = []\nfoam-look = []\n[requirements]\ndry = {}\nwood = {}\n"
    + JOB.replace('takes = "16 h"', 'takes = "16 h", approval = "wiring-look"')
    + '[obstructions]\ntub = { is = "tub", blocks = ["all"], set = 2026-05-01 }\n'
    + 'pile = { is = "pile", blocks = ["kitchen"], set = 2026-05-01 }\n'
)
FIRST = datetime(2026, 5, 4, 6, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
PEOPLE = ("Ada Moss", "Lee Fox", "Ida Bell")

places = st.sampled_from([["all"], ["bath"], ["kitchen.outer"], ["all but bath"]])
works = st.sampled_from(["wires", "lining"])


def kind(name: str, **fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({"kind": st.just(name), **fields})


CONTENT = st.one_of(
    kind("done", work=works, places=places),
    kind("not-done", work=works, places=places),
    kind("begun", work=works, share=st.sampled_from([None, "0 %", "40 %", "100 %"])),
    kind("requested", approval=st.just("wiring-look"), surfaces=places),
    kind(
        "result",
        approval=st.sampled_from(["wiring-look", "foam-look"]),
        surfaces=places,
        result=st.sampled_from(["passed", "failed"]),
    ),
    kind("set", thing=st.sampled_from(["tub", "pile"])),
    kind("pulled", thing=st.sampled_from(["tub", "pile"])),
    kind(
        "reading",
        reading=st.just("wood moisture"),
        value=st.sampled_from(["15 %", "25 %"]),
        places=places,
    ),
    kind("readings-void", cause=st.just("rain"), places=places),
    kind("answer", requirement=st.just("dry"), value=st.sampled_from(["yes", "no"]), places=places),
    kind("prepared", requirement=st.just("dry"), places=places),
    kind(
        "dated",
        what=st.sampled_from(["wires", "lining", "first"]),
        when=st.sampled_from([None, "2026-05-11", "2026-05-12"]),
        agreed=st.booleans(),
    ),
    kind("slip", what=works, to=st.just("2026-05-13"), cause=st.just("storm")),
    kind("change", what=st.just("outlet"), surfaces=places),
    kind(
        "override",
        requirement=st.just("dry"),
        surfaces=places,
        trip=st.just("first"),
        reason=st.just("fans"),
    ),
    kind("stop", reason=st.just("wet"), places=places),
    kind("lift"),
    kind("arrived", trip=st.just("first")),
    kind("sprayed", trip=st.just("first"), surfaces=places),
    kind("last-foam", trip=st.just("first")),
    kind("cleaned", trip=st.just("first")),
    kind("ventilated", trip=st.just("first"), yes=st.booleans()),
    kind("release", trip=st.just("first")),
    kind(
        "reserved",
        trip=st.just("first"),
        surfaces=st.just(["kitchen"]),
        follow_up=st.sampled_from(["", "seal by hand"]),
        behind=st.sampled_from(["", "tub"]),
    ),
    kind("sealed", surfaces=places),
    kind("remark", text=st.just("hot")),
    kind("job-file", text=st.sampled_from(["one", "another"]), sha256=st.just("0" * 64)),
)


@st.composite
def diaries(draw: st.DrawFn) -> list[Line]:
    """Draw a diary: numbered per writer, some written late, some dates alone, some corrections."""
    lines: list[Line] = []
    count = dict.fromkeys(PEOPLE, 0)
    for content in draw(st.lists(CONTENT, min_size=1, max_size=14)):
        by = draw(st.sampled_from(PEOPLE))
        seen = FIRST + timedelta(hours=draw(st.integers(0, 96)))
        written = seen + timedelta(hours=draw(st.sampled_from([0, 0, 0, 1, 30])))
        count[by] += 1
        entry = {
            "writer": by,
            "number": count[by],
            "by": by,
            "seen": (
                seen.date().isoformat()
                if draw(st.booleans())
                else seen.replace(tzinfo=None).isoformat()
            ),
            "written": written.isoformat(),
            "how": "seen",
            "role": draw(st.sampled_from([None, "contractor", "crew lead"])),
            **content,
        }
        if count[by] > 1 and draw(st.integers(0, 4)) == 0:
            entry["replaces"] = f"{by}#{draw(st.integers(1, count[by] - 1))}"
        lines.append(Line(entry, f"diary/{by}.jsonl", count[by]))
    return lines


def known(found: History, as_of: datetime) -> Asked:
    return folded(TEXT, found, as_of.replace(tzinfo=None).isoformat())


def told(asked: Asked) -> tuple[object, ...]:
    """Return everything that a question about the job may rest on."""
    outlook = asked.outlook
    verdicts = [
        asked.verdicts(gate, instant_of(FIRST + timedelta(days=days)))
        for gate in (Gate.PROMISE, Gate.ROLL, Gate.GUN)
        for days in (0, 4, 8)
    ]
    known_without_ranks = outlook.known._replace(looks={})
    return (outlook.seen, outlook.forecast, known_without_ranks, verdicts)


moments = st.integers(0, 130).map(lambda hours: FIRST + timedelta(hours=hours))


@given(diaries(), moments)
def test_the_whole_diary_as_of_a_moment_is_the_diary_cut_at_it(
    lines: list[Line], as_of: datetime
) -> None:
    whole, _ = history_of(lines)
    cut, _ = history_of(
        each for each in lines if datetime.fromisoformat(each.data["written"]) <= as_of
    )
    assert whole.until(as_of) == cut.until(as_of)
    assert told(known(whole, as_of)) == told(known(cut, as_of))


@given(diaries())
def test_every_past_moment_of_a_diary_is_the_diary_cut_at_it(lines: list[Line]) -> None:
    """What counts, and the job file kept by then, at each moment of writing and just before it."""
    whole, _ = history_of(lines)
    written = {datetime.fromisoformat(each.data["written"]) for each in lines}
    for as_of in {moment - back for moment in written for back in (timedelta(), MINUTE)}:
        cut, _ = history_of(
            each for each in lines if datetime.fromisoformat(each.data["written"]) <= as_of
        )
        assert whole.until(as_of, for_gates=False) == cut.until(as_of, for_gates=False)
        assert whole.job_text(as_of) == cut.job_text(as_of)
        now = whole.job_text(as_of)
        assert now is None or datetime.fromisoformat(now.data["written"]) <= as_of


@given(diaries(), moments)
def test_what_is_overtaken_could_have_changed_nothing(lines: list[Line], as_of: datetime) -> None:
    """Ranks count what was read; what they order and everything that follows is the same."""
    found, _ = history_of(lines)
    reduced = known(found, as_of)
    with patch.object(counting, "SUBJECT", {}):
        whole = known(found, as_of)
    assert told(reduced)[1:] == told(whole)[1:]


@given(diaries(), st.randoms(use_true_random=False))
def test_the_order_in_which_files_are_read_makes_no_difference(
    lines: list[Line], random: Random
) -> None:
    mixed = list(lines)
    random.shuffle(mixed)
    moment = FIRST + timedelta(days=6)
    assert history_of(lines)[0].until(moment) == history_of(mixed)[0].until(moment)
