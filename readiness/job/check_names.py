"""Checks that work, trades, approvals, obstructions and requirements are known to the trade.

Invariant: after these checks every id in the file names a row of facts or a line of the file, and
nothing `binding` was switched off, weakened or waived.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.loader import load_questions
from readiness.job.problems import did_you_mean

if TYPE_CHECKING:
    from readiness.job.checking import Checking
    from readiness.job.positions import Path
    from readiness.job.rows import AnswerRow, ApprovalRow, LinkRow, WorkRow

BINDING = (
    "it is binding: no file and no person can switch it off; state evidence, "
    "or who said when that it is not required here"
)


def check_names(checking: Checking) -> None:
    """Tell ids that name nothing, and binding rows that were touched."""
    for name, row in checking.job.work.items():
        if row is False:
            _check_removed_work(checking, name)
        else:
            _check_work(checking, name, row)
    _check_done(checking)
    _check_trades(checking)
    _check_offices(checking)
    _check_approvals(checking)
    for name, thing in checking.job.obstructions.items():
        kinds = checking.facts.obstructions
        checking.known(("obstructions", name, "is"), thing.is_, kinds, "known obstruction")
        if thing.set_by:
            path = ("obstructions", name, "set_by")
            checking.known(path, thing.set_by, checking.present_work, "work of this job")
    for number, rule in enumerate(checking.job.rules):
        checking.known(("rules", number), rule, checking.facts.rules, "known local rule")
    for name in checking.job.costs.trade_days:
        checking.known(("costs", "trade_days", name), name, checking.known_trades, "known trade")
    _check_requirements(checking)
    _check_answers(checking)
    _check_waivers(checking)


def _check_removed_work(checking: Checking, name: str) -> None:
    """Tell a removed work that does not exist or must not be removed."""
    path = ("work", name)
    usual = checking.facts.work
    known = checking.known(path, name, usual, "usual work, so there is nothing to remove")
    if known and usual[name].binding:
        checking.tell(path, f"{name} can't be removed", read="false", hint=BINDING)


def _check_work(checking: Checking, name: str, row: WorkRow) -> None:
    """Tell what is wrong with one line of `[work]`."""
    usual = checking.facts.work.get(name)
    if usual is None and not (row.trade and row.takes):
        near = did_you_mean(name, checking.facts.work)
        hint = near or "work of your own needs at least trade and takes"
        checking.tell(("work", name), f"{name} is no usual work", read=name, hint=hint)
    if usual is not None and usual.binding and row.effect not in {None, usual.effect}:
        path = ("work", name, "effect")
        checking.tell(path, f"{name} stays '{usual.effect}'", read=str(row.effect), hint=BINDING)
    if row.trade:
        checking.known(("work", name, "trade"), row.trade, checking.known_trades, "known trade")
    if row.approval:
        known = checking.facts.approvals
        checking.known(("work", name, "approval"), row.approval, known, "known approval")
    for number, other in enumerate(row.waits_not_for):
        names = {*checking.facts.work, *checking.written_work}
        checking.known(("work", name, "waits_not_for", number), other, names, "work")
    for key, links in (("starts_after", row.starts_after), ("finishes_after", row.finishes_after)):
        for number, link in enumerate(links):
            _check_link(checking, ("work", name, key, number), name, link)


def _check_link(checking: Checking, path: Path, work: str, link: LinkRow) -> None:
    """Tell a link that names nothing, two things, itself, or work the job has not."""
    if bool(link.end_of) == bool(link.start_of):
        what = "a link names what it waits for, once"
        checking.tell(path, what, hint='write end_of = "..." or start_of = "..."')
        return
    other = link.end_of or link.start_of
    here = (*path, "end_of" if link.end_of else "start_of")
    if other == work:
        checking.tell(here, f"{work} waits for itself", read=other)
    elif not _is_absent(checking, here, other):
        names = checking.can_be_waited_for
        checking.known(here, other, names, "work, approval or trip of this job")


def _is_absent(checking: Checking, path: Path, name: str) -> bool:
    """Say whether a known work is not part of this job, and tell if so."""
    if checking.job.work.get(name) is False:
        line = checking.lines.of("work", name)
        hint = f"line {line} removes it; take out one of the two"
        checking.tell(path, f"{name} is not in this job", read=name, hint=hint)
        return True
    if name in checking.facts.work and name not in checking.present_work:
        hint = f"add a line for it: {name} = {{ }}"
        checking.tell(path, f"{name} is not usual in this kind of job", read=name, hint=hint)
        return True
    return False


def _check_done(checking: Checking) -> None:
    """Tell finished work that is not in the job, named twice, or open by its own line."""
    done = checking.job.done
    for number, name in enumerate(done):
        path = ("done", number)
        if name in done[:number]:
            checking.tell(path, f"{name} is in the list twice", read=name)
        elif not _is_absent(checking, path, name):
            checking.known(path, name, checking.present_work, "work of this job")
        row = checking.written_work.get(name)
        if row is not None and (row.done is False or row.share or row.remaining):
            line = checking.lines.of("work", name)
            what = f"{name} is finished here and open on line {line}"
            checking.tell(path, what, read=name, hint="keep one of them")


def _check_trades(checking: Checking) -> None:
    """Tell a line of `[trades]` that no work can belong to."""
    used = {row.trade for row in checking.written_work.values()}
    for name in checking.job.trades:
        if name not in checking.facts.trades and name not in used:
            hint = did_you_mean(name, checking.facts.trades) or "give it work, or take it out"
            checking.tell(("trades", name), f"{name} is no usual trade", read=name, hint=hint)


def _check_offices(checking: Checking) -> None:
    """Tell approvals of an office that are not known, or that two offices give."""
    given: dict[str, str] = {}
    for office, row in checking.job.offices.items():
        for number, approval in enumerate(row.for_):
            path = ("offices", office, "for", number)
            checking.known(path, approval, checking.facts.approvals, "known approval")
            if approval in given:
                what = f"{approval} is already given by {given[approval]}"
                checking.tell(path, what, read=approval)
            given.setdefault(approval, office)


def _check_approvals(checking: Checking) -> None:
    """Tell approvals that are not known, switched off, or say a result without who and when."""
    known = checking.facts.approvals
    for name, rows in checking.job.approvals.items():
        path = ("approvals", name)
        if not checking.known(path, name, known, "known approval"):
            continue
        if rows is False:
            if known[name].binding:
                hint = 'write who said so: { result = "not required here", by = "...", at = DAY }'
                checking.tell(path, f"{name} can't be switched off", read="false", hint=hint)
            continue
        for number, row in enumerate(rows):
            _check_result(checking, (*path, number), row)


def _check_result(checking: Checking, path: Path, row: ApprovalRow) -> None:
    """Tell a result without a day, and one that nobody answers for."""
    if row.result is None:
        return
    if row.at is None:
        checking.tell(path, f"'{row.result}' has no day", hint="write at = DAY")
    if row.result.value in {"accepted otherwise", "not required here"} and not row.by:
        checking.tell(path, f"'{row.result}' needs who said so", hint='write by = "..."')
    if row.result.value == "may cover, correct later" and not row.correct:
        hint = 'write correct = "..."'
        checking.tell(path, f"'{row.result}' needs what is to be corrected", hint=hint)


def _check_requirements(checking: Checking) -> None:
    """Tell requirements that are not known, and binding ones that were weakened."""
    known = checking.facts.requirements
    for name, row in checking.job.requirements.items():
        path = ("requirements", name)
        if not checking.known(path, name, known, "known requirement") or not known[name].binding:
            continue
        if row is False:
            checking.tell(path, f"{name} can't be switched off", read="false", hint=BINDING)
            continue
        for key in ("effect", "due", "wanted_before"):
            if getattr(row, key) is not None:
                checking.tell((*path, key), f"{key} of {name} can't be changed", hint=BINDING)
        if (row.at_most or row.at_least) and not row.sheet:
            hint = "only another product sheet changes it: write sheet = the sheet it was read from"
            checking.tell(path, f"the limit of {name} comes from a product sheet", hint=hint)


def _check_answers(checking: Checking) -> None:
    """Tell answers to statements nobody asks, and one statement answered in two ways."""
    facts = checking.facts
    known = {*facts.requirements, *facts.work, *facts.approvals, *checking.job.obstructions}
    known |= set(checking.written_work)
    said_of = {code for row in checking.job.answers.values() for code in _statements(row)}
    if not said_of <= known:
        known |= load_questions().keys()
    for name, row in checking.job.answers.items():
        said: dict[str, str] = {}
        for key in ("yes", "no", "unknown"):
            for number, statement in enumerate(getattr(row, key)):
                path = ("answers", name, key, number)
                checking.known(path, statement, known, "known requirement")
                if statement in said:
                    what = f"{statement} is answered {said[statement]} and {key}"
                    checking.tell(path, what, read=statement)
                said[statement] = key
        if not said:
            checking.tell(("answers", name), "nothing is answered", hint='write yes = ["..."]')
        if row.trip:
            here = ("answers", name, "trip")
            checking.known(here, row.trip, checking.job.trips, "trip of this job")


def _statements(row: AnswerRow) -> tuple[str, ...]:
    return (*row.yes, *row.no, *row.unknown)


def _check_waivers(checking: Checking) -> None:
    """Tell waivers of what nobody, or not this role, may waive."""
    job, facts = checking.job, checking.facts
    demands = {**facts.work, **facts.approvals, **facts.requirements}
    known = {*demands, *job.obstructions, *checking.written_work}
    for name, row in job.waivers.items():
        path = ("waivers", name)
        checking.known((*path, "trip"), row.trip, job.trips, "trip of this job")
        here = (*path, "requirement")
        if not checking.known(here, row.requirement, known, "known requirement"):
            continue
        demand = demands.get(row.requirement)
        if demand is None:
            continue
        if demand.binding:
            what = f"{row.requirement} can't be waived"
            checking.tell(here, what, read=row.requirement, hint=BINDING)
        elif demand.override is None:
            checking.tell(here, f"nobody may waive {row.requirement}", read=row.requirement)
        elif row.role != demand.override:
            what = f"{row.requirement} is not for the {row.role} to waive"
            hint = f"that is up to the {demand.override}"
            checking.tell((*path, "role"), what, read=row.role.value, hint=hint)
