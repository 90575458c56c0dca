"""The mark of each state: plain signs that stand beside the word, the same in every terminal.

Invariant: a mark is three ASCII signs and never stands without its word.
"""

from __future__ import annotations

MARKS = {
    "too early": "<..",
    "ready": "[=]",
    "on course": "[-]",
    "too late": "..>",
    "crossed": ">.<",
    "not prepared": "[~]",
    "being sprayed": "###",
    "part sprayed": "###",
    "keep-out": "###",
    "to mend": "###",
    "waiting for approval": "###",
    "passed": "###",
    "left exposed": "###",
    "reserved": "###",
    "closed in": "|||",
    "stopped": "!!!",
}


def marked(word: str) -> str:
    """Return a word of a verdict with its mark in front."""
    return f"{MARKS[word]} {word}"
