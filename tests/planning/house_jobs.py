"""House jobs made by chance: sixty to a hundred and twenty works in seven to eleven rooms.

Invariant: the same number gives the same job, and every job can be laid out.
"""

from __future__ import annotations

import random
from datetime import date, timedelta
from pathlib import Path

from readiness.desk.desk import Desk, desk_of

FIRST_DAY = date(2026, 4, 6)
SITE = (
    'time_zone = "America/New_York", country = "US", state = "OH", climate = "5A", '
    'code = "IRC 2021"'
)
VISITS = "Mon-Fri 09:00-12:00 13:00-16:00"
SHELL = (
    "foundation-drainage", "under-slab-drains", "slab", "framing", "sheathing", "framing-hardware",
    "roof-underlayment", "roof-penetrations", "roofing", "house-wrap", "windows-and-doors",
)  # fmt: skip
TRADES = ("framer", "plumber", "hvac", "electrician", "drywall", "carpenter", "painter")
HOURS = ("Mon-Fri 07:00-15:30", "Mon-Fri 07:00-12:00 12:30-16:00", "Mon-Thu 06:30-16:30")
ROOMS = (
    ("hall", "hall"), ("living", "living"), ("kitchen", "kitchen"), ("laundry", "laundry"),
    ("bath", "bath"), ("bedroom-1", "bedroom"), ("bedroom-2", "bedroom"),
    ("mechanical", "mechanical"), ("study", "bedroom"), ("bath-2", "bath"), ("den", "living"),
)  # fmt: skip


def house_text(number: int, trips: int = 1) -> str:
    """Return a job file made by chance."""
    chance = random.Random(number)
    rooms = ROOMS[: chance.randint(7, len(ROOMS))]
    lines = [
        f'name = "House {number}"',
        f'key = "house-{number}"',
        'kind = "new house"',
        f"site = {{ {SITE} }}",
        f"as_of = {FIRST_DAY}T06:30:00",
        'storeys = ["ground", "roof"]',
        f"done = [{', '.join(map(_quoted, SHELL[: chance.randint(4, len(SHELL))]))}]",
        "[rooms]",
    ]
    for name, kind in rooms:
        area = chance.randint(60, 380)
        lines.append(
            f'{name} = {{ is = "{kind}", storey = "ground", floor_area = "{area} sq ft" }}'
        )
    lines.append('attic = { is = "attic", storey = "roof", floor_area = "900 sq ft" }')
    lines.append("[surfaces]")
    surfaces = [*(f"{name}.outer" for name, _ in rooms), "attic.deck"]
    for surface in surfaces:
        kind = "roof deck" if surface == "attic.deck" else "wall above grade"
        lines.append(
            f'{surface} = {{ is = "{kind}", area = "{chance.randint(50, 250)} sq ft net", '
            'cavity = "9.25 in" }'
        )
    lines.append("[trades]")
    lines.append('spray = { hours = "Mon-Fri 07:00-17:00" }')
    for trade in TRADES:
        crews = chance.choice((1, 1, 1, 2))
        lines.append(f'{trade} = {{ hours = "{chance.choice(HOURS)}", crews = {crews} }}')
    lines += [
        "[offices]",
        f'office = {{ visits = "{VISITS}", notice = "{chance.randint(1, 3)} d" }}',
        "[work]",
        *_works(chance, [name for name, _ in rooms]),
        "[trips]",
    ]
    if trips == 1:
        lines.append('main = { surfaces = "all", lasts = "1 d", keep_out = "24 h elapsed" }')
    else:
        early = ", ".join(map(_quoted, surfaces[:2]))
        lines.append(
            f'early = {{ surfaces = [{early}], lasts = "4 h", keep_out = "24 h elapsed" }}'
        )
        rest = ", ".join(map(_quoted, surfaces[2:]))
        lines.append(f'rest = {{ surfaces = [{rest}], lasts = "1 d", keep_out = "24 h elapsed" }}')
    return "\n".join(lines) + "\n"


def _works(chance: random.Random, rooms: list[str]) -> list[str]:
    """Return the lines of works beside the usual ones; some have a date already."""
    lines = ["alarm-contacts = false", "central-vacuum = false"]
    wanted = chance.randint(0, 50)
    for index in range(wanted):
        places = chance.sample(rooms, chance.randint(1, 2))
        order = chance.choice(("before", "after", "free"))
        lines.append(
            f'extra-{index} = {{ title = "Extra {index}", trade = "{chance.choice(TRADES)}", '
            f'in = [{", ".join(map(_quoted, places))}], order = "{order}", '
            f'takes = "{chance.randint(1, 8)} h" }}'
        )
    for name in chance.sample(("tub", "furnace", "soffits", "water-heater"), 2):
        day = FIRST_DAY + timedelta(days=7 * chance.randint(7, 9))
        lines.append(f"{name} = {{ booked = {day} }}")
    return lines


def _quoted(text: str) -> str:
    return f'"{text}"'


def house(number: int, trips: int = 1) -> Desk:
    """Return the desk of a job made by chance."""
    return desk_of(house_text(number, trips), Path("/nowhere/job.toml"))
