"""Inputs broken on purpose, from a seed, under caps of memory and time.

    python -m fuzz.run designs --count 10000 --seed 1       (with tests/ on the path)

Each kind is a module with ``broken(rng, number)`` and ``outcome(case)``. An outcome is *refused*
(one clear error of the package) or *taken*; anything else is a failure: another exception, a
hang, memory over the cap, or a broken input taken in silence where the mutator knows better.
Failures are made smaller and printed; a person puts them into ``cases.py``.
"""

from __future__ import annotations

import argparse
import importlib
import resource
import signal
import sys
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

KINDS = ("designs", "scans", "step_files", "results", "commands")
MOST_SECONDS = 20
"""Of processor time; by the clock `_BUSY_TIMES` as many."""
_BUSY_TIMES = 8
MOST_BYTES = 3_000_000_000
"""Of address space: libraries loaded take about one, an input may take two more."""


@dataclass(frozen=True, kw_only=True)
class Failure:
    """One case that did not end as it should."""

    kind: str
    number: int
    what: str
    case: Any


class TooLongError(BaseException):
    """A case ran over its time; no handler of the package may catch it."""


def _alarm(*_: object) -> None:
    raise TooLongError


def one(kind: str, seed: int, number: int) -> tuple[str, Any]:
    """The outcome of one case of a seed, in a word or two, and the case."""
    module = importlib.import_module(f"fuzz.{kind}")
    case = module.broken(np.random.default_rng([seed, number]), number)
    return judged(module.outcome, case, seconds=getattr(module, "MOST_SECONDS", MOST_SECONDS)), case


def judged(outcome: Callable[[Any], str], case: Any, *, seconds: int = MOST_SECONDS) -> str:
    """What becomes of a case: "refused", "taken", or what is wrong."""
    before = [(one, signal.signal(one, _alarm)) for one in (signal.SIGPROF, signal.SIGALRM)]
    signal.setitimer(signal.ITIMER_PROF, seconds)
    signal.alarm(_BUSY_TIMES * seconds)
    try:
        return outcome(case)
    except TooLongError:
        return f"failure: longer than {seconds} s"
    except MemoryError:
        return "failure: memory"
    except Exception as error:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        return f"failure: {type(error).__name__} in {frame.name}: {str(error)[:80]}"
    finally:
        signal.alarm(0)
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        for number, handler in before:
            signal.signal(number, handler)


def smaller(outcome: Callable[[Any], str], case: Any, what: str, *, tries: int = 200) -> Any:
    """The case with pieces left out as long as it fails alike (texts and bytes only)."""
    if not isinstance(case, (str, bytes)):
        return case
    size, used = max(len(case) // 2, 1), 0
    kind = what.split(":")[1]
    while size and used < tries:
        at = 0
        while at < len(case) and used < tries:
            cut = case[:at] + case[at + size :]
            used += 1
            found = judged(outcome, cut, seconds=5)
            if found.startswith("failure") and found.split(":")[1] == kind:
                case = cut
            else:
                at += size
        size //= 2
    return case


def campaign(kind: str, *, seed: int, count: int) -> tuple[Counter[str], list[Failure]]:
    """Many cases of one kind.

    Returns
    -------
    (Counter, list of Failure)
        How they ended, and each way to fail once, made smaller.
    """
    module = importlib.import_module(f"fuzz.{kind}")
    ends: Counter[str] = Counter()
    failures: dict[str, Failure] = {}
    for number in range(count):
        found, case = one(kind, seed, number)
        ends[found if not found.startswith("failure") else "failure"] += 1
        where = ":".join(found.split(":")[:2])
        if found.startswith("failure") and where not in failures:
            small = smaller(module.outcome, case, found)
            failures[where] = Failure(kind=kind, number=number, what=found, case=small)
    return ends, list(failures.values())


def main() -> int:
    """The long run, by hand."""
    read = argparse.ArgumentParser(description=__doc__)
    read.add_argument("kind", choices=KINDS)
    read.add_argument("--count", type=int, default=1000)
    read.add_argument("--seed", type=int, default=1)
    asked = read.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    ends, failures = campaign(asked.kind, seed=asked.seed, count=asked.count)
    print(f"{asked.kind}, seed {asked.seed}: {dict(sorted(ends.items()))}")
    for one_ in failures:
        print(f"case {one_.number}: {one_.what}\n  {one_.case!s:.1500}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
