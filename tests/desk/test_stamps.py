"""Stamps of files: another one for every change that a later request must see."""

from __future__ import annotations

import os
import time
from pathlib import Path

from readiness.desk.stamps import SETTLED_NS, is_settled, stamp_of, stamp_of_job


def test_every_kind_of_change_is_another_stamp(tmp_path: Path) -> None:
    job, folder = tmp_path / "job.toml", tmp_path / "diary"
    seen = [stamp_of_job(job)]

    def look(what: str) -> None:
        stamp = stamp_of_job(job)
        assert stamp not in seen, what
        seen.append(stamp)

    job.write_text("one", encoding="utf-8")
    look("it is there")
    job.write_text("longer", encoding="utf-8")
    look("another size")
    other = tmp_path / "other"
    other.write_text("longer", encoding="utf-8")
    os.utime(other, ns=(0, job.stat().st_mtime_ns))
    other.replace(job)
    look("another file of the same size and time moved into its place")
    folder.mkdir()
    look("a folder for the diary")
    diary = folder / "ada.jsonl"
    diary.write_text("{}\n", encoding="utf-8")
    look("a first diary")
    with diary.open("a", encoding="utf-8") as handle:
        handle.write("{}\n")
    look("a line more")
    (folder / "bo.jsonl").write_text("", encoding="utf-8")
    look("another writer")
    diary.unlink()
    look("a diary less")
    job.unlink()
    look("it is gone")


def test_a_change_is_settled_only_after_a_while(tmp_path: Path) -> None:
    """Else a second change within one tick of the disk's clock would look like the first."""
    file = tmp_path / "job.toml"
    file.write_text("one", encoding="utf-8")
    assert not is_settled(stamp_of(file))
    moment = time.time_ns() - 2 * SETTLED_NS
    stamp = tuple((one[0], moment, moment, *one[3:]) for one in stamp_of(file))
    assert is_settled(stamp)
    assert is_settled(stamp_of(tmp_path / "nothing"))
