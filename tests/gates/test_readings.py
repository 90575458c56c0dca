"""What the gates make of readings, and that the question about conditions makes the same of them.

Invariant: the figures are those of the tables that ship with the package.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from readiness.diary.seen import Reading, ReadingsVoided
from readiness.facts.limit_rows import Bound
from readiness.facts.loader import load_facts, load_limits
from readiness.facts.vocabulary import Gate, ReadingKind
from readiness.gates.readings import Readings
from readiness.job.origin import Origin
from readiness.questions.conditions import conditions
from tests.builders import Asked, at, real

ON = at("2026-05-08 07:00")
AS_OF = "2026-05-08 07:00"
PLACES = """
[rooms]
bath = { is = "bath", storey = "upper" }
hall = { is = "hall", storey = "lower" }
[surfaces]
bath.deck = { is = "roof deck", area = "100 sq ft" }
bath.north-wall = { is = "wall above grade", area = "100 sq ft" }
hall.outer = { is = "wall above grade", area = "100 sq ft" }
[requirements]
substrate-temperature = {}
wood-moisture = {}
above-dew-point = {}
air-humidity = {}
"""
TRIP = '[trips]\nfirst = { booked = 2026-05-08T07:00:00, lasts = "1 d" }\n'
WORD = {
    "wood": "wood moisture",
    "substrate": "substrate temperature",
    "air": "air temperature",
    "humidity": "relative humidity",
}


def read(*rows: str, more: str = "", head: str = "") -> Asked:
    """Return the job with readings written as `kind value place hour`; no place is everywhere."""
    lines = []
    for number, row in enumerate(rows):
        kind, value, unit, *rest = row.split()
        place = f'in = ["{rest[0]}"], ' if rest and ":" not in rest[0] else ""
        hour = rest[-1] if rest and ":" in rest[-1] else "06:30"
        lines.append(
            f'r{number} = {{ is = "{WORD[kind]}", value = "{value} {unit}", {place}'
            f'at = 2026-05-08T{hour}:00, by = "Ada" }}\n'
        )
    return real(head + PLACES + "[readings]\n" + "".join(lines) + more + TRIP, AS_OF)


def states(job: Asked) -> dict[str, str]:
    """Return the state of each requirement at the gun, by code and place."""
    found = job.verdicts(Gate.GUN, ON).standings
    return {
        f"{requirement.code} {requirement.place}": found[requirement.index].state.value
        for requirement in job.site.requirements
        if requirement.code in ("substrate-temperature", "wood-moisture", "above-dew-point")
    }


def test_the_gun_asks_for_the_coldest_under_each_sky_and_the_wettest_wood() -> None:
    assert states(read()) == {
        "substrate-temperature bath.deck": "unknown",
        "substrate-temperature bath.north-wall": "unknown",
        "wood-moisture bath.deck": "unknown",
        "above-dew-point site": "unknown",
    }


ALL = ("substrate 52 F bath.deck", "substrate 50 F bath.north-wall", "wood 15 % bath.deck")
AIR = ("air 60 F", "humidity 50 %")


def test_four_to_six_readings_do_for_the_whole_trip() -> None:
    assert set(states(read(*ALL, *AIR)).values()) == {"met"}
    assert conditions(read(*ALL, *AIR).case).is_yes


def test_a_deck_in_the_sun_does_not_speak_for_the_walls() -> None:
    found = states(read("substrate 70 F bath.deck"))
    assert found["substrate-temperature bath.deck"] == "met"
    assert found["substrate-temperature bath.north-wall"] == "unknown"


def test_what_is_read_on_a_warmer_storey_speaks_for_nothing_colder() -> None:
    """The lower walls come behind the upper ones, and never before them."""
    found = states(read("substrate 50 F hall.outer"))
    assert found["substrate-temperature bath.north-wall"] == "unknown"


@pytest.mark.parametrize(
    ("substrate", "state"),
    [("40 F", "met"), ("39.9 F", "open"), ("120 F", "met"), ("121 F", "open")],
)
def test_both_limits_of_the_substrate_hold_at_the_gun(substrate: str, state: str) -> None:
    found = states(read(f"substrate {substrate} bath.deck"))
    assert found["substrate-temperature bath.deck"] == state


@pytest.mark.parametrize(
    ("substrate", "state"),
    [
        # 60 F and 65 % have a dew point of 48.2 F
        ("53.3 F", "met"),
        ("53.1 F", "open"),
    ],
)
def test_the_spread_is_computed_from_three_readings(substrate: str, state: str) -> None:
    rows = [row.replace("52 F", substrate).replace("50 F", substrate) for row in ALL]
    assert states(read(*rows, "air 60 F", "humidity 65 %"))["above-dew-point site"] == state


def test_a_metric_job_asks_for_three_degrees_of_difference() -> None:
    """5 F are 2.8 C: 53.4 F is 5.2 F above the dew point, and 5.4 F are wanted."""
    rows = [row.replace("52 F", "53.4 F").replace("50 F", "53.4 F") for row in ALL]
    metric = read(*rows, "air 60 F", "humidity 65 %", head='units = "metric"\n')
    assert states(metric)["above-dew-point site"] == "open"


def test_readings_of_other_hours_give_no_spread() -> None:
    found = states(read(*ALL, "air 60 F 01:00", "humidity 50 % 06:30"))
    assert found["above-dew-point site"] == "unknown"


def test_a_colder_place_with_its_own_reading_goes_by_it() -> None:
    found = states(read(*ALL, "substrate 38 F hall.outer"))
    assert found["substrate-temperature bath.north-wall"] == "open"


def test_the_product_sheet_overrides_both_at_the_gates_and_in_the_answer() -> None:
    sheet = 'substrate-temperature = { at_least = "30 F", sheet = "Sheet 9" }'
    text = PLACES.replace("substrate-temperature = {}", sheet)
    row = 'r = { is = "substrate temperature", value = "35 F", in = ["bath.deck"], '
    job = real(f"{text}[readings]\n{row}at = 2026-05-08T06:30:00 }}\n{TRIP}", AS_OF)
    assert states(job)["substrate-temperature bath.deck"] == "met"
    limit = next(one for one in conditions(job.case).limits if one.code == "substrate-lowest")
    assert (limit.says, limit.source) == ("at least 30 F", "product sheet Sheet 9")


READINGS = [
    ("substrate 38 F bath.deck",),
    ("substrate 130 F bath.deck", "substrate 60 F bath.north-wall"),
    ("wood 18 % bath.deck",),
    ("wood 18.1 % bath.deck",),
    (*ALL, "air 60 F", "humidity 90 %"),
    (*ALL, "air 75 F", "humidity 75 %"),
    (*ALL, *AIR),
]


@pytest.mark.parametrize("rows", READINGS)
def test_the_gates_and_the_answer_about_conditions_never_differ(rows: tuple[str, ...]) -> None:
    """What is outside a limit that stops is open at the gun, and what is within is met."""
    job = read(*rows)
    found = set(states(job).values())
    stops = [
        line
        for line in conditions(job.case).readings
        if line.state == "outside" and line.measures != "relative humidity"
    ]
    assert ("open" in found) == bool(stops)


def test_the_limits_of_the_two_tables_are_the_same_figures() -> None:
    """A requirement shows the figure that the table of limits applies."""
    rows = load_facts().requirements
    for code, limit in load_limits().limits.items():
        if limit.in_force and limit.requirement and rows[limit.requirement].reading:
            row = rows[limit.requirement]
            shown = row.at_least if limit.bound is Bound.AT_LEAST else row.at_most
            assert shown in ("", limit.limit), code


@pytest.mark.parametrize("place", ["bath", "hall"])
def test_no_more_than_six_readings_are_asked_for(place: str) -> None:
    job = read(f"humidity 50 % {place}")
    assert 4 <= len(conditions(job.case).next_readings) <= 6


def voided(at_instant: int, cause: str, line: int = 1) -> ReadingsVoided:
    """Return what voids the readings of the deck, as it stands in the diary of somebody else."""
    return ReadingsVoided(("bath.deck",), at_instant, cause, Origin("diary/ada.jsonl", line))


@pytest.mark.parametrize("cause", ["rain", "power cut", "heat off"])
def test_rain_a_power_cut_and_heat_off_void_what_was_read_before(cause: str) -> None:
    job = read(*ALL, *AIR)
    site, seen = job.site, job.outlook.seen
    later = replace(seen, reading_voids=(voided(seen.as_of - 5, cause),))
    earlier = replace(seen, reading_voids=(voided(seen.as_of - 60, cause),))
    kind = ReadingKind.SUBSTRATE_TEMPERATURE
    assert Readings(site, later).latest(kind, "bath.deck") is None
    assert Readings(site, later).spread("bath.deck") is None
    assert Readings(site, later).latest(kind, "bath.north-wall") is not None
    assert Readings(site, earlier).latest(kind, "bath.deck") is not None
    (told,) = Readings(site, later).on(kind, "bath.deck")
    assert told.void == (cause, seen.as_of - 5)


@pytest.mark.parametrize("written", ["140 %", "0 %", "damp"])
def test_a_figure_that_no_site_can_have_speaks_for_nothing(written: str) -> None:
    """An older diary may hold one; it is neither a fault of ours nor a reading."""
    job = read(*ALL, *AIR)
    seen = job.outlook.seen
    odd = Reading(
        ReadingKind.RELATIVE_HUMIDITY,
        written,
        ("all",),
        seen.as_of,
        seen.readings[0].day,
        "Ada",
        Origin("diary"),
    )
    readings = Readings(job.site, replace(seen, readings=(*seen.readings, odd)))
    humidity = readings.air(ReadingKind.RELATIVE_HUMIDITY)
    assert humidity is not None
    assert humidity.figure == 50


def test_of_one_minute_what_the_same_person_read_afterwards_speaks() -> None:
    """`void rain` and the new readings come in one message; a stranger's order nobody knows."""
    job = read(*ALL, *AIR)
    seen = job.outlook.seen

    def deck(line: int, file: str = "diary/ada.jsonl") -> bool:
        again = Reading(
            ReadingKind.SUBSTRATE_TEMPERATURE,
            "52 F",
            ("bath.deck",),
            seen.as_of,
            date(2026, 5, 8),
            "Ada",
            Origin(file, line),
        )
        now = replace(
            seen,
            readings=(*seen.readings, again),
            reading_voids=(voided(seen.as_of, "rain", line=2),),
        )
        return Readings(job.site, now).latest(again.kind, "bath.deck") is not None

    assert deck(3)
    assert not deck(1)
    assert not deck(3, "diary/ben.jsonl")
