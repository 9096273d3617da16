"""Several samples of one plug: mean, scatter between them, and limits for the production."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bayonet import rounding
from bayonet.errors import ScanError
from bayonet.mechanics import signed_deg, tolerance_factor
from bayonet.scan.describe.registration import CENTRE, renumbered
from bayonet.scan.fit import FeatureValue, Key

KINDS = ("diameter", "length", "angle")


@dataclass(frozen=True, kw_only=True)
class Pooled:
    """One dimension over all samples that show it.

    ``scatter`` is the standard deviation between samples, NaN for a single one; ``u`` the standard
    uncertainty of the mean that the scans themselves bring.
    """

    key: str
    meaning: str
    unit: str
    mean: float
    u: float
    scatter: float
    samples: int
    values: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Limit:
    """Half-width that holds the production, for one kind of dimension.

    ``half_width`` = ``factor`` times ``scatter``, the scatter pooled over ``dof`` degrees of
    freedom.
    """

    kind: str
    scatter: float
    dof: int
    factor: float
    half_width: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Population:
    """What several samples say of the production."""

    samples: int
    coverage: float
    confidence: float
    rows: tuple[Pooled, ...]
    limits: tuple[Limit, ...]


_BY_MAKING = 1e-6  # deg
_DRAWN_ONLY = ("shoulder_thickness", "nose_chamfer")  # no chain goes through them


def kind_of(key: str, unit: str) -> str | None:
    """Which spread of the design file covers a dimension: None for a lead, which has none.

    Examples
    --------
    >>> kind_of("groove.diameter", "mm"), kind_of("lug.0.thickness", "mm")
    ('diameter', 'length')
    >>> kind_of("lug.0.centre_deg", "deg"), kind_of("lug.0.width_deg", "deg")
    ('angle', None)
    """
    if unit == "deg":
        return "angle" if Key(key).name == CENTRE else None
    if unit != "mm" or key in _DRAWN_ONLY:
        return None
    return "diameter" if "diameter" in key else "length"


def pooled(
    samples: Sequence[tuple[FeatureValue, ...]],
    *,
    lugs: int,
    coverage: float = 0.99,
    confidence: float = 0.95,
) -> Population:
    """Statistics of several scanned samples.

    Lugs are numbered as in the first sample. The limits of a kind (diameters, lengths, positions)
    are the exact two-sided normal tolerance factor times the scatter pooled over its dimensions
    (ISO 16269-6, common variance); the scans' own noise is part of the scatter and left in.

    Parameters
    ----------
    samples : sequence of tuples of FeatureValue
        At least two.
    lugs : int
    coverage, confidence : float
        The limits hold this share of the production with this probability.

    Returns
    -------
    Population

    Raises
    ------
    ScanError
        For fewer than two samples.
    """
    if len(samples) < 2:
        raise ScanError("scatter between samples needs at least two scans")
    reference = {one.key: one.value for one in samples[0]}
    aligned = [samples[0], *(renumbered(one, reference, lugs) for one in samples[1:])]
    rows = [_row(feature, aligned) for feature in samples[0]]
    kept = tuple(row for row in rows if row.samples)
    limits = [
        _limit(kind, kept, len(samples), coverage=coverage, confidence=confidence) for kind in KINDS
    ]
    return Population(
        samples=len(samples), coverage=coverage, confidence=confidence, rows=kept,
        limits=tuple(limit for limit in limits if limit is not None),
    )  # fmt: skip


def _row(feature: FeatureValue, samples: Sequence[tuple[FeatureValue, ...]]) -> Pooled:
    same = [one for sample in samples for one in sample if one.key == feature.key]
    seen = [one for one in same if one.found == "measured" and math.isfinite(one.value)]
    values = np.array([one.value for one in seen])
    if Key(feature.key).name == CENTRE and len(values):
        values = values[0] + signed_deg(values - values[0])
    count = len(values)
    return Pooled(
        key=feature.key, meaning=feature.meaning, unit=feature.unit,
        mean=float(values.mean()) if count else math.nan,
        u=math.sqrt(sum(one.u**2 for one in seen)) / count if count else math.nan,
        scatter=float(values.std(ddof=1)) if count > 1 else math.nan,
        samples=count, values=tuple(values.tolist()),
    )  # fmt: skip


def _limit(
    kind: str, rows: Sequence[Pooled], samples: int, *, coverage: float, confidence: float
) -> Limit | None:
    own = [row for row in rows if kind_of(row.key, row.unit) == kind and row.samples > 1]
    if kind == "angle" and all(row.scatter < _BY_MAKING for row in own):
        return None  # lugs fitted as evenly spaced: their places were not measured one by one
    if not own:
        return None
    squares = sum((row.samples - 1) * row.scatter**2 for row in own)
    dof = sum(row.samples - 1 for row in own)
    least = min(row.samples for row in own)
    factor = tolerance_factor(
        min(least, samples), coverage=coverage, confidence=confidence, dof=dof
    )
    scatter = math.sqrt(squares / dof)
    unit = "deg" if kind == "angle" else "mm"
    return Limit(kind=kind, scatter=scatter, dof=dof, factor=factor,
                 half_width=factor * scatter, unit=unit)  # fmt: skip


def spread_table(population: Population) -> str:
    """The limits as the design file's ``[plug.spread]`` table.

    Parameters
    ----------
    population : Population

    Returns
    -------
    str
        TOML; kinds without limits are left out.
    """
    told = f"{population.samples} samples; {population.coverage:.0%} of the production with"
    lines = [
        "[plug.spread]",
        f"# {told} {population.confidence:.0%} confidence, if normal (ISO 16269-6, exact factor).",
        "# The scatter between samples holds the scans' own noise; it is not taken out.",
    ]
    for one in population.limits:
        name = "angle_deg" if one.kind == "angle" else one.kind
        why = f"{one.factor:.2f} x {one.scatter:.4g} {one.unit}, {one.dof} degrees of freedom"
        lines.append(f"{name} = {_rounded_up(one.half_width)}  # {why}")
    if "angle" not in {one.kind for one in population.limits}:
        lines.append("# angle_deg: lugs fitted as evenly spaced tell no scatter of their places;")
        lines.append("# what the process is known for holds, or measure it and fill it in.")
    return "\n".join([*lines, ""])


def _rounded_up(value: float) -> float:
    """Two significant digits, never less than the value.

    Examples
    --------
    >>> _rounded_up(0.0412), _rounded_up(0.04), _rounded_up(0.0)
    (0.042, 0.04, 0.0)
    """
    if not value > 0.0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return rounding.up(value, step=step)
