"""The measure behind every bench: it passes what is quick and fails what is slow."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.ratio import Ratio, compare, delayed, elapsed_ms, fails_when_delayed


def count_to(number: int) -> int:
    return sum(range(number))


def test_work_compared_with_itself_passes_a_generous_limit() -> None:
    result = compare("same", lambda: count_to(20_000), lambda: count_to(20_000), limit=3)
    result.check()
    assert result.measured_ms > 0


def test_a_ratio_above_its_limit_fails_and_says_both_times() -> None:
    result = Ratio(name="made up", measured_ms=12.5, against_ms=5, ratio=2.5, limit=2)
    with pytest.raises(AssertionError, match=r"made up: 12\.50 ms against 5\.00 ms, ratio 2\.50"):
        result.check()


def test_a_delay_is_really_spent() -> None:
    assert elapsed_ms(delayed(lambda: None, 3)) >= 3


def test_a_bench_that_notices_a_delay_passes_its_own_test() -> None:
    fails_when_delayed("quick", lambda: count_to(9), lambda: count_to(20_000), limit=2)


def test_a_bench_that_cannot_fail_is_found_out() -> None:
    """What it measures against grows until no delay shows: the self-test must say so."""
    calls = iter(range(100))

    def growing() -> None:
        elapsed_ms(delayed(lambda: None, 0.1 if next(calls) < 4 else 20))

    with pytest.raises(pytest.fail.Exception):
        fails_when_delayed("blind", lambda: None, growing, limit=2)


@pytest.mark.parametrize("bench", sorted(Path(__file__).parent.glob("bench_*.py")), ids=str)
def test_every_bench_has_a_test_of_itself(bench: Path) -> None:
    """A bench that never failed under a delay proves nothing."""
    text = bench.read_text(encoding="utf-8")
    assert "fails_when_delayed" in text or "delayed(" in text
