"""Which lines of a diary still count: not those that others correct or have overtaken.

Invariant: a line that is left out could have changed nothing.
"""

from __future__ import annotations

from readiness.diary.line import SPEAKS_TO_NO_GATE, SUBJECT, Line


def may_correct(line: Line, target: Line) -> bool:
    """Say whether an entry corrects another: its author does, and who typed it."""
    return bool(
        line.data["by"] == target.data["by"] or line.data["writer"] == target.data["writer"]
    )


def corrected(known: list[Line]) -> set[int]:
    """Return the lines, by identity, that others among them correct."""
    correcting = [line for line in known if line.data.get("replaces")]
    if not correcting:
        return set()
    by_name: dict[str, list[Line]] = {}
    for line in known:
        by_name.setdefault(f"{line.data['writer']}#{line.data['number']}", []).append(line)
    return {
        id(target)
        for line in correcting
        for target in by_name.get(str(line.data["replaces"]), ())
        if target is not line and may_correct(line, target)
    }


def still_counting(known: list[Line], corrected: set[int], *, for_gates: bool) -> list[Line]:
    """Return the lines that can still matter, oldest first.

    Of several about one thing the newest counts; others of the same day stay if somebody else
    wrote them, for then the two may be contested.
    """
    newest: dict[tuple[object, ...], str] = {}
    authors: dict[tuple[object, ...], set[str]] = {}
    kept: list[Line] = []
    for line in reversed(known):
        data = line.data
        kind = data["kind"]
        if corrected and id(line) in corrected:
            continue
        if for_gates and kind in SPEAKS_TO_NO_GATE:
            continue
        fields = SUBJECT.get(kind)
        if fields is not None:
            subject = (kind, *(str(data.get(name, "")) for name in fields))
            day = str(data["seen"])[:10]
            if subject not in newest:
                newest[subject] = day
                authors[subject] = {str(data["by"])}
            elif newest[subject] != day or data["by"] in authors[subject]:
                continue
            else:
                authors[subject].add(str(data["by"]))
        kept.append(line)
    kept.reverse()
    return kept
