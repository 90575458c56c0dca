"""Findings in words.

Invariant: a finding's code is a word of the trade and its sentence stands alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.job.instants import is_dated

if TYPE_CHECKING:
    from readiness.gates.findings import Finding
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One thing worth a line that changes no verdict."""

    code: str
    subject: str
    says: str
    origin: str


def finding_line(case: Case, finding: Finding) -> FindingLine:
    """Return a finding as a sentence."""
    origin = case.site.tasks[finding.task].origin.told() if finding.task is not None else ""
    return FindingLine(finding.code, finding.subject, _says(case, finding), origin)


def _says(case: Case, finding: Finding) -> str:
    teller, site = case.teller, case.site
    told, instead = teller.told(finding.at), teller.told(finding.instead)
    if finding.code == "trip-booking-broken":
        name = site.trips[finding.subject].name
        return f"the {name} trip is booked for {instead}, but its last surface opens {told}"
    title = teller.task(finding.task) if finding.task is not None else finding.subject
    if finding.code == "booking-broken":
        return f"{title}: booked for {instead}, forecast {told}"
    if finding.code == "limit-missed":
        return f"{title}: not after {instead}, forecast {told}"
    if finding.code == "slot-refused":
        return f"{title}: its slot on {instead} lies in a keep-out, the next is {told}"
    if finding.code == "not-reported":
        return (
            f"{title}: booked for {instead} and not a word since; "
            f"if it was done as booked it is behind us, if not begun it ends {told}"
        )
    if finding.code == "hot-work-on-bare-foam":
        barrier = f"its barrier is on {instead}" if is_dated(finding.instead) else "no barrier yet"
        return (
            f"{title}: hot work near bare foam, {told}; {barrier}; not before it, or with a fire "
            "watch that somebody has named"
        )
    other = teller.task(finding.other) if finding.other is not None else ""
    if finding.code == "crew-overlap":
        return f"{teller.who(finding.subject).name}: {title} and {other} fall together on {told}"
    return f"{title}: done or begun before {other}, which is forecast for {instead}"
