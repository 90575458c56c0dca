"""Forecast files: what is read, what is refused with its line, and what stays a gap.

Invariant: a wrong file is refused with every problem; nothing that is missing is filled in.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.exchange.forecast_rows import MOST_PROBLEMS, ForecastError
from readiness.exchange.hourly_forecast import LONGEST_HOURS, read_forecast
from readiness.foam.hours import Forecast, known_span
from readiness.job.instants import instant_of
from readiness.job.problems import JobFileError

NEW_YORK = ZoneInfo("America/New_York")
HEAD = "time,air F,humidity %\n"


def read(text: str | bytes, zone: ZoneInfo = NEW_YORK) -> Forecast:
    content = text.encode() if isinstance(text, str) else text
    return read_forecast(content, "weather.csv", zone)


def read_or_problems(text: str | bytes) -> Sequence[object]:
    try:
        return read(text).hours
    except JobFileError as error:
        return error.problems


def refusal(text: str | bytes, zone: ZoneInfo = NEW_YORK) -> str:
    with pytest.raises(ForecastError) as caught:
        read(text, zone)
    return str(caught.value)


def period(hour: int, **other: object) -> dict[str, object]:
    start = datetime(2026, 6, 9, hour, tzinfo=NEW_YORK)
    return {
        "number": hour + 1,
        "startTime": start.isoformat(),
        "endTime": (start + timedelta(hours=1)).isoformat(),
        "temperature": 60,
        "temperatureUnit": "F",
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 5},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 10.0},
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 70},
        "windSpeed": "5 to 10 mph",
        "windDirection": "NW",
        "shortForecast": "Sunny",
    } | other


def service(*periods: dict[str, object]) -> str:
    return json.dumps({"type": "Feature", "properties": {"periods": list(periods)}})


def test_hours_without_a_zone_are_those_of_the_site() -> None:
    forecast = read(HEAD + "2026-06-09T07:00,59,64\n2026-06-09 08:00,62,60\n")
    first, second = forecast.hours
    assert first.at == instant_of(datetime(2026, 6, 9, 7, tzinfo=NEW_YORK))
    assert first.air_c == pytest.approx(15)
    assert first.humidity_percent == 64
    assert second.at - first.at == 60
    assert forecast.ends == second.at + 60
    assert forecast.gaps == ()


@pytest.mark.parametrize(
    ("head", "line"),
    [
        ("time,air F,humidity %", "2026-06-09T07:00,68,50"),
        ("time,air C,humidity %", "2026-06-09T07:00,20,50"),
        ("time;air °C;humidity %", "2026-06-09T07:00;20;50"),
        ("time\tair (°F)\thumidity (%)", "2026-06-09T07:00\t68\t50"),
        ("time UTC,air C,humidity %", "2026-06-09T11:00,20,50"),
        ("time,air C,humidity %", "2026-06-09T11:00Z,20,50"),
        ("time,air C,humidity %", "2026-06-09T07:00-04:00,20,50"),
        ("time America/New_York,air C,humidity %", "2026-06-09T07:00,20,50"),
        ("humidity %,air C,time", "50,20,2026-06-09T07:00"),
        ("time,air C,dew point C", "2026-06-09T07:00,20,9.27"),
        ("time,air F,dew point F", "2026-06-09T07:00,68,48.69"),
    ],
)
def test_the_same_hour_in_every_way_of_writing_it(head: str, line: str) -> None:
    (hour,) = read(f"\ufeff# a remark\n\n{head}\n{line}\n").hours
    assert hour.at == instant_of(datetime(2026, 6, 9, 11, tzinfo=UTC))
    assert hour.air_c == pytest.approx(20)
    assert hour.humidity_percent == pytest.approx(50, abs=0.1)


@pytest.mark.parametrize(("unit", "written"), [("mph", "10"), ("km/h", "16.0934"), ("m/s", "4.47")])
def test_wind_is_read_in_its_unit(unit: str, written: str) -> None:
    text = f"time,air F,humidity %,wind {unit},rain %\n2026-06-09T07:00,59,64,{written},40\n"
    (hour,) = read(text).hours
    assert hour.wind_mph == pytest.approx(10, abs=0.01)
    assert hour.rain_percent == 40


WRONG_LINES = {
    "no humidity at all": ("2026-06-09T08:00,60,0", "0 %: no humidity of air"),
    "more than all": ("2026-06-09T08:00,60,140", "140 %: no humidity of air"),
    "below nothing": ("2026-06-09T08:00,60,-5", "-5 %: no humidity"),
    "an oven": ("2026-06-09T08:00,451,60", "no air on a site; is the unit right?"),
    "the same hour": ("2026-06-09T07:00,60,60", "this hour is there twice"),
    "an earlier hour": ("2026-06-09T05:00,60,60", "earlier than the one before"),
    "a unit in the value": ("2026-06-09T08:00,60 C,60", "the header says the unit, F"),
    "a comma": ('2026-06-09T08:00,"60,5",60', "'60,5': no number"),
    "not a number": ("2026-06-09T08:00,nan,60", "no number"),
    "infinite": ("2026-06-09T08:00,inf,60", "no number"),
    "a word": ("2026-06-09T08:00,warm,60", "'warm': no number"),
    "too few values": ("2026-06-09T08:00,60", "2 values"),
    "too many values": ("2026-06-09T08:00,60,60,4", "4 values"),
    "half past": ("2026-06-09T08:30,60,60", "no full hour"),
    "a day": ("2026-06-09,60,60", "the hour is missing"),
    "another way of dates": ("06/09/2026 08:00,60,60", "no time of a forecast"),
    "a day that isn't": ("2026-02-30T08:00,60,60", "no time of a forecast"),
    "another place": ("2026-06-09T08:00-07:00,60,60", "is it the forecast of another place?"),
}


@pytest.mark.parametrize("case", WRONG_LINES)
def test_a_wrong_line_is_refused_with_its_number(case: str) -> None:
    line, told = WRONG_LINES[case]
    message = refusal(f"{HEAD}2026-06-09T07:00,59,64\n{line}\n")
    assert told in message
    assert message.startswith("weather.csv:3: ")


WRONG_HEADS = {
    "no unit": ("time,air,humidity %", "did you mean air F?"),
    "two units": ("time,air F,air C,humidity %", "are the units mixed?"),
    "air and dew point in two units": ("time,air F,dew point C", "are in two units"),
    "a column nobody knows": ("time,air F,humidity %,mood", "'mood': no column"),
    "no humidity": ("time,air F", "humidity is missing"),
    "no time": ("air F,humidity %", "time or air is missing"),
    "the zone of another place": ("time America/Denver,air F,humidity %", "another place"),
    "no header": ("2026-06-09T07:00,59,64", "no column of a forecast"),
}


@pytest.mark.parametrize("case", WRONG_HEADS)
def test_a_wrong_header_is_refused(case: str) -> None:
    head, told = WRONG_HEADS[case]
    assert told in refusal(f"{head}\n2026-06-09T07:00,59,64\n")


@pytest.mark.parametrize(
    "content",
    [b"", b"\n\n# nothing\n", b"\xff\xfe\x00", b"\x89PNG\r\n", HEAD.encode(), b"{", b"[1]", b"{}"],
)
def test_what_is_no_forecast_is_refused(content: bytes) -> None:
    assert refusal(content).startswith("weather.csv")


def test_deeply_nested_json_is_refused() -> None:
    assert "weather.csv" in refusal('{"properties":' + "[" * 100_000)


def test_every_problem_is_told_up_to_a_point() -> None:
    lines = [f"2026-06-{day:02}T08:00,600,60" for day in range(1, 31)]
    message = refusal(HEAD + "\n".join(lines))
    assert message.count("no air on a site") == MOST_PROBLEMS
    assert f"and {30 - MOST_PROBLEMS} more problems" in message


def test_hours_that_are_missing_stay_a_gap() -> None:
    forecast = read(
        HEAD + "2026-06-09T07:00,59,64\n2026-06-09T08:00,60,\n2026-06-09T09:00,,60\n"
        "2026-06-09T10:00,62,60\n2026-06-09T13:00,66,55\n"
    )
    assert len(forecast.hours) == 3
    told = [(gap.until - gap.first, gap.why) for gap in forecast.gaps]
    assert told == [
        (60, "no humidity in the file"),
        (60, "no temperature in the file"),
        (120, "not in the file"),
    ]
    first = forecast.hours[0].at
    assert known_span(forecast, first + 15) == (first + 15, first + 60)
    assert known_span(forecast, first + 90) == (first + 180, first + 240)
    assert known_span(forecast, forecast.ends) is None


def test_a_file_without_one_whole_hour_is_refused() -> None:
    assert "no hour with temperature and humidity" in refusal(HEAD + "2026-06-09T07:00,59,\n")


def test_a_year_of_data_is_no_forecast() -> None:
    start = datetime(2026, 1, 1, tzinfo=UTC)
    lines = [f"{start + timedelta(hours=n):%Y-%m-%dT%H:%M}Z,50,60" for n in range(8760)]
    message = refusal(HEAD + "\n".join(lines))
    assert "8760 hours, or 365 days" in message
    assert len(read(HEAD + "\n".join(lines[:LONGEST_HOURS])).hours) == LONGEST_HOURS


def test_the_hour_that_comes_twice_in_autumn_is_two_hours() -> None:
    """2026-11-01 01:00 is there twice in New York; a third one is a mistake."""
    lines = [f"2026-11-01T{hour},40,60" for hour in ("00:00", "01:00", "01:00", "02:00")]
    forecast = read(HEAD + "\n".join(lines))
    assert [b.at - a.at for a, b in zip(forecast.hours, forecast.hours[1:], strict=False)] == [
        60,
        60,
        60,
    ]
    lines.insert(1, lines[1])
    assert "twice" in refusal(HEAD + "\n".join(lines))


def test_the_hour_that_summer_time_skips_is_refused() -> None:
    assert "skipped by summer time" in refusal(HEAD + "2026-03-08T02:00,40,60\n")


def test_a_dew_point_above_the_air_is_refused_but_for_rounding() -> None:
    head = "time,air F,dew point F\n"
    (hour,) = read(f"{head}2026-06-09T07:00,59,60\n").hours
    assert hour.humidity_percent == pytest.approx(100)
    assert "lies above the air" in refusal(f"{head}2026-06-09T07:00,59,65\n")


def test_humidity_and_dew_point_must_be_of_one_air() -> None:
    head = "time,air F,humidity %,dew point F\n"
    assert len(read(f"{head}2026-06-09T07:00,68,50,49\n").hours) == 1
    assert "are not of one air" in refusal(f"{head}2026-06-09T07:00,68,50,20\n")


def test_the_hourly_forecast_of_a_weather_service_is_read() -> None:
    forecast = read(service(period(7), period(8)))
    hour = forecast.hours[0]
    assert hour.at == instant_of(datetime(2026, 6, 9, 7, tzinfo=NEW_YORK))
    assert hour.air_c == pytest.approx(15.56, abs=0.01)
    assert (hour.humidity_percent, hour.wind_mph, hour.rain_percent) == (70, 10, 5)


@pytest.mark.parametrize(
    ("wind", "mph"),
    [
        ("10 mph", 10),
        ("5 to 10 mph", 10),
        ("16 km/h", 9.94),
        ({"unitCode": "wmoUnit:km_h-1", "value": 16.0934}, 10),
        ({"unitCode": "wmoUnit:m_s-1", "value": 4.4704}, 10),
        (None, None),
        ("", None),
    ],
)
def test_the_strongest_wind_of_an_hour_counts(wind: object, mph: float | None) -> None:
    (hour,) = read(service(period(7, windSpeed=wind))).hours
    assert hour.wind_mph == (None if mph is None else pytest.approx(mph, abs=0.01))


def test_a_service_may_give_degrees_as_values_with_units() -> None:
    degrees = {"unitCode": "wmoUnit:degC", "value": 15}
    (hour,) = read(service(period(7, temperature=degrees, relativeHumidity=None))).hours
    assert hour.air_c == 15
    assert hour.humidity_percent == pytest.approx(72, abs=0.5)


def test_a_null_of_a_service_is_a_gap() -> None:
    nothing = {"unitCode": "wmoUnit:percent", "value": None}
    lacking = period(8, relativeHumidity=nothing, dewpoint=None)
    forecast = read(service(period(7), lacking, period(9)))
    assert [gap.why for gap in forecast.gaps] == ["no humidity in the file"]


WRONG_PERIODS: dict[str, tuple[dict[str, object], str]] = {
    "half a day": ({"endTime": "2026-06-09T20:00-04:00"}, "the hourly forecast"),
    "an end that is none": ({"endTime": "soon"}, "endTime: no time"),
    "another place": ({"startTime": "2026-06-09T08:00-07:00"}, "another place"),
    "no start": ({"startTime": None}, "startTime: 'None': no time"),
    "Kelvin": ({"temperatureUnit": "K"}, "the unit 'K'"),
    "no unit": ({"temperatureUnit": None}, "the unit 'None'"),
    "words for numbers": ({"temperature": "60"}, "temperature: no number"),
    "truth for a number": ({"temperature": True}, "temperature: no number"),
    "too large": ({"temperature": 10**400}, "temperature: no number"),
    "an oven": ({"temperature": 451}, "no air on a site"),
    "mixed units": ({"temperature": 15, "temperatureUnit": "C"}, "in two units: C and F"),
    "no humidity of air": (
        {"relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 140}},
        "140 %: no humidity",
    ),
    "a bare humidity": ({"relativeHumidity": 70}, "relativeHumidity: no value with a unit"),
    "a strange share": ({"relativeHumidity": {"unitCode": "x:ppm", "value": 5}}, "none of a share"),
    "a storm in words": ({"windSpeed": "stormy"}, "windSpeed: no wind"),
    "a wind in knots": ({"windSpeed": {"unitCode": "wmoUnit:kt", "value": 9}}, "none of a wind"),
    "a hurricane": ({"windSpeed": "300 mph"}, "is the unit right?"),
    "too much rain": (
        {"probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 101}},
        "no share of a hundred",
    ),
    "units mixed in one hour": (
        {"dewpoint": {"unitCode": "wmoUnit:degC", "value": 50}},
        "are the units mixed?",
    ),
}


@pytest.mark.parametrize("case", WRONG_PERIODS)
def test_a_wrong_period_is_refused_with_its_place(case: str) -> None:
    change, told = WRONG_PERIODS[case]
    message = refusal(service(period(7), period(8, **change)))
    assert told in message
    assert "properties.periods" in message


def test_a_period_that_is_no_object_is_refused() -> None:
    text = json.dumps({"properties": {"periods": [5]}})
    assert "properties.periods[0]: no period" in refusal(text)


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    assert read_or_problems(content)


@given(st.text(alphabet='0123456789T:-,.FC% airhumdtwne\n{}"[]', max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    assert read_or_problems(HEAD + text)


HOURS = st.lists(
    st.tuples(st.floats(-60, 60), st.floats(0.5, 100)), min_size=1, max_size=48, unique=True
)


@given(HOURS)
def test_what_was_written_is_what_is_read(values: list[tuple[float, float]]) -> None:
    start = datetime(2026, 6, 9, tzinfo=UTC)
    lines = [
        f"{start + timedelta(hours=n):%Y-%m-%dT%H:%M}Z,{air:.6f},{humidity:.6f}"
        for n, (air, humidity) in enumerate(values)
    ]
    hours = read("time,air C,humidity %\n" + "\n".join(lines)).hours
    assert [hour.air_c for hour in hours] == pytest.approx([air for air, _ in values], abs=1e-5)
    assert [hour.humidity_percent for hour in hours] == pytest.approx(
        [humidity for _, humidity in values], abs=1e-5
    )
