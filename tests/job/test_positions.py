"""The line of every key of a TOML text."""

from __future__ import annotations

import tomllib
from random import Random

import pytest

from readiness.job.positions import ScanError, line_of, positions, written_twice
from tests.job.toml_documents import document, paths_of

DOCUMENTS = 3_000


def test_random_documents_have_the_structure_and_lines_they_were_written_with() -> None:
    """The scanner agrees with the parser on what there is, and with the writer on where."""
    random = Random(20260504)
    leaves = 0
    for _ in range(DOCUMENTS):
        text, lines = document(random)
        found = positions(text)
        assert set(found) == paths_of(tomllib.loads(text)), text
        assert found == lines, text
        leaves += len(found)
    assert leaves > 10 * DOCUMENTS


def test_a_header_that_comes_after_its_inner_table_is_where_the_table_stands() -> None:
    assert positions("[a.b]\nx = 1\n[a]\ny = 2\n")["a",] == 3


def test_keys_of_tables_inside_arrays_belong_to_the_last_element() -> None:
    found = positions("[[a]]\n[a.b]\nx = 1\n[[a]]\n[a.b]\nx = 2\n")
    assert (found["a", 0, "b", "x"], found["a", 1, "b", "x"]) == (3, 6)


@pytest.mark.parametrize(
    "text", ["a", "a =[1", "a = {b", "[a", '"a', 'a = "x', "= 1", "a = '''x", "[[a]", '"\\q" = 1']
)
def test_what_is_no_toml_has_no_positions(text: str) -> None:
    with pytest.raises(ScanError):
        positions(text)


def test_a_path_that_is_not_written_has_the_line_of_its_nearest_parent() -> None:
    known = positions("[a]\nb = { c = 1 }\n")
    assert line_of(("a", "b", "c"), known) == 2
    assert line_of(("a", "b", "missing", 0), known) == 2
    assert line_of(("a", "x"), known) == 1
    assert line_of(("z",), known) is None


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a = 1\nb = 2\na = 3\n", [(("a",), 1, 3)]),
        ("[x]\n[y]\n[x]\n", [(("x",), 1, 3)]),
        ("a.b = 1\na = 2\n", [(("a",), 1, 2)]),
        ("t = { a = 1, a = 2 }", [(("t", "a"), 1, 1)]),
        ("a = 1\nb = 2\n", []),
        ("a = 1\na = 2\nb = [", [(("a",), 1, 2)]),
    ],
)
def test_a_key_written_twice_is_found_with_both_lines(
    text: str, found: list[tuple[object, int, int]]
) -> None:
    assert written_twice(text) == found
