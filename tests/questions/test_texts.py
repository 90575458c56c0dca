"""Three lines a trade reads on its phone: what and by when, when to come, where and whom to ask."""

from __future__ import annotations

from readiness.questions.texts import TextsAnswer, texts
from tests.builders import AS_OF, asked, facts, work

JOB = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
site = { time_zone = "UTC", holidays = false, hours = "Mon-Fri 07:00-15:00", \
address = "3 Cedar Lane", contact = "Doyle Homes", phone = "555-0140" }

[rooms]
bath = { is = "bath" }

[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft" }

[trades]
electrician = { name = "Bao Electric", phone = "555-0141" }
spray = { name = "Pell Foam", phone = "555-0142" }
plumber = { name = "Reed Plumbing", phone = "555-0143" }
"""
CABLE = """
[work.cable]
title = "Pull cable"
trade = "electrician"
in = ["bath"]
order = "before"
takes = "2 d"
"""
TUB = """
[work.tub]
title = "Set tub"
trade = "plumber"
in = ["bath"]
order = "after"
takes = "2 h"
"""
TRIP = """
[trips]
first = { agreed = 2026-05-11T07:00:00, lasts = "1 d" }
"""
OUT = "from Mon 11 May 07:00 until released, not before Tue 12 May 15:00, as of Mon 4 May 06:30."


def told(text: str, as_of: str = AS_OF) -> TextsAnswer:
    return texts(asked(JOB + text, as_of).case)


def lines(answer: TextsAnswer, trade: str) -> tuple[str, ...]:
    return next((text.lines for text in answer.texts if text.who.id == trade), ())


def test_work_before_the_foam_begins_with_its_deadline() -> None:
    answer = told(CABLE + "agreed = 2026-05-06" + TRIP)
    assert lines(answer, "electrician") == (
        "Finish by Mon 11 May 07:00: Pull cable",
        "Come Wed 6 May 07:00 to Thu 7 May.",
        "At 3 Cedar Lane: Bath. Ask Doyle Homes, 555-0140",
        f"Out {OUT}",
    )


def test_work_after_the_foam_waits_for_the_release_not_for_a_clock() -> None:
    answer = told(TUB + "agreed = 2026-05-18" + TRIP)
    first, second, *_ = lines(answer, "plumber")
    assert first == "Only after the release: Set tub"
    assert second == "Come Mon 18 May 07:00."


def test_two_stays_are_one_text() -> None:
    light = CABLE.replace("cable", "light").replace("2 d", "2 h")
    answer = told(CABLE + "agreed = 2026-05-06" + light + "booked = 2026-05-05" + TRIP)
    first, second, *_ = lines(answer, "electrician")
    assert first == "Finish by Mon 11 May 07:00: Pull light, Pull cable"
    assert second == (
        "Come Tue 5 May 07:00 for pull light (not agreed yet: call);"
        " Wed 6 May 07:00 to Thu 7 May for pull cable."
    )


def test_days_to_choose_from_and_latest_days_are_told_as_such() -> None:
    span = told(CABLE + 'agreed = "2026-05-05 to 2026-05-06"' + TRIP)
    assert lines(span, "electrician")[1] == "Come any day from Tue 5 May to Wed 6 May."
    latest = told(CABLE + 'agreed = "by 2026-05-06"' + TRIP)
    assert lines(latest, "electrician")[1] == "Come by Wed 6 May at the latest."


def test_a_trade_without_work_is_only_told_to_stay_out() -> None:
    answer = told(TRIP)
    assert lines(answer, "plumber") == (
        f"Out {OUT}",
        "At 3 Cedar Lane. Ask Doyle Homes, 555-0140",
    )


def test_the_crew_keeps_the_others_out() -> None:
    assert lines(told(TRIP), "spray") == (
        "Spray foam",
        "Come Mon 11 May 07:00.",
        "At 3 Cedar Lane: Bath outer. Ask Doyle Homes, 555-0140",
        f"Keep all others out {OUT}",
    )


def test_a_day_on_paper_says_so_in_every_line_it_stands_in() -> None:
    answer = told(TRIP.replace("agreed", "booked"))
    assert "(not agreed yet: call)" in lines(answer, "spray")[1]
    assert "Mon 11 May 07:00 (day not agreed yet) until released" in lines(answer, "plumber")[0]


def test_forecast_dates_are_never_told() -> None:
    answer = told(CABLE)
    assert answer.texts == ()
    names = [who.name for who in answer.without]
    assert names == ["Bao Electric", "Reed Plumbing", "Pell Foam"]


def test_what_is_over_is_not_told() -> None:
    answer = told(CABLE + "agreed = 2026-05-06", "2026-05-08 06:30")
    assert answer.texts == ()


def test_a_release_that_is_overdue_has_no_hour() -> None:
    trip = TRIP.replace(" }", ", arrived = 2026-05-11T07:00:00 }")
    told_out = lines(told(trip, "2026-05-14 06:30"), "plumber")[0]
    assert told_out == (
        "Out since Mon 11 May 07:00 until released; no release yet as of Thu 14 May 06:30."
    )


def test_hot_work_carries_its_caution() -> None:
    tables = facts(
        work={
            "solder": work(
                title="Solder pipes",
                trade="plumber",
                touches=[{"order": "after"}],
                hot=True,
            )
        }
    )
    job = JOB + '[work]\nsolder = { in = ["bath"], agreed = 2026-05-18 }\n' + TRIP
    answer = texts(asked(job, tables=tables).case)
    assert lines(answer, "plumber")[-1].startswith("Hot work: bare foam burns")
