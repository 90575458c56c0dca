"""What a raw line of a calendar may say, before a reader sees it.

Invariant: a rule that passes repeats by whole days, at most as often as a calendar on a wall shows;
a date that passes is one of this or the next century, in plain digits.
"""

from __future__ import annotations

import re

MOST_PARAMETERS = 50
LONGEST_ZONE = 100
_FREQUENCIES = frozenset({"DAILY", "WEEKLY", "MONTHLY", "YEARLY"})
_INTERVAL_MOST = 400
_COUNT_MOST = 5_000
_LIST_MOST = 60
_FIRST_YEAR, _LAST_YEAR = 1970, 2100
_DATED = frozenset({"DTSTART", "DTEND", "DUE", "RECURRENCE-ID", "RDATE", "EXDATE"})
_MOMENT = re.compile(r"([0-9]{4})[0-9]{4}(?:T[0-9]{6}Z?)?")
_PERIOD = re.compile(
    r"([0-9]{4})[0-9]{4}T[0-9]{6}Z?/(?:[0-9]{8}T[0-9]{6}Z?|[+]?P[0-9TDHMSW]{1,20})"
)
_DURATION = re.compile(r"[+]?P(?=.)[0-9]{0,4}[WD]?(?:T(?:[0-9]{1,5}[HMS]){1,3})?")
_SEQUENCE = re.compile(r"[0-9]{1,9}")
_ZONE = re.compile(r';TZID=("[^"]*"|[^;:,]*)', re.IGNORECASE)
_PLAIN_RULE = re.compile(r"[A-Z0-9=;,:+-]{1,500}")
_ALLOWED = frozenset(
    {
        "FREQ",
        "INTERVAL",
        "COUNT",
        "UNTIL",
        "BYDAY",
        "BYMONTH",
        "BYMONTHDAY",
        "BYYEARDAY",
        "BYWEEKNO",
        "BYSETPOS",
        "WKST",
    }
)


def wrong_with_line(name: str, rest: str, component: str) -> str:
    """Return what is wrong with a line, or nothing.

    Args:
        name: Of the property, in capitals.
        rest: From the sign behind the name on.
        component: Directly inside the calendar, in which it stands.
    """
    parameters, value = _parted(rest)
    if parameters.count(";") > MOST_PARAMETERS:
        return "has too many parameters"
    zone = _ZONE.search(parameters)
    if zone is not None and (wrong := _wrong_zone(zone[1].strip('"'))):
        return wrong
    if name == "TZID" and component == "VTIMEZONE":
        return _wrong_zone(value)
    if name == "EXRULE":
        return "rules that take away are not read"
    if name == "RRULE":
        return _wrong_rule(value.upper(), in_zone=component == "VTIMEZONE")
    if name == "SEQUENCE" and not _SEQUENCE.fullmatch(value):
        return "is no number"
    if name == "DURATION" and not _DURATION.fullmatch(value):
        return "is no length of time"
    if name in _DATED and component != "VTIMEZONE":
        return _wrong_dates(value)
    if name == "FREEBUSY":
        return next(("is no period" for each in value.split(",") if not _in_range(each)), "")
    return ""


def _parted(rest: str) -> tuple[str, str]:
    """Return parameters and value; a colon in quotes is none."""
    if rest.startswith(":"):
        return "", rest[1:]
    inside = False
    for index, sign in enumerate(rest):
        if sign == '"':
            inside = not inside
        elif sign == ":" and not inside:
            return rest[:index], rest[index + 1 :]
    return rest, ""


def _wrong_zone(zone: str) -> str:
    if not 0 < len(zone) <= LONGEST_ZONE or not zone.isprintable() or ".." in zone:
        return "the name of its time zone is none"
    return ""


def _wrong_dates(value: str) -> str:
    for each in value.split(","):
        match = _MOMENT.fullmatch(each) or _PERIOD.fullmatch(each)
        if match is None:
            return f"{each[:40]!r} is no date"
        if not _FIRST_YEAR <= int(match[1]) <= _LAST_YEAR:
            return f"its year {match[1]} is out of range"
    return ""


def _in_range(period: str) -> bool:
    match = _PERIOD.fullmatch(period)
    return match is not None and _FIRST_YEAR <= int(match[1]) <= _LAST_YEAR


def _wrong_rule(value: str, *, in_zone: bool) -> str:
    if not _PLAIN_RULE.fullmatch(value):
        return "is no rule"
    pairs = [pair.partition("=") for pair in value.split(";") if pair]
    parts = {key: said for key, _, said in pairs}
    if len(parts) < len(pairs) or not set(parts) <= _ALLOWED:
        other = sorted(set(parts) - _ALLOWED)
        return f"{other[0]} is not read in a rule" if other else "says something twice"
    frequency = parts.get("FREQ", "")
    if frequency not in (_FREQUENCIES if not in_zone else {"YEARLY"}):
        return f"repeats {frequency[:20] or 'at nothing'}"
    if not _is_count(parts.get("INTERVAL", "1"), 1 if in_zone else _INTERVAL_MOST):
        return "has an interval that is not read"
    if "COUNT" in parts and ("UNTIL" in parts or not _is_count(parts["COUNT"], _COUNT_MOST)):
        return "has a count that is not read"
    if "UNTIL" in parts and not _MOMENT.fullmatch(parts["UNTIL"]):
        return "ends on no date"
    if any(said.count(",") >= _LIST_MOST for said in parts.values()):
        return "has a list that is too long"
    return ""


def _is_count(text: str, most: int) -> bool:
    return text.isascii() and text.isdigit() and len(text) < 9 and 1 <= int(text) <= most  # noqa: PLR2004
