"""Which lug of one plug is which of another: scans number lugs from wherever they start."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping

import numpy as np

from bayonet.mechanics import signed_deg
from bayonet.scan.fit import FeatureValue, Key, lug_key

CENTRE = "centre_deg"
_TIE = 1e-6  # of a sum of squares in mm and deg


def lug_parts(key: str) -> tuple[int, str] | None:
    """Number and name of a lug's key.

    Examples
    --------
    >>> lug_parts("lug.2.width_deg"), lug_parts("groove.width")
    ((2, 'width_deg'), None)
    """
    one = Key(key)
    return (one.number, one.name) if one.is_lug and one.number is not None else None


def renumbered(
    features: tuple[FeatureValue, ...], reference: Mapping[str, float], count: int
) -> tuple[FeatureValue, ...]:
    """The features with lugs numbered, and turned, to fit a reference best.

    Parameters
    ----------
    features : tuple of FeatureValue
    reference : mapping
        Values by key, same number of lugs.
    count : int
        Lugs.

    Returns
    -------
    tuple of FeatureValue
        In the reference's order; centres turned by one common angle.
    """
    shifts = [(_misfit(features, reference, count, shift), shift) for shift in range(count)]
    least = min(misfit for (misfit, _), _ in shifts)
    near = [one for one in shifts if one[0][0] <= least + _TIE]  # even lugs fit every way round
    (_, turn), shift = min(near, key=lambda one: min(one[1], count - one[1]))
    place = {feature.key: rank for rank, feature in enumerate(features)}
    moved = [_moved(feature, shift, count, turn) for feature in features]
    return tuple(sorted(moved, key=lambda one: place.get(one.key, len(place))))


def _moved(feature: FeatureValue, shift: int, count: int, turn: float) -> FeatureValue:
    parts = lug_parts(feature.key)
    if parts is None:
        return feature
    number, name = (parts[0] + shift) % count, parts[1]
    meaning = feature.meaning.replace(f"lug {parts[0] + 1}", f"lug {number + 1}")
    value = (feature.value + turn) % 360.0 if name == CENTRE else feature.value
    return dataclasses.replace(feature, key=lug_key(number, name), meaning=meaning, value=value)


def _misfit(
    features: tuple[FeatureValue, ...], reference: Mapping[str, float], count: int, shift: int
) -> tuple[float, float]:
    """Sum of squared differences of lugs, and the turn that brings centres together [deg]."""
    centres, rest = [], 0.0
    for feature in features:
        parts = lug_parts(feature.key)
        if parts is None or not math.isfinite(feature.value):
            continue
        key = lug_key((parts[0] + shift) % count, parts[1])
        if key not in reference or not math.isfinite(reference[key]):
            continue
        if parts[1] == CENTRE:
            centres.append(reference[key] - feature.value)
        elif parts[1] != "lead":
            rest += (reference[key] - feature.value) ** 2
    turn = _mean_angle(centres)
    away = [signed_deg(value - turn) for value in centres]
    return rest + sum(value * value for value in away), turn


def _mean_angle(angles_deg: list[float]) -> float:
    if not angles_deg:
        return 0.0
    turns = np.exp(1j * np.radians(angles_deg))
    first = math.degrees(float(np.angle(turns.sum())))
    away = [signed_deg(value - first) for value in angles_deg]
    return first + sum(away) / len(away)
