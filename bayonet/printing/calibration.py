"""From printed pieces to the printer's offsets and scale, and do the results agree?

Sizes update a normal prior exactly. Felt results are ordered classes of the least gap: they
enter as an ordered probit on that gap, integrated on a grid. See `bayonet.mechanics.bayes`.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.cautions import PRINTED_CAUTION, PRINTED_HEADLINE
from bayonet.findings import PRACTICE, Finding, Verdict, at_least, at_most, worst
from bayonet.mechanics import Belief, LinearFit, bayes
from bayonet.parts import Design
from bayonet.printing.printer_profile import PRIOR_U, ProcessProfile, prior
from bayonet.printing.results import FELT, Felt, FeltResult, Results, SizeResult

Array = NDArray[np.float64]

FELT_FROM_MM = (-math.inf, 0.0, 0.03, 0.10, 0.30)
"""Least gap per side from which each of `FELT` is felt [mm]; common practice, no source."""

FELT_U_MM = 0.03
"""Scatter of one felt result, as a gap [mm]; common practice, no source."""

SHARED_U_MM = 0.05
"""Uncertainty all felt results share: plug's size, hand [mm]; common practice, no source."""

_LEAST_CHANCE = 0.01
_MOST_MISFIT = 9.0  # three standard deviations
_ODD_ROW = 3.0
_LEARNS_NOTHING = 0.98  # of the uncertainty before
_APART = 2.0 * math.sqrt(2.0)  # coverage factor 2 of the difference of two felt results
_STEP_DIGITS = 4  # of a step in mm: what no printer tells apart
_TORQUE_SHARE = 0.2  # torques closer than this are alike; common practice, no source


@dataclass(frozen=True, kw_only=True, eq=False)
class Calibration:
    """What printed pieces tell of their printer.

    Parameters
    ----------
    design : Design
    before, profile : ProcessProfile
        Belief before and after.
    results : Results
    residuals_mm : tuple of float
        Measured less fitted, a size a row [mm].
    findings : tuple of Finding
    assumptions, cautions, headline : tuple of str
    """

    design: Design
    before: ProcessProfile
    profile: ProcessProfile
    results: Results
    residuals_mm: tuple[float, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...] = (PRINTED_CAUTION,)
    headline: tuple[str, ...] = (PRINTED_HEADLINE,)

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all findings."""
        return worst(self.findings)


def calibrate(
    design: Design, results: Results, *, before: ProcessProfile | None = None, name: str = ""
) -> Calibration:
    """Learn a printer's offsets and scale.

    Parameters
    ----------
    design : Design
        Whose pieces were printed; its clearances say what gap each step was meant to have.
    results : Results
    before : ProcessProfile or None
        The profile the pieces were drawn with; also what is believed beforehand. None: drawn as
        intended, and the stated prior.
    name : str
        Of the profile; left out: as before, or the design's.

    Returns
    -------
    Calibration
    """
    start = before if before is not None else prior(name or f"printer of: {design.name}")
    belief = _with_shared(start)
    fit = _sizes(design, belief, results.sizes)
    shifted = _felt(design, start, fit.belief, results.felt)
    found = tuple(_findings(design, results, fit, shifted.misfit, shifted.belief, belief))
    said = tuple(f.message for f in found if f.verdict is Verdict.FAIL)
    covariance = shifted.belief.covariance[:3, :3] * _widening(fit)
    profile = ProcessProfile(
        name=name or start.name,
        mean=shifted.belief.mean[:3],
        covariance=(covariance + covariance.T) / 2.0,
        sizes=start.sizes + len(results.sizes),
        felt=start.felt + len(results.felt),
        contradictions=said,
    )
    rows = _rows(results.sizes)
    fitted = rows @ profile.mean
    return Calibration(
        design=design,
        before=start,
        profile=profile,
        results=results,
        residuals_mm=tuple((_measured(results.sizes) - fitted).tolist()),
        findings=found,
        assumptions=_assumptions(design, before),
    )


def intended_gap_mm(design: Design) -> tuple[float, float]:
    """Least gap per side within a layer, and along the axis, at step 0 [mm].

    The second is infinite where the ramp clamps.
    """
    gaps = design.socket.clearance
    within = min(gaps.body_diametral_mm / 2.0, gaps.lug_radial_mm, gaps.lug_side_mm)
    return within, gaps.axial_mm if design.socket.seating == "stop" else math.inf


def felt_of(gap_mm: float) -> Felt:
    """What is felt at a least gap per side, without scatter.

    Examples
    --------
    >>> [felt_of(gap) for gap in (-0.1, 0.01, 0.05, 0.2, 0.5)]
    ['will not turn', 'tight', 'snug', 'free', 'loose']
    """
    return FELT[int(np.searchsorted(FELT_FROM_MM, gap_mm, side="right")) - 1]


def _with_shared(start: ProcessProfile) -> Belief:
    """Offsets, scale, and the uncertainty all felt results share."""
    covariance = np.zeros((4, 4))
    covariance[:3, :3] = start.covariance
    covariance[3, 3] = SHARED_U_MM**2
    return Belief(mean=np.array([*start.mean, 0.0]), covariance=covariance)


def _rows(sizes: tuple[SizeResult, ...]) -> Array:
    """Coefficients of hole offset, boss offset and scale in each size, shape (m, 3)."""
    rows = [(float(one.kind == "hole"), float(one.kind == "boss"), one.nominal_mm) for one in sizes]
    return np.array(rows).reshape(-1, 3)


def _measured(sizes: tuple[SizeResult, ...]) -> Array:
    return np.array([one.measured_mm for one in sizes])


def _sizes(design: Design, belief: Belief, sizes: tuple[SizeResult, ...]) -> LinearFit:
    repeats = design.spec.printer.repeatability.value
    noise = np.array([math.hypot(one.u_mm, repeats) for one in sizes])
    coefficients = np.column_stack([_rows(sizes), np.zeros(len(sizes))])
    return bayes.linear_update(belief, coefficients, _measured(sizes), noise)


def _felt(
    design: Design, start: ProcessProfile, belief: Belief, felt: tuple[FeltResult, ...]
) -> bayes.Shifted:
    """The wall of a hole stands off from where it was meant by delta: what felt results tell."""
    if not felt:
        return bayes.Shifted(belief=belief, misfit=0.0)
    direction = np.array([0.5, 0.0, design.socket.track_radius_mm, 1.0])
    at = bayes.grid_of(belief, direction)
    meant = float(direction[:3] @ start.mean)  # what the drawing already allowed for
    within, axial = intended_gap_mm(design)
    total = np.zeros_like(at)
    for one in felt:
        gap = np.minimum(within + at - meant, axial) + one.step_mm
        place = FELT.index(one.felt)
        low, high = (*FELT_FROM_MM, math.inf)[place : place + 2]
        total += bayes.log_ordered(gap, low, high, FELT_U_MM)
    return bayes.scalar_update(belief, direction, total, at)


def _widening(fit: LinearFit) -> float:
    """Birge's ratio, squared, where the sizes scatter more than their uncertainties allow."""
    return max(1.0, fit.chi_square / fit.rows) if fit.chance < _LEAST_CHANCE else 1.0


def _findings(
    design: Design,
    results: Results,
    fit: LinearFit,
    misfit: float,
    after: Belief,
    before: Belief,
) -> Iterator[Finding]:
    yield _enough(results)
    if results.sizes:
        yield _scatter(results.sizes, fit)
    if results.felt:
        yield _order(results.felt)
        yield _agreement(results, misfit)
    yield from _learnt(design, after, before)


def _enough(results: Results) -> Finding:
    count = len(results.sizes) + len(results.felt)
    return at_least(
        float(count),
        1.0,
        code="calibrate.rows",
        message=f"{len(results.sizes)} measured sizes and {len(results.felt)} felt results",
        unit="rows",
        source="the results file",
        change="fill in measured sizes or felt results",
    )


def _scatter(sizes: tuple[SizeResult, ...], fit: LinearFit) -> Finding:
    odd = [
        f"line {one.line} ({one.kind} {one.nominal_mm:g})"
        for one, residual in zip(sizes, fit.standardised, strict=True)
        if abs(residual) > _ODD_ROW
    ]
    good = fit.chance >= _LEAST_CHANCE
    text = f"chi-square {fit.chi_square:.1f} of {fit.rows} sizes, chance {fit.chance:.2g}"
    return at_least(
        fit.chance,
        _LEAST_CHANCE,
        code="calibrate.sizes",
        message=(
            f"sizes agree: {text}"
            if good
            else f"measured sizes contradict each other or the earlier profile: {text}"
            + (f"; furthest off: {', '.join(odd)}" if odd else "")
        ),
        unit="-",
        source="chi-square of sizes against offsets, scale, u and repeatability",
        change="measure those again, or give a larger u or repeatability",
    )


def _order(felt: tuple[FeltResult, ...]) -> Finding:
    """A wider piece may not turn harder."""
    rows = sorted(felt, key=lambda one: one.step_mm)
    wrong = [
        f"{b.step_mm:+g} ({b.felt}) against {a.step_mm:+g} ({a.felt})"
        for a, b in itertools.combinations(rows, 2)
        if a.step_mm < b.step_mm and FELT.index(b.felt) < FELT.index(a.felt)
    ]
    wrong += _felt_two_ways(rows)
    torques = [(one.step_mm, one.torque_nm) for one in rows if one.torque_nm is not None]
    wrong += [
        f"{b:+g} ({tb:g} N m) against {a:+g} ({ta:g} N m)"
        for (a, ta), (b, tb) in itertools.combinations(torques, 2)
        if a < b and tb > (1.0 + _TORQUE_SHARE) * ta and tb > ta + 1e-9
    ]
    return at_most(
        float(len(wrong)),
        0.0,
        code="calibrate.order",
        message=(
            "felt results contradict each other: one piece felt two ways, or a wider one harder: "
            + "; ".join(wrong)
            if wrong
            else "felt results are in order: no wider step turns harder, none is felt two ways"
        ),
        unit="pairs",
        source="a larger gap cannot turn harder, one gap not loose and tight",
        change="try those pieces again; look for burrs, strings and the first layer's flare",
    )


def _felt_two_ways(rows: list[FeltResult]) -> list[str]:
    """Steps felt in two ways that lie farther apart than scatter explains."""
    steps: dict[float, set[int]] = {}
    for one in rows:
        steps.setdefault(round(one.step_mm, _STEP_DIGITS), set()).add(FELT.index(one.felt))
    return [
        f"{step:+g} felt both {FELT[min(felt)]} and {FELT[max(felt)]}"
        for step, felt in steps.items()
        if len(felt) > 1
        and FELT_FROM_MM[max(felt)] - FELT_FROM_MM[min(felt) + 1] > _APART * FELT_U_MM
    ]


def _agreement(results: Results, misfit: float) -> Finding:
    other = "measured sizes" if results.sizes else "the belief beforehand"
    good = misfit <= _MOST_MISFIT
    return at_most(
        math.sqrt(max(misfit, 0.0)),
        math.sqrt(_MOST_MISFIT),
        code="calibrate.agreement",
        message=(
            f"felt results and {other} agree within {math.sqrt(max(misfit, 0.0)):.1f} standard"
            " deviations"
            if good
            else f"felt results contradict {other} or each other by {math.sqrt(misfit):.1f}"
            " standard deviations"
        ),
        unit="standard deviations",
        source="log likelihood lost; three standard deviations",
        change="measure the plug and the pieces' bores again; look for burrs and strings",
    )


def _learnt(design: Design, after: Belief, before: Belief) -> Iterator[Finding]:
    """How true sizes of this design come out now: what is left is the printer's own scatter."""
    socket = design.socket
    hole, boss, scale = after.mean[:3].tolist()
    track = socket.tracks[0]
    slot = (
        2.0
        * track.outer_radius_mm
        * math.sin(math.radians(float(track.slot.at(track.outer_radius_mm))))
    )
    rows = (
        ("holes", [1.0, 0.0], 2.0 * socket.track_radius_mm, f"offset {hole:+.3f} mm"),
        ("slots", [1.0, 0.0], slot, f"offset {hole:+.3f} mm"),
        ("bosses", [0.0, 1.0], 2.0 * socket.boss_radius_mm, f"offset {boss:+.3f} mm"),
        ("lengths", [0.0, 0.0], socket.boss_height_mm, "no offset"),
    )
    h, b, sc = (after.u[:3] > _LEARNS_NOTHING * before.u[:3]).tolist()
    silent = (h, h, b, sc)
    for (word, offsets, size, said), nothing in zip(rows, silent, strict=True):
        direction = np.array([*offsets, size, 0.0])
        value, u = after.along(direction)
        _, was = before.along(direction)
        yield at_most(
            u,
            design.spec.printer.repeatability.value,
            code=f"calibrate.{word}",
            message=(
                f"{word}: {size:.1f} mm comes out {value - size:+.3f} mm off ({said}, scale"
                f" {scale:.5f}), u {u:.3f} mm, before {was:.3f}"
                + ("; nothing in the results tells it" if nothing else "")
            ),
            unit="mm",
            source="[printer] repeatability",
            change=(
                "measure small holes too: they part the offset from the scale"
                if word == "slots"
                else "print and measure more pieces, with this profile"
            ),
            otherwise=Verdict.LOOK,
        )


def _assumptions(design: Design, before: ProcessProfile | None) -> tuple[str, ...]:
    start = (
        f"Before: hole and boss offset 0 ± {PRIOR_U[0]:g} and 0 ± {PRIOR_U[1]:g} mm, scale"
        f" 1 ± {PRIOR_U[2]:g} (standard uncertainties; {PRACTICE})."
        if before is None
        else f"Before, and drawn with: {before.in_words()}."
    )
    limits = ", ".join(
        f"{word} from {low:g}"
        for word, low in zip(FELT[1:], FELT_FROM_MM[1:], strict=True)
    )  # fmt: skip
    return (
        start,
        f"Sizes repeat within {design.spec.printer.repeatability.value:g} mm (standard deviation;"
        " [printer] repeatability).",
        f"Felt by the least gap a side [mm]: {FELT[0]} below 0, {limits}; each ± {FELT_U_MM:g},"
        f" all together ± {SHARED_U_MM:g} ({PRACTICE}).",
        "Torque is held against the order of the steps only; no gap is computed from it.",
    )
