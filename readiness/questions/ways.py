"""What is the least that must change so that a day works, what does it cost, who is told?

Invariant: a way is told only if the forecast and the gate say yes of it; where there is none, what
stands against the day is told as sentences.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from readiness.gates.asked import asked_gate, asked_instant, asked_trip, local_date
from readiness.job.instants import moment_of
from readiness.planning.bill import bill_of, is_priced
from readiness.planning.change import ChangeKind, Offer
from readiness.planning.listing import offer_of, priced_only
from readiness.planning.listing_leaves import name_of_new_trip
from readiness.planning.prices import Prices, told_cents
from readiness.planning.proof_words import proof_words, short_words
from readiness.planning.search import Found, Search
from readiness.planning.trying import Trying
from readiness.planning.writing import lines_of
from readiness.planning.written_where import Written
from readiness.site.calendars import zone_days
from readiness.site.lay_out import written_nowhere
from readiness.site.parts import surface_square_feet
from readiness.site.trip_tasks import SPRAY_TRADE
from readiness.telling.case import Case, Instants, On
from readiness.telling.days import nearest_shifts
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from readiness.job.origin import Origin
    from readiness.planning.change import Change, Charge
    from readiness.planning.trying import Attempt


MOST_TOLD = 3
"""A proof of more sentences is told in short, whole only with `--why`."""


@dataclass(frozen=True, slots=True)
class CostLine:
    """One item of what a way costs."""

    what: str
    amount: float | None
    """In the currency of the job; None if its price is not written."""
    price: str
    """The key of `[costs]`, or of the work's own line, that it is reckoned with."""
    origin: str
    """Where that price stands, as `--why` tells it; empty if it is not written."""
    days: float
    """Working days of a trade that a further keep-out costs; 0 for anything else."""


@dataclass(frozen=True, slots=True)
class ShareLine:
    """How much of the trip is still sprayed on the day; the rest stays for later."""

    surfaces: int
    of_surfaces: int
    square_feet: float
    of_square_feet: float


@dataclass(frozen=True, slots=True)
class WayLine:
    """One way to make the day work."""

    number: int
    does: str
    """What is changed, as a sentence."""
    costs: str
    """What it costs and how many are told, as a sentence."""
    changes: tuple[str, ...]
    """Ids of its changes; none if only the trip is booked, or nothing at all."""
    amount: float | None
    """Sum of what has a price; None without any price."""
    currency: str
    unpriced: tuple[str, ...]
    """What the sum leaves out, because its price is not written."""
    bill: tuple[CostLine, ...]
    people: tuple[Who, ...]
    """Whom to tell."""
    brings: tuple[str, ...]
    """What comes with it."""
    cautions: tuple[str, ...]
    share: ShareLine | None
    """What is sprayed on the day, where a way takes surfaces out of the trip."""
    verdict: str
    """The word of the trip once it is done."""
    origins: tuple[str, ...]
    """Where what its changes touch is written."""
    lines: tuple[dict[str, Any], ...]
    """What it writes into the diary."""


@dataclass(frozen=True, slots=True)
class WaysAnswer:
    """The answer to "what would make that day work?"."""

    job: str
    instants: Instants
    trip: str
    trip_name: str
    verdict: str
    """The word as things stand, with the trip booked to the asked day."""
    sentence: str
    ways: tuple[WayLine, ...]
    """The best first."""
    proof: tuple[str, ...]
    """Without a way: what stands against the day, as sentences; no set gets past all of them."""
    in_short: tuple[str, ...]
    """The same with one sentence for each surface: what is left when the most is done."""
    offered: int
    """How many changes the list has."""
    notes: tuple[str, ...]
    units: str
    """`US` or `metric`: how texts tell areas."""
    forecasts: int
    """How many sets of changes were forecast."""


def ways(
    case: Case,
    on: On = None,
    *,
    at_most: float | None = None,
    origin_of: Callable[..., Origin] = written_nowhere,
    watch: Callable[[int], object] | None = None,
) -> WaysAnswer:
    """Return the best ways to make a day work.

    Args:
        case: The job at one moment.
        on: A day or moment at the site; None means the day that `check` asks about.
        at_most: What a way may cost, in the currency of the job; None means any sum. What has no
            price can't be held against it, so changes without one are left out.
        origin_of: Gives where a key path of the job file stands.
        watch: Is told how many forecasts were made; what it raises ends the search.
    """
    outlook = case.outlook
    asked = asked_trip(outlook, on)
    instant = asked_instant(outlook, on, asked)
    past = _refused_day(case, asked, instant)
    if past:
        return _answer(case, asked, instant, "", (past,), ())
    trip, empty = _booked(case, asked, instant)
    base = Trying(outlook, empty, trip, instant).attempt(frozenset())
    offer = offer_of(base, empty, trip)
    if at_most is not None:
        offer = priced_only(offer)
    trying = Trying(outlook, offer, trip, instant)
    if watch is not None:
        trying.watch = watch
    found = Search(trying).run()
    known = Written(origin_of, case.site)
    lines = tuple(_way(case, trying, way, known) for way in found.ways)
    proof = proof_words(trying, found.proof)
    in_short = short_words(trying, found.proof) if len(proof) > MOST_TOLD else proof
    if at_most is not None and lines:
        lines, proof = _within(at_most, lines)
        in_short = proof
    lines = tuple(replace(line, number=number) for number, line in enumerate(lines, 1))
    verdict = base.verdicts.word.value if base.verdicts is not None else ""
    notes = _notes(case, trying, found)
    if not found.finished and not found.ways:
        return replace(
            _answer(case, asked, instant, verdict, (), (), notes, found.forecasts),
            sentence=_unfinished(case, asked, instant, found.forecasts),
        )
    answer = _answer(case, asked, instant, verdict, proof, lines, notes, found.forecasts)
    return replace(answer, in_short=in_short, offered=len(offer.changes))


def _within(
    at_most: float, lines: tuple[WayLine, ...]
) -> tuple[tuple[WayLine, ...], tuple[str, ...]]:
    """Return the ways within a sum; if there is none, what the cheapest costs, as a sentence."""
    kept = tuple(line for line in lines if not line.changes or (line.amount or 0) <= at_most)
    if kept:
        return kept, ()
    cheapest = min(lines, key=lambda line: line.amount or 0)
    told, limit = (
        told_cents(round(amount * 100), cheapest.currency)
        for amount in (cheapest.amount or 0, at_most)
    )
    least = "at least " if cheapest.unpriced else ""
    return (), (f"The cheapest way costs {least}{told}, more than {limit}: {cheapest.does}",)


def _unfinished(case: Case, trip: str, instant: int, forecasts: int) -> str:
    """Return that neither a way nor a proof was found in the time that a search has."""
    name, told = case.site.trips[trip].name, case.teller.told(instant)
    return (
        f"After {forecasts} forecasts no way was found that makes the {name} trip work {told}, and "
        "not everything was tried; ask about a later day, or clear what holds it up first."
    )


def _refused_day(case: Case, trip: str, instant: int) -> str:
    """Return why a day can't be asked about at all; empty if it can."""
    outlook, site = case.outlook, case.site
    if trip in outlook.known.arrived:
        return f"The {site.trips[trip].name} trip has arrived; its day can't be changed any more."
    told = case.teller.told(instant)
    if instant < outlook.seen.as_of:
        return f"{told} is past."
    calendar = site.calendars[site.spray_calendar]
    day, today = local_date(outlook, instant), local_date(outlook, outlook.seen.as_of)
    if not calendar.spans_on(day):
        who, shut = case.teller.who(SPRAY_TRADE).name, told.rpartition(" ")[0]
        return f"{who} does not work on {shut}; {nearest_shifts(calendar, day, today)}."
    return ""


def _booked(case: Case, trip: str, instant: int) -> tuple[str, Offer]:
    """Return the trip's id, and an offer that books it to the asked arrival and nothing more."""
    site, known = case.site, case.outlook.known
    fields: list[dict[str, Any]] = []
    planned = site.trips[trip].planned
    name = trip if planned else name_of_new_trip({*site.trips, *site.stays})
    if not planned:
        fields.append({"kind": "trip", "trip": name, "surfaces": list(site.trips[trip].surfaces)})
    if planned and known.arrivals.get(trip) == instant:
        return name, Offer((), frozenset(), (), (), "")
    wall = moment_of(instant, zone_days(site.zone).zone).replace(tzinfo=None).isoformat()
    fields.append({"kind": "dated", "what": name, "when": wall, "agreed": False})
    charges: tuple[Charge, ...] = ()
    if trip in known.arrivals:
        charges = (Prices(site.job.costs).charge("move", f"move:{trip}", "moving the trip"),)
    says = f"book the {site.trips[trip].name} trip for {case.teller.told(instant)}"
    return name, Offer((), frozenset({SPRAY_TRADE}), charges, tuple(fields), says)


def _answer(  # noqa: PLR0913, PLR0917  an answer is nothing but its fields
    case: Case,
    trip: str,
    instant: int,
    verdict: str,
    proof: tuple[str, ...],
    lines: tuple[WayLine, ...],
    notes: tuple[str, ...] = (),
    forecasts: int = 0,
) -> WaysAnswer:
    as_of, on = case.teller.moment(case.outlook.seen.as_of), case.teller.moment(instant)
    assert as_of is not None  # noqa: S101  both are real instants
    assert on is not None  # noqa: S101
    gate = asked_gate(case.outlook, instant, trip).value
    name, told = case.site.trips[trip].name, case.teller.told(instant)
    if not lines:
        sentence = f"No change on the list makes the {name} trip work {told}."
    elif not lines[0].changes:
        sentence = f"The {name} trip works {told} as things stand; nothing else has to change."
    else:
        count = "One way makes" if len(lines) == 1 else f"{len(lines)} ways make"
        sentence = f"{count} the {name} trip work {told}."
    return WaysAnswer(
        job=case.site.job.name,
        instants=Instants(as_of, on, case.site.zone, gate),
        trip=trip,
        trip_name=name,
        verdict=verdict,
        sentence=sentence,
        ways=lines,
        proof=proof,
        in_short=proof,
        offered=0,
        notes=notes,
        units=case.site.job.units,
        forecasts=forecasts,
    )


def _way(case: Case, trying: Trying, way: Attempt, known: Written) -> WayLine:
    """Return a way in words."""
    assert way.verdicts is not None  # noqa: S101  a way works
    changes, offer = trying.changes(way.chosen), trying.offer
    bill = bill_of(offer, changes)
    prices, currency = Prices(case.site.job.costs), case.site.job.costs.currency
    arrives = any(change.kind is ChangeKind.ARRIVE for change in changes)
    does = [] if arrives or not offer.says else [offer.says]
    does += [change.says for change in changes if change.kind is not ChangeKind.LEAVE]
    does += _leaving([change for change in changes if change.kind is ChangeKind.LEAVE])
    people = tuple(case.teller.who(name) for name in sorted(bill.people))
    return WayLine(
        number=0,
        does=_sentence(does) if does else "Nothing has to change.",
        costs=_costs(bill.cents, bill.unpriced, currency, len(people), priced=prices.are_written),
        changes=tuple(change.id for change in changes),
        amount=bill.cents / 100 if prices.are_written else None,
        currency=currency,
        unpriced=bill.unpriced,
        bill=tuple(
            CostLine(
                charge.label,
                None if charge.cents is None else charge.cents / 100,
                charge.price,
                known.price(charge),
                charge.days,
            )
            for charge in bill.charges
        ),
        people=people,
        brings=tuple(dict.fromkeys(brought for change in changes for brought in change.brings)),
        cautions=tuple(dict.fromkeys(change.caution for change in changes if change.caution)),
        share=_share(trying, way),
        verdict=way.verdicts.word.value,
        origins=tuple(dict.fromkeys(where for change in changes for where in known.of(change))),
        lines=tuple(lines_of(trying.job, offer, trying.trip, changes)),
    )


def _share(trying: Trying, way: Attempt) -> ShareLine | None:
    """Return what is left of the trip; None if the way takes nothing out of it."""
    whole, kept = trying.attempt(frozenset()).asked_surfaces, way.asked_surfaces
    if len(kept) == len(whole):
        return None
    areas = (
        round(sum(float(surface_square_feet(each, trying.job)) for each in surfaces), 1)
        for surfaces in (kept, whole)
    )
    return ShareLine(len(kept), len(whole), *areas)


def _leaving(changes: list[Change]) -> Iterator[str]:
    """Yield one clause for each trip that surfaces are left to."""
    for trip in dict.fromkeys(change.trip for change in changes):
        mine = [change for change in changes if change.trip == trip]
        left = [change.leaves for change in mine]
        places = left[0] if len(left) == 1 else f"{', '.join(left[:-1])} and {left[-1]}"
        yield mine[0].says.replace(mine[0].leaves, places, 1)


def _sentence(clauses: list[str]) -> str:
    text = "; ".join(clauses)
    return text[:1].upper() + text[1:] + "."


def _costs(
    cents: int, unpriced: tuple[str, ...], currency: str, people: int, *, priced: bool
) -> str:
    """Return the cost and the number of people as a sentence."""
    told = {0: "nobody has to be told", 1: "1 party is told"}.get(
        people, f"{people} parties are told"
    )
    if not unpriced:
        return f"It costs {told_cents(cents, currency)}, and {told}."
    if not priced:
        return f"What it costs is not known, because no prices are written; {told}."
    count = "1 item" if len(unpriced) == 1 else f"{len(unpriced)} items"
    if not cents:
        return f"What it costs is not known, {count} without a price; {told}."
    return f"It costs at least {told_cents(cents, currency)}, {count} without a price; {told}."


def _notes(case: Case, trying: Trying, found: Found) -> tuple[str, ...]:
    notes = list(trying.offer.notes) if not found.ways or found.ways[0].chosen else []
    if found.ways and found.ways[0].chosen and not is_priced(trying.offer):
        wanted = dict.fromkeys(
            charge.wanted
            for change in trying.offer.changes
            for charge in change.charges
            if charge.wanted
        )
        notes.append(
            "Ordered by people to tell and changes, not by cost: [costs] does not say "
            f"{', '.join(wanted)}."
        )
    news = case.outlook.seen.trips.get(trying.trip)
    if news is not None and news.offered:
        days = {moment.date() for moment in news.offered}
        if local_date(case.outlook, trying.on) not in days:
            notes.append("The spray company has not offered this day; ask for it.")
    if found.ways and not found.finished:
        notes.append("Further ways were not looked for.")
    return tuple(notes)
