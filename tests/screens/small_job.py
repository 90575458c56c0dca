"""A small invented job for the tests of the screen: one room is crossed, two are on course.

Invariant: its clock stands, so that every screen of it is the same every time.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from readiness.desk.desk import desk_of
from readiness.desk.statement import writer_of
from readiness.screens.app import JobApp
from readiness.screens.asker import Asked, Asker
from readiness.screens.session import Session

if TYPE_CHECKING:
    from collections.abc import Mapping

WRITER = writer_of("Ida Brand, contractor")

TEXT = """
name  = "Pear Tree Lane 3"
key   = "5c1e4f00aa"
site  = { time_zone = "America/New_York", country = "US", state = "OH", contact = "Ida Brand", \
phone = "555-0100" }
as_of = 2026-05-04T06:30:00
board = 2026-05-21

[rooms]
bath    = { is = "bath", storey = "ground", floor_area = "60 sq ft" }
kitchen = { is = "kitchen", storey = "ground", floor_area = "200 sq ft" }
loft    = { is = "attic", storey = "upper", floor_area = "120 sq ft" }

[surfaces]
bath.outer    = { is = "wall above grade", area = "64 sq ft net", cavity = "5.5 in" }
kitchen.outer = { is = "wall above grade", area = "164 sq ft net", cavity = "5.5 in" }
loft.deck     = { is = "roof deck", name = "Loft deck", area = "210 sq ft net", cavity = "9.25 in" }

[trades]
electrician = { name = "Orr Electric", phone = "555-0142" }
plumber     = { name = "Vail Plumbing", phone = "555-0143" }
spray       = { name = "Tarn Foam", phone = "555-0144" }

[work]
wiring   = { title = "Pull cable", trade = "electrician", in = ["bath", "kitchen"], \
order = "before", takes = "6 d", agreed = 2026-05-05 }
drains   = { title = "Run drains", trade = "plumber", in = ["bath"], order = "before", \
takes = "1 d" }
tub-wall = { title = "Set the tub", trade = "plumber", in = ["bath"], order = "after", \
takes = "1 d", booked = 2026-05-13 }
hood     = { title = "Hang the hood", trade = "plumber", in = ["kitchen"], order = "after", \
takes = "2 h", booked = 2026-05-12 }

[trips]
first = { agreed = 2026-05-11T07:00:00, surfaces = "all", lasts = "1 d" }
"""


def near(text: str = TEXT) -> str:
    """Return the job two days before its trip, when there is something to ask."""
    return text.replace("as_of = 2026-05-04T06:30:00", "as_of = 2026-05-09T06:30:00")


def asker_of(text: str = TEXT) -> Asker:
    """Return the asker of a job that is nowhere on disk."""
    return Asker(desk_of(text, Path("job.toml")), is_on_disk=False)


def asker_in(folder: Path, text: str = TEXT) -> Asker:
    """Return the asker of a job written into a folder."""
    from readiness.desk.desk import open_desk

    (folder / "job.toml").write_text(text, encoding="utf-8")
    return Asker(open_desk(folder))


def app_of(
    asker: Asker,
    *,
    theme: str = "night",
    hint: str = "",
    asked: Asked | None = None,
    keys: Mapping[str, str] | None = None,
) -> JobApp:
    """Return the app of an open job."""
    question = asked or Asked()
    session = Session(asker, asker.ask(question), question, hint, WRITER, keys or {})
    return JobApp(session, theme=theme)


Said = tuple[str, str]
"""Who says it, as `NAME, ROLE`, and the line as for `note`."""


def asker_after(folder: Path, text: str, notes: tuple[Said, ...]) -> Asker:
    """Return the asker of a job written into a folder, in whose diary lines were written."""
    from readiness.desk.listening import wanted_of
    from readiness.desk.proposing import proposed

    asker = asker_in(folder, text)
    for who, line in notes:
        asker.write(asker.with_desk(lambda desk: proposed(desk, wanted_of(line), writer_of(who))))  # noqa: B023  called at once
    return asker
