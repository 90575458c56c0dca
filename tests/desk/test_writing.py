"""Files are there whole or not at all, and nobody else's is overwritten."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from readiness.desk.writing import write_files
from readiness.job.problems import JobFileError

FILES = {"a.ics": b"OURS a", "b.ics": b"OURS b"}


def ours(head: bytes) -> bool:
    return head.startswith(b"OURS")


def content_of(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_files_are_written_into_a_new_folder(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "deep"
    assert write_files(folder, FILES, ours=ours) == ()
    assert content_of(folder) == FILES


def test_files_of_ours_are_replaced(tmp_path: Path) -> None:
    (tmp_path / "a.ics").write_bytes(b"OURS, older")
    write_files(tmp_path, FILES, ours=ours)
    assert content_of(tmp_path) == FILES


def test_older_files_of_ours_are_named_and_kept(tmp_path: Path) -> None:
    (tmp_path / "gone.ics").write_bytes(b"OURS, older")
    (tmp_path / "else.ics").write_bytes(b"theirs")
    (tmp_path / "notes.txt").write_bytes(b"OURS?")
    assert write_files(tmp_path, FILES, ours=ours) == ("gone.ics",)
    assert (tmp_path / "gone.ics").exists()


def test_a_file_of_somebody_else_stops_everything(tmp_path: Path) -> None:
    (tmp_path / "b.ics").write_bytes(b"theirs")
    with pytest.raises(JobFileError, match=r"b\.ics: it is there already and was not written by"):
        write_files(tmp_path, FILES, ours=ours)
    assert content_of(tmp_path) == {"b.ics": b"theirs"}


def test_a_link_or_a_folder_in_the_place_of_a_file_stops_everything(tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.write_bytes(b"OURS")
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "a.ics").symlink_to(other)
    (folder / "b.ics").mkdir()
    with pytest.raises(JobFileError) as caught:
        write_files(folder, FILES, ours=ours)
    assert [Path(problem.file).name for problem in caught.value.problems] == ["a.ics", "b.ics"]
    assert other.read_bytes() == b"OURS"


def test_a_file_in_the_place_of_the_folder_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "taken").write_bytes(b"theirs")
    for folder in (tmp_path / "taken", tmp_path / "taken" / "below"):
        with pytest.raises(JobFileError, match="not a folder"):
            write_files(folder, FILES, ours=ours)
    assert content_of(tmp_path) == {"taken": b"theirs"}


def test_names_that_some_disks_take_for_one_are_a_problem(tmp_path: Path) -> None:
    files = {"Roofer.ics": b"OURS", "roofer.ics": b"OURS"}
    with pytest.raises(JobFileError, match="rename one of the trades"):
        write_files(tmp_path / "new", files, ours=ours)
    assert not (tmp_path / "new").exists()


def test_a_full_disk_leaves_everything_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.ics").write_bytes(b"OURS, older")
    synced: list[int] = []

    def full(handle: int) -> None:
        synced.append(handle)
        if len(synced) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(JobFileError, match=r"b\.ics: it can't be written \(No space left"):
        write_files(tmp_path, FILES, ours=ours)
    assert content_of(tmp_path) == {"a.ics": b"OURS, older"}


def test_a_failure_takes_away_the_folder_it_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(_handle: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(os, "fsync", refused)
    with pytest.raises(JobFileError):
        write_files(tmp_path / "new" / "deep", FILES, ours=ours)
    assert list(tmp_path.iterdir()) == []


def test_an_interruption_leaves_no_part_of_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(_handle: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_files(tmp_path, FILES, ours=ours)
    assert list(tmp_path.iterdir()) == []


def test_what_was_replaced_before_a_failure_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = Path.replace

    def refused(self: Path, target: Path) -> Path:
        if target.name == "b.ics":
            raise PermissionError(errno.EACCES, "Permission denied")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", refused)
    with pytest.raises(JobFileError, match=r"new already: a\.ics; all others are as before"):
        write_files(tmp_path, FILES, ours=ours)
    assert content_of(tmp_path) == {"a.ics": b"OURS a"}


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write everywhere")
def test_no_permission_is_a_problem(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(JobFileError, match="Permission denied"):
            write_files(tmp_path, FILES, ours=ours)
    finally:
        tmp_path.chmod(0o700)
