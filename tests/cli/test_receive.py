"""The command `receive`: of each message all is written or nothing, and what is not clear is asked.

Invariant: no text, whatever signs it holds, ends in anything but an answer or a refusal.
"""

from __future__ import annotations

import json
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from readiness.cli.main import readiness
from readiness.job.problems import JobFileError
from tests.builders import HEAD, ROOMS, TRIP

JOB = (
    HEAD.replace('key = "', 'as_of = 2026-05-11T06:30:00\nkey = "')
    + ROOMS
    + TRIP
    + """
[trades]
electrician = { name = "Bao Electric", phone = "555-0141" }

[work]
cable = { title = "Pull cable", trade = "electrician", in = ["bath", "kitchen"], \
order = "before", takes = "2 h" }

[approvals]
framing-approval = { requested = 2026-05-08T09:00:00 }
"""
)
TAKER = ("--writer", "Dana Ruiz, contractor")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    return tmp_path


def receive(job: Path, text: str | bytes, *words: str) -> Result:
    file = job.parent / f"{job.name}-message.txt"
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    return receive_files(job, str(file), *words)


def receive_files(job: Path, *words: str, stdin: str = "") -> Result:
    call = ["receive", str(job), *words, *TAKER]
    return CliRunner().invoke(
        readiness, call, standalone_mode=False, catch_exceptions=False, input=stdin
    )


def written(job: Path) -> list[dict[str, object]]:
    """Return the entries of the diary but the kept job file."""
    lines = [
        json.loads(line)
        for file in sorted((job / "diary").glob("*.jsonl"))
        for line in file.read_text("utf-8").splitlines()
    ]
    return [line for line in lines if line["kind"] != "job-file"]


def test_a_message_is_written_by_its_taker_in_the_name_of_its_author(job: Path) -> None:
    result = receive(job, "Bo Tan, electrician: done cable bath\n", "--yes")
    assert result.return_value == 0
    (entry,) = written(job)
    assert (entry["by"], entry["role"], entry["trade"]) == ("Bo Tan", "trade", "electrician")
    assert (entry["writer"], entry["via"], entry["how"]) == ("dana-ruiz", "by message", "said")


def test_the_head_of_a_message_signs_the_lines_below_it(job: Path) -> None:
    text = "From: Bo Tan, electrician <bo@bao.example.com>\n\ndone cable bath\ndone cable kitchen\n"
    receive(job, text + "2026-05-10 18:00 Lea Brandt, crew lead:\narrived\n", "--yes")
    said = [(entry["kind"], entry["by"], entry["seen"]) for entry in written(job)]
    assert said == [
        ("done", "Bo Tan", "2026-05-11T06:30:00"),
        ("done", "Bo Tan", "2026-05-11T06:30:00"),
        ("arrived", "Lea Brandt", "2026-05-10T18:00:00"),
    ]


def test_from_names_the_author_where_the_message_does_not(job: Path) -> None:
    receive(job, "done cable bath", "--yes", "--from", "Bo Tan, electrician")
    assert written(job)[0]["by"] == "Bo Tan"


@pytest.mark.parametrize(
    ("text", "words", "how"),
    [
        ("done cable", (), "said"),
        ("done cable", ("--how", "shown"), "shown"),
        ("done cable --how seen", (), "seen"),
        ("done cable —how seen", (), "seen"),
        ("done cable --how seen", ("--how", "shown"), "seen"),
        ("passed framing", (), "said"),
        ("passed framing --by office", (), "recorded"),
    ],
)
def test_a_message_is_said_unless_line_or_option_say_more(
    job: Path, text: str, words: tuple[str, ...], how: str
) -> None:
    """The ladder of evidence: nobody climbs it by sending a text."""
    receive(job, text, "--yes", *words)
    assert [entry["how"] for entry in written(job)] == [how]


def test_one_refused_line_keeps_its_whole_message_out(job: Path) -> None:
    text = "Lea Brandt, crew lead: arrived\nLea Brandt, crew lead: release\n"
    result = receive(job, text, "--yes")
    assert result.return_value == 3
    assert "no entry says when the last foam was" in result.stderr
    assert "nothing of it was written: 1 line can't be" in result.stderr
    assert not (job / "diary").exists()


def test_a_refused_message_leaves_the_others_of_the_call_in(job: Path) -> None:
    good = job.parent / "good.txt"
    good.write_text("done cable bath", encoding="utf-8")
    bad = job.parent / "bad.txt"
    bad.write_text("done cable kitchen\nrelease", encoding="utf-8")
    result = receive_files(job, str(bad), str(good), "--yes")
    assert result.return_value == 3
    assert [entry["places"] for entry in written(job)] == [["bath"]]


def test_a_file_that_is_not_there_is_told_before_anything_is_written(job: Path) -> None:
    good = job.parent / "good.txt"
    good.write_text("done cable bath", encoding="utf-8")
    with pytest.raises(JobFileError, match=r"nowhere\.txt"):
        receive_files(job, str(good), str(job / "nowhere.txt"), "--yes")
    assert not (job / "diary").exists()


def test_each_line_is_checked_after_the_ones_before_it(job: Path) -> None:
    """A whole day up to the release is one message."""
    text = """2026-05-09 07:00 Lea Brandt, crew lead: arrived
2026-05-09 12:00 Lea Brandt, crew lead: sprayed all
2026-05-09 12:10 Lea Brandt, crew lead: last-foam
2026-05-09 13:00 Lea Brandt, crew lead: cleaned
2026-05-10 12:00 Lea Brandt, crew lead: ventilated
2026-05-11 06:20 Lea Brandt, crew lead: release
"""
    assert receive(job, text.replace("release", "lift"), "--yes").return_value == 3
    assert receive(job, text, "--yes").return_value == 0
    kinds = [entry["kind"] for entry in written(job)]
    assert kinds == ["arrived", "sprayed", "last-foam", "cleaned", "ventilated", "release"]


def test_a_thing_that_one_line_sets_is_known_to_the_next(job: Path) -> None:
    text = "set crates --is stored-goods --blocks bath.outer\npulled crates\n"
    assert receive(job, text, "--yes").return_value == 0
    assert [entry["kind"] for entry in written(job)] == ["set", "pulled"]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("Bo Tan, electrician: stop", "something is missing"),
        ("stop wet --private", "only a remark can be private"),
        ("begun cable 300 %", "share"),
        ("done cabel", "did you mean cable"),
        ("will be there tmrw :)", "is no word of the diary"),
    ],
)
def test_what_is_not_understood_is_kept_and_asked_back(job: Path, line: str, says: str) -> None:
    result = receive(job, line, "--yes", "--from", "Bo Tan, electrician")
    if says == "share":
        assert result.return_value == 3
        assert says in result.stderr
        return
    assert result.return_value == 0
    assert says in result.stdout
    assert f"ask Bo Tan what was meant: {line}" in result.stdout
    (entry,) = written(job)
    assert (entry["kind"], entry["text"]) == ("remark", line)


def test_subject_and_greeting_sign_nothing(job: Path) -> None:
    """What stands before a colon is a person only with a role of the job or behind a moment."""
    receive(job, "Subject: done cable\nnote this: done cable\n", "--yes")
    assert [(entry["kind"], entry["by"]) for entry in written(job)] == [("remark", "Dana Ruiz")] * 2


def test_lines_of_an_older_mail_are_left_out_and_told(job: Path) -> None:
    result = receive(job, "done cable bath\n> done cable kitchen\n>> stop wet\n", "--yes")
    assert "2 quoted lines left out" in result.stdout
    assert [entry["places"] for entry in written(job)] == [["bath"]]


@pytest.mark.parametrize(
    "line",
    [
        "remark “floor’s wet”",
        'remark \u202e\u200f"floor’s wet"\u202c',
        "\x1b[31mremark\x1b[0m floor’s wet",
        "\x1b]0;title\x07remark floor’s wet",
        "remark floor’s\x00wet",
        "remark\u00a0floor’s wet\r",
        "\ufeffremark floor’s wet",
    ],
)
def test_signs_of_telephones_and_terminals_do_no_harm(job: Path, line: str) -> None:
    result = receive(job, line, "--yes")
    assert [entry["text"] for entry in written(job)] == ["floor’s wet"]
    assert "\x1b" not in result.stdout
    assert "\u202e" not in result.stdout


@pytest.mark.parametrize("text", ["remark weiter so 👷‍♀️ naïve 漆", "remark שלום"])
def test_letters_of_the_world_are_kept(job: Path, text: str) -> None:
    receive(job, text, "--yes")
    kept = str(written(job)[0]["text"])
    assert kept.replace(" ", "") == text.removeprefix("remark ").replace("\u200d", "").replace(
        " ", ""
    )


def test_line_ends_and_encodings_of_other_systems_are_read(job: Path) -> None:
    receive(job, "done cable bath\r\ndone cable kitchen\r\n".encode("utf-16"), "--yes")
    assert [entry["places"] for entry in written(job)] == [["bath"], ["kitchen"]]


def test_bytes_that_are_no_text_are_only_remarks(job: Path) -> None:
    assert receive(job, bytes(range(256)) * 4, "--yes").return_value == 0
    assert {entry["kind"] for entry in written(job)} == {"remark"}


def test_the_longest_message_is_one_remark_and_a_longer_one_is_refused(job: Path) -> None:
    words = "wet floor " * 20_000
    assert receive(job, words, "--yes").return_value == 0
    (entry,) = written(job)
    assert str(entry["text"]).replace("\n", " ") == words.strip()
    with pytest.raises(JobFileError, match="at most 200000"):
        receive(job, words + "!", "--yes")


def test_what_was_received_before_is_not_written_again(job: Path) -> None:
    text = "2026-05-10 18:00 Lea Brandt, crew lead: arrived\n"
    receive(job, text, "--yes")
    result = receive(job, text + "2026-05-10 19:00 Lea Brandt, crew lead: last-foam\n", "--yes")
    assert "(already in the diary)" in result.stdout
    assert [entry["kind"] for entry in written(job)] == ["arrived", "last-foam"]


def test_nothing_is_written_without_a_yes(job: Path) -> None:
    file = job.parent / "m.txt"
    file.write_text("done cable", encoding="utf-8")
    result = receive_files(job, str(file), stdin="n\n")
    assert result.return_value == 4
    assert "nothing of it was written" in result.stderr
    assert not (job / "diary").exists()
    assert receive_files(job, str(file), stdin="y\n").return_value == 0
    assert len(written(job)) == 1


def test_show_writes_nothing(job: Path) -> None:
    result = receive(job, "done cable", "--show")
    assert result.return_value == 0
    assert "done: work cable, places all (understood)" in result.stdout
    assert not (job / "diary").exists()


def test_standard_input_needs_a_yes_beforehand(job: Path) -> None:
    """The message comes the way the answer would come."""
    with pytest.raises(click.UsageError, match="add --yes"):
        receive_files(job, "-", stdin="done cable\n")
    assert receive_files(job, "-", "--yes", stdin="done cable\n").return_value == 0
    assert len(written(job)) == 1


def test_a_site_card_is_no_message(job: Path) -> None:
    with pytest.raises(JobFileError, match="in a folder of its own"):
        receive(job, "# Site card: what the spray company needs to know.\n", "--yes")


def test_an_override_by_message_needs_the_right_role_too(job: Path) -> None:
    text = 'override cable bath.outer --reason "crew is free"'
    result = receive(job, text, "--yes", "--from", "Bo Tan, electrician")
    assert result.return_value == 3
    assert "not by trade" in result.stderr
