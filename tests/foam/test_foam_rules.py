"""What the rules about foam say of single surfaces, and what they refuse to say.

Invariant: each test changes one thing of an ordinary wall and looks at one line.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from readiness.facts.vocabulary import Allowance, FoamClass, FoamExposure, RoomKind, SurfaceKind
from readiness.foam.editions import CANADA, Zone, edition_of, zone_of
from readiness.foam.fire import fire_said, rim_tests
from readiness.foam.resistance import meets, reached_by, resistance_said
from readiness.foam.roofs import roof_said
from readiness.foam.said import ALLOWED, SHEET, Mark, State
from readiness.foam.surroundings import asked_of_the_job, ground_said
from readiness.foam.uses import STILL_TO_SHOW, suited
from readiness.foam.walls import wall_said
from tests.foam.spots import CLOSED, OPEN, one, product, ruled, spot

WORD = Mark("word", ALLOWED, "R. Imhof, 2026-05-22")
ROOF = spot(
    kind=SurfaceKind.ROOF_DECK,
    rooms=(RoomKind.ATTIC,),
    service_only=True,
    cavity_inches=9.25,
    depth_inches=3.5,
)
RIM = spot(kind=SurfaceKind.RIM_JOIST, cavity_inches=None, depth_inches=3.0)
RIM_SHEET: dict[str, Any] = {"density": "1.9 lb/ft3", "flame_spread": 25, "smoke_developed": 450}


@pytest.mark.parametrize(
    ("written", "edition"),
    [
        ("IRC 2021", "IRC 2021"),
        ("irc  2018", "IRC 2018"),
        ("2015 IRC", "IRC 2015"),
        ("International Residential Code 2012", "IRC 2012"),
        ("IRC 2024", ""),
        ("IRC 2006", ""),
        ("National Building Code 2020", CANADA),
        ("NBC", CANADA),
        ("Ohio code", ""),
        ("", ""),
    ],
)
def test_an_edition_is_known_by_its_name_or_not_at_all(written: str, edition: str) -> None:
    assert edition_of(written) == edition


@pytest.mark.parametrize(
    ("written", "zone"),
    [
        ("5A", Zone(5, "A")),
        ("zone 4c", Zone(4, "C")),
        ("4 marine", Zone(4, "C")),
        ("Marine 4", Zone(4, "C")),
        ("6", Zone(6)),
        ("9", None),
        ("cold", None),
    ],
)
def test_a_climate_zone_is_read(written: str, zone: Zone | None) -> None:
    assert zone_of(written) == zone


@pytest.mark.parametrize(
    "exposure",
    [
        FoamExposure.BELOW_GRADE,
        FoamExposure.CRAWL_SPACE,
        FoamExposure.EARTH_FLOOR,
        FoamExposure.OUTDOORS,
    ],
)
def test_open_cell_is_refused_where_water_stands(exposure: FoamExposure) -> None:
    """Common practice, no source; a named person may allow it all the same."""
    wet = spot(foam=OPEN, exposure=exposure)
    assert suited(wet, ruled()).is_refused
    allowed = suited(
        spot(foam=OPEN, exposure=exposure, allowed=((Allowance.CLASS_HERE, WORD),)), ruled()
    )
    assert allowed.word == "allowed"
    assert WORD in allowed.marks


@pytest.mark.parametrize("foam", list(FoamClass))
@pytest.mark.parametrize("kind", list(SurfaceKind))
@pytest.mark.parametrize("exposure", list(FoamExposure))
def test_every_class_on_every_surface_has_a_row_in_the_frame_and_where_it_is_wet(
    foam: FoamClass, kind: SurfaceKind, exposure: FoamExposure
) -> None:
    if exposure is FoamExposure.IN_THE_FRAME and kind in {
        SurfaceKind.WALL_BELOW_GRADE,
        SurfaceKind.CRAWL_WALL,
    }:
        pytest.skip("stands in the ground")
    of_class = OPEN if foam is FoamClass.OPEN_CELL else CLOSED
    assert suited(spot(foam=of_class, kind=kind, exposure=exposure), ruled()).word != "not known"


def test_a_class_alone_never_shows_the_listing() -> None:
    assert STILL_TO_SHOW in suited(spot(), ruled()).says
    listed = product(report="report 17", listed_for=["wall above grade"])
    said = suited(spot(foam=listed), ruled())
    assert "report 17" in said.says
    assert STILL_TO_SHOW in suited(spot(foam=listed, kind=SurfaceKind.RIM_JOIST), ruled()).says


@pytest.mark.parametrize(
    ("option", "cavity_r", "continuous_r", "is_met"),
    [
        ("20+5ci", 20, 5, True),
        ("20+5ci", 30, 4, False),
        ("20+5ci", 19, 20, False),
        ("0+20ci", 0, 20, True),
        ("15ci", 19, 14, False),
        ("30", 25, 5, True),
        ("30", 25, 4, False),
    ],
)
def test_a_sum_is_reached_part_by_part(
    option: str, cavity_r: float, continuous_r: float, *, is_met: bool
) -> None:
    wall = spot(foam=product(r={"1 in": f"R-{cavity_r or 0.01}"}), depth_inches=1.0)
    has = reached_by(spot(foam=wall.foam, depth_inches=1.0, outside_r=continuous_r))
    assert has is not None
    assert meets(option, has) is is_met


def test_foam_on_masonry_runs_through_and_foam_between_studs_does_not() -> None:
    foam = product(r={"1 in": "R-6"})
    basement = spot(kind=SurfaceKind.WALL_BELOW_GRADE, foam=foam, cavity_inches=None, framed=False)
    inside, between = reached_by(basement), reached_by(spot(foam=foam))
    assert inside is not None
    assert between is not None
    assert (inside.continuous_r, between.continuous_r) == (18, 0)


def test_the_sheet_goes_before_the_figure_of_the_class_and_says_so() -> None:
    usual = one(list(resistance_said(spot(), ruled())))
    by_sheet = one(list(resistance_said(spot(foam=product(r={"3 in": "R-30"})), ruled())))
    assert usual.state is State.SHORT
    assert by_sheet.state is State.REACHED
    assert SHEET in {mark.status for mark in by_sheet.marks}
    assert SHEET not in {mark.status for mark in usual.marks}


def test_resistance_is_told_between_the_depths_of_the_sheet() -> None:
    foam = product(r={"1 in": "R-6", "3 in": "R-20"})
    assert foam.resistance(2).value == 13
    assert foam.resistance(0.5).value == 3
    assert foam.resistance(6).value == 40


def test_permeance_falls_with_depth() -> None:
    known = product(permeance={"2 in": "0.8 perm"}).permeance(4)
    assert known is not None
    assert known.value == pytest.approx(0.4)


def test_without_a_sheet_closed_cell_is_no_class_two_retarder() -> None:
    said = one(list(wall_said(spot(depth_inches=5.0), ruled())))
    assert said.state is State.UNKNOWN
    assert "product sheet is needed" in said.says


def test_open_cell_owes_a_retarder_in_the_cold_and_none_in_the_warm() -> None:
    cold = one(list(wall_said(spot(foam=OPEN), ruled("5A"))))
    assert (cold.state, cold.owes) == (State.OWED, "retarder")
    assert any(mark.is_unverified for mark in cold.marks)
    assert one(list(wall_said(spot(foam=OPEN), ruled("2A")))).state is State.NOT_OWED


def test_insulation_outside_lets_paint_do_over_open_cell() -> None:
    wall = spot(foam=OPEN, outside_r=7.5)
    assert one(list(wall_said(wall, ruled("5A")))).state is State.REACHED
    assert one(list(wall_said(spot(foam=OPEN, outside_r=7.4), ruled("5A")))).state is State.OWED


def test_foam_that_counts_carries_the_limit_of_permeance_from_memory() -> None:
    foam = product(r={"1 in": "R-7.5"}, permeance={"1 in": "1.4 perm"})
    said = one(list(wall_said(spot(foam=foam, depth_inches=1.0), ruled("5A"))))
    assert said.state is State.REACHED
    assert any(mark.is_unverified for mark in said.marks)


def test_zone_4_without_its_letter_is_asked_for_the_letter() -> None:
    assert one(list(wall_said(spot(), ruled("4")))).state is State.UNKNOWN
    assert one(list(resistance_said(spot(), ruled("4")))).state is State.UNKNOWN
    assert one(list(roof_said(ROOF, ruled("4")))).state is State.UNKNOWN


def test_a_roof_counts_only_foam_that_stops_air() -> None:
    thin = spot(**{**_fields(ROOF), "foam": OPEN, "depth_inches": 5.0})
    assert one(list(roof_said(thin, ruled()))).state is State.SHORT
    enough = spot(**{**_fields(ROOF), "foam": product(r={"1 in": "R-6.5"})})
    assert one(list(roof_said(enough, ruled("5A")))).state is State.REACHED
    assert one(list(roof_said(enough, ruled("6A")))).state is State.SHORT


def test_foam_too_thin_to_stop_air_does_not_count_however_well_it_insulates() -> None:
    foam = product("open cell", r={"1 in": "R-7"}, airtight_from="5 in")
    states = [
        one(list(roof_said(spot(**{**_fields(ROOF), "foam": foam, "depth_inches": deep}), ruled())))
        for deep in (4.9, 5.0)
    ]
    assert [said.state for said in states] == [State.SHORT, State.REACHED]


def test_rigid_insulation_above_a_roof_is_for_the_office_to_count() -> None:
    roof = spot(**{**_fields(ROOF), "depth_inches": 2.0, "outside_r": 30.0})
    said = one(list(roof_said(roof, ruled("5A"))))
    assert (said.state, said.whom) == (State.ASK, "office")


def test_a_roof_of_foam_alone_says_that_the_table_is_told_both_ways() -> None:
    said = one(list(roof_said(ROOF, ruled("5A"))))
    assert any(mark.is_unverified for mark in said.marks)
    filled = spot(**{**_fields(ROOF), "fill_r": 23.0})
    assert not any(mark.is_unverified for mark in one(list(roof_said(filled, ruled("5A")))).marks)


def test_much_insulation_below_the_foam_asks_for_more_foam() -> None:
    states = [
        one([line for line in roof_said(roof, ruled("5A")) if "share" in line.says]).state
        for roof in (
            spot(**{**_fields(ROOF), "fill_r": 20.0}),
            spot(**{**_fields(ROOF), "fill_r": 60.0}),
        )
    ]
    assert states == [State.REACHED, State.ASK]


def test_open_cell_under_a_cold_roof_owes_its_coating() -> None:
    roof = spot(**{**_fields(ROOF), "foam": OPEN, "depth_inches": 9.0})
    owed = [line.owes for line in roof_said(roof, ruled("6A")) if line.owes]
    assert owed == ["coating"]
    assert not [line for line in roof_said(roof, ruled("3A")) if line.owes]


@pytest.mark.parametrize(
    ("change", "depth", "failed"),
    [
        ({}, 3.25, []),
        ({}, 3.3, ["depth"]),
        ({"density": "2.1 lb/ft3"}, 3.0, ["density"]),
        ({"density": "0.4 lb/ft3"}, 3.0, ["density"]),
        ({"flame_spread": 30}, 3.0, ["flame spread"]),
        ({"smoke_developed": 451}, 3.0, ["smoke developed"]),
    ],
)
def test_each_of_the_four_tests_of_the_rim_can_fail(
    change: dict[str, Any], depth: float, failed: list[str]
) -> None:
    foam = product(**{**RIM_SHEET, **change})
    rim = spot(**{**_fields(RIM), "foam": foam, "depth_inches": depth})
    assert [test.name for test in rim_tests(rim, ruled()) if test.passes is False] == failed
    said = one(list(fire_said(rim, ruled())))
    assert said.state is (State.OWED if failed else State.NOT_OWED)


@pytest.mark.parametrize("missing", list(RIM_SHEET))
def test_a_rim_is_not_left_bare_on_a_figure_that_is_not_known(missing: str) -> None:
    sheet = {key: value for key, value in RIM_SHEET.items() if key != missing}
    said = one(
        list(fire_said(spot(**{**_fields(RIM), "foam": product("closed cell", **sheet)}), ruled()))
    )
    assert (said.state, said.owes) == (State.UNKNOWN, "barrier")
    assert said.caution


def test_an_attic_that_is_stored_in_owes_the_full_barrier() -> None:
    for service_only, title in ((True, "Ignition"), (False, "stored in or lived in, so Thermal")):
        attic = spot(**{**_fields(ROOF), "service_only": service_only})
        assert one(list(fire_said(attic, ruled()))).says.startswith(title)


def test_bare_foam_by_word_keeps_its_caution() -> None:
    said = one(list(fire_said(spot(allowed=((Allowance.BARE_FOAM, WORD),)), ruled())))
    assert said.state is State.NOT_OWED
    assert WORD in said.marks
    assert said.caution


def test_foam_deeper_than_its_fire_tests_is_short() -> None:
    thick = spot(foam=product(most_depth="4 in"), depth_inches=5.0)
    assert State.SHORT in {line.state for line in fire_said(thick, ruled())}


def test_a_foam_that_spreads_flame_is_short() -> None:
    hot = spot(foam=product(flame_spread=80, most_depth="6 in"))
    assert State.SHORT in {line.state for line in fire_said(hot, ruled())}


def test_a_rule_that_was_read_in_another_edition_says_so() -> None:
    for code, is_told in (("IRC 2021", True), ("IRC 2018", False)):
        said = one(list(fire_said(ROOF, ruled("5A", code))))
        assert any("read in IRC 2018" in mark.source for mark in said.marks) is is_told


def test_flues_lights_and_wiring_are_questions_and_nothing_else() -> None:
    """Never an approval: every line asks a licensed trade or the office, and gives its figure."""
    asked = list(asked_of_the_job([ROOF, spot(), RIM], ruled(), ()))
    by_topic = [line for line in asked if line.topic in {"clearance", "wiring"}]
    assert len(by_topic) >= 9
    assert {line.state for line in by_topic} == {State.ASK}
    assert {line.whom for line in by_topic} <= {"electrician", "hvac", "office"}
    assert all(line.asks.endswith("?") and line.marks for line in by_topic)


def test_a_strip_at_the_sill_is_asked_or_comes_by_local_rule() -> None:
    for rules, state in (((), State.ASK), (("termite-strip",), State.OWED)):
        strip = one(
            [line for line in asked_of_the_job([RIM], ruled(), rules) if "Strip" in line.says]
        )
        assert strip.state is state


def test_a_crawl_wall_owes_its_ground_sheet() -> None:
    crawl = spot(kind=SurfaceKind.CRAWL_WALL, exposure=FoamExposure.CRAWL_SPACE)
    assert [line.owes for line in ground_said(crawl, ruled()) if line.owes] == ["ground sheet"]


def test_canada_asks_for_its_barrier_by_nanograms() -> None:
    dense = product(permeance={"50 mm": "55 ng"})
    here = ruled("6", "National Building Code 2020")
    assert one(list(wall_said(spot(foam=dense), here))).state is State.REACHED
    assert one(list(resistance_said(spot(foam=dense), here))).state in {State.ASK, State.SHORT}


def test_rows_from_memory_never_come_without_their_mark() -> None:
    """Whatever any rule says of any surface: a memory row it names stands among its marks."""
    for climate in ("1A", "3A", "4C", "5A", "7", "8"):
        for foam in (OPEN, CLOSED, product(permeance={"1 in": "1.4 perm"}, r={"1 in": "R-7"})):
            for base in (spot(foam=foam), spot(**{**_fields(ROOF), "foam": foam})):
                for said in (wall_said, roof_said, fire_said, resistance_said, ground_said):
                    for line in said(base, ruled(climate)):
                        assert line.marks or line.state in {State.NO_ROW, State.UNKNOWN}, line


def _fields(of: object) -> dict[str, object]:
    return {name: getattr(of, name) for name in of.__slots__}  # type: ignore[attr-defined]


def test_a_metric_job_is_told_in_millimetres() -> None:
    metric = replace(ruled(), units="metric")
    depth = rim_tests(RIM, metric)[0]
    assert depth.says == "76 mm of 83 mm"
    asked = [line.says for line in asked_of_the_job([ROOF], metric, ())]
    assert any("2 in is 51 mm" in says for says in asked)
    assert not any(" mm)" in line.says for line in asked_of_the_job([ROOF], ruled(), ()))
