"""The dimensions of a design file's plug under the same keys as a scan's, to compare the two."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bayonet.designfile import Lugs, Measured, OneLug, PlugTable
from bayonet.mechanics import lead_mm_per_rev
from bayonet.parts import Design, PlugSpread, spread_of
from bayonet.scan.fit import Key, body_key, lug_key


@dataclass(frozen=True, kw_only=True)
class Known:
    """One dimension as the file has it.

    Parameters
    ----------
    key, meaning, unit : str
    value : float
    uncertainty : float
        Half-width of its own uncertainty, about 95 % [as value].
    limit : float
        Half-width within which every part of the production lies [as value].
    """

    key: str
    meaning: str
    value: float
    uncertainty: float
    limit: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class KnownPlug:
    """A file's plug: dimensions, and what is not a dimension."""

    values: tuple[Known, ...]
    lugs: int
    hand: str
    sides: str
    groove: str

    def of(self, key: str) -> Known | None:
        """The dimension of a key, None where the file has none."""
        return next((one for one in self.values if one.key == key), None)


def known(design: Design) -> KnownPlug:
    """The plug of a design file as a scan would tell it.

    Parameters
    ----------
    design : Design

    Returns
    -------
    KnownPlug
        Widths of radial sides as angles, of parallel sides as lengths; lead as advance a turn.
    """
    table = design.spec.plug
    spread = spread_of(table)
    rows = [
        _length("shoulder_diameter", "shoulder diameter", table.shoulder_diameter,
                spread.diameter_mm),
    ]  # fmt: skip
    for number, step in enumerate(table.body):
        base, words = body_key(number), f"body step {number + 1}"
        rows.append(
            _length(base.of("diameter"), f"{words}: diameter", step.diameter, spread.diameter_mm)
        )
        rows.append(
            _length(base.of("to_depth"), f"{words}: depth of its end", step.to_depth,
                    spread.length_mm)
        )  # fmt: skip
    for key, words in (("shoulder_thickness", "shoulder thickness"),
                       ("nose_chamfer", "nose: leg of its chamfer")):  # fmt: skip
        if key in table.model_fields_set:
            rows.append(_length(key, words, getattr(table, key), spread.length_mm))
    rows += _groove(table, spread)
    each = _each(table.lugs)
    for number, lug in enumerate(each):
        rows += _lug(number, lug, table, spread, design)
    return KnownPlug(
        values=tuple(rows), lugs=len(each), hand=table.hand, sides=table.lugs.sides,
        groove="none" if table.groove is None else table.groove.kind,
    )  # fmt: skip


def _length(
    key: str, meaning: str, given: Measured, by_size: Callable[[float], float], unit: str = "mm"
) -> Known:
    spread = by_size(given.value)
    limit = spread if given.tol is None else given.tol
    uncertainty = given.half_zone(spread) - limit
    return Known(
        key=key, meaning=meaning, value=given.value, uncertainty=uncertainty, limit=limit, unit=unit
    )  # fmt: skip


def _groove(table: PlugTable, spread: PlugSpread) -> list[Known]:
    groove = table.groove
    if groove is None:
        return []
    rows = [
        _length("groove.diameter", "groove: diameter", groove.diameter, spread.diameter_mm),
        _length("groove.width", "groove: width", groove.width, spread.length_mm),
    ]
    if groove.at_depth is not None:
        words = "groove: depth of its nearer wall"
        rows.append(_length("groove.at_depth", words, groove.at_depth, spread.length_mm))
    if groove.depth is not None:
        rows.append(_length("groove.depth", "groove: depth", groove.depth, spread.length_mm))
    return rows


def _each(lugs: Lugs) -> tuple[OneLug, ...]:
    if lugs.each is not None:
        return tuple(sorted(lugs.each, key=lambda one: one.centre_deg.value % 360.0))
    count, first = lugs.count or 0, lugs.first_at_deg.value
    return tuple(
        OneLug.model_construct(centre_deg=Measured(value=(first + 360.0 * i / count) % 360.0))
        for i in range(count)
    )


def _lug(
    number: int, lug: OneLug, table: PlugTable, spread: PlugSpread, design: Design
) -> list[Known]:
    common, base, words = table.lugs, lug_key(number), f"lug {number + 1}"
    outer = lug.outer_diameter or common.outer_diameter
    depth = lug.bearing_depth or common.bearing_depth
    thickness = lug.thickness or common.thickness
    rows = [
        _length(base.of("centre_deg"), f"{words}: middle", lug.centre_deg,
                lambda _: spread.angle_deg(outer.value / 2.0), "deg"),
        _length(base.of("outer_diameter"), f"{words}: diameter over it", outer, spread.diameter_mm),
        _length(base.of("bearing_depth"), f"{words}: depth of bearing flank", depth,
                spread.length_mm),
        _length(base.of("thickness"), f"{words}: thickness", thickness, spread.length_mm),
        _width(base, words, lug, common, outer.value, spread),
    ]  # fmt: skip
    lead = _lead(common, design.plug.lug_body.radius_mm + outer.value / 2.0)
    own = common.leading_lead
    leading = lead if own is None else (own.value, own.half_zone(0.0))
    for name, told in (("lead", lead), ("leading_lead", leading)):
        meaning = f"{words}: lead" + ("" if name == "lead" else " of its leading flank")
        rows.append(Known(key=base.of(name), meaning=meaning, value=told[0], uncertainty=told[1],
                          limit=spread.lead_mm_per_rev, unit="mm/rev"))  # fmt: skip
    return rows


def _width(
    base: Key, words: str, lug: OneLug, common: Lugs, outer_mm: float, spread: PlugSpread
) -> Known:
    own = lug.width is not None or lug.width_deg is not None
    source = lug if own else common
    meaning = f"{words}: width"
    if source.width_deg is not None:
        chord = math.radians(1.0) * outer_mm / 2.0
        found = _length(base.of("width_deg"), meaning, source.width_deg,
                        lambda wide: spread.length_mm(wide * chord) / chord, "deg")  # fmt: skip
        return found if common.sides == "radial" else _as_chord(found, base.of("width"), outer_mm)
    assert source.width is not None, "the lugs table requires a width"
    found = _length(base.of("width"), meaning, source.width, spread.length_mm)
    return found if common.sides == "parallel" else _as_angle(found, base.of("width_deg"), outer_mm)


def _as_angle(width: Known, key: str, outer_mm: float) -> Known:
    """A chord at the outer diameter as an angle: 2 asin(w / d)."""
    half = math.asin(min(width.value / outer_mm, 1.0))
    rate = math.degrees(2.0 / (outer_mm * math.cos(half)))
    return Known(
        key=key,
        meaning=width.meaning,
        value=math.degrees(2.0 * half),
        uncertainty=width.uncertainty * rate,
        limit=width.limit * rate,
        unit="deg",
    )


def _as_chord(width: Known, key: str, outer_mm: float) -> Known:
    half = math.radians(width.value / 2.0)
    rate = math.radians(outer_mm / 2.0 * math.cos(half))
    return Known(
        key=key,
        meaning=width.meaning,
        value=outer_mm * math.sin(half),
        uncertainty=width.uncertainty * rate,
        limit=width.limit * rate,
        unit="mm",
    )


def _lead(lugs: Lugs, mean_diameter_mm: float) -> tuple[float, float]:
    """Lead and its uncertainty [mm/rev]; 0 where the file says the lugs are flat."""
    if lugs.lead is not None:
        return lugs.lead.value, lugs.lead.half_zone(0.0)
    if lugs.lead_angle_deg is not None:
        angle = lugs.lead_angle_deg
        value = lead_mm_per_rev(angle.value, mean_diameter_mm=mean_diameter_mm)
        return value, lead_mm_per_rev(angle.half_zone(0.0), mean_diameter_mm=mean_diameter_mm)
    return 0.0, 0.0
