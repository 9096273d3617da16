"""What a fit gives: every dimension with its uncertainty, how it was found, and the rest."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.keys import Key

Found = Literal["measured", "by symmetry", "not seen"]


@dataclass(frozen=True, kw_only=True)
class FeatureValue:
    """One dimension of the plug as the scan shows it."""

    key: str
    meaning: str
    value: float
    u: float
    unit: str
    coverage: float
    found: Found
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ScanResult:
    """A plug as one scan shows it.

    Parameters
    ----------
    rotation, origin_mm : array (3, 3), (3,)
        Pose: ``xyz = local @ rotation.T + origin``; local axis +z out of the tank, shoulder at 0.
    features : tuple of FeatureValue
    lugs : int
    hand : str or None
        None where flat lugs do not tell it.
    is_equal : bool
    sides, groove : str
    flags : tuple of (int, str)
        Lugs that look worn or disagree, counted from 0, and in what.
    form : tuple of FeatureValue
        Ovality, taper, coaxiality, squareness; each flank's own lead.
    residual_mm, theta_deg, depth_mm, radius_mm : array (n,)
        Of the points used.
    cloud : array (m, 3)
        Every point near the plug, on a face or not: radius [mm], angle [deg], depth [mm].
    noise_mm, correlation_mm : float
    warnings : tuple of str
    parameters : tuple of str
        Keys of what the joint fit measures; ``lead`` is the one of all lugs.
    covariance : array (k, k)
        Of the parameters, in their units (mm, deg, mm/rev), correlation of the noise included.
    """

    rotation: NDArray[np.float64]
    origin_mm: NDArray[np.float64]
    features: tuple[FeatureValue, ...]
    lugs: int
    hand: str | None
    is_equal: bool
    sides: str
    groove: str
    flags: tuple[tuple[int, str], ...]
    form: tuple[FeatureValue, ...]
    residual_mm: NDArray[np.float64]
    theta_deg: NDArray[np.float64]
    depth_mm: NDArray[np.float64]
    radius_mm: NDArray[np.float64]
    noise_mm: float
    correlation_mm: float
    warnings: tuple[str, ...]
    parameters: tuple[str, ...] = ()
    cloud: NDArray[np.float64] = field(default_factory=lambda: np.zeros((0, 3)))
    covariance: NDArray[np.float64] = field(default_factory=lambda: np.zeros((0, 0)))

    def in_units_of(self, mm: float) -> ScanResult:
        """The same in mm, where it was measured in another unit of length.

        Parameters
        ----------
        mm : float
            That unit's length [mm]; a power of two rounds nothing.

        Returns
        -------
        ScanResult
        """
        if mm == 1.0:
            return self
        times = np.array([1.0 if Key(key).is_angle else mm for key in self.parameters])
        return replace(
            self,
            origin_mm=self.origin_mm * mm,
            features=tuple(_scaled(one, mm) for one in self.features),
            form=tuple(_scaled(one, mm) for one in self.form),
            residual_mm=self.residual_mm * mm,
            depth_mm=self.depth_mm * mm,
            radius_mm=self.radius_mm * mm,
            noise_mm=self.noise_mm * mm,
            correlation_mm=self.correlation_mm * mm,
            cloud=self.cloud * np.array([mm, 1.0, mm]),
            covariance=self.covariance * np.outer(times, times),
        )


def _scaled(one: FeatureValue, mm: float) -> FeatureValue:
    return one if one.unit == "deg" else replace(one, value=one.value * mm, u=one.u * mm)
