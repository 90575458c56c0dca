"""What entries about a trip change, from arrival to release, and what a release still needs."""

from __future__ import annotations

import pytest

from readiness.facts.vocabulary import Gate
from readiness.gates.release import release_gaps
from tests.builders import Asked, at, told
from tests.diary.builders import JOB, Data, after, said, words

DONE = said("done", work="wires")
DAY = "2026-05-08"
NEXT_DAY = "2026-05-09 15:00"


def on_day(kind: str, hour: str, **more: object) -> Data:
    return said(kind, f"{DAY}T{hour}:00", "Lee Fox", role="crew lead", trip="first", **more)


ARRIVED = on_day("arrived", "07:10")
SPRAYED = on_day("sprayed", "12:00", surfaces=["all"])
LAST = on_day("last-foam", "12:10")
CLEANED = on_day("cleaned", "13:00")
AIRED = on_day("ventilated", "14:00")
WHOLE = (DONE, ARRIVED, SPRAYED, LAST, CLEANED, AIRED)
RELEASE = said("release", "2026-05-09T13:00:00", "Lee Fox", role="crew lead", trip="first")


def bath(found: Asked, gate: Gate = Gate.GUN) -> str:
    return words(found.verdicts(gate, at(f"{DAY} 07:00")))["bath.outer"]


def test_the_arrival_is_the_actual_one() -> None:
    found = after(DONE, ARRIVED, as_of=f"{DAY} 08:00")
    assert told(found.outlook.known.arrivals["first"]) == f"{DAY} 07:10"
    assert found.outlook.known.arrived == {"first"}
    assert bath(found) == "ready"


def test_a_share_is_part_sprayed_until_the_rest_is_on() -> None:
    share = on_day("sprayed", "10:00", surfaces=["bath"], share="60 %")
    assert words(
        after(DONE, ARRIVED, share, as_of=f"{DAY} 11:00").verdicts(Gate.GUN, at(f"{DAY} 07:00"))
    ) == {"bath.outer": "part sprayed", "kitchen.outer": "ready"}
    assert bath(after(DONE, ARRIVED, share, SPRAYED, as_of=f"{DAY} 12:00")) == "being sprayed"


def test_last_foam_starts_the_keep_out_and_only_a_release_ends_it() -> None:
    assert bath(after(*WHOLE[:4], as_of=f"{DAY} 12:30")) == "keep-out"
    assert bath(after(*WHOLE, as_of="2026-05-12 12:30")) == "keep-out"
    assert bath(after(*WHOLE, RELEASE, as_of=NEXT_DAY)) == "passed"


def test_the_release_moves_what_waits_for_it() -> None:
    found = after(*WHOLE, RELEASE, as_of=NEXT_DAY)
    assert told(found.outlook.forecast.finish[found.site.trips["first"].release]) == (
        "2026-05-09 13:00"
    )


GAPS = [
    ((DONE,), ["nobody has noted that the rig arrived"]),
    (
        WHOLE[:3],
        [
            "no entry says when the last foam was",
            "no entry says that the crew has cleaned up since",
            "no entry says that fans have run since",
        ],
    ),
    (
        (*WHOLE[:4], AIRED),
        ["no entry says that the crew has cleaned up since"],
    ),
    (WHOLE[:5], ["no entry says that fans have run since"]),
    ((*WHOLE, on_day("ventilated", "15:00", yes=False)), ["the ventilation failed"]),
    (WHOLE, []),
    (
        (*WHOLE, on_day("last-foam", "16:00")),
        [
            "24 h since the last foam are not over",
            "no entry says that the crew has cleaned up since",
            "no entry says that fans have run since",
        ],
    ),
]


@pytest.mark.parametrize(("entries", "missing"), GAPS)
def test_a_release_needs_arrival_time_clean_up_and_fans_since_the_last_foam(
    entries: tuple[Data, ...], missing: list[str]
) -> None:
    found = after(*entries, as_of=NEXT_DAY)
    gaps = release_gaps(found.outlook, "first", at(NEXT_DAY))
    assert [gap.says for gap in gaps] == missing


def test_a_release_before_its_time_is_told_when() -> None:
    found = after(*WHOLE, as_of="2026-05-09 12:09")
    gap = release_gaps(found.outlook, "first", at("2026-05-09 12:09"))[0]
    assert gap.until is not None
    assert told(gap.until) == "2026-05-09 12:10"
    assert not release_gaps(found.outlook, "first", at("2026-05-09 12:10"))


@pytest.mark.parametrize("kind", ["last-foam", "sprayed"])
def test_foam_of_any_kind_after_the_release_starts_everything_anew(kind: str) -> None:
    more = {"surfaces": ["bath"]} if kind == "sprayed" else {}
    touch_up = said(kind, "2026-05-09T14:00:00", "Lee Fox", trip="first", **more)
    found = after(*WHOLE, RELEASE, touch_up, as_of=NEXT_DAY)
    assert bath(found) == "keep-out"
    news = found.outlook.seen.trips["first"]
    assert news.last_foam is not None
    assert told(news.last_foam) == "2026-05-09 14:00"
    assert (news.released, news.cleaned, news.ventilated) == (None, None, None)


def test_a_stop_is_told_even_when_all_is_sprayed() -> None:
    stop = said("stop", f"{DAY}T15:00:00", "Ida Bell", role="office", reason="no permit")
    found = after(*WHOLE, stop, as_of=f"{DAY} 16:00").verdicts(Gate.GUN, at(f"{DAY} 07:00"))
    assert found.word.value == "stopped"
    assert set(words(found).values()) == {"stopped"}


def test_damage_is_to_mend_until_it_is_sprayed_again_or_looked_at() -> None:
    hole = said("damage", "2026-05-11T09:00:00", what="cable cut in", surfaces=["bath"])
    found = after(*WHOLE, RELEASE, hole, as_of="2026-05-11 12:00")
    assert words(found.verdicts(Gate.GUN, at(f"{DAY} 07:00"))) == {
        "bath.outer": "to mend",
        "kitchen.outer": "passed",
    }
    patch = said("sprayed", "2026-05-12T09:00:00", trip="first", surfaces=["bath"])
    assert bath(after(*WHOLE, RELEASE, hole, patch, as_of="2026-05-12 12:00")) == "keep-out"
    looks = "[approvals]\nfoam-look = []\n" + JOB
    passed = said("result", "2026-05-10T09:00:00", approval="foam-look", result="passed")
    again = {**passed, "seen": "2026-05-12T09:00:00", "written": "2026-05-12T09:00:00Z"}
    assert bath(after(*WHOLE, RELEASE, passed, text=looks, as_of="2026-05-11 12:00")) == "passed"
    spoilt = (*WHOLE, RELEASE, passed, hole)
    assert bath(after(*spoilt, text=looks, as_of="2026-05-11 12:00")) == "to mend"
    assert bath(after(*spoilt, again, text=looks, as_of="2026-05-12 12:00")) == "passed"


@pytest.mark.parametrize("kind", ["sprayed", "last-foam"])
def test_where_foam_goes_on_the_rig_is_there_though_nobody_noted_it(kind: str) -> None:
    """The keep-out runs from the foam at the latest, and the release can be asked for."""
    foam = on_day(kind, "10:00", surfaces=["all"])
    found = after(DONE, foam, as_of=f"{DAY} 11:00")
    assert found.outlook.known.arrived == {"first"}
    assert told(found.outlook.known.arrivals["first"]) == f"{DAY} 10:00"
    gaps = [gap.says for gap in release_gaps(found.outlook, "first", at(NEXT_DAY))]
    assert not any("arrived" in says for says in gaps)
    noted = after(DONE, ARRIVED, foam, as_of=f"{DAY} 11:00")
    assert told(noted.outlook.known.arrivals["first"]) == f"{DAY} 07:10"
