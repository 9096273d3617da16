"""Every deviation of a plug, its socket and its ring, as variables; which dimension each moves."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bayonet.designfile import Lugs, Measured, OneLug
from bayonet.parts import Design, PlugSpread, lead_given, leading_lead_given, spread_of
from bayonet.tolerance.chains import Spread, Variable
from bayonet.tolerance.fitting.blunders import most_off

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Deviations:
    """Variables of a fitting.

    Parameters
    ----------
    variables : tuple of Variable
    terms : dict of tuple of int
        For each dimension's name the rows of the variables that add up to its deviation.
    correlation : array or None
        Of the uncertainties of the plug, where the file gives it.
    """

    variables: tuple[Variable, ...]
    terms: dict[str, tuple[int, ...]]
    correlation: Array | None

    def of(self, name: str, deviations: Array) -> Array | float:
        """Deviation of a dimension, shape (n,); 0 where nothing moves it."""
        rows = self.terms.get(name, ())
        if not rows:
            return 0.0
        total: Array = deviations[rows[0]]
        for row in rows[1:]:
            total = total + deviations[row]
        return total


def deviations_of(design: Design) -> Deviations:
    """All deviations of a design's plug, socket and ring.

    Parameters
    ----------
    design : Design

    Returns
    -------
    Deviations

    Examples
    --------
    See `tests/tolerance/test_assembly.py`: production of one flank, and what all flanks share.
    """
    gather = _Gather(design)
    gather.plug()
    gather.socket()
    gather.ring()
    return gather.done()


@dataclass
class _Gather:
    design: Design
    variables: list[Variable] = field(default_factory=list)
    terms: dict[str, list[int]] = field(default_factory=dict)
    uncertainties: dict[str, int] = field(default_factory=dict)

    def done(self) -> Deviations:
        return Deviations(
            variables=tuple(self.variables),
            terms={name: tuple(rows) for name, rows in self.terms.items()},
            correlation=self._correlation(),
        )

    def add(self, name: str, variable: Variable) -> None:
        """A variable of one dimension; left out where it cannot move at all."""
        if variable.half_width > 0.0:
            self.terms.setdefault(name, []).append(len(self.variables))
            self.variables.append(variable)

    def measured(
        self, name: str, meaning: str, given: Measured, half: float, *,
        path: str, unit: str = "mm", factor: float = 1.0,
    ) -> None:  # fmt: skip
        """Production of one plug dimension, and the uncertainty of its measurement.

        A uncertainty is one for all dimensions that were taken from the same measured value.
        """
        shape = given.shape or self.design.spec.production.plug_shape
        self.add(
            name,
            Variable(
                key=name, meaning=meaning, owner="plug", unit=unit, spread=shape,
                half_width=factor * given.production(half / factor if factor else half),
            ),
        )  # fmt: skip
        uncertainty = given.uncertainty
        if uncertainty.u > 0.0 and path not in self.uncertainties:
            self.uncertainties[path] = len(self.variables)
            self.variables.append(
                Variable(
                    key=f"uncertainty:{path}",
                    meaning=f"uncertainty of the measured {meaning_of(path)}",
                    owner="plug",
                    unit=unit,
                    spread="uncertainty",
                    u=factor * uncertainty.u,
                    dof=uncertainty.dof,
                    most=factor * most_off(given, unit),
                    half_width=min(factor * given.expanded, factor * most_off(given, unit)),
                )
            )
        if path in self.uncertainties:
            self.terms.setdefault(name, []).append(self.uncertainties[path])

    def made(self, name: str, meaning: str, half: float, group: str, unit: str = "mm") -> None:
        """A socket dimension."""
        shape = self.design.spec.production.socket_shape
        self.add(
            name,
            Variable(
                key=name, meaning=meaning, owner="socket", unit=unit, spread=shape,
                half_width=half, group=group,
            ),
        )  # fmt: skip

    def round_zone(
        self, name: str, meaning: str, half: float, owner: str, group: str, unit: str
    ) -> None:
        """Two variables, x and y, that share a round zone."""
        production = self.design.spec.production
        shape: Spread = production.plug_shape if owner == "plug" else production.socket_shape
        for axis in "xy":
            self.add(
                f"{name}_{axis}",
                Variable(
                    key=f"{name}_{axis}", meaning=f"{meaning}, {axis}",
                    owner="plug" if owner == "plug" else "socket", unit=unit, spread=shape,
                    half_width=half, disc=name, group=group,
                ),
            )  # fmt: skip

    # ---- plug ----------------------------------------------------------------------------

    def plug(self) -> None:
        table, spread = self.design.spec.plug, spread_of(self.design.spec.plug)
        for index, step in enumerate(table.body, 1):
            self.measured(
                f"body_{index}_diameter", f"diameter of body step {index}", step.diameter,
                spread.diameter_mm(step.diameter.value), path=f"body.{index - 1}.diameter",
            )  # fmt: skip
        last = table.body[-1].to_depth
        self.measured(
            "nose_depth", "depth of the nose", last, spread.length_mm(last.value),
            path=f"body.{len(table.body) - 1}.to_depth",
        )  # fmt: skip
        for index, one in enumerate(_listed(table.lugs), 1):
            self._lug(index, one, table.lugs, spread)
        self._flanks(table.lugs, spread)
        self._groove(spread)
        self.round_zone(
            "plug_axis", "axis of the lugs against the body", spread.coaxiality_mm / 2.0, "plug",
            "", "mm",
        )  # fmt: skip
        self._axes(spread)
        self.round_zone(
            "plug_tilt", "tilt of the lugs against the shoulder", spread.tilt_deg, "plug", "", "deg"
        )

    def _axes(self, spread: PlugSpread) -> None:
        """Axes of the other body steps and of the groove."""
        plug = self.design.plug
        for index, step in enumerate(plug.body, 1):
            if step != plug.lug_body:
                self.round_zone(
                    f"body_{index}_axis", f"axis of body step {index} against the lugs' step",
                    spread.step_coaxiality_mm / 2.0, "plug", "", "mm",
                )  # fmt: skip
        if plug.groove_kind == "radial":
            self.round_zone(
                "groove_axis", "axis of the groove against the body it is cut into",
                spread.groove_coaxiality_mm / 2.0, "plug", "", "mm",
            )  # fmt: skip

    def _lug(self, index: int, one: OneLug, common: Lugs, spread: PlugSpread) -> None:
        lug = self.design.plug.lugs[self._place_of(one, index)]
        name, radius = f"lug_{self._place_of(one, index) + 1}", lug.outer_radius_mm
        words = f"lug {self._place_of(one, index) + 1}"
        rows: list[tuple[str, str, Measured | None, Measured | None]] = [
            ("outer_diameter", "outer diameter", one.outer_diameter, common.outer_diameter),
            ("bearing_depth", "depth of the bearing flank", one.bearing_depth,
             common.bearing_depth),
            ("thickness", "thickness", one.thickness, common.thickness),
        ]  # fmt: skip
        if common.form == "pin":
            rows[-1] = ("diameter", "diameter of the pin", one.diameter, common.diameter)
        for key, meaning, own, shared in rows:
            given = own or shared
            assert given is not None, "the lugs table requires it"
            where = f"lugs.each.{index - 1}.{key}" if own else f"lugs.{key}"
            half = (
                spread.diameter_mm(given.value)
                if key.endswith("diameter")
                else spread.length_mm(given.value)
            )
            self.measured(f"{name}_{key}", f"{words}: {meaning}", given, half, path=where)
        if common.form != "pin":
            self._width(name, words, index, one, common, spread, radius)
        self.measured(
            f"{name}_position", f"{words}: position", one.centre_deg,
            spread.angle_deg(radius), path=f"lugs.each.{index - 1}.centre_deg", unit="deg",
        )  # fmt: skip

    def _width(
        self, name: str, words: str, index: int, one: OneLug, common: Lugs, spread: PlugSpread,
        radius: float,
    ) -> None:  # fmt: skip
        own = one.width is not None or one.width_deg is not None
        width, angle = (one.width, one.width_deg) if own else (common.width, common.width_deg)
        where = f"lugs.each.{index - 1}" if own else "lugs"
        if angle is not None:
            across = 2.0 * radius * math.sin(math.radians(min(angle.value / 2.0, 90.0)))
            per_deg = math.radians(1.0) * radius
            half = spread.length_mm(across)
            self.measured(
                f"{name}_width", f"{words}: width", angle, half, path=f"{where}.width_deg",
                factor=per_deg,
            )  # fmt: skip
        elif width is not None:
            self.measured(
                f"{name}_width", f"{words}: width", width, spread.length_mm(width.value),
                path=f"{where}.width",
            )  # fmt: skip

    def _place_of(self, one: OneLug, index: int) -> int:
        """Where a listed lug comes among the plug's lugs, which are sorted by angle."""
        angle = one.centre_deg.value % 360.0
        lugs = self.design.plug.lugs
        return min(range(len(lugs)), key=lambda i: (abs(lugs[i].centre_deg - angle), i != index))

    def _flanks(self, lugs: Lugs, spread: PlugSpread) -> None:
        plug = self.design.plug
        if lugs.form == "pin":
            return  # a round has no lead of its own
        across = max(lug.outer_radius_mm for lug in plug.lugs) + plug.lug_body.radius_mm
        given = lead_given(lugs, mean_diameter_mm=across)
        self.measured(
            "plug_lead", "lead of the lugs' flanks", given.measured, spread.lead_mm_per_rev,
            path=given.path, unit="mm/rev", factor=given.per_unit,
        )  # fmt: skip
        own = leading_lead_given(lugs, given)
        if own is not given:
            self.measured(
                "plug_leading_lead", "lead of the lugs' leading flanks", own.measured,
                spread.lead_mm_per_rev, path=own.path, unit="mm/rev",
            )  # fmt: skip

    def _groove(self, spread: PlugSpread) -> None:
        groove = self.design.spec.plug.groove
        if groove is None:
            return
        self.measured(
            "groove_diameter", "groove diameter", groove.diameter,
            spread.diameter_mm(groove.diameter.value), path="groove.diameter",
        )  # fmt: skip
        self.measured(
            "groove_width", "groove width", groove.width, spread.length_mm(groove.width.value),
            path="groove.width",
        )  # fmt: skip
        if groove.depth is not None:
            self.measured(
                "groove_cut", "groove depth", groove.depth, spread.length_mm(groove.depth.value),
                path="groove.depth",
            )  # fmt: skip

    # ---- socket --------------------------------------------------------------------------

    def socket(self) -> None:
        socket, limits = self.design.socket, self.design.socket.limits
        self.made("track_bore", "bore between the tracks", limits.track_bore_mm, "track_bore")
        if socket.seal_radius_mm is not None:
            self.made("sealing_bore", "sealing bore", limits.sealing_bore_mm, "sealing_bore")
        if socket.nose_floor_mm is not None:
            self.made("nose_floor", "floor under the nose", limits.nose_floor_mm, "nose_floor")
        for index in range(1, len(socket.tracks) + 1):
            for name, meaning, half, group, unit in self._track(index):
                self.made(name, meaning, half, group, unit)
        if socket.lead_mm_per_rev > 0.0:
            self.made("track_lead", "lead of the ramps", limits.lead_mm_per_rev, "lead", "mm/rev")
        self.round_zone(
            "track_axis", "axis of the tracks against the bore", limits.coaxiality_mm / 2.0,
            "socket", "coaxiality", "mm",
        )  # fmt: skip
        if socket.seal_radius_mm is not None:
            self.round_zone(
                "seal_axis", "axis of the sealing bore against the bore between the tracks",
                limits.seal_coaxiality_mm / 2.0, "socket", "seal_coaxiality", "mm",
            )  # fmt: skip
        if socket.joint is not None:
            self.made("ring_clocking", "ring turned on the body", socket.joint.clocking_deg, "",
                      "deg")  # fmt: skip
        self.round_zone(
            "track_tilt", "tilt of the tracks against the mouth face", limits.tilt_deg, "socket",
            "tilt_deg", "deg",
        )  # fmt: skip

    def _track(self, index: int) -> Iterator[tuple[str, str, float, str, str]]:
        limits, name, words = self.design.socket.limits, f"track_{index}", f"track {index}"
        rows = [
            ("wall", "diameter at the wall", limits.track_wall_mm, "track_wall", "mm"),
            ("slot_width", "slot width", limits.slot_width_mm, "slot_width", "mm"),
            ("slot_position", "slot position", limits.slot_position_deg, "slot_position_deg",
             "deg"),
            ("stop", "stop position", limits.stop_deg, "stop_deg", "deg"),
            ("roof", "depth of the roof", limits.roof_mm, "roof", "mm"),
            ("floor", "depth of the floor", limits.floor_mm, "floor", "mm"),
        ]  # fmt: skip
        if self.design.socket.detent_height_mm > 0.0:
            rows.append(("detent", "height of the detent", limits.roof_mm, "roof", "mm"))
        for key, meaning, half, group, unit in rows:
            yield f"{name}_{key}", f"{words}: {meaning}", half, group, unit

    # ---- ring ----------------------------------------------------------------------------

    def ring(self) -> None:
        ring, gasket = self.design.socket.ring, self.design.socket.gasket
        rows = []
        if gasket is not None:
            rows.append(("gasket", "thickness of the gasket", gasket.thickness_zone_mm))
        known = ring is not None and ring.has_tolerances
        if ring is not None and known:
            rows.append(("ring_section", "section of the ring", ring.section_tol_mm))
            rows.append(("ring_inside", "inside diameter of the ring", ring.inside_diameter_tol_mm))
        for name, meaning, half in rows:
            one = Variable(
                key=name, meaning=meaning, owner="ring", half_width=half, spread="normal"
            )
            self.add(name, one)
        if known and self.design.socket.seal_radius_mm is not None:
            self.add(
                "seat",
                Variable(
                    key="seat", meaning="place of the plug within its clearance",
                    owner="assembly", half_width=1.0, spread="radius", unit="-",
                ),
            )  # fmt: skip

    def _correlation(self) -> Array | None:
        pairs = [
            (self.uncertainties[a], self.uncertainties[b], one.r)
            for one in self.design.spec.plug.correlation
            for a, b in [one.between]
            if a in self.uncertainties and b in self.uncertainties
        ]
        if not pairs:
            return None
        matrix = np.eye(len(self.variables))
        for row, column, r in pairs:
            matrix[row, column] = matrix[column, row] = r
        return matrix


def meaning_of(path: str) -> str:
    """A design-file path in words: ``lugs.bearing_depth`` is "bearing depth of the lugs".

    Examples
    --------
    >>> meaning_of("groove.diameter"), meaning_of("body.0.to_depth")
    ('groove diameter', 'body 1 to depth')
    """
    parts = [str(int(p) + 1) if p.isdigit() else p.replace("_", " ") for p in path.split(".")]
    return " ".join(p for p in parts if p != "each")


def _listed(lugs: Lugs) -> list[OneLug]:
    if lugs.each is not None:
        return list(lugs.each)
    count, first = lugs.count or 0, lugs.first_at_deg
    return [
        OneLug.model_construct(
            centre_deg=Measured(value=first.value + 360.0 * i / count, tol=first.tol)
        )
        for i in range(count)
    ]
