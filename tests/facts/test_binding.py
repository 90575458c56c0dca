"""What nobody can switch off or waive.

Invariant: the list below is the whole list; a row becomes binding, or stops being so, only here.
"""

from __future__ import annotations

from readiness.facts.loader import load_facts

BINDING = {
    "official approvals": {
        "approvals.plumbing-approval",
        "approvals.gas-approval",
        "approvals.mechanical-approval",
        "approvals.electrical-approval",
        "approvals.sprinkler-approval",
        "approvals.framing-approval",
        "approvals.insulation-approval",
    },
    "anyone else inside": {"requirements.nobody-inside"},
    "keep-out": {"trip.keep-out", "requirements.ventilated-and-cleaned"},
    "ignition sources and hot work": {
        "requirements.ignition-off",
        "requirements.hot-work-stopped",
    },
    "energised or unprotected old wiring": {"requirements.old-wiring-dead", "work.old-wiring"},
    "combustion air and flue clearance": {
        "requirements.combustion-answered",
        "requirements.flue-clearances-kept",
        "requirements.heat-kept-clear",
        "work.combustion-change",
        "work.flue-clearances",
    },
    "charged sprinkler pipe": {"requirements.sprinkler-depressurised"},
    "suspected asbestos or vermiculite": {
        "requirements.hazards-answered",
        "work.hazard-removal",
    },
    "limits of the product sheet": {
        "requirements.substrate-temperature",
        "requirements.wood-moisture",
        "requirements.above-dew-point",
        "requirements.frost-free",
    },
}


def test_exactly_these_rows_are_binding() -> None:
    facts = load_facts()
    found = {
        f"{table}.{name}"
        for table in ("work", "requirements", "approvals", "trip")
        for name, row in getattr(facts, table).items()
        if row.binding
    }
    assert found == set().union(*BINDING.values())


def test_binding_rows_where_work_can_hurt_carry_a_caution() -> None:
    facts = load_facts()
    hurts = set().union(
        *(rows for subject, rows in BINDING.items() if subject[:3] not in {"off", "lim"})
    )
    for row in sorted(hurts):
        table, name = row.split(".")
        assert getattr(facts, table)[name].caution, row


def test_binding_rows_stop_something() -> None:
    facts = load_facts()
    for table in ("work", "requirements", "approvals"):
        for name, row in getattr(facts, table).items():
            assert not row.binding or row.effect.startswith("stops"), name
