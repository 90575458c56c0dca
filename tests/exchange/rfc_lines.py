"""A strict reader of calendar files, sharing no code with the writer or with any library.

It knows only what we write and refuses everything else, so that leniency of other readers hides
nothing. Its rules are those of RFC 5545 (sections 3.1, 3.2.19, 3.3.5, 3.3.11, 3.6, 3.6.1, 3.6.5,
3.8.2.2) and RFC 7986 (5.3, 5.7).

Invariant: whatever is wrong is told; a file without a complaint keeps every rule.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

LONGEST_LINE_OCTETS = 75
TEXTS = {"SUMMARY", "DESCRIPTION", "LOCATION", "NAME", "X-WR-CALNAME", "TZNAME"}
ONCE = {
    "VCALENDAR": {"PRODID", "VERSION", "REFRESH-INTERVAL", "X-PUBLISHED-TTL"},
    "VEVENT": {
        "UID",
        "DTSTAMP",
        "DTSTART",
        "DTEND",
        "SUMMARY",
        "DESCRIPTION",
        "LOCATION",
        "STATUS",
        "TRANSP",
        "SEQUENCE",
        "LAST-MODIFIED",
        "CATEGORIES",
        "X-MICROSOFT-CDO-BUSYSTATUS",
    },
    "VTIMEZONE": {"TZID"},
    "STANDARD": {"DTSTART", "TZOFFSETFROM", "TZOFFSETTO", "TZNAME"},
    "DAYLIGHT": {"DTSTART", "TZOFFSETFROM", "TZOFFSETTO", "TZNAME"},
}
MANY = {"RELATED-TO"}
RELATIONS = {"FINISHTOSTART", "STARTTOSTART", "FINISHTOFINISH", "STARTTOFINISH"}
MAYBE = {
    "VCALENDAR": {"NAME", "X-WR-CALNAME"},
    "STANDARD": {"RRULE"},
    "DAYLIGHT": {"RRULE"},
}
INSIDE = {
    "": {"VCALENDAR"},
    "VCALENDAR": {"VEVENT", "VTIMEZONE"},
    "VTIMEZONE": {"STANDARD", "DAYLIGHT"},
}
WORDS = {
    "STATUS": {"CONFIRMED", "TENTATIVE", "CANCELLED"},
    "TRANSP": {"OPAQUE", "TRANSPARENT"},
    "X-MICROSOFT-CDO-BUSYSTATUS": {"FREE", "TENTATIVE", "BUSY"},
}
_LINE = re.compile(
    r'(?P<name>[A-Z0-9-]+)(?P<parameters>(?:;[A-Z-]+=(?:"[^"]*"|[^";:,]*))*):(?P<value>.*)',
    re.DOTALL,
)
_ESCAPED = re.compile(r"(?:[^\\;,]|\\[\\;,nN])*")
_UID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_LOCAL = re.compile(r"[0-9]{8}T[0-9]{6}")
_RULE = re.compile(
    r"FREQ=YEARLY(?:;BYDAY=(?:-1|[1-4])?[A-Z]{2}|;BYMONTHDAY=[0-9,]+|;BYMONTH=[0-9]{1,2}){2,3}"
)


@dataclass
class Property:
    """One content line."""

    name: str
    parameters: dict[str, str]
    value: str


@dataclass
class Component:
    """What stands between a BEGIN and its END."""

    name: str
    properties: list[Property] = field(default_factory=list)
    components: list[Component] = field(default_factory=list)

    def first(self, name: str) -> Property:
        return next(each for each in self.properties if each.name == name)


def complaints(content: bytes) -> list[str]:
    """Return everything that is wrong with a calendar file."""
    found = list(_about_bytes(content))
    if found:
        return found
    root = Component("")
    found = list(_read(content, root))
    if found:
        return found
    (calendar,) = root.components
    return [*_about_components(root), *_about_events(calendar), *_about_zones(calendar)]


def _about_bytes(content: bytes) -> Iterator[str]:
    if not content.endswith(b"\r\n"):
        yield "the last line has no end"
    lines = content.split(b"\r\n")
    for number, line in enumerate(lines, start=1):
        if len(line) > LONGEST_LINE_OCTETS:
            yield f"line {number} has {len(line)} octets"
        try:
            text = line.decode()
        except UnicodeDecodeError:
            yield f"line {number} cuts a character"
            continue
        if any((ord(sign) < 32 and sign != "\t") or ord(sign) == 127 for sign in text):
            yield f"line {number} holds a control character"
        if text == "" and number != len(lines):
            yield f"line {number} is empty"


def _read(content: bytes, root: Component) -> Iterator[str]:
    open_: list[Component] = [root]
    for line in content.decode().replace("\r\n ", "").split("\r\n")[:-1]:
        match = _LINE.fullmatch(line)
        if match is None:
            yield f"no content line: {line[:60]}"
            return
        name, value = match["name"], match["value"]
        if name == "BEGIN":
            if value not in INSIDE.get(open_[-1].name, set()):
                yield f"{value} inside {open_[-1].name or 'nothing'}"
            component = Component(value)
            open_[-1].components.append(component)
            open_.append(component)
        elif name == "END":
            if open_.pop().name != value:
                yield f"END:{value} closes another component"
                return
        else:
            pairs = (pair.split("=", 1) for pair in match["parameters"].split(";")[1:])
            parameters = {key: said.strip('"') for key, said in pairs}
            open_[-1].properties.append(Property(name, parameters, value))
    if len(open_) != 1 or len(root.components) != 1:
        yield "not one whole calendar"


def _about_components(component: Component) -> Iterator[str]:
    counts = Counter(each.name for each in component.properties)
    once, maybe = ONCE.get(component.name, set()), MAYBE.get(component.name, set())
    for name in sorted(once):
        if counts[name] != 1:
            yield f"{component.name} has {counts[name]} {name}"
    for name in sorted(set(counts) - once):
        if name in MANY and component.name == "VEVENT":
            continue
        if name not in maybe or counts[name] > 1:
            yield f"{component.name} has {counts[name]} {name}"
    for each in component.properties:
        yield from _about_property(each)
    for inner in component.components:
        yield from _about_components(inner)


def _about_property(each: Property) -> Iterator[str]:
    if each.name in TEXTS and not _ESCAPED.fullmatch(each.value):
        yield f"{each.name} is not escaped: {each.value[:60]}"
    if each.name in WORDS and each.value not in WORDS[each.name]:
        yield f"{each.name} is {each.value}"
    if each.name == "REFRESH-INTERVAL" and each.parameters != {"VALUE": "DURATION"}:
        yield "REFRESH-INTERVAL without VALUE=DURATION"
    if each.name == "SEQUENCE" and not re.fullmatch("[0-9]+", each.value):
        yield f"SEQUENCE is {each.value}"
    if each.name == "UID" and not _UID.fullmatch(each.value):
        yield f"UID is {each.value}"
    if each.name == "VERSION" and each.value != "2.0":
        yield f"VERSION is {each.value}"


def _about_events(calendar: Component) -> Iterator[str]:
    events = [each for each in calendar.components if each.name == "VEVENT"]
    zones = [each.first("TZID").value for each in calendar.components if each.name == "VTIMEZONE"]
    if not events:
        yield "no event"
    for name in _twice(zones):
        yield f"zone {name} is told more than once"
    used = set()
    for event in events:
        for name in ("DTSTAMP", "LAST-MODIFIED"):
            if not re.fullmatch(r"[0-9]{8}T[0-9]{6}Z", event.first(name).value):
                yield f"{name} is not in UTC"
        yield from _about_cancelled(event)
        for name in ("DTSTART", "DTEND"):
            used.add(event.first(name).parameters.get("TZID"))
            yield from _about_moment(event.first(name), set(zones))
        starts, ends = (moment_of(event.first(name)) for name in ("DTSTART", "DTEND"))
        if starts is None or ends is None or ends <= starts:
            yield "an event ends before it starts"
    yield from _about_ties(events)
    for uid in _twice(each.first("UID").value for each in events):
        yield f"{uid} occurs more than once"
    for name in sorted(set(zones) - used):
        yield f"zone {name} is told and not used"


def _about_ties(events: list[Component]) -> Iterator[str]:
    """Each tie stands at both ends, the earlier one pointing on (RFC 9253, sections 4 to 6)."""
    on, back = set(), set()
    for event in events:
        uid = event.first("UID").value
        for tie in (each for each in event.properties if each.name == "RELATED-TO"):
            kind, gap = tie.parameters["RELTYPE"], tie.parameters.get("GAP", "")
            if gap and not re.fullmatch(r"PT(?:[0-9]+H)?(?:[0-9]+M)?", gap):
                yield f"GAP is {gap}"
            if kind in RELATIONS:
                on.add((uid, tie.value, gap))
            elif kind == "DEPENDS-ON":
                back.add((tie.value, uid, gap))
            else:
                yield f"RELTYPE is {kind}"
    uids = {event.first("UID").value for event in events}
    if on != back:
        yield "a tie stands at one end only"
    if any(one == two or not {one, two} <= uids for one, two, _ in on):
        yield "a tie leaves the file, or joins an event to itself"


def _about_cancelled(event: Component) -> Iterator[str]:
    """Some readers show what is cancelled as it was: its title and its time must say it too."""
    status = event.first("STATUS").value
    title = event.first("SUMMARY").value
    if (status == "CANCELLED") != title.startswith("CANCELLED: "):
        yield f"{status} is called {title}"
    if status == "CANCELLED" and event.first("TRANSP").value != "TRANSPARENT":
        yield "a cancelled event takes time"


def _twice(names: Iterable[str]) -> list[str]:
    return [name for name, count in Counter(names).items() if count > 1]


def _about_moment(each: Property, zones: set[str]) -> Iterator[str]:
    zone = each.parameters.get("TZID")
    if each.value.endswith("Z"):
        if zone is not None or not _LOCAL.fullmatch(each.value[:-1]):
            yield f"{each.name} is {each.value} in {zone}"
    elif zone is None:
        yield f"{each.name} floats"
    elif zone not in zones or not _LOCAL.fullmatch(each.value):
        yield f"{each.name} is {each.value} in {zone}, which is not told"


def moment_of(each: Property) -> datetime | None:
    """Return the moment of a DTSTART or DTEND, by the zone data of this machine."""
    try:
        wall = datetime.strptime(each.value.rstrip("Z"), "%Y%m%dT%H%M%S")  # noqa: DTZ007
        zone = each.parameters.get("TZID")
        return wall.replace(tzinfo=ZoneInfo(zone) if zone else UTC).astimezone(UTC)
    except ValueError:
        return None


def _about_zones(calendar: Component) -> Iterator[str]:
    for zone in (each for each in calendar.components if each.name == "VTIMEZONE"):
        if not zone.components:
            yield "a zone without a sub-component"
        for part in zone.components:
            if part.first("DTSTART").parameters or not _LOCAL.fullmatch(
                part.first("DTSTART").value
            ):
                yield "an onset is not a plain local time"
            for name in ("TZOFFSETFROM", "TZOFFSETTO"):
                if not re.fullmatch(r"[+-](?!0000$)[0-9]{4}|\+0000", part.first(name).value):
                    yield f"{name} is {part.first(name).value}"
            for rule in (each.value for each in part.properties if each.name == "RRULE"):
                if not _RULE.fullmatch(rule):
                    yield f"rule {rule}"


def read(content: bytes) -> Component:
    """Return the calendar of a file that has no complaint."""
    root = Component("")
    assert not list(_read(content, root))
    return root.components[0]


def unescaped(value: str) -> str:
    """Return the text of a TEXT value."""
    signs = {"n": "\n", "N": "\n"}
    return re.sub(r"\\(.)", lambda match: signs.get(match[1], match[1]), value)


def offset_of(text: str) -> timedelta:
    """Return the offset that `-0500` means."""
    minutes = int(text[1:3]) * 60 + int(text[3:5])
    return timedelta(minutes=-minutes if text[0] == "-" else minutes)
