"""`new` asks at most ten questions and writes a job that the other commands take.

Invariant: what ends early, or finds a job file, writes nothing.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from readiness.cli.main import Exit, readiness
from readiness.cli.new import KINDS
from readiness.desk.desk import open_desk
from readiness.job.problems import JobFileError

AS_OF = ("--as-of", "2026-05-04 06:30")
ANSWERS = (
    "new",
    "Elm Street 8",
    "US OH America/New_York",
    "ground: hall, kitchen; upper: bath, bedroom 1",
    "Noor Haddad, 555-0101",
    "Pell Foam, 555-0102",
    "-",
    "Town office, 555-0103",
    "2026-06-08",
    "2026-06-24",
)


def run(*words: str, typed: str = "") -> Result:
    return CliRunner().invoke(
        readiness, ["new", *words], input=typed, standalone_mode=False, catch_exceptions=True
    )


def asked(folder: Path, *answers: str) -> Result:
    return run(str(folder), *AS_OF, typed="\n".join(answers) + "\n")


@pytest.mark.parametrize("kind", KINDS)
def test_an_example_of_each_kind_passes_through_the_commands(kind: str, tmp_path: Path) -> None:
    folder = tmp_path / "job"
    made = run(str(folder), "--kind", kind, "--yes", *AS_OF)
    assert made.return_value == Exit.YES
    for words in (["check"], ["when"], ["send", "--show"], ["open", "--plain"]):
        call = [words[0], str(folder), *words[1:]]
        assert CliRunner().invoke(readiness, call, standalone_mode=False).return_value == Exit.YES


@pytest.mark.parametrize("typed", ["post-frame", "Post Frame", "POST_FRAME"])
def test_a_kind_is_heard_as_people_type_it(typed: str, tmp_path: Path) -> None:
    assert run(str(tmp_path / "job"), *AS_OF, "--kind", typed, "--yes").return_value == Exit.YES
    assert 'kind    = "post-frame"' in (tmp_path / "job" / "job.toml").read_text("utf-8")


def test_it_prints_the_next_three_commands(tmp_path: Path) -> None:
    folder = tmp_path / "my job"
    lines = run(str(folder), "--card", "--yes").output.splitlines()
    assert lines[-3:] == [f"  readiness {word} '{folder}'" for word in ("check", "when", "open")]


def test_ten_answers_make_a_job(tmp_path: Path) -> None:
    assert asked(tmp_path / "elm", *ANSWERS).return_value == Exit.YES
    job = open_desk(tmp_path / "elm").job
    assert job.name == "Elm Street 8"
    assert list(job.rooms) == ["hall", "kitchen", "bath", "bedroom-1"]
    assert [room.storey for room in job.rooms.values()] == ["ground", "ground", "upper", "upper"]
    assert job.trades["spray"].phone == "555-0102"
    assert "electrician" not in job.trades
    assert job.offices["building"].name == "Town office"
    assert str(job.trips["main"].booked) == "2026-06-08 07:30:00"
    assert str(job.board) == "2026-06-24"


def test_a_job_of_ones_own_claims_nothing_that_was_not_answered(tmp_path: Path) -> None:
    asked(tmp_path / "elm", *ANSWERS)
    job = open_desk(tmp_path / "elm").job
    assert not job.done
    assert not job.work
    assert not job.approvals
    assert not job.answers
    assert not job.obstructions
    assert job.trips["main"].agreed is None


def test_enter_takes_what_is_proposed(tmp_path: Path) -> None:
    assert asked(tmp_path / "elm", "", "Elm Street 8", *[""] * 8).return_value == Exit.YES
    job = open_desk(tmp_path / "elm").job
    assert job.kind == "new house"
    assert "garage" in job.rooms
    assert str(job.trips["main"].booked) == "2026-06-02 07:30:00"


@pytest.mark.parametrize(
    ("place", "bad", "hint"),
    [
        (0, "bathroom", "a kind of job"),
        (2, "US ZZ America/New_York", "two letters each"),
        (2, "US OH America/Nowhere", "capitals count"),
        (3, "ground: ;", "storey by storey"),
        (5, "555-0102", "Corliss Foam, 555-0121"),
        (8, "next thursday", "Thu 7 May 2026 or Thu 14 May 2026"),
        (8, "2026-06-06", "next comes Mon 8 Jun 2026"),
        (8, "2026-05-25", "weekend or holiday"),
        (8, "2026-04-01", "today is Mon 4 May 2026"),
        (9, "2026-06-05", "the spray day is Mon 8 Jun 2026"),
    ],
)
def test_a_bad_answer_is_asked_again_with_a_hint(
    place: int, bad: str, hint: str, tmp_path: Path
) -> None:
    ran = asked(tmp_path / "elm", *ANSWERS[:place], bad, *ANSWERS[place:])
    assert ran.return_value == Exit.YES
    assert hint in ran.stderr
    assert open_desk(tmp_path / "elm").job.name == "Elm Street 8"


@pytest.mark.parametrize("answered", range(len(ANSWERS)))
def test_no_run_asks_more_than_ten_questions_and_an_early_end_writes_nothing(
    answered: int, tmp_path: Path
) -> None:
    """The input ends early, as with Ctrl-C or Ctrl-D; only the tenth answer makes a file."""
    folder = tmp_path / "elm"
    ran = run(str(folder), *AS_OF, typed="".join(f"{line}\n" for line in ANSWERS[:answered]))
    assert type(ran.exception).__name__ == "Abort"
    assert not folder.exists()


@pytest.mark.parametrize("kind", KINDS)
def test_a_card_of_each_kind_is_on_course(kind: str, tmp_path: Path) -> None:
    folder = tmp_path / "card"
    assert run(str(folder), "--card", "--kind", kind, "--yes", *AS_OF).return_value == Exit.YES
    job = open_desk(folder).job
    assert job.card
    assert job.kind == kind
    checked = CliRunner().invoke(readiness, ["check", str(folder)], standalone_mode=False)
    assert checked.return_value == Exit.YES, checked.output


def test_a_card_asks_six_questions(tmp_path: Path) -> None:
    typed = "roof\nSedge Road 44\n\nViktor Hale 555-0195\nCorliss Foam\n2026-06-01\n"
    made = run(str(tmp_path / "card"), "--card", *AS_OF, typed=typed)
    assert made.return_value == Exit.YES
    job = open_desk(tmp_path / "card").job
    assert job.card
    assert job.kind == "roof deck"
    assert job.site.phone == "555-0195"
    assert not job.answers


def test_a_job_that_is_there_is_never_touched(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text("mine", encoding="utf-8")
    ran = run(str(tmp_path), "--card", "--yes")
    assert isinstance(ran.exception, JobFileError)
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]
    assert (tmp_path / "job.toml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("words", [("--yes",), ("--kind", "castle")])
def test_words_that_don_t_fit_are_refused(words: tuple[str, ...], tmp_path: Path) -> None:
    ran = run(str(tmp_path / "job"), *words)
    assert type(ran.exception).__name__ in {"UsageError", "BadParameter"}
    assert not (tmp_path / "job").exists()


def test_a_name_of_a_file_is_refused(tmp_path: Path) -> None:
    ran = run(str(tmp_path / "house.toml"), "--card", "--yes")
    assert "name a folder" in str(ran.exception)


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "house").write_text("mine", encoding="utf-8")
    ran = run(str(tmp_path / "house"), "--card", "--yes")
    assert isinstance(ran.exception, JobFileError)
    assert (tmp_path / "house").read_text(encoding="utf-8") == "mine"


def test_only_as_of_stops_the_clock(tmp_path: Path) -> None:
    """An everyday job goes by the machine's clock and gets a key of its own."""
    for folder in ("a", "b"):
        run(str(tmp_path / folder), "--kind", "addition", "--yes")
    first, second = open_desk(tmp_path / "a").job, open_desk(tmp_path / "b").job
    assert first.as_of is None
    assert first.key != second.key


def test_with_as_of_the_same_call_writes_the_same_file(tmp_path: Path) -> None:
    for folder in ("a", "b"):
        run(str(tmp_path / folder), "--kind", "addition", "--yes", *AS_OF)
    first, second = ((tmp_path / name / "job.toml").read_bytes() for name in "ab")
    assert first == second
    assert b"as_of   = 2026-05-04T06:30:00" in first
