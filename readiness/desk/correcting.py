"""Which entry of a diary a new one may stand in for.

Invariant: nobody corrects another person's word; who differs writes an entry of their own, and
both are shown.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.exchange.note_listener import NoteRefused
from readiness.job.problems import nearest

if TYPE_CHECKING:
    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer
    from readiness.diary.line import Line

LAST = "last"
"""Names the newest entry of the writer's own file."""


def corrected_by(desk: Desk, writer: Writer, author: Writer, name: str) -> tuple[str, str]:
    """Return the entry that a new one of this author corrects: its name, and when it was so.

    Raises:
        NoteRefused: There is none of this name, it is another person's word, or it is corrected
            already.
    """
    history = desk.diary.history
    known = {
        f"{line.data['writer']}#{line.data['number']}": line
        for line in (history.lines if history is not None else ())
        if line.data["kind"] not in {"job-file", "sent"}
    }
    if name == LAST:
        own = [each for each, line in known.items() if line.data["writer"] == writer.file_name]
        if not own:
            message = f"{writer.name} has written nothing here yet"
            raise NoteRefused(message)
        name = max(own, key=lambda each: int(known[each].data["number"]))
    line = known.get(name)
    if line is None:
        message = f"{name!r} is no entry of this diary"
        near = nearest(name, known)
        raise NoteRefused(message, f"did you mean {near}?" if near else "entries: NAME#NUMBER")
    _check_may_correct(line, name, writer, author)
    later = next((each for each, at in known.items() if at.data.get("replaces") == name), "")
    if later:
        message = f"{name} is corrected already"
        raise NoteRefused(message, f"correct {later} instead")
    return name, str(line.data["seen"])


def _check_may_correct(line: Line, name: str, writer: Writer, author: Writer) -> None:
    if line.data["by"] == author.name or line.data["writer"] == writer.file_name:
        return
    message = f"{name} is the word of {line.data['by']}"
    raise NoteRefused(message, "write what you know as an entry of your own: both are shown")
