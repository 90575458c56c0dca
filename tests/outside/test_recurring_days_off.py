"""Rules for days off against the lists of days that RFC 5545 prints.

Source: RFC 5545 (September 2009), section 3.8.5.3, pages 123 to 132, examples of RRULE. Seen.

The examples have a start at nine o'clock; days off are whole days, so only their dates are taken,
and an end like 19971224T000000Z, which lies before nine o'clock of that day, is the day before.
Examples in hours and minutes are no days off; that those are refused is tested elsewhere.
"""

from __future__ import annotations

from datetime import date

import pytest

from readiness.job.days_off import DaysOff

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def listed(text: str) -> list[date]:
    """Return days written as `1997 sep 2 4 9 oct 2 1998 jan 6`; `2-11` is a run of days."""
    days: list[date] = []
    year = month = 0
    for word in text.split():
        if word in MONTHS:
            month = MONTHS.index(word) + 1
        elif len(word) == len("1997") and word.isdigit():
            year = int(word)
        else:
            first, _, last = word.partition("-")
            days += [date(year, month, day) for day in range(int(first), int(last or first) + 1)]
    return days


ENDING = [
    ("DAILY;COUNT=10", "19970902", "1997 sep 2-11"),
    ("DAILY;UNTIL=19971223", "19970902", "1997 sep 2-30 oct 1-31 nov 1-30 dec 1-23"),
    ("DAILY;INTERVAL=10;COUNT=5", "19970902", "1997 sep 2 12 22 oct 2 12"),
    (
        "YEARLY;UNTIL=20000131;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA",
        "19980101",
        "1998 jan 1-31 1999 jan 1-31 2000 jan 1-31",
    ),
    (
        "DAILY;UNTIL=20000131;BYMONTH=1",
        "19980101",
        "1998 jan 1-31 1999 jan 1-31 2000 jan 1-31",
    ),
    ("WEEKLY;COUNT=10", "19970902", "1997 sep 2 9 16 23 30 oct 7 14 21 28 nov 4"),
    (
        "WEEKLY;UNTIL=19971223",
        "19970902",
        "1997 sep 2 9 16 23 30 oct 7 14 21 28 nov 4 11 18 25 dec 2 9 16 23",
    ),
    (
        "WEEKLY;UNTIL=19971006;WKST=SU;BYDAY=TU,TH",
        "19970902",
        "1997 sep 2 4 9 11 16 18 23 25 30 oct 2",
    ),
    (
        "WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH",
        "19970902",
        "1997 sep 2 4 9 11 16 18 23 25 30 oct 2",
    ),
    (
        "WEEKLY;INTERVAL=2;UNTIL=19971223;WKST=SU;BYDAY=MO,WE,FR",
        "19970901",
        "1997 sep 1 3 5 15 17 19 29 oct 1 3 13 15 17 27 29 31 nov 10 12 14 24 26 28 dec 8 10 12 22",
    ),
    (
        "WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
        "19970902",
        "1997 sep 2 4 16 18 30 oct 2 14 16",
    ),
    (
        "MONTHLY;COUNT=10;BYDAY=1FR",
        "19970905",
        "1997 sep 5 oct 3 nov 7 dec 5 1998 jan 2 feb 6 mar 6 apr 3 may 1 jun 5",
    ),
    ("MONTHLY;UNTIL=19971223;BYDAY=1FR", "19970905", "1997 sep 5 oct 3 nov 7 dec 5"),
    (
        "MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
        "19970907",
        "1997 sep 7 28 nov 2 30 1998 jan 4 25 mar 1 29 may 3 31",
    ),
    (
        "MONTHLY;COUNT=6;BYDAY=-2MO",
        "19970922",
        "1997 sep 22 oct 20 nov 17 dec 22 1998 jan 19 feb 16",
    ),
    (
        "MONTHLY;COUNT=10;BYMONTHDAY=2,15",
        "19970902",
        "1997 sep 2 15 oct 2 15 nov 2 15 dec 2 15 1998 jan 2 15",
    ),
    (
        "MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
        "19970930",
        "1997 sep 30 oct 1 31 nov 1 30 dec 1 31 1998 jan 1 31 feb 1",
    ),
    (
        "MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15",
        "19970910",
        "1997 sep 10-15 1999 mar 10-13",
    ),
    (
        "YEARLY;COUNT=10;BYMONTH=6,7",
        "19970610",
        (
            "1997 jun 10 jul 10 1998 jun 10 jul 10 1999 jun 10 jul 10 2000 jun 10 jul 10 "
            "2001 jun 10 jul 10"
        ),
    ),
    (
        "YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3",
        "19970310",
        "1997 mar 10 1999 jan 10 feb 10 mar 10 2001 jan 10 feb 10 mar 10 2003 jan 10 feb 10 mar 10",
    ),
    (
        "YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200",
        "19970101",
        "1997 jan 1 apr 10 jul 19 2000 jan 1 apr 9 jul 18 2003 jan 1 apr 10 jul 19 2006 jan 1",
    ),
    ("MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", "19970904", "1997 sep 4 oct 7 nov 6"),
    ("WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO", "19970805", "1997 aug 5 10 19 24"),
    ("WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", "19970805", "1997 aug 5 17 19 31"),
    ("MONTHLY;BYMONTHDAY=15,30;COUNT=5", "20070115", "2007 jan 15 30 feb 15 mar 15 30"),
]

ENDLESS = [
    ("DAILY;INTERVAL=2", "19970902", "1997 sep 2 4 6 8"),
    (
        "WEEKLY;INTERVAL=2;WKST=SU",
        "19970902",
        "1997 sep 2 16 30 oct 14 28 nov 11 25 dec 9 23 1998 jan 6 20 feb 3 17",
    ),
    (
        "MONTHLY;BYMONTHDAY=-3",
        "19970928",
        "1997 sep 28 oct 29 nov 28 dec 29 1998 jan 29 feb 26",
    ),
    (
        "MONTHLY;INTERVAL=2;BYDAY=TU",
        "19970902",
        "1997 sep 2 9 16 23 30 nov 4 11 18 25 1998 jan 6 13 20 27 mar 3 10 17 24 31",
    ),
    ("YEARLY;BYDAY=20MO", "19970519", "1997 may 19 1998 may 18 1999 may 17"),
    ("YEARLY;BYWEEKNO=20;BYDAY=MO", "19970512", "1997 may 12 1998 may 11 1999 may 17"),
    (
        "YEARLY;BYMONTH=3;BYDAY=TH",
        "19970313",
        "1997 mar 13 20 27 1998 mar 5 12 19 26 1999 mar 4 11 18 25",
    ),
    (
        "YEARLY;BYDAY=TH;BYMONTH=6,7,8",
        "19970605",
        (
            "1997 jun 5 12 19 26 jul 3 10 17 24 31 aug 7 14 21 28 "
            "1998 jun 4 11 18 25 jul 2 9 16 23 30 aug 6 13 20 27 "
            "1999 jun 3 10 17 24 jul 1 8 15 22 29 aug 5 12 19 26"
        ),
    ),
    (
        "MONTHLY;BYDAY=FR;BYMONTHDAY=13",
        "19970902",
        "1998 feb 13 mar 13 nov 13 1999 aug 13 2000 oct 13",
    ),
    (
        "MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13",
        "19970913",
        "1997 sep 13 oct 11 nov 8 dec 13 1998 jan 10 feb 7 mar 7 apr 11 may 9 jun 13",
    ),
    (
        "YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8",
        "19961105",
        "1996 nov 5 2000 nov 7 2004 nov 2",
    ),
    (
        "MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2",
        "19970929",
        "1997 sep 29 oct 30 nov 27 dec 30 1998 jan 29 feb 26 mar 30",
    ),
]


@pytest.mark.parametrize(("rule", "start", "printed"), ENDING)
def test_a_rule_that_ends_gives_exactly_the_printed_days(
    rule: str, start: str, printed: str
) -> None:
    off = DaysOff.parse(f"FREQ={rule};DTSTART={start}")
    assert sorted(off.covers(date(1996, 1, 1), date(2010, 12, 31))) == listed(printed)


@pytest.mark.parametrize(("rule", "start", "printed"), ENDLESS)
def test_an_endless_rule_gives_the_printed_days_as_far_as_they_are_printed(
    rule: str, start: str, printed: str
) -> None:
    off = DaysOff.parse(f"FREQ={rule};DTSTART={start}")
    days = listed(printed)
    assert sorted(off.covers(date(1996, 1, 1), days[-1])) == days


def test_the_list_of_days_is_read_as_it_is_printed() -> None:
    assert listed("1997 sep 2-4 oct 2 1998 jan 6") == [
        date(1997, 9, 2),
        date(1997, 9, 3),
        date(1997, 9, 4),
        date(1997, 10, 2),
        date(1998, 1, 6),
    ]
