"""Turns a starter and the answers to ten questions into the text of a job file.

An invented example states everything; a job of one's own states only what was answered, and keeps
the starter's statements as comments, because nobody has seen them on that site.

Invariant: what was not answered is claimed nowhere in a job of one's own.
"""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import JobKind, RoomKind, SurfaceKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.exchange.job_answers import Firm, Room, Where
    from readiness.exchange.starter_days import Days

INVENTED = "Everything in this file is invented: firms, people, addresses, telephone numbers."

CLAIMS = frozenset({"work", "approvals", "obstructions", "answers", "readings"})
"""Tables whose lines say what somebody saw, said or promised."""

SURFACE_OF = {
    JobKind.POST_FRAME: SurfaceKind.METAL_WALL,
    JobKind.CRAWL_SPACE: SurfaceKind.CRAWL_WALL,
    JobKind.ROOF_DECK: SurfaceKind.ROOF_DECK,
    JobKind.BASEMENT: SurfaceKind.WALL_BELOW_GRADE,
}
"""What is sprayed in a room unless the room says otherwise; else an outside wall."""

SURFACE_IN = {
    RoomKind.ATTIC: SurfaceKind.ROOF_DECK,
    RoomKind.CRAWL_SPACE: SurfaceKind.CRAWL_WALL,
    RoomKind.BASEMENT: SurfaceKind.WALL_BELOW_GRADE,
}

EXAMPLE_OF_SIZES = (
    '# Say how large and deep each is, e.g. area = "120 sq ft net", cavity = "5.5 in".'
)

_WORD = {
    SurfaceKind.ROOF_DECK: "roof",
    SurfaceKind.CRAWL_WALL: "walls",
    SurfaceKind.METAL_WALL: "walls",
    SurfaceKind.WALL_ABOVE_GRADE: "walls",
    SurfaceKind.WALL_BELOW_GRADE: "walls",
}

_TABLE = re.compile(r"\[(\w+)\]")


@dataclass(frozen=True, slots=True)
class Own:
    """What somebody answered about a job of their own."""

    name: str
    where: Where
    rooms: tuple[Room, ...]
    """Empty: those of the starter."""
    contractor: Firm
    spray: Firm
    electrician: Firm
    office: Firm
    board_day: date | None


def of_kind(starter: str, kind: str) -> str:
    """Return a starter as one for a kind of job."""
    return re.sub(r'^(kind *= )"[a-z -]+"$', rf'\1"{kind}"', starter, flags=re.MULTILINE)


def example_text(starter: str, days: Days, key: str, as_of: datetime | None) -> str:
    """Return a starter as it stands, an invented job, with real days."""
    lines = [f"# {INVENTED}", "# Change what is different, and take out what is not there.", ""]
    for line in starter.splitlines():
        lines += _identity(line, key, as_of)
    return days.put_in("\n".join(lines) + "\n")


def _identity(line: str, key: str, as_of: datetime | None) -> list[str]:
    """Return a line with the key of this job, and the fixed clock below it."""
    if not line.startswith("key "):
        return [line]
    head = line.partition("=")[0]
    lines = [f'{head}= "{key}"']
    if as_of is not None:
        lines.append(f"{'as_of ':<{len(head)}}= {as_of.isoformat()}")
    return lines


def own_text(starter: str, days: Days, key: str, as_of: datetime | None, own: Own) -> str:
    """Return the job file of somebody's own job; what nobody said there stays a comment."""
    kind = str(tomllib.loads(starter).get("kind", ""))
    lines = [
        f"# {own.name}",
        "#",
        '# Lines that begin with "# " are examples of what to write; take the "# " away from those',
        "# that are so on your site, and change their names and dates.",
        *(() if own.rooms else ("# Rooms and surfaces are those of an example: put in yours.",)),
        "",
    ]
    for table, part in _parts(starter):
        if table == "":
            lines += _preamble(part, key, as_of, own)
        elif table in {"rooms", "surfaces", "groups"} and own.rooms:
            lines += _places(table, part, own.rooms, kind)
        elif table == "trades":
            lines += _trades(part, own)
        elif table == "offices":
            lines += [*_head(part), *(_firm("building", own.office) or _as_examples(_body(part)))]
        elif table in CLAIMS:
            lines += [*_head(part), *_as_examples(_body(part))]
        else:
            lines += [line.replace("agreed =", "booked =") for line in part]
    return days.put_in("\n".join(lines) + "\n")


def _parts(starter: str) -> Iterable[tuple[str, list[str]]]:
    """Yield the tables of a starter with their comments above; first what stands above all."""
    table, part, waiting = "", list[str](), list[str]()
    for line in starter.splitlines():
        header = _TABLE.fullmatch(line)
        if header:
            yield table, part
            table, part, waiting = header[1], [*waiting, line], []
        elif line.startswith("#") or not line:
            waiting.append(line)
        else:
            part += [*waiting, line]
            waiting = []
    yield table, [*part, *waiting]


def _head(part: list[str]) -> list[str]:
    """Return the lines of a table up to its header."""
    return part[: next(n for n, line in enumerate(part) if _TABLE.fullmatch(line)) + 1]


def _body(part: list[str]) -> list[str]:
    return part[len(_head(part)) :]


def _as_examples(lines: Iterable[str]) -> Iterable[str]:
    return (line if not line or line.startswith("#") else f"# {line}" for line in lines)


def _preamble(part: list[str], key: str, as_of: datetime | None, own: Own) -> list[str]:
    """Return what stands above the tables: the name, the site, the board day."""
    lines: list[str] = []
    in_done = False
    for line in part:
        word = line.partition("=")[0]
        if line.startswith("name"):
            lines.append(f"{word}= {quoted(own.name)}")
        elif line.startswith("key"):
            lines += _identity(line, key, as_of)
        elif line.startswith("site"):
            lines.append(f"{word}= {_site(own)}")
        elif line.startswith("board"):
            comment = line.partition("#")[2].strip()
            lines += [f"{word}= {own.board_day}  # {comment}"] if own.board_day else []
        elif line.startswith("storeys") and own.rooms:
            storeys = dict.fromkeys(room.storey for room in own.rooms)
            lines.append(f"{word}= [{', '.join(quoted(storey) for storey in storeys)}]")
        elif line.startswith("done") or in_done:
            in_done = not line.endswith("]")
            lines.append(f"# {line}")
        else:
            lines.append(line)
    return lines


def _site(own: Own) -> str:
    where, firm = own.where, own.contractor
    fields = {
        "time_zone": where.time_zone,
        "country": where.country,
        "state": where.state,
        "contact": firm.name,
        "phone": firm.phone,
    }
    said = ", ".join(f"{name} = {quoted(value)}" for name, value in fields.items() if value)
    return f"{{ {said} }}"


def _places(table: str, part: list[str], rooms: tuple[Room, ...], kind: str) -> list[str]:
    """Return rooms and their surfaces as they were named; groups of the starter go."""
    if table == "groups":
        return []
    if table == "rooms":
        rows = {
            room.id: f"is = {quoted(room.kind)}, name = {quoted(room.name)}, "
            f"storey = {quoted(room.storey)}"
            for room in rooms
        }
        return [*_head(part), *_table(rows)]
    usual = SURFACE_OF.get(JobKind(kind), SurfaceKind.WALL_ABOVE_GRADE)
    kinds = {room.id: SURFACE_IN.get(room.kind, usual) for room in rooms}
    rows = {f"{room}.{_WORD[is_]}": f"is = {quoted(is_)}" for room, is_ in kinds.items()}
    *comments, header = _head(part)
    return [*comments, EXAMPLE_OF_SIZES, header, *_table(rows)]


def _table(rows: Mapping[str, str]) -> list[str]:
    """Return one line per row, the signs of equality one below the other."""
    width = max(map(len, rows))
    return [f"{name:<{width}} = {{ {fields} }}" for name, fields in rows.items()]


def _trades(part: list[str], own: Own) -> list[str]:
    """Return the firms that were named; the other trades of the starter are examples."""
    named = {"contractor": own.contractor, "spray": own.spray, "electrician": own.electrician}
    lines = _head(part)
    for trade, firm in named.items():
        lines += _firm(trade, firm)
    rest = [line for line in _body(part) if line.partition("=")[0].strip() not in named]
    return [*lines, *_as_examples(rest)]


def _firm(row: str, firm: Firm) -> list[str]:
    if not firm.name:
        return []
    phone = f", phone = {quoted(firm.phone)}" if firm.phone else ""
    return [f"{row} = {{ name = {quoted(firm.name)}{phone} }}"]


def quoted(text: str) -> str:
    """Return a text as a string of TOML."""
    return json.dumps(str(text), ensure_ascii=False)
