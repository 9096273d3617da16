"""A short run of every kind of broken input, and each case that once failed."""

from __future__ import annotations

import pytest

from fuzz import commands, run

SHORT = {"designs": 120, "scans": 10, "step_files": 9, "results": 40, "commands": 40}
"""Cases a kind: under a minute together. The long run is a command, see `fuzz.run`."""


@pytest.mark.parametrize("kind", SHORT)
def test_broken_input_is_refused_or_taken(kind: str) -> None:
    ends, failures = run.campaign(kind, seed=7, count=SHORT[kind])
    assert not failures, "\n".join(f"{one.what}: {one.case!r:.500}" for one in failures)
    assert ends["refused"] > 0, "the mutators break something"


@pytest.mark.parametrize(
    "words",
    [
        ["scan", "D", "--out", "O", "9" * 400],
        ["check", "9" * 400],
        ["make", "D", "--out", "9" * 400],
    ],
)
def test_command_lines_that_once_failed(words: list[str]) -> None:
    """A name longer than a file system takes came out as a fault of the program."""
    assert run.judged(commands.outcome, words) == "refused"


@pytest.mark.parametrize(
    ("fault", "told"),
    [
        (ValueError("a fault"), "failure: ValueError"),
        (MemoryError(), "failure: memory"),
    ],
)
def test_the_runner_sees_a_fault(fault: BaseException, told: str) -> None:
    def broken(_: object) -> str:
        raise fault

    assert run.judged(broken, "x").startswith(told)


def test_the_runner_sees_a_hang_and_makes_the_case_small() -> None:
    def hangs(case: str) -> str:
        while "b" in case:
            pass
        if "x" in case:
            raise KeyError("x")
        return "taken"

    assert run.judged(hangs, "b", seconds=1).startswith("failure: longer than")
    found = run.judged(hangs, "a" * 50 + "x" + "a" * 50)
    assert run.smaller(hangs, "a" * 50 + "x" + "a" * 50, found) == "x"
