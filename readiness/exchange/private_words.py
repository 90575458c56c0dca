"""Tells by its words what must not leave a job: health, door codes, prices.

People write such things where there is room for words, marked private or not. A sentence that only
looks like one stays at home too: the loss is a call, and the other way it can't be taken back.

Invariant: whatever is said about a person's health, a way through a door or money is recognized by
at least one word here, in words that people on a site use.
"""

from __future__ import annotations

import re

_WORDS = re.compile(
    r"""
    [$€£¥]\s*[0-9] | [0-9]\s*(?:[$€£¥]|dollars?\b|bucks\b|usd\b|cad\b|eur\b)
    | \b(?:price[sd]?|pricing|cost[s]?|invoice[ds]?|paid|payment[s]?|deposit[s]?|budget|owes?|rebate
        |discount|margin)\b
    | \b(?:(?:door|gate|alarm|entry|access|garage|key|lock)[\s-]*(?:code|pin|combination)[s]?
        |lock\s?-?box|key\s?-?box|passcode[s]?|password[s]?|code\s*(?:is|:|=)?\s*\#?[0-9]{3,}\#?
        |pin\s*(?:is|:|=)?\s*[0-9]{3,}|key\s+(?:is\s+)?(?:under|behind|above|in\s+the))
    | \b(?:asthma\w*|allerg\w*|pregnan\w*|ill(?:ness)?|sick|disease\w*|diabet\w*|epilep\w*|cancer
        |doctor[s]?|hospital\w*|medic\w*|inhaler[s]?|oxygen|pacemaker|health|surgery|therap\w*
        |wheelchair|migraine\w*|sensiti[sz]ed)\b
    """,
    re.IGNORECASE | re.VERBOSE,
)


def looks_private(text: str) -> bool:
    """Say whether a text tells of health, a way through a door or money."""
    return _WORDS.search(text) is not None
