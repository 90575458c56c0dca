"""What was acknowledged stays in the diary, whatever is killed, full, torn or copied.

Invariant: the killed are real processes and the full disk is a real limit of the system.
"""

from __future__ import annotations

import json
import random
import shutil
import signal
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import IO, Any

import pytest

from readiness.desk.diary_files import append, read_diary
from tests.conftest import ROOT

START = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
GUARD_SECONDS = 300

WRITER = """
import os, sys
from pathlib import Path
from readiness.desk.diary_files import append
file, word, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
for turn in range(count):
    entry = {"kind": "remark", "text": f"{word} {turn}", "by": "Ola Renn",
             "seen": "2026-06-01", "written": "2026-06-01T12:00:00Z"}
    number = append(file, [entry])[0].number
    os.write(1, f"{number} {word} {turn}\\n".encode())
"""

ONE_TOO_MANY = """
import resource, signal, sys
from pathlib import Path
from readiness.desk.diary_files import DiaryWriteError, append
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
file = Path(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (file.stat().st_size + 40,) * 2)
entry = {"kind": "remark", "text": "x" * 200, "by": "Ola Renn",
         "seen": "2026-06-01", "written": "2026-06-01T12:00:00Z"}
try:
    append(file, [entry])
except DiaryWriteError as error:
    print(error.why)
    sys.exit(7)
"""


def remark(text: str, written: datetime = START) -> dict[str, Any]:
    return {
        "kind": "remark",
        "text": text,
        "by": "Ola Renn",
        "seen": written.date().isoformat(),
        "written": written.isoformat(),
    }


def texts(folder: Path) -> list[str]:
    history, _ = read_diary(folder)
    return [str(line.data["text"]) for line in history.lines]


def writer(file: Path, word: str, count: int, said: IO[bytes] | int) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(file), word, str(count)], cwd=ROOT, stdout=said
    )


def compete(folder: Path, *, processes: int, writes: int, kills: int) -> tuple[set[str], Path]:
    """Let processes write, half of them into one shared file, and kill one after the other.

    Returns what each of them was told to be written, as `number word turn`, and the shared file.
    """
    chance = random.Random(processes)
    diary = folder / "diary"
    shared = diary / "shared.jsonl"
    each = writes // processes
    files = [shared if who % 2 else diary / f"own-{who}.jsonl" for who in range(processes)]
    heard = [folder / f"heard-{who}" for who in range(processes)]
    steady = []
    for who in range(1, processes):
        with heard[who].open("wb") as said:
            steady.append(writer(files[who], f"steady{who}", each, said))
    acknowledged: set[str] = set()
    for turn in range(kills):
        victim = writer(files[turn % 2], f"victim{turn}", each, subprocess.PIPE)
        assert victim.stdout is not None
        for _ in range(chance.randrange(1, max(2, each // kills))):
            acknowledged.add(victim.stdout.readline().decode().strip())
        victim.send_signal(signal.SIGKILL)
        with victim.stdout as rest:
            acknowledged.update(rest.read().decode().splitlines())
        assert victim.wait(GUARD_SECONDS) == -signal.SIGKILL
    for process in steady:
        assert process.wait(GUARD_SECONDS) == 0
    for path in heard[1:]:
        acknowledged.update(path.read_text(encoding="utf-8").splitlines())
    return acknowledged, shared


def judge(folder: Path, acknowledged: set[str], shared: Path) -> None:
    """Compare what stands on disk, read without our reader, with what was acknowledged."""
    stands: list[tuple[str, int, str]] = []
    for file in (folder / "diary").iterdir():
        lines = [json.loads(line) for line in file.read_bytes().splitlines()]
        assert [line["number"] for line in lines] == list(range(1, len(lines) + 1))
        stands += [(file.stem, line["number"], line["text"]) for line in lines]
        words = {line["text"].split()[0] for line in lines}
        for word in words:
            turns = [
                int(line["text"].split()[1])
                for line in lines
                if line["text"].startswith(f"{word} ")
            ]
            assert turns == list(range(len(turns)))
    assert not acknowledged - {f"{number} {text}" for _, number, text in stands}
    assert any(stem == shared.stem for stem, _, _ in stands)
    history, problems = read_diary(folder / "diary")
    assert not problems
    assert len(history.lines) == len(stands)
    print(f"\nacknowledged {len(acknowledged)}, lost 0, torn 0, on disk {len(stands)}")  # noqa: T201


@pytest.mark.parametrize("processes", [4, 8])
def test_nothing_acknowledged_is_lost_while_some_are_killed(tmp_path: Path, processes: int) -> None:
    acknowledged, shared = compete(tmp_path, processes=processes, writes=800, kills=2)
    assert len(acknowledged) >= 800 // processes * (processes - 1)
    judge(tmp_path, acknowledged, shared)


@pytest.mark.long
@pytest.mark.parametrize("processes", [4, 8])
def test_ten_thousand_writes_with_random_kills(tmp_path: Path, processes: int) -> None:
    acknowledged, shared = compete(
        tmp_path, processes=processes, writes=10_000 * processes // (processes - 1), kills=12
    )
    assert len(acknowledged) >= 10_000 - processes
    judge(tmp_path, acknowledged, shared)


def test_a_full_disk_takes_nothing_of_an_entry(tmp_path: Path) -> None:
    file = tmp_path / "ola-renn.jsonl"
    append(file, [remark("before")])
    before = file.read_bytes()
    ran = subprocess.run(
        [sys.executable, "-c", ONE_TOO_MANY, str(file)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=GUARD_SECONDS,
    )
    assert (ran.returncode, ran.stdout.strip()) == (7, "File too large")
    assert file.read_bytes() == before
    assert append(file, [remark("after")])[0].number == 2


def test_half_a_last_line_is_told_and_hides_nothing(tmp_path: Path) -> None:
    file = tmp_path / "ola-renn.jsonl"
    append(file, [remark("one"), remark("two")])
    whole = file.read_bytes()
    for length in (1, 30, len(whole.splitlines()[1]) - 1):
        file.write_bytes(whole + whole.splitlines()[1][:length])
        assert append(file, [remark("three")])[0].number == 3
        history, problems = read_diary(tmp_path)
        assert [line.data["text"] for line in history.lines] == ["one", "two", "three"]
        assert [(Path(p.file).name, p.line) for p in problems] == [("ola-renn.jsonl", 3)]
        file.write_bytes(whole)


def test_a_copy_made_by_a_sync_program_counts_once(tmp_path: Path) -> None:
    file = tmp_path / "ola-renn.jsonl"
    append(file, [remark("one")])
    shutil.copy(file, tmp_path / "ola-renn (copy of the truck).jsonl")
    append(file, [remark("two")])
    assert texts(tmp_path) == ["one", "two"]
    assert read_diary(tmp_path)[1] == ()


def test_two_entries_of_one_name_are_both_kept_and_told(tmp_path: Path) -> None:
    file = tmp_path / "ola-renn.jsonl"
    append(file, [remark("one")])
    other = json.loads(file.read_bytes()) | {"text": "another"}
    (tmp_path / "ola-renn-2.jsonl").write_text(json.dumps(other) + "\n", encoding="utf-8")
    assert sorted(texts(tmp_path)) == ["another", "one"]
    problem = read_diary(tmp_path)[1][0]
    assert "ola-renn#1 also stands in" in problem.what


def test_a_clock_set_back_breaks_no_numbering(tmp_path: Path) -> None:
    file = tmp_path / "ola-renn.jsonl"
    moments = [START, START - timedelta(days=3), START + timedelta(hours=1)]
    for moment in moments:
        append(file, [remark(moment.isoformat(), moment)])
    lines = [json.loads(line) for line in file.read_bytes().splitlines()]
    assert [line["number"] for line in lines] == [1, 2, 3]
    assert [line["text"] for line in lines] == [moment.isoformat() for moment in moments]
    assert read_diary(tmp_path)[1] == ()
