"""What people type or send for the diary, as the fields of an entry.

One short line says one thing: a verb, what it is about, where. Ids may be cut short as long as only
one fits; what is not understood is refused with the nearest valid form, never guessed.

Invariant: a line gives the fields of exactly one entry, or a refusal.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from readiness.exchange import note_site_forms as site_forms
from readiness.exchange import note_trip_forms as trip_forms
from readiness.exchange.note_listener import Fields, Form, Listener, NoteRefused, completed
from readiness.facts.vocabulary import Rung
from readiness.job.places import PlaceError
from readiness.job.problems import nearest

OPTIONS = frozenset(
    {
        "agreed-by",
        "behind",
        "by",
        "cause",
        "instrument",
        "works",
        "trade",
        "trip",
        "reason",
        "slot",
        "wanted",
        "is",
        "blocks",
        "correct",
        "name",
        "how",
        "in",
        "until",
    }
)
"""Words that may follow two hyphens in a line, each with a value."""

FLAGS = frozenset({"private", "part"})
"""Words that may follow two hyphens in a line and need no value."""


def note_fields(words: list[str], listener: Listener) -> Fields:
    """Return the fields of the entry that a line says.

    Raises:
        NoteRefused: It has no reading; the refusal names the nearest valid form.
    """
    plain, options = _split(words)
    if not plain:
        message = "an empty line says nothing"
        raise NoteRefused(message, forms_hint())
    verb, rest = plain[0].casefold(), plain[1:]
    form = FORMS.get(verb)
    if form is None:
        near = nearest(verb, FORMS)
        hint = f"did you mean: {FORMS[near].usage}" if near else forms_hint()
        message = f"{plain[0]!r} is no word of the diary"
        raise NoteRefused(message, hint)
    if "private" in options and verb != "remark":
        message = "only a remark can be private"
        raise NoteRefused(message, f"write it like: {FORMS['remark'].usage}")
    if "part" in options and verb != "requested":
        message = "only a look can be asked for in part"
        raise NoteRefused(message, f"write it like: {FORMS['requested'].usage}")
    try:
        return {**form.build(listener, rest, options), **_known_how(options)}
    except PlaceError as error:
        message = f"{error.name!r} is no place of this job"
        raise NoteRefused(message, error.hint or f"write it like: {form.usage}") from None
    except IndexError:
        message = f"something is missing after {verb!r}"
        raise NoteRefused(message, f"write it like: {form.usage}") from None


def _known_how(options: Mapping[str, str]) -> Fields:
    """Return how it is known, if the line says so."""
    if "how" not in options:
        return {}
    return {"how": completed(options["how"].casefold(), tuple(Rung), "way to know something")}


def _split(words: Iterable[str]) -> tuple[list[str], dict[str, str]]:
    plain: list[str] = []
    options: dict[str, str] = {}
    waiting: str | None = None
    for word in words:
        if waiting is not None:
            options[waiting] = word
            waiting = None
        elif word.startswith("--") and word[2:].partition("=")[0] in OPTIONS:
            name, equals, value = word[2:].partition("=")
            if equals:
                options[name] = value
            else:
                waiting = name
        elif word.startswith("--") and word[2:] in FLAGS:
            options[word[2:]] = "yes"
        elif word.startswith("--"):
            near = nearest(word[2:], OPTIONS | FLAGS)
            message = f"{word!r} is not known here"
            raise NoteRefused(message, f"did you mean --{near}?" if near else "")
        else:
            plain.append(word)
    if waiting is not None:
        message = f"--{waiting} has no value"
        raise NoteRefused(message)
    return plain, options


def forms_hint() -> str:
    """Return the list of all forms, for a line that is like none of them."""
    return "forms are: " + "; ".join(form.usage for form in FORMS.values())


FORMS: dict[str, Form] = {
    "done": Form("done WORK [PLACES]", "work is done", site_forms.work("done")),
    "not-done": Form("not-done WORK [PLACES]", "it is not, after all", site_forms.work("not-done")),
    "begun": Form("begun WORK [PLACES] [60 % | 3 h left]", "work is under way", site_forms.begun),
    "requested": Form(
        "requested APPROVAL [SURFACES] [--slot WHEN] [--wanted WHEN] [--part]",
        "the office is asked; `--part`: to see these surfaces first, by themselves",
        site_forms.requested,
    ),
    **{
        verb: Form(
            f"{verb} APPROVAL [SURFACES] [--by OFFICE]",
            f"the office: {result.value}",
            site_forms.result(verb),
        )
        for verb, result in site_forms.RESULTS.items()
    },
    "set": Form(
        "set THING [--is KIND --blocks SURFACES]", "a thing stands in the way", site_forms.thing_set
    ),
    "pulled": Form("pulled THING", "it is out of the way", site_forms.pulled),
    "pull": Form("pull THING WHEN", "when it will be pulled", site_forms.thing_dated("pull")),
    "put-back": Form("put-back THING WHEN", "when it comes back", site_forms.thing_dated("reset")),
    "reading": Form(
        "reading moisture|surface|air|humidity|concrete VALUE [PLACES] [--instrument NAME]",
        "a reading",
        site_forms.reading,
    ),
    "void": Form("void CAUSE [PLACES]", "readings there speak no longer", site_forms.void),
    "prepared": Form("prepared WHAT [PLACES]", "a preparation was seen", site_forms.prepared),
    "yes": Form("yes QUESTION [PLACES]", "the answer is yes", site_forms.answer("yes")),
    "no": Form("no QUESTION [PLACES]", "the answer is no", site_forms.answer("no")),
    "unknown": Form(
        "unknown QUESTION [PLACES]", "they do not know", site_forms.answer("doesn't know")
    ),
    "promised": Form(
        "promised QUESTION WHEN [--in PLACES]", "promised by then", site_forms.promised
    ),
    "confirmed": Form(
        "confirmed [TRIP]", "the dispatcher confirms", trip_forms.confirmed(yes=True)
    ),
    "refused": Form(
        "refused [TRIP] REASON", "the dispatcher refuses", trip_forms.confirmed(yes=False)
    ),
    "offered": Form(
        "offered [TRIP] WHEN, WHEN [--until WHEN]",
        "days the spray company offers",
        trip_forms.offered,
    ),
    "agreed": Form(
        "agreed WORK|TRIP WHEN", "agreed with the people concerned", trip_forms.dated(agreed=True)
    ),
    "booked": Form("booked WORK|TRIP WHEN", "on paper by us", trip_forms.dated(agreed=False)),
    "struck": Form("struck WORK|TRIP", "the date is off", trip_forms.struck),
    "slip": Form(
        'slip WORK|TRIP "2 working days" --cause CAUSE', "a moved booking", trip_forms.slip
    ),
    "trip": Form(
        "trip NAME SURFACES", "a trip added, or its surfaces changed", trip_forms.trip_changed
    ),
    "reserved": Form(
        "reserved [TRIP] SURFACES [--behind THING] [--reason FOLLOW-UP]",
        "left unsprayed on purpose: a surface, or the bay behind a thing",
        trip_forms.reserved,
    ),
    "sealed": Form("sealed SURFACES", "sealed by hand", site_forms.sealed),
    "off": Form("off TRADE DAY", "a trade does not come", trip_forms.off),
    "extra": Form("extra TRADE DAY", "a trade comes on a day off", trip_forms.extra),
    "late": Form("late TRADE WHEN", "a trade works on until then", trip_forms.late),
    "takes": Form(
        "takes WORK DURATION [--reason WHY]", "it takes so long from now on", trip_forms.takes
    ),
    "crews": Form("crews WORK NUMBER", "so many crews come for a work", trip_forms.crews),
    "first": Form(
        "first WORK [PLACES]", "these places of a work are worked first", trip_forms.first
    ),
    "rigs": Form("rigs [TRIP] NUMBER", "so many rigs spray at once on a trip", trip_forms.rigs),
    "change": Form(
        'change "WHAT" SURFACES [--works WORK] [--by WHO] [--agreed-by WHO]',
        "a change: reopens and voids",
        trip_forms.change,
    ),
    "damage": Form('damage "WHAT" SURFACES [--trade TRADE]', "foam was damaged", trip_forms.damage),
    "override": Form(
        "override REQUIREMENT SURFACES --reason WHY [--trip TRIP]",
        "go on in spite of it",
        trip_forms.override,
    ),
    "stop": Form('stop "REASON" [PLACES]', "stop", trip_forms.stop),
    "lift": Form("lift [REASON]", "the stop is lifted", trip_forms.lift),
    "arrived": Form("arrived [TRIP]", "the rig is on site", trip_forms.of_trip("arrived")),
    "sprayed": Form("sprayed [TRIP] SURFACES [60 %]", "foam is on", trip_forms.sprayed),
    "lots": Form("lots [TRIP] NUMBERS", "lot numbers of the drums", trip_forms.lots),
    "last-foam": Form(
        "last-foam [TRIP] [SURFACES]", "the last foam of any kind", trip_forms.last_foam
    ),
    "cleaned": Form("cleaned [TRIP]", "the crew has cleaned up", trip_forms.of_trip("cleaned")),
    "ventilated": Form("ventilated [TRIP] [no]", "fans have run", trip_forms.ventilated),
    "release": Form(
        "release [TRIP] [residents]", "a named person lets others in", trip_forms.released
    ),
    "depth": Form(
        "depth SURFACE 3.4 3.6 3.1e", "depth readings; e is at the perimeter", site_forms.depth
    ),
    "photo": Form("photo NAME [PLACES]", "a picture", site_forms.photo),
    "sign-off": Form('sign-off "WHAT" [PLACES]', "somebody signs", site_forms.sign_off),
    "remark": Form(
        'remark "TEXT" [--private]',
        "whatever else is worth keeping; a private one never leaves",
        site_forms.remark,
    ),
}
"""Every way to say something, by its first word."""
