"""The texts for the trades, each under the number it goes to.

Invariant: the lines below a head are pasted as they are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.moments import told

if TYPE_CHECKING:
    from readiness.questions.texts import Text, TextsAnswer
    from readiness.telling.teller import Who

HEAD = "# Text for "


def texts_text(answer: TextsAnswer) -> str:
    """Return all texts under each other."""
    lines = [f"{answer.job}: as of {told(answer.as_of)} ({answer.time_zone})"]
    for text in answer.texts:
        lines += ["", *_with_head(text)]
    if answer.without:
        names = ", ".join(who.name for who in answer.without)
        lines += ["", f"no text, because nothing has an agreed or booked date: {names}"]
    return "\n".join(lines) + "\n"


def text_files(answer: TextsAnswer) -> dict[str, bytes]:
    """Return one file per trade."""
    return {
        f"{text.who.id}.txt": ("\n".join(_with_head(text)) + "\n").encode() for text in answer.texts
    }


def is_ours(head: bytes) -> bool:
    """Say by its beginning whether a file was written here."""
    return head.startswith(HEAD.encode())


def _with_head(text: Text) -> tuple[str, ...]:
    return (f"{HEAD}{_named(text.who)}", *text.lines)


def _named(who: Who) -> str:
    return f"{who.name}, {who.phone or 'no phone written'}"
