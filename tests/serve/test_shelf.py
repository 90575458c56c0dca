"""A shelf relies on what the disk says only once the next change would look different."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from readiness.desk.desk import Desk, open_desk
from readiness.serve import shelf
from readiness.serve.shelf import Shelf, Wanted
from tests.conftest import ROOT


@pytest.mark.parametrize(("settled", "times"), [(True, 1), (False, 3)])
def test_a_file_is_read_again_until_its_stamp_is_settled(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    settled: bool,  # noqa: FBT001  a case of the table
    times: int,
) -> None:
    """Three requests for one page, the stamp the same each time."""
    job = tmp_path / "job.toml"
    shutil.copy(ROOT / "sample_jobs" / "basement-flat" / "job.toml", job)
    read: list[Desk] = []

    def again() -> Desk:
        read.append(open_desk(job))
        return read[-1]

    monkeypatch.setattr(shelf, "is_settled", lambda _: settled)
    made = Shelf(open_desk(job), again, "https://pages.example.com", print)
    sheets = {made.made(Wanted("owner", is_calendar=False, token="a")) for _ in range(3)}  # noqa: S106
    assert len(sheets) == 1
    assert len(read) == times
