"""The closed lists of words that facts, job files and answers share.

Invariant: each list is told once, here; a word outside its list is a problem of the file.
"""

from __future__ import annotations

from enum import StrEnum


class Order(StrEnum):
    """When a work or a thing belongs, seen from the foam on one surface."""

    BEFORE = "before"
    ON_THE_DAY = "on the day"
    AFTER = "after"
    CLOSING_UP = "closing up"
    FREE = "free"


class Proof(StrEnum):
    """What shows that hidden work may be hidden."""

    NONE = "none"
    TESTED = "tested"
    APPROVED = "approved"


class Protection(StrEnum):
    """What must be put over a thing that is there while foam is sprayed."""

    NONE = "none"
    MASKED = "masked"
    CAPPED = "capped"
    DEPRESSURISED = "depressurised"


class Gate(StrEnum):
    """The four questions a trip passes through."""

    PROMISE = "promise"
    ROLL = "roll"
    GUN = "gun"
    BOARD = "board"


class Effect(StrEnum):
    """What follows when a requirement does not pass; only the first three can stop a trip."""

    STOPS_TRIP = "stops the trip"
    STOPS_ROOM = "stops the room"
    STOPS_SURFACE = "stops the surface"
    COSTS = "costs money"
    NOTE = "note"


class Rung(StrEnum):
    """How something is known, from weakest to strongest."""

    SAID = "said"
    SHOWN = "shown"
    SEEN = "seen"
    RECORDED = "recorded"


class Role(StrEnum):
    """Who acts; a trade is named by its own id beside this."""

    CONTRACTOR = "contractor"
    DISPATCHER = "dispatcher"
    CREW_LEAD = "crew lead"
    TRADE = "trade"
    OFFICE = "office"
    BOARD_CREW = "board crew"
    OWNER = "owner"


class Category(StrEnum):
    """What a requirement is about, which decides the word of the verdict when it fails."""

    BEFORE = "before"
    ON_THE_DAY = "on the day"
    ACCESS = "access"
    PREPARATION = "preparation"
    CONDITION = "condition"
    AGREEMENT = "agreement"
    CLOSING = "closing up"


class Scope(StrEnum):
    """At which level of the tree of places a row is laid out."""

    SITE = "site"
    HOUSE = "house"
    STOREY = "storey"
    ROOM = "room"
    SURFACE = "surface"
    READING = "reading"
    """Once for each spot that is read, over the surfaces that its reading speaks for."""


class Phase(StrEnum):
    """When something after the spray is due, in this order."""

    SAME_DAY = "the same day"
    NEXT_DAY = "the day after"
    BEFORE_THE_LOOK = "before the look"
    AT_THE_LOOK = "at the look"
    BEFORE_BOARD = "before board"
    LATER = "later"


class Status(StrEnum):
    """How far the value of a row was checked."""

    SEEN = "seen"
    SECONDARY = "secondary"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"


class Where(StrEnum):
    """Where people stand while they work; inside work is shut out by a keep-out."""

    INSIDE = "inside"
    NEAR_OPENINGS = "near openings"
    OUTSIDE = "outside"


class JobKind(StrEnum):
    """The kinds of job that a starter exists for."""

    NEW_HOUSE = "new house"
    GUT_RENOVATION = "gut renovation"
    ADDITION = "addition"
    POST_FRAME = "post-frame"
    CRAWL_SPACE = "crawl space"
    ROOF_DECK = "roof deck"
    BASEMENT = "basement"


class SurfaceKind(StrEnum):
    """What is sprayed."""

    WALL_ABOVE_GRADE = "wall above grade"
    WALL_BELOW_GRADE = "wall below grade"
    RIM_JOIST = "rim joist"
    ROOF_DECK = "roof deck"
    GABLE_WALL = "gable wall"
    CRAWL_WALL = "crawl wall"
    FLOOR_OVER_COLD_SPACE = "floor over cold space"
    ATTIC_FLOOR = "attic floor"
    METAL_WALL = "metal wall"
    METAL_ROOF = "metal roof"
    SOUND_WALL = "sound wall"


class RoomKind(StrEnum):
    """What a room is used for, which decides the usual work in it."""

    LIVING = "living"
    KITCHEN = "kitchen"
    BATH = "bath"
    BEDROOM = "bedroom"
    HALL = "hall"
    LAUNDRY = "laundry"
    MECHANICAL = "mechanical"
    GARAGE = "garage"
    BASEMENT = "basement"
    ATTIC = "attic"
    CRAWL_SPACE = "crawl space"
    SHOP = "shop"
    OTHER = "other"


class ApprovalResult(StrEnum):
    """What an office said of the surfaces an approval covers."""

    PASSED = "passed"
    PASSED_FOR_PART = "passed for part"
    MAY_COVER = "may cover, correct later"
    FAILED = "failed"
    ACCEPTED_OTHERWISE = "accepted otherwise"
    NOT_REQUIRED = "not required here"


class DepthMeans(StrEnum):
    """What an agreed depth of foam means."""

    AVERAGE = "average"
    TOLERANCE = "average with tolerance"
    MINIMUM = "minimum"


class FoamClass(StrEnum):
    """The two classes of sprayed foam."""

    OPEN_CELL = "open cell"
    CLOSED_CELL = "closed cell"


class FoamExposure(StrEnum):
    """What foam on a surface has to live with, besides the cavity it fills."""

    IN_THE_FRAME = "in the frame"
    BELOW_GRADE = "below grade"
    CRAWL_SPACE = "crawl space"
    EARTH_FLOOR = "earth floor"
    OUTDOORS = "outdoors"


class Allowance(StrEnum):
    """What a named person of the office, or a design the office took, has allowed for foam."""

    CLASS_HERE = "this class here"
    BARE_FOAM = "bare foam"
    NO_RETARDER = "no vapor retarder"
    THINNER = "less than the table"


class ReadingKind(StrEnum):
    """What an instrument read."""

    WOOD_MOISTURE = "wood moisture"
    SUBSTRATE_TEMPERATURE = "substrate temperature"
    AIR_TEMPERATURE = "air temperature"
    RELATIVE_HUMIDITY = "relative humidity"
    CONCRETE_MOISTURE = "concrete moisture"


LEFT_OUT = "left-out-closed"
"""The requirement that asks for what the gun left out on purpose."""
