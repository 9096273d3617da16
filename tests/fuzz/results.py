"""Results files and process profiles broken on purpose."""

from __future__ import annotations

from pathlib import Path

import numpy as np

import bayonet
from bayonet.errors import BayonetError
from bayonet.findings import Verdict
from bayonet.printing import calibrate, results

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = next(iter(sorted(EXAMPLES.glob("*.csv")))).read_text("utf-8")
DESIGN = bayonet.load(EXAMPLES / "level_sensor.toml")

CELLS = (
    "", "nan", "inf", "-1", "0", "1e300", "1e-300", "12,5", '"', '"a\nhole,3,3,,,,,"', "\u00b2",
    "will not turn", "loose", "felt", "boss", "x" * 200_000, "\u0000", "5 in", "=1+1", "#",
)  # fmt: skip


def broken(rng: np.random.Generator, number: int) -> str:
    """A results file with a few cells, rows or signs changed."""
    rows = [line.split(",") for line in TEXT.splitlines()]
    for _ in range(int(rng.integers(1, 6))):
        row = rows[int(rng.integers(len(rows)))]
        match int(rng.integers(6)):
            case 0 | 1:
                row[int(rng.integers(len(row)))] = CELLS[int(rng.integers(len(CELLS)))]
            case 2:
                row.append(CELLS[int(rng.integers(len(CELLS)))])
            case 3:
                rows.insert(int(rng.integers(len(rows))), list(row))
            case 4 if len(rows) > 1:
                rows.remove(row)
            case _:
                row[:] = row[: int(rng.integers(len(row) + 1))]
        if not rows[0]:
            rows[0] = [""]
        rows = [one or [""] for one in rows]
    text = str(rng.choice(["\n", "\r\n", "\r"])).join(",".join(row) for row in rows)
    return text * (300 if number % 50 == 49 else 1)


def outcome(text: str) -> str:
    """Read and calibrate; a step felt two ways that far apart must fail."""
    try:
        read = results.loads(text)
        done = calibrate(DESIGN, read)
    except BayonetError as error:
        return "refused" if str(error) else "failure: an error without words"
    if not np.isfinite(done.profile.mean).all():
        return "failure: a profile that is no number"
    felt: dict[float, set[str]] = {}
    for one in read.felt:
        felt.setdefault(round(one.step_mm, 4), set()).add(one.felt)
    if any({"loose", "will not turn"} <= words for words in felt.values()):
        order = next(one for one in done.findings if one.code == "calibrate.order")
        if order.verdict is not Verdict.FAIL:
            return "failure: contradiction taken"
    return "taken"
