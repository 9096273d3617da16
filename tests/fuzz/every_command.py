"""Random designs through every command that builds: none may end in an error of the program.

    python -m fuzz.every_command 40 --seed 1       (with tests/ on the path)

A design that `check` can draw goes through make, sample, graft and tune. Each ends well, or with
one clear refusal; a crash, a traceback or a run over its time is printed with the design's file.
"""

from __future__ import annotations

import argparse
import random
import subprocess
import sys
import tempfile
import warnings
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from hypothesis import HealthCheck, given, seed, settings
from whole_designs import whole_designs

import bayonet

GOOD = (0, 1, 2)
"""Nothing fails; a finding fails; refused in plain words. README: exit codes."""
MOST_SECONDS = 300
_DRAWN_PER_DESIGN = 12  # most are refused: fields are set against one another on purpose


def drawable(count: int, number: int) -> list[bayonet.Design]:
    """Designs of the whole space that can be drawn, the same for the same number."""
    kept: list[bayonet.Design] = []

    @seed(number)
    @settings(
        max_examples=_DRAWN_PER_DESIGN * count, deadline=None, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(whole_designs())
    def each(raw: dict[str, Any]) -> None:
        try:
            kept.append(bayonet.from_mapping(raw))
        except bayonet.DesignError:
            return

    each()
    return random.Random(number).sample(kept, min(count, len(kept)))


def commands(file: Path, tank: Path, out: Path) -> Iterator[tuple[str, list[str]]]:
    """Each command's name and arguments; what they write goes below ``out``."""
    yield "make", ["make", str(file), "--out", str(out / "made")]
    yield "sample", ["sample", str(file), "--out", str(out / "pieces")]
    yield "graft", ["graft", str(file), "--tank", str(tank), "--at", "0,0,300",
                    "--out", str(out / "grafted")]  # fmt: skip
    yield "tune", ["tune", str(file), "--write", str(out / "tuned.toml")]


def slab(file: Path) -> None:
    """A closed box, 600 x 600 x 300 and 8 mm thick, its lid at z = 300."""
    import cadquery as cq

    outer = cq.Workplane().box(600, 600, 300, centered=(True, True, False))
    inner = cq.Workplane("XY", origin=(0, 0, 8)).box(584, 584, 284, centered=(True, True, False))
    cq.exporters.export(outer.cut(inner), str(file))


def outcome(design: bayonet.Design, folder: Path, tank: Path) -> Iterator[tuple[str, int, str]]:
    """Name, exit code and last words of each command on one design."""
    file = folder / "design.toml"
    file.write_text(design.to_toml(), "utf-8")
    for name, arguments in commands(file, tank, folder):
        try:
            done = subprocess.run(
                [sys.executable, "-m", "bayonet", *arguments], capture_output=True, text=True,
                timeout=MOST_SECONDS, check=False,
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            yield name, -1, f"over {MOST_SECONDS} s"
            continue
        yield name, done.returncode, (done.stderr or done.stdout)[-2000:]


def main() -> None:
    """Run from a shell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    counts: Counter[tuple[str, int]] = Counter()
    with tempfile.TemporaryDirectory() as place:
        tank = Path(place) / "tank.step"
        slab(tank)
        for number, design in enumerate(drawable(asked.count, asked.seed)):
            folder = Path(place) / str(number)
            folder.mkdir()
            for name, code, words in outcome(design, folder, tank):
                counts[name, code] += 1
                print(number, name, code, flush=True)
                if code not in GOOD:
                    print(f"\n{name} of design {number} ended with {code}:\n{words}")
                    print(design.to_toml(), flush=True)
    print(dict(sorted(counts.items())))


if __name__ == "__main__":
    main()
