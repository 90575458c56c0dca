"""Where a thing was written, as it is told."""

from __future__ import annotations

from readiness.job.origin import Origin


def test_an_origin_in_a_file_is_told_as_file_line_and_key() -> None:
    assert Origin("job.toml", 12, "work.tub").told() == "job.toml:12 work.tub"
    assert Origin("job.toml", None, "work.tub").told() == "job.toml work.tub"
    assert Origin("job.toml", 12).told() == "job.toml:12"


def test_an_origin_in_the_facts_is_told_with_its_source_and_status() -> None:
    origin = Origin("work", row="tub", status="common practice", citation="no source")
    assert origin.told() == "usual: tub; no source [common practice]"
    assert Origin("work", row="tub", status="seen").told() == "usual: tub; [seen]"
