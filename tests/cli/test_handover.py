"""The command `handover`: out as a site card, back as lines; nothing private goes either way.

Invariant: what travels is the same statement there: author, moment and how it is known.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from readiness.cli.main import readiness
from tests.conftest import ROOT

SAMPLE = ROOT / "sample_jobs" / "garden-room-addition"
MORNING = ("--as-of", "2026-08-27 07:00")
GRETE = ("--writer", "Grete Lind, contractor")
LEAD = ("--writer", "Ines Ferro, crew lead")

SECRETS = ("4711", "asthma", "5,400", "lockbox", "migraine")
"""Each stands in one place where somebody might write it; none may travel."""


def run(*words: str | Path, code: int | None = 0) -> Result:
    result = CliRunner().invoke(
        readiness, list(map(str, words)), standalone_mode=False, catch_exceptions=False
    )
    if code is not None:
        assert int(result.return_value) == code, result.output
    return result


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return a copy of the addition with private facts in its notes and its diary."""
    folder = tmp_path / "job"
    shutil.copytree(SAMPLE, folder)
    text = (folder / "job.toml").read_text("utf-8")
    text = text.replace(
        'framing-pick-up    = { takes = "3 h"',
        'framing-pick-up    = { note = "door code 4711", takes = "3 h"',
    ).replace(
        'result = "passed", at = 2026-08-20',
        'result = "passed", correct = "they ask 5,400", at = 2026-08-20',
    )
    assert "4711" in text
    (folder / "job.toml").write_text(text, encoding="utf-8")
    run(
        "note",
        folder,
        "remark",
        "the daughter has asthma",
        "--private",
        *GRETE,
        "--as-of",
        "2026-08-24 08:00",
    )
    run(
        "note",
        folder,
        "remark",
        "key is in the lockbox at the gate",
        *GRETE,
        "--as-of",
        "2026-08-24 08:05",
    )
    run(
        "note",
        folder,
        "stop",
        "owner has a migraine from the paint",
        *GRETE,
        "--as-of",
        "2026-08-24 08:10",
    )
    run("note", folder, "lift", *GRETE, "--as-of", "2026-08-24 09:00")
    return folder


@pytest.fixture
def card(job: Path, tmp_path: Path) -> Path:
    run("handover", job, "--to", tmp_path / "card" / "job.toml")
    return tmp_path / "card"


def entries(folder: Path) -> list[dict[str, object]]:
    """Return what the diary of a job states, without what differs between two copies."""
    found = [
        json.loads(line)
        for file in sorted((folder / "diary").glob("*.jsonl"))
        for line in file.read_text("utf-8").splitlines()
    ]
    apart = {"writer", "number", "written", "via", "replaces"}
    return sorted(
        (
            {key: value for key, value in entry.items() if key not in apart}
            for entry in found
            if entry["kind"] != "job-file"
        ),
        key=lambda entry: (str(entry["seen"]), str(entry["kind"]), str(entry)),
    )


SPRAY_DAY = """\
confirmed main
2026-08-27 07:20 arrived
2026-08-27 07:25 yes house-closed --how seen
2026-08-27 07:26 no parking-and-hose --how said
2026-08-27 07:27 promised heat 2026-08-28 07:00
2026-08-27 07:28 reading moisture 14 % bath.east-wall roof
2026-08-27 07:29 reading surface 68 F
2026-08-27 07:30 prepared swept garden-room
2026-08-27 07:40 stop "floor of the \\"north\\" bay wet" garden-room
2026-08-27 07:50 lift dry
2026-08-27 10:00 sprayed bath.east-wall 60 %
2026-08-27 12:00 sprayed all
2026-08-27 12:10 last-foam
2026-08-27 12:20 depth roof 6.1 6.3 5.9e
2026-08-27 12:40 cleaned
2026-08-27 12:41 ventilated no
2026-08-28 12:41 ventilated
2026-08-28 12:42 void "power cut" roof
2026-08-28 12:43 remark "pipe hanger left loose"
2026-08-28 14:00 release
"""


def sprayed(card: Path) -> None:
    """Write a whole spray day into the diary of the card."""
    message = card.parent / "day.txt"
    message.write_text(SPRAY_DAY, encoding="utf-8")
    words = ("--yes", "--from", "Ines Ferro, crew lead", "--as-of", "2026-08-28 14:10")
    run("receive", card, message, *words, *LEAD)


def test_the_card_is_a_job_that_every_command_takes(card: Path) -> None:
    for words in (
        ("check", card),
        ("when", card),
        ("calls", card),
        ("send", card, "--show"),
        ("send", card, "--text"),
        ("open", card, "--plain"),
    ):
        result = run(*words, code=None)
        assert int(result.return_value) in {0, 4}, words
        assert "Heron Lane 5" in result.stdout


def test_the_card_asks_for_the_same_trip_at_the_same_hour(job: Path, card: Path) -> None:
    of_job = json.loads(run("check", job, "--json", code=None).stdout)
    of_card = json.loads(run("check", card, "--json", code=None).stdout)
    assert of_card["instants"]["on"] == of_job["instants"]["on"]
    assert {line["surface"] for line in of_card["surfaces"]} == {
        line["surface"] for line in of_job["surfaces"]
    }


@pytest.mark.parametrize("sample", sorted(p.name for p in SAMPLE.parent.iterdir() if p.is_dir()))
def test_what_holds_the_job_up_holds_the_card_up_and_nothing_else_does(
    sample: str, tmp_path: Path
) -> None:
    """A dispatcher with the card alone finds the surfaces that the contractor finds."""
    shutil.copytree(SAMPLE.parent / sample, tmp_path / "job")
    (tmp_path / "card").mkdir()
    run("handover", tmp_path / "job", "--to", tmp_path / "card" / "job.toml")
    held: list[set[str]] = []
    for folder in ("job", "card"):
        answer = json.loads(run("check", tmp_path / folder, "--json", code=None).stdout)
        words = {line["surface"]: line["word"] for line in answer["surfaces"]}
        held.append({name for name, word in words.items() if word not in {"ready", "on course"}})
    assert held[0] == held[1]


def test_nothing_private_is_on_the_card_or_in_what_is_sent(
    job: Path, card: Path, tmp_path: Path
) -> None:
    run("send", job, "--out", tmp_path / "out", code=None)
    told = [
        (card / "job.toml").read_text("utf-8"),
        run("send", job, "--text", code=None).stdout,
        *(file.read_text("utf-8") for file in (tmp_path / "out").iterdir()),
    ]
    assert len(told) > 4
    assert [secret for secret in SECRETS for text in told if secret in text] == []


def test_telephones_of_other_trades_stay_with_the_contractor(card: Path) -> None:
    text = (card / "job.toml").read_text("utf-8")
    assert "555-0171" in text
    assert "555-0172" in text
    assert "555-0176" not in text
    assert "example.com" not in text


def test_a_spray_day_travels_back_as_the_same_statements(
    job: Path, card: Path, tmp_path: Path
) -> None:
    sprayed(card)
    at_home = entries(job)
    back = tmp_path / "back.txt"
    run("handover", card, "--to", back, "--as-of", "2026-08-28 14:10")
    words = ("--yes", "--as-of", "2026-08-28 15:00", *GRETE)
    result = run("receive", job, back, *words)
    assert "ask " not in result.stdout
    assert len(entries(card)) == len(SPRAY_DAY.splitlines())
    assert [entry for entry in entries(job) if entry not in at_home] == entries(card)


def test_handing_over_again_brings_only_what_is_new(job: Path, card: Path, tmp_path: Path) -> None:
    sprayed(card)
    back = tmp_path / "back.txt"
    words = ("--yes", "--as-of", "2026-08-28 15:00", *GRETE)
    run("handover", card, "--to", back, "--as-of", "2026-08-28 14:10")
    run("receive", job, back, *words)
    once = entries(job)
    run("note", card, "remark", "hose left behind", *LEAD, "--as-of", "2026-08-28 14:20")
    run("handover", card, "--to", back, "--as-of", "2026-08-28 14:30")
    result = run("receive", job, back, *words)
    assert "1 entry written" in result.stdout
    assert len(entries(job)) == len(once) + 1


def test_the_way_back_leaves_private_words_at_home(job: Path, card: Path, tmp_path: Path) -> None:
    run("note", card, "remark", "the neighbor is pregnant", *LEAD, *MORNING)
    run("note", card, "remark", "gate code 9921#", *LEAD, *MORNING)
    run("note", card, "remark", "call me", "--private", *LEAD, *MORNING)
    run("note", card, "stop", "helper is sick in the hall", *LEAD, *MORNING)
    back = tmp_path / "back.txt"
    result = run("handover", card, "--to", back, *MORNING)
    text = back.read_text("utf-8")
    assert [word for word in ("pregnant", "9921", "call me", "sick") if word in text] == []
    assert 'stop "call for the reason" --how seen' in text
    assert "3 private remarks stay here; 1 reasons look private and stay here" in result.stdout
    assert "1 entry written" in run("receive", job, back, "--yes", *GRETE, *MORNING).stdout


def test_a_file_of_somebody_else_is_left_alone(job: Path, tmp_path: Path) -> None:
    from readiness.job.problems import JobFileError

    letter = tmp_path / "letter.txt"
    letter.write_text("Dear Ines", encoding="utf-8")
    with pytest.raises(JobFileError, match="not written by this program"):
        run("handover", job, "--to", letter)
    assert letter.read_text("utf-8") == "Dear Ines"
