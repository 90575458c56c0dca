"""What the models refuse, told in our words and once."""

from __future__ import annotations

from hashlib import sha256

import pytest

from readiness.job.complaints import keys_of, typed
from tests.job.builders import job_text, line_with, problems, told


def one(text: str) -> str:
    """Return the only problem of a text."""
    (problem,) = told(text)
    return problem


def test_a_typing_slip_in_a_key_is_one_problem_at_its_own_line() -> None:
    """The slip is at once an unknown key and a missing one; it is told once."""
    text = job_text(surfaces='roof = { iss = "roof deck" }\nwall = { is = "gable wall" }')
    line = line_with(text, "iss")
    assert one(text) == (
        f"job.toml:{line}: surfaces.roof.iss: iss is not known here; did you mean is?"
    )


@pytest.mark.parametrize(
    ("work", "told_key", "words"),
    [
        ('takes = "2 days"', "takes", '"2 days" is not a duration with one reading; working or'),
        ("takes = 3", "takes", '3 is not a duration; write it as text, e.g. "3 d"'),
        ("takes = true", "takes", "true is not a duration"),
        ('order = "bfore"', "order", '"bfore" is not known here; wanted one of: before, on the'),
        ('order = "bfore"', "order", "did you mean before?"),
        ('order = { bath-1 = "later" }', "order.bath-1", '"later" is not known here'),
        ("order = 5", "order", "5 is not known here"),
        ("crews_on = 0", "crews_on", "0 is not a number from 1"),
        ("crews_on = 51", "crews_on", "51 is not a number up to 50"),
        ("crews_on = 1.5", "crews_on", "1.5 is not a whole number"),
        ('crews_on = "2"', "crews_on", '"2" is not a whole number'),
        ("crews_on = true", "crews_on", "true is not a whole number"),
        ("done = 1", "done", "1 is not true or a day"),
        ('done = "yes"', "done", '"yes" is not true or a day'),
        ("begun = true", "begun", "true is not a day"),
        ("begun = 2026-05-01T07:00:00Z", "begun", "without Z or an offset"),
        ("begun = 9999-01-01", "begun", "years go from 1990 to 2200"),
        ('begun = "5/4/2026"', "begun", "it has two readings"),
        ("together = 1", "together", "1 is not true or false"),
        ('together = "yes"', "together", '"yes" is not true or false'),
        ("in = 5", "in", "5 is not text between quotes"),
        ("in = [5]", "in[1]", "5 is not text between quotes"),
        ("title = 5", "title", "5 is not text between quotes"),
        ("weights = [1]", "weights", "[ ... ] is not a table"),
        ("weights = { bath-1 = -1 }", "weights.bath-1", "-1 is not a number above 0"),
        ("weights = { bath-1 = inf }", "weights.bath-1", "inf is not a number"),
        ('weights = { bath-1 = "1" }', "weights.bath-1", '"1" is not a number'),
        ("share = 0.6", "share", "0.6 is not a share in percent"),
        ('share = "160 %"', "share", "a share from 0 % to 100 %"),
        ("agreed = 5", "agreed", "5 is not a booking"),
        ('agreed = "thursday"', "agreed", '"thursday" is not a day'),
        ('done_in = { bath-1 = "x" }', "done_in.bath-1", '"x" is not a day'),
        ('starts_after = "x"', "starts_after", '"x" is not a table'),
        ('starts_after = [{ end_off = "x" }]', "starts_after[1].end_off", "did you mean end_of?"),
        ('how = "heard"', "how", "wanted one of: said, shown, seen, recorded"),
        ('note = "a\\u202eb"', "note", "U+202E"),
        ("colour = 1", "colour", "colour is not known here; known here: title, trade, in, order"),
    ],
)
def test_a_wrong_value_is_told_at_its_key_with_what_is_wanted(
    work: str, told_key: str, words: str
) -> None:
    text = job_text(work=f"rough-electrical = {{ {work} }}")
    problem = one(text)
    line = line_with(text, "rough-electrical")
    assert problem.startswith(f"job.toml:{line}: work.rough-electrical.{told_key}: ")
    assert words in problem


def test_what_must_not_be_left_out_is_told_with_an_example() -> None:
    rooms = "[rooms]\na = {}\n"
    key = sha256(rooms.encode()).hexdigest()[:10]
    assert told(rooms) == [
        'job.toml: name is missing; write name = "Alder Street 14"',
        f'job.toml: key is missing; write key = "{key}", letters and digits that never change',
        'job.toml: site is missing; write site = { time_zone = "America/New_York" }',
    ]
    assert key not in "".join(told(rooms.replace("a", "b")))
    text = job_text(readings='a = { at = 2026-05-04T06:00:00, value = "12 %" }')
    assert 'is is missing; write is = "wood moisture"' in one(text)


def test_a_key_of_the_whole_file_below_a_table_is_sent_to_the_top() -> None:
    text = job_text(work='units = "metric"\ncard = true\n')
    assert [problem.hint for problem in problems(text)] == [
        "units belongs to the top of the file, above [work]",
        "card belongs to the top of the file, above [work]",
    ]


def test_true_instead_of_a_line_is_explained() -> None:
    assert "the usual one needs no line; false removes it" in one(job_text(work="tub = true"))


def test_a_room_must_be_a_table() -> None:
    assert "5 is not a table: { key = value }" in one(job_text(rooms="bath-1 = 5\nkitchen = {}"))
    assert told('name = "A"\nkey = "abcd"\nsite = 5\nrooms = 6\nwork = true\n') == [
        "job.toml:3: site: 5 is not a table: { key = value }",
        "job.toml:4: rooms: 6 is not a table: { key = value }",
        "job.toml:5: work: true is not a table: { key = value }",
    ]


def test_ids_are_checked_where_they_stand() -> None:
    text = job_text(work='"two words" = false')
    assert f"job.toml:{line_with(text, 'two words')}: work.two words: " in one(text)


def test_the_pydantic_names_of_keys_are_no_keys_of_the_file() -> None:
    """A file has one way to write a key; `in_` is not it."""
    assert "in_ is not known here; did you mean in?" in one(
        job_text(work='rough-electrical = { in_ = ["bath-1"] }')
    )


def test_the_keys_of_a_row_are_told_as_they_are_written() -> None:
    assert "in" in keys_of(("work", "x"))
    assert "for" in keys_of(("offices", "x"))
    assert "end_of" in keys_of(("work", "x", "starts_after", 0))
    assert "rooms" in keys_of(())


def test_text_is_shown_between_quotes() -> None:
    assert typed("x") == '"x"'
    assert typed(5) == "5"
