"""Makes the pages of the usual work, approvals, requirements and obstructions from the tables.

Invariant: every row stands on its page with its source and how far that source was seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from readiness.facts.loader import (
    load_by_hand,
    load_chances,
    load_facts,
    load_foam,
    load_questions,
)
from readiness.facts.rows import UsualLink, WorkKind
from tests.docs.sheets import code, page, source_of, table

STATUS = """What stands in brackets behind a source says how far it was seen: `seen` in the \
source itself, `secondary` in a text that quotes it, `from memory` not at all.
`common practice, no source` is what people on site do and nobody has written down.
The local office, the product data sheet and licensed practice decide."""


def work() -> str:
    """Return the page of the usual work."""
    tables = load_facts()
    lines = list(
        table(
            ("id", "what", "who", "foam order", "usual time", "source"),
            (
                (
                    f"[`{name}`](#{name})",
                    kind.title,
                    kind.trade,
                    _order(kind),
                    kind.takes + (" each" if kind.each else ""),
                    source_of(kind.source, kind.status),
                )
                for name, kind in tables.work.items()
            ),
        )
    )
    for name, kind in tables.work.items():
        lines += ["", f"## {name}", "", f"{kind.title}.", kind.why, *_work_details(kind)]
    return page(
        "The usual work",
        "The kinds of work that a job has by its kind; a line of `[work]` changes one, adds one, "
        "or takes one out.\nThe usual time is for a house of 2,400 sq ft, or for each place where "
        f"it says so.\n{STATUS}",
        lines,
    )


def _order(kind: WorkKind) -> str:
    return ", ".join(dict.fromkeys(rule.order.value for rule in kind.touches)) or "free"


def _work_details(kind: WorkKind) -> Iterator[str]:
    yield ""
    for rule in kind.touches:
        on = ", ".join(one.value for one in rule.on) or "every surface"
        yield f"- Foam order `{rule.order.value}` on {on}."
    yield from _waits("Starts", kind.starts_after)
    yield from _waits("Finishes", kind.finishes_after)
    if kind.proof.value != "none":
        by = f" by `{kind.approval}`" if kind.approval else ""
        yield f"- Proof: {kind.proof.value}{by}."
    if kind.protection.value != "none":
        yield f"- While foam is sprayed it is {kind.protection.value}."
    if kind.hot:
        yield "- Hot work."
    if kind.sets:
        yield f"- Puts [`{kind.sets}`](obstructions.md) in place."
    yield f"- {_kinds(kind.usual_in)}"
    if kind.caution:
        yield f"- Caution: {kind.caution}"


def _waits(verb: str, links: Iterable[UsualLink]) -> Iterator[str]:
    for link in links:
        end = "the end" if link.end_of else "the start"
        gap = f" by {link.gap}" if link.gap else ""
        why = f": {link.why}" if link.why else ""
        yield f"- {verb} after {end} of `{link.end_of or link.start_of}`{gap}{why}."


def _kinds(kinds: Iterable[str]) -> str:
    told = ", ".join(str(kind) for kind in kinds)
    return f"Usual in: {told}." if told else "Only in a job that asks for it."


def approvals() -> str:
    """Return the page of the usual approvals and of local rules."""
    tables = load_facts()
    lines = list(
        table(
            ("id", "what", "office", "notice", "after", "why", "source"),
            (
                (
                    f"`{name}`",
                    kind.title,
                    kind.office,
                    kind.notice,
                    code(kind.after),
                    kind.why,
                    source_of(kind.source, kind.status),
                )
                for name, kind in tables.approvals.items()
            ),
        )
    )
    lines += ["", "## Local rules", "", "A job switches them on with `rules`.", ""]
    lines += table(
        ("id", "what", "why", "source"),
        (
            (f"`{name}`", rule.title, rule.why, source_of(rule.source, rule.status))
            for name, rule in tables.rules.items()
        ),
    )
    return page(
        "Approvals",
        "What offices look at, before the foam hides it and before board hides the foam.\n"
        f"Which looks are asked for, and in which order, is for the office to say.\n{STATUS}",
        lines,
    )


def requirements() -> str:
    """Return the page of the usual requirements and of the questions that ask for them."""
    tables = load_facts()
    lines = list(
        table(
            ("id", "what must be so", "first due at", "effect", "may be waived by", "source"),
            (
                (
                    f"`{name}`",
                    kind.title,
                    kind.due.value,
                    kind.effect.value,
                    "nobody" if kind.binding else str(kind.override.value if kind.override else ""),
                    source_of(kind.source, kind.status),
                )
                for name, kind in tables.requirements.items()
            ),
        )
    )
    lines += ["", "## What is asked", ""]
    lines += table(
        ("id", "question; yes is good", "who clears it", "limit", "counts for", "why"),
        (
            (
                f"`{name}`",
                kind.question,
                kind.clears,
                _limit(kind.at_least, kind.at_most),
                kind.fresh_for,
                kind.why + (f" Caution: {kind.caution}" if kind.caution else ""),
            )
            for name, kind in tables.requirements.items()
        ),
    )
    lines += ["", "## When it is asked", ""]
    lines += table(
        ("id", "question", "how long before the arrival", "of"),
        ((f"`{n}`", k.title, ", ".join(k.ask), k.whom) for n, k in load_questions().items()),
    )
    return page(
        "Requirements",
        "What must be so and takes no time of its own: what takes time is [work](work.md).\n"
        "A line of `[requirements]` changes one or takes it out, unless nobody may waive it.\n"
        f"{STATUS}",
        lines,
    )


def _limit(least: str, most: str) -> str:
    return " and ".join(
        part
        for part in (f"at least {least}" if least else "", f"at most {most}" if most else "")
        if part
    )


def obstructions() -> str:
    """Return the page of the things in the way."""
    lines = list(
        table(
            ("id", "what", "fixed", "free depth", "who pulls it", "what that entails", "source"),
            (
                (
                    f"`{name}`",
                    kind.title,
                    "fixed" if kind.fixed else "loose",
                    kind.clearance,
                    f"{kind.pull_trade}, {kind.pull_takes}",
                    "; ".join(
                        [
                            *kind.entails,
                            *(["only a licensed trade may do it"] if kind.licensed else []),
                            *([f"else: {kind.instead}"] if kind.instead else []),
                            *(["its bay may be sealed by hand"] if kind.bay_by_hand else []),
                            *([f"caution: {kind.caution}"] if kind.caution else []),
                        ]
                    ),
                    source_of(kind.source, kind.status),
                )
                for name, kind in load_facts().obstructions.items()
            ),
        )
    )
    lines += ["", "## Sealing by hand", ""]
    lines += table(
        ("id", "with what", "up to", "price in `[costs]`", "who", "what that entails", "source"),
        (
            (
                f"`{name}`",
                method.title,
                "; ".join(
                    [
                        *(f"{kind.value} {area}" for kind, area in method.on.items()),
                        *([f"{method.most_foam} of foam"] if method.most_foam else []),
                    ]
                ),
                f"`{method.price}`, else `seal`",
                method.done_by,
                "; ".join([*method.entails, f"caution: {method.caution}"]),
                source_of(method.source, method.status),
            )
            for name, method in load_by_hand().items()
        ),
    )
    return page(
        "Things in the way",
        "What may stand between the gun and a surface, and what is sealed by hand instead.\n"
        "A loose thing is carried off the same morning and only makes a place not prepared; "
        "a fixed one is set or connected and closes the spray window.\n"
        f"{STATUS}",
        lines,
    )


def chances() -> str:
    """Return the page of the usual chances."""
    rows = load_chances().chances
    lines = list(
        table(
            ("what", "how often", "by how much", "why", "source"),
            (
                (
                    kind.title,
                    kind.chance or "always",
                    _by_how_much(kind.less, kind.more, kind.takes),
                    kind.why,
                    source_of(kind.source, kind.status),
                )
                for kind in rows.values()
            ),
        )
    )
    return page(
        "The usual chances",
        "What `readiness chance` reckons with where [`[chances]`](job-file.md#chances) and the "
        "ranges of single works say nothing else.\nAll of it is a planning figure: count on your "
        f"own jobs and write your own.\n{STATUS}",
        lines,
    )


def _by_how_much(less: str, more: str, takes: str) -> str:
    if less or more:
        return f"{less} less to {more} more"
    return f"{takes} later" if takes else "not that day"


def foam() -> str:
    """Return the page of the tables about foam."""
    tables = load_foam()
    lines = ["## Which class where", ""]
    lines += table(
        ("id", "class", "exposure", "on", "result", "because", "source"),
        (
            (
                f"`{name}`",
                row.foam.value,
                row.exposure.value,
                ", ".join(one.value for one in row.on) or "every surface",
                row.result.value,
                row.because,
                source_of(row.source, row.status),
            )
            for name, row in tables.uses.items()
        ),
    )
    lines += ["", "## Resistance wanted", ""]
    columns = ("ceiling", "attic", "wall", "floor", "basement", "crawl")
    lines += table(
        ("id", "editions", "zones", *columns, "source"),
        (
            (
                f"`{name}`",
                ", ".join(row.editions),
                ", ".join(row.zones),
                *(getattr(row, column) for column in columns),
                source_of(row.source, row.status) + (f" {row.note}" if row.note else ""),
            )
            for name, row in tables.r_values.items()
        ),
    )
    lines += ["", "## Resistance against condensation", ""]
    lines += table(
        ("id", "table", "editions", "zones", "R", "over 2x4", "over 2x6", "or", "source"),
        (
            (
                f"`{name}`",
                row.table.value,
                ", ".join(row.editions),
                ", ".join(row.zones),
                row.r,
                row.r_2x4,
                row.r_2x6,
                row.instead,
                source_of(row.source, row.status),
            )
            for name, row in tables.condensation.items()
        ),
    )
    lines += ["", "## Rules and questions", ""]
    lines += table(
        ("id", "about", "what", "says", "zones", "read in", "asks", "source"),
        (
            (
                f"`{name}`",
                row.topic.value,
                row.title,
                row.says,
                ", ".join(row.zones),
                row.seen_in,
                f"{row.whom}: {row.asks}" if row.asks else "",
                source_of(row.source, row.status),
            )
            for name, row in tables.rules.items()
        ),
    )
    lines += ["", "## Figures of foam and of spraying it", ""]
    lines += table(
        ("id", "what", "from", "to", "planned with", "note", "source"),
        (
            (
                f"`{name}`",
                row.title,
                row.low,
                row.high,
                row.used,
                " ".join(part for part in (row.note, row.caution) if part),
                source_of(row.source, row.status),
            )
            for name, row in tables.figures.items()
        ),
    )
    return page(
        "Foam",
        "What `readiness foam` goes by: which class suits which surface, what the tables of some "
        "editions ask for, and the figures that stand in for a product sheet.\nA product sheet, "
        "a rate or a named allowance written in the job goes before every row here; another "
        f"edition is answered with `not in our tables`.\n{STATUS}",
        lines,
    )
