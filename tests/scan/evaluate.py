"""How well the fit does on random plugs: structure, error over bound, coverage, time.

    python tests/scan/evaluate.py --plugs 200
    python tests/scan/evaluate.py --plugs 40 --clean --points 100000 --mesh
    python tests/scan/evaluate.py --only 17 --verbose

--plugs N    random plugs, seeds FIRST to FIRST + N - 1 (default 20)
--first S    first seed (default 0)
--only S     one seed
--points P   points a scan (default 80000)
--clean      full coverage and white noise only; else every nuisance
--field      with --clean: correlated noise besides the white
--length L   of its correlation (default 3 mm)
--mesh       scans as meshes
--forms [F]  plugs of the forms real ones have (or of one of them), see `generator_forms`
--fixture K  clean scans with and without a table, rim (a plate at it) or vice: what moves
--verbose    every parameter of every plug
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[2])]

import generator as g
import generator_scan as s
from generator_bound import bound
from generator_forms import random_form
from tellable import hides_the_odd_lug, untellable

from bayonet.errors import ScanError
from bayonet.scan.fit.keys import Key
from bayonet.scan.fit.result import FeatureValue, ScanResult
from bayonet.scan.read.points import ScanPoints

FLOOR_MM = 1e-3
TELLING = {"mm": 0.1, "deg": 0.5, "mm/rev": 2.0}  # a bound below this: the scan does tell
_OF_FLANKS = {"lead": "bearing", "leading_lead": "leading", "bearing_flank_deg": "bearing",
              "leading_flank_deg": "leading"}  # fmt: skip
MATTERS = {"mm": 0.05, "deg": 0.25, "mm/rev": 1.0}
LEAST_POINTS, NO_POINTS = 40, 4  # of a face: clear of its edges a third may be left; outliers


@dataclass(frozen=True, kw_only=True)
class Row:
    """One parameter of one plug."""

    seed: int
    key: str
    truth: float
    value: float
    u: float
    bound: float
    found: str

    @property
    def error(self) -> float:
        away = self.value - self.truth
        return (away + 180.0) % 360.0 - 180.0 if self.key.endswith("centre_deg") else away

    @property
    def ratio(self) -> float:
        return self.error / self.bound

    @property
    def family(self) -> str:
        parts = self.key.split(".")
        return ".".join(part for part in parts if not part.isdigit())


@dataclass(kw_only=True)
class Outcome:
    """One plug: what was wrong with the structure, and every parameter."""

    seed: int
    seconds: float
    points: int
    refused: str = ""
    crashed: str = ""
    untellable: str = ""  # why the scan does not show the structure
    supposed: str = ""  # even by symmetry, where the odd lug was not in view
    form: str = ""
    structure: list[str] = field(default_factory=list)
    observed: list[str] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    flags: list[str] = field(default_factory=list)


def made(
    seed: int, *, points: int, clean: bool, correlated: bool, mesh: bool, length: float = 3.0
) -> s.Scan:
    """The scan of a seed."""
    rng = np.random.default_rng(seed)
    plug = g.random_plug(rng)
    nuisance = s.random_nuisance(rng, hard=not clean)
    if clean and correlated:
        nuisance = replace(nuisance, field=0.6 * nuisance.noise, field_length=length)
    return s.scan(plug, nuisance, points=points, seed=seed, mesh=mesh)


def formed(
    seed: int, *, points: int, clean: bool, correlated: bool = False, form: str | None = None
) -> tuple[str, s.Scan]:
    """The scan of a seed, of a plug with a form that real ones have; and the form."""
    rng = np.random.default_rng([seed, 31])
    name, plug = random_form(rng, form=form)
    nuisance = s.random_nuisance(rng, hard=not clean)
    if clean and correlated:
        nuisance = replace(nuisance, field=0.6 * nuisance.noise, field_length=3.0)
    return name, s.scan(plug, nuisance, points=points, seed=seed)


def far_off(outcome: Outcome) -> list[Row]:
    """Values off by more than 5 u and by what matters: the wrong yes."""
    return [row for row in outcome.rows
            if abs(row.error) > max(5.0 * row.u, MATTERS[Key(row.key).unit])]  # fmt: skip


def as_points(scan: s.Scan) -> ScanPoints:
    """A scan as the reader hands it on."""
    unit = 25.4 if scan.nuisance.inch else 1.0
    return ScanPoints(
        xyz_mm=scan.xyz * unit, normals=None, triangles=s.outward(scan), name=f"seed {scan.seed}"
    )


def judged(scan: s.Scan) -> Outcome:
    """Fit a scan and hold the result against the truth."""
    from bayonet.scan.measure import fit

    points = as_points(scan)
    start = time.process_time()
    outcome = Outcome(seed=scan.seed, seconds=0.0, points=len(points.xyz_mm),
                      untellable=untellable(scan))  # fmt: skip
    try:
        result = fit(points)
    except ScanError as error:
        outcome.refused = str(error)
        return outcome
    except Exception as error:
        outcome.crashed = f"{type(error).__name__}: {error}"
        return outcome
    finally:
        outcome.seconds = time.process_time() - start
    outcome.structure = structure_errors(scan, result)
    if outcome.structure == ["equal"] and hides_the_odd_lug(scan):
        outcome.structure, outcome.supposed = [], "even by symmetry: the odd lug is not in view"
    elif not outcome.structure:
        told = by_true_key(scan, result)
        outcome.rows = list(_rows(scan, told))
        outcome.observed = observability_errors(scan, told)
        outcome.flags = [f"lug {i}: {words}" for i, words in result.flags if not scan.plug.worn]
    return outcome


def structure_errors(scan: s.Scan, result: ScanResult) -> list[str]:
    """Count, hand, equal or polarised, groove, kind of sides; a refusal to tell is none."""
    plug, wrong = scan.plug, []
    if plug.form != "block":
        wrong.append(f"a {plug.form} told to be a block")
    if result.lugs != plug.count:
        wrong.append(f"{result.lugs} lugs, not {plug.count}")
    if result.groove != plug.groove and _shows(scan, "groove"):
        wrong.append(f"groove {result.groove}, not {plug.groove}")
    lead = plug.p["lug.0.lead"]
    if lead and result.hand not in (None, plug.hand):
        wrong.append(f"{result.hand} hand, not {plug.hand}")
    if lead and result.hand is None and lead > 6 * _coloured(scan) * bound(scan).u["lug.0.lead"]:
        wrong.append(f"hand not told at a lead of {lead:.2f}")
    if plug.is_flat and not plug.has_own_leads and result.hand is not None:
        wrong.append(f"{result.hand} hand told of flat lugs")
    if result.is_equal != plug.equal and result.lugs == plug.count:
        wrong.append("equal" if result.is_equal else "polarised")
    return wrong


def _coloured(scan: s.Scan) -> float:
    """How much a smooth error on the surface widens the white bound: points err together.

    A field of variance s^2 and correlation exp(-d^2 / 2 l^2) adds s^2 times the points in an area
    2 pi l^2 to the variance of a mean.
    """
    nuisance = scan.nuisance
    area = sum(face.area for face in scan.faces)
    together = len(scan.xyz) / area * 2.0 * math.pi * nuisance.field_length**2
    return math.sqrt(1.0 + (nuisance.field / nuisance.noise) ** 2 * together)


def _shows(scan: s.Scan, name: str) -> bool:
    return scan.seen_share(name) > 0.15


def by_true_key(scan: s.Scan, result: ScanResult) -> dict[str, FeatureValue]:
    """Features under the truth's keys: lugs by where they stand in space."""
    number = _true_numbers(scan, result)
    found = {}
    for one in result.features:
        parts = one.key.split(".")
        if parts[0] == "lug":
            place = int(parts[1])
            key = f"lug.{number[place]}.{parts[2]}"
            value = one.value
            if parts[2] == "centre_deg":
                value = _true_angle(scan, result, one.value)
            found[key] = replace(one, key=key, value=value)
        else:
            found[one.key] = one
    return found


def _true_angle(scan: s.Scan, result: ScanResult, theta_deg: float) -> float:
    """An angle of the fit's frame in the true one."""
    way = np.array([math.cos(math.radians(theta_deg)), math.sin(math.radians(theta_deg)), 0.0])
    x, y, _ = scan.rotation.T @ result.rotation @ way
    return math.degrees(math.atan2(y, x))


def _true_numbers(scan: s.Scan, result: ScanResult) -> list[int]:
    centres = {one.key: one.value for one in result.features if one.key.endswith("centre_deg")}
    first = [_true_angle(scan, result, centres[f"lug.{i}.centre_deg"]) for i in range(result.lugs)]
    count = scan.plug.count
    true = [scan.plug.p[f"lug.{i}.centre_deg"] for i in range(count)]

    def away(shift: int) -> float:
        gaps = [
            (first[i] - true[(i + shift) % count] + 180.0) % 360.0 - 180.0 for i in range(count)
        ]
        told = [gap * gap for gap in gaps if math.isfinite(gap)]
        return sum(told) if told else _unlike(scan, result, shift)

    shift = min(range(count), key=away)
    return [(i + shift) % count for i in range(count)]


def _unlike(scan: s.Scan, result: ScanResult, shift: int) -> float:
    """Where no middle is told: lugs said to be measured that show nothing, and the other way."""
    count, wrong = scan.plug.count, 0
    measured = {one.key for one in result.features if one.found == "measured"}
    for i in range(count):
        shows = points_on(scan, f"lug.{(i + shift) % count}.outer") >= NO_POINTS
        wrong += shows != (f"lug.{i}.outer_diameter" in measured)
    return float(wrong)


def points_on(scan: s.Scan, name: str) -> int:
    """Points on the faces of a name."""
    own = [i for i, face in enumerate(scan.faces) if face.name == name]
    return int(np.isin(scan.face, own).sum())


def _rows(scan: s.Scan, told: dict[str, FeatureValue]) -> Iterable[Row]:
    limits = bound(scan).u
    for key, truth in scan.truth.items():
        one = told.get(key)
        if one is not None and one.found != "not seen" and math.isfinite(one.value):
            yield Row(
                seed=scan.seed, key=key, truth=truth, value=one.value, u=one.u,
                bound=limits[key], found=one.found,
            )  # fmt: skip


def observability_errors(scan: s.Scan, told: dict[str, FeatureValue]) -> list[str]:
    """Values withheld that the scan tells well, and values measured that it cannot tell.

    By the truth alone: a bound (outlines of lugs included) under half the limit and points enough
    on each face the value rests on to tell it from outliers; or a bound over twice the limit though
    lugs be even, or a face with next to no point. What lies between may go either way.
    """
    limits = bound(scan, share=False, outlines=True).u
    even = bound(scan, outlines=True).u
    wrong = []
    for key in scan.truth:
        one = told.get(key)
        unit = "deg" if key.endswith("_deg") else "mm/rev" if key.endswith("lead") else "mm"
        least = min((points_on(scan, name) for name in rests_on(key)), default=LEAST_POINTS)
        of_all = _OF_FLANKS.get(key.rpartition(".")[2])
        if of_all is not None:  # flanks of all lugs tell it together
            least = sum(points_on(scan, f"lug.{i}.{of_all}") for i in range(scan.plug.count))
        is_shown = limits[key] < TELLING[unit] / 2 and least >= LEAST_POINTS
        is_hidden = not even[key] < TELLING[unit] * 2 or least < NO_POINTS
        if is_shown and (one is None or one.found == "not seen"):
            wrong.append(f"{key} withheld (bound {limits[key]:.2g})")
        if is_hidden and one is not None and one.found == "measured":
            wrong.append(f"{key} measured, but the scan does not show it")
        if one is not None and one.u > 4 * TELLING[unit]:
            wrong.append(f"{key} told, but with an uncertainty of {one.u:.2g}")
    return wrong


def rests_on(key: str) -> tuple[str, ...]:
    """The true faces a dimension of a lug, a body or the rim cannot be told without."""
    base, _, last = key.rpartition(".")
    if key.startswith("lug."):
        sides = (f"{base}.side-1", f"{base}.side+1")
        own = {"outer_diameter": ("outer",), "bearing_depth": ("bearing",),
               **dict.fromkeys(_OF_FLANKS, ()),
               "thickness": ("bearing", "leading")}.get(last)  # fmt: skip
        return sides if own is None else tuple(f"{base}.{name}" for name in own)
    if key.startswith("body."):
        return (base,) if last == "diameter" else (f"step.{base[5:]}",)
    return {"shoulder_diameter": ("rim",), "groove.depth": ("groove.bottom",)}.get(key, ())


@dataclass(frozen=True, kw_only=True)
class Moved:
    """A dimension without and with a fixture, in standard uncertainties; NaN where one has none."""

    seed: int
    key: str
    times_u: float


def moved(seed: int, kind: str, *, points: int) -> list[Moved]:
    """One plug scanned twice, alike to the last point but for what touches it."""
    from bayonet.scan.measure import fit

    rng = np.random.default_rng(seed)
    plug = g.random_plug(rng)
    nuisance = replace(s.random_nuisance(rng, hard=False), top=kind != "table")
    scans = [s.scan(plug, replace(nuisance, fixture=one), points=points, seed=seed)
             for one in ("none", kind)]  # fmt: skip
    bare, held = (by_true_key(scan, fit(as_points(scan))) for scan in scans)
    rows = []
    for key in plug.p:
        one, other = bare[key], held[key]
        if math.isnan(one.value) and math.isnan(other.value):
            continue
        u = max(one.u, other.u)
        away = other.value - one.value
        if key.endswith("centre_deg"):
            away = (away + 180.0) % 360.0 - 180.0
        rows.append(Moved(seed=seed, key=key, times_u=away / u if u > 0 else math.nan))
    return rows


def fixtures(kind: str, seeds: Iterable[int], *, points: int) -> str:
    """What a fixture moves on clean scans of plugs."""
    lines, rows = [], []
    for seed in seeds:
        try:
            rows += moved(seed, kind, points=points)
        except (ScanError, KeyError) as error:
            lines.append(f"  seed {seed}: {error}")
    far = [row for row in rows if not abs(row.times_u) <= 3.0]
    lines += [f"  seed {row.seed}: {row.key} moves {row.times_u:+.1f} u" for row in far]
    sizes = np.abs([row.times_u for row in rows])
    head = f"{kind}: {len(far)} of {len(rows)} dimensions move by more than 3 u"
    return "\n".join([f"{head}; most {np.nanmax(sizes):.2f} u", *lines])


def summary(outcomes: list[Outcome], *, clean: bool) -> str:
    """The table."""
    lines = _verdicts(outcomes)
    told = Counter(text.split(" ")[1] for o in outcomes for text in o.observed)
    lines.append(f"observability: {dict(told)}")
    lines += [f"  seed {o.seed}: {'; '.join(o.observed[:6])}" for o in outcomes if o.observed]
    lines += [f"  seed {o.seed}: flagged, but sound: {text}" for o in outcomes for text in o.flags]
    lines += _ratios(distinct(row for o in outcomes for row in o.rows), clean=clean)
    spent = np.array([o.seconds / o.points * 1e5 for o in outcomes])
    lines.append(f"CPU s per 100 k points: median {np.median(spent):.2f}, most {spent.max():.2f}")
    return "\n".join(lines)


def _verdicts(outcomes: list[Outcome]) -> list[str]:
    """Right, refused, wrong, crashed: of scans that show the structure, and of the others."""
    lines = []
    for words, own in (
        ("structure in view", [o for o in outcomes if not o.untellable]),
        ("structure not in view", [o for o in outcomes if o.untellable]),
    ):
        refused, supposed = [o for o in own if o.refused], [o for o in own if o.supposed]
        crashed, wrong = [o for o in own if o.crashed], [o for o in own if o.structure]
        right = len(own) - sum(map(len, (refused, supposed, crashed, wrong)))
        share = f" ({right / len(own):.1%})" if own else ""
        lines.append(
            f"{len(own)} of {len(outcomes)} plugs, {words}: right {right}{share}, refused"
            f" {len(refused)}, supposed even {len(supposed)}, wrong {len(wrong)},"
            f" crashed {len(crashed)}"
        )
        lines += [f"  seed {o.seed}: CRASHED {o.crashed}" for o in crashed]
        lines += [f"  seed {o.seed}: wrong: {'; '.join(o.structure)}" for o in wrong]
        lines += [f"  seed {o.seed}: refused: {o.refused.split(': ', 1)[1]}"
                  + (f" [{o.untellable}]" if o.untellable else "") for o in refused]  # fmt: skip
        lines += [f"  seed {o.seed}: {o.supposed}" for o in supposed]
    return lines


def distinct(rows: Iterable[Row]) -> list[Row]:
    """An even set's one value once, not once a lug: else a plug of eight lugs weighs as eight."""
    return list({(row.seed, row.family, round(row.error, 9)): row for row in rows}.values())


def _ratios(rows: list[Row], *, clean: bool) -> list[str]:
    families = defaultdict(list)
    for row in rows:
        if row.found == "measured" and math.isfinite(row.bound) and row.bound > 0:
            families[row.family].append(row)
    heads = f"{'bias':>8}{'2u holds':>10}{'rms/u':>8}"
    lines = [f"{'parameter':28}{'n':>6}{'rms/bound':>11}{'worst':>8}{heads}"]
    rms = []
    for family, own in sorted(families.items()):
        ratios = np.array([row.ratio for row in own])
        inside = np.mean([abs(row.error) <= 2 * row.u for row in own])
        single = max((abs(row.error) - FLOOR_MM) / row.bound for row in own)
        rms.append(math.sqrt(float(np.mean(ratios**2))))
        sure = rms_of(row.error for row in own) / rms_of(row.u for row in own)
        lines.append(
            f"{family:28}{len(own):6}{rms[-1]:11.2f}{single:8.1f}{ratios.mean():8.2f}{inside:10.1%}"
            f"{sure:8.2f}"
        )
    if rows:
        held = np.mean([abs(row.error) <= 2 * row.u for row in rows])
        lines.append(f"median rms/bound {np.median(rms):.2f}; 2u holds {held:.1%} of {len(rows)}")
    worst = sorted(rows, key=lambda row: -(abs(row.error) - FLOOR_MM) / row.bound)[:8]
    lines += [
        f"  worst: seed {row.seed} {row.key}: off {row.error:+.4f}, u {row.u:.4f},"
        f" bound {row.bound:.4f}"
        for row in worst
        if clean and math.isfinite(row.bound)
    ]
    return lines


def rms_of(values: Iterable[float]) -> float:
    return math.sqrt(float(np.mean(np.square(list(values)))))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--plugs", type=int, default=20)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--only", type=int)
    parser.add_argument("--fixture", choices=("table", "rim", "vice"))
    parser.add_argument("--points", type=int, default=80_000)
    parser.add_argument("--length", type=float, default=3.0)
    parser.add_argument("--forms", nargs="?", const="")
    for name in ("--clean", "--field", "--mesh", "--verbose"):
        parser.add_argument(name, action="store_true")
    asked = parser.parse_args()
    seeds = (
        [asked.only] if asked.only is not None else range(asked.first, asked.first + asked.plugs)
    )
    if asked.fixture:
        print(fixtures(asked.fixture, seeds, points=asked.points))
        return
    outcomes = []
    for seed in seeds:
        form = ""
        if asked.forms is None:
            scan = made(seed, points=asked.points, clean=asked.clean, correlated=asked.field,
                        mesh=asked.mesh, length=asked.length)  # fmt: skip
        else:
            form, scan = formed(seed, points=asked.points, clean=asked.clean,
                                correlated=asked.field, form=asked.forms or None)  # fmt: skip
        outcomes.append(replace(judged(scan), form=form))
        told = outcomes[-1]
        state = told.crashed or told.refused or "; ".join(told.structure) or told.supposed
        state = ", ".join(one for one in (form, state) if one)
        print(f"seed {seed}: {told.seconds:.2f} s, {state or 'right'}", file=sys.stderr, flush=True)
        if asked.verbose:
            for row in told.rows:
                print(f"  {row.key:26}{row.truth:11.4f}{row.value:11.4f} off {row.error:+.4f}"
                      f" u {row.u:.4f} bound {row.bound:.4f} {row.found}")  # fmt: skip
    print(summary(outcomes, clean=asked.clean))
    if asked.forms is not None:
        print(by_form(outcomes))


def by_form(outcomes: list[Outcome]) -> str:
    """A line a form: what became of its plugs, and every value that is far off."""
    lines = [f"{'form':14}{'n':>5}{'right':>7}{'refused':>9}{'wrong':>7}{'far off':>9}{'2u':>8}"]
    for form in sorted({one.form for one in outcomes}):
        own = [one for one in outcomes if one.form == form]
        refused = sum(bool(one.refused) for one in own)
        wrong = sum(bool(one.structure or one.crashed) for one in own)
        far = sum(bool(far_off(one)) for one in own)
        rows = [row for one in own for row in distinct(one.rows)]
        held = np.mean([abs(row.error) <= 2 * row.u for row in rows]) if rows else math.nan
        lines.append(f"{form:14}{len(own):5}{len(own) - refused - wrong - far:7}{refused:9}"
                     f"{wrong:7}{far:9}{held:8.1%}")  # fmt: skip
    for one in outcomes:
        lines += [f"  seed {one.seed} ({one.form}): {row.key} {row.value:.3f} +- {row.u:.3f},"
                  f" truly {row.truth:.3f}" for row in distinct(far_off(one))]  # fmt: skip
    return "\n".join(lines)


if __name__ == "__main__":
    main()
