"""A flat gasket under the shoulder: it holds the plug off the mouth face.

The shoulder comes no nearer than a gasket squeezed as far as it may be is thick. All depths of
the plug count from there, so that a seated plug is one whose gasket is squeezed to its most.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from bayonet.designfile import ProblemList, SocketTable
from bayonet.parts.plug import Plug


@dataclass(frozen=True, kw_only=True)
class Gasket:
    """A flat gasket [mm], and the squeeze it may be used at [-]."""

    thickness_mm: float
    thickness_zone_mm: float
    inner_radius_mm: float
    outer_radius_mm: float
    least_squeeze: float
    most_squeeze: float

    @property
    def least_height_mm(self) -> float:
        """Its height when squeezed as far as it may be [mm]."""
        return self.thickness_mm * (1.0 - self.most_squeeze)

    @property
    def width_mm(self) -> float:
        """Radial width [mm]."""
        return self.outer_radius_mm - self.inner_radius_mm


def gasket_of(table: SocketTable) -> Gasket | None:
    """The gasket a file names; None where none seals."""
    given = table.seal.gasket
    if given is None:
        return None
    return Gasket(
        thickness_mm=given.thickness.value,
        thickness_zone_mm=given.thickness.half_zone(0.0),
        inner_radius_mm=given.inner_diameter.value / 2.0,
        outer_radius_mm=given.outer_diameter.value / 2.0,
        least_squeeze=given.squeeze[0],
        most_squeeze=given.squeeze[1],
    )


def stood_off(plug: Plug, gasket: Gasket, problems: ProblemList) -> Plug:
    """The plug as it stands over the mouth face on a gasket squeezed to its most.

    Parameters
    ----------
    plug : Plug
        Depths from its shoulder.
    gasket : Gasket
    problems : ProblemList
        Receives why it cannot stand there.

    Returns
    -------
    Plug
        Depths from the mouth face.
    """
    by = gasket.least_height_mm
    if not plug.lug_span_mm[0] > by:
        rule = (
            f"the lugs start {plug.lug_span_mm[0]:.4g} mm under the shoulder, and the gasket keeps"
            f" {by:.4g} mm of that: nothing is left for a roof"
        )
        problems.add(("socket", "seal", "gasket", "thickness"), rule)
    return dataclasses.replace(
        plug,
        stands_off_mm=by,
        body=tuple(
            dataclasses.replace(
                step, from_depth_mm=step.from_depth_mm - by, to_depth_mm=step.to_depth_mm - by
            )
            for step in plug.body
        ),
        lugs=tuple(
            dataclasses.replace(lug, shape=lug.shape.moved({"bearing_depth": -by}))
            for lug in plug.lugs
        ),
    )
