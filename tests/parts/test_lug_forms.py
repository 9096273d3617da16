"""A new form of lug is one class and a row in the table: two of them run here, and nowhere else.

`Peg` is a regular polygon in angle and depth, near a round pin; `Edges` is the block again, kept
as the places of its four sides. Their numbers are worked by hand or held against the block.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from numpy.typing import ArrayLike

import bayonet
from bayonet import solids
from bayonet.checks.motion.proof import end_of, motion_of, prove
from bayonet.developed import engagement, gap_to_roof_mm
from bayonet.errors import DesignError
from bayonet.parts import (
    FORMS,
    Block,
    HalfAngle,
    LugDimension,
    LugSizes,
    LugZone,
    RootSection,
    changed,
    depth_span_mm,
)
from bayonet.shapes import Contour, Corner, Flank, Side
from bayonet.strength.contact import contact_of
from bayonet.tolerance.fitting.requirements import chains_of

CORNERS = 24


@dataclass(frozen=True, kw_only=True)
class Peg:
    """A regular polygon of `CORNERS` in a circle (an ellipse in deg and mm): straight to build."""

    wide_deg: Any
    high_mm: Any
    middle_mm: Any
    outer_radius_mm: Any
    lead_mm_per_rev: float = 0.0
    floor_lead_mm_per_rev: float = 0.0
    round_mm: float | None = None

    @classmethod
    def of_sizes(cls, sizes: LugSizes) -> Peg:
        half = float(sizes.half.at(sizes.outer_radius_mm))
        high = sizes.thickness_mm / 2.0
        return cls(
            wide_deg=half,
            high_mm=high,
            middle_mm=sizes.bearing_depth_mm + high,
            outer_radius_mm=sizes.outer_radius_mm,
        )

    @property
    def half(self) -> HalfAngle:
        return HalfAngle(deg=self.wide_deg, offset_mm=0.0)

    @property
    def bearing_depth_mm(self) -> float:
        return float(self.middle_mm - self.high_mm)

    @property
    def thickness_mm(self) -> float:
        return float(2.0 * self.high_mm)

    @property
    def dimensions(self) -> tuple[LugDimension, ...]:
        return (
            LugDimension(key="width", nominal=math.radians(2 * self.wide_deg)),
            LugDimension(key="thickness", nominal=self.thickness_mm),
            LugDimension(key="bearing_depth", nominal=self.bearing_depth_mm),
            LugDimension(key="outer_diameter", nominal=2.0 * self.outer_radius_mm),
        )

    def moved(self, by: Mapping[str, ArrayLike]) -> Peg:
        thicker = np.asarray(by.get("thickness", 0.0)) / 2.0
        wider = np.degrees(np.asarray(by.get("width", 0.0)) / 2.0 / self.outer_radius_mm)
        return Peg(
            wide_deg=self.wide_deg + wider,
            high_mm=self.high_mm + thicker,
            middle_mm=self.middle_mm + np.asarray(by.get("bearing_depth", 0.0)) + thicker,
            outer_radius_mm=self.outer_radius_mm + np.asarray(by.get("outer_diameter", 0.0)) / 2.0,
        )

    def at_zone(self, zone: LugZone, sign: float) -> Peg:
        top = self.middle_mm - self.high_mm - sign * zone.bearing_mm
        bottom = self.middle_mm + self.high_mm + sign * zone.leading_mm
        grown = math.degrees(zone.side_mm / self.outer_radius_mm) + zone.position_deg
        return Peg(
            wide_deg=self.wide_deg + sign * grown,
            high_mm=(bottom - top) / 2.0,
            middle_mm=(bottom + top) / 2.0,
            outer_radius_mm=self.outer_radius_mm + sign * zone.outer_radius_mm,
        )

    def anywhere(self, aside_mm: float, *, root_mm: float) -> Peg:
        """Grown about its middle until its ends have moved that far: P + s P holds P moved by s."""
        grown = 1.0 + math.degrees(math.asin(aside_mm / root_mm)) / self.wide_deg
        return Peg(
            wide_deg=self.wide_deg * grown,
            high_mm=self.high_mm * grown,
            middle_mm=self.middle_mm,
            outer_radius_mm=self.outer_radius_mm + aside_mm,
        )

    def _rise(self, from_centre_deg: ArrayLike) -> Any:
        step = np.linspace(-math.pi / 2, math.pi / 2, CORNERS // 2 + 1)
        return self.high_mm * np.interp(
            np.asarray(from_centre_deg) / self.wide_deg, np.sin(step), np.cos(step)
        )

    def bearing_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Any:
        return np.asarray(self.middle_mm - self._rise(from_centre_deg))

    def leading_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Any:
        return np.asarray(self.middle_mm + self._rise(from_centre_deg))

    def touches_deg(
        self, flank: str, lead_mm_per_rev: ArrayLike, *, radius_mm: float
    ) -> tuple[Any, ...]:
        """Every corner between the ends."""
        step = np.linspace(-math.pi / 2, math.pi / 2, CORNERS // 2 + 1)[1:-1]
        return tuple(np.asarray(self.wide_deg * math.sin(one)) for one in step)

    def bearing_angle_deg(self, depth_mm: ArrayLike, *, radius_mm: float) -> Any:
        step = np.linspace(0.0, math.pi / 2, CORNERS // 4 + 1)
        rise = (self.middle_mm - np.asarray(depth_mm)) / self.high_mm
        share = np.interp(-rise, -np.cos(step), np.sin(step), left=-np.inf, right=np.inf)
        return self.wide_deg * share

    def contour(self, inner_mm: float) -> Contour:
        step = -math.pi / 2 + 2.0 * math.pi * np.arange(CORNERS) / CORNERS
        angles = self.wide_deg * np.sin(step)
        depths = self.middle_mm + self.high_mm * np.cos(step)
        sides = [Side(float(angle)) for angle in angles]
        flanks = []
        for k in range(CORNERS):
            after = (k + 1) % CORNERS
            lead = 360.0 * (depths[after] - depths[k]) / (angles[after] - angles[k])
            flanks.append(Flank(float(depths[k]), float(angles[k]), float(lead)))
        corners = tuple(Corner(*both) for both in zip(sides, flanks, strict=True))
        return Contour(corners, tuple(flanks), inner_mm, float(self.outer_radius_mm))

    def root(self, root_mm: float) -> RootSection:
        """A rectangle of 0.7 by 0.8 of it: less area and section modulus than the circle's."""
        chord = 2.0 * root_mm * math.sin(math.radians(self.wide_deg))
        return RootSection(width_mm=0.7 * chord, thickness_mm=0.8 * self.thickness_mm)

    def bearing_width_mm(self, radius_mm: float, *, share: float) -> float:
        """The one flat facet it can lie on."""
        facet = self.wide_deg * math.sin(math.pi / CORNERS)
        return math.radians(2.0 * facet) * radius_mm * share


@dataclass(frozen=True, kw_only=True)
class Edges:
    """A block, written as where its sides lie."""

    far_deg: Any
    top_mm: Any
    bottom_mm: Any
    rim_mm: Any
    climb: Any
    out_mm: float = 0.0
    round_mm: float | None = None

    @classmethod
    def of_sizes(cls, sizes: LugSizes) -> Edges:
        return cls(
            far_deg=sizes.half.deg,
            top_mm=sizes.bearing_depth_mm,
            bottom_mm=sizes.bearing_depth_mm + sizes.thickness_mm,
            rim_mm=sizes.outer_radius_mm,
            climb=sizes.lead_mm_per_rev,
        )

    @property
    def half(self) -> HalfAngle:
        return HalfAngle(deg=self.far_deg, offset_mm=self.out_mm)

    @property
    def outer_radius_mm(self) -> float:
        return self.rim_mm  # type: ignore[no-any-return]

    @property
    def bearing_depth_mm(self) -> float:
        return self.top_mm  # type: ignore[no-any-return]

    @property
    def thickness_mm(self) -> float:
        return self.bottom_mm - self.top_mm  # type: ignore[no-any-return]

    @property
    def lead_mm_per_rev(self) -> float:
        return self.climb  # type: ignore[no-any-return]

    @property
    def floor_lead_mm_per_rev(self) -> float:
        return self.climb  # type: ignore[no-any-return]

    @property
    def dimensions(self) -> tuple[LugDimension, ...]:
        keys = ("width", "thickness", "bearing_depth", "outer_diameter")
        return (
            *(LugDimension(key=key, nominal=0.0) for key in keys),
            LugDimension(key="lead", nominal=self.climb, of_all_lugs=True),
        )

    def moved(self, by: Mapping[str, ArrayLike]) -> Edges:
        deeper, thicker = by.get("bearing_depth", 0.0), by.get("thickness", 0.0)
        return Edges(
            far_deg=self.far_deg + np.degrees(np.asarray(by.get("width", 0.0)) / 2 / self.rim_mm),
            top_mm=self.top_mm + np.asarray(deeper),
            bottom_mm=self.bottom_mm + np.asarray(deeper) + np.asarray(thicker),
            rim_mm=self.rim_mm + np.asarray(by.get("outer_diameter", 0.0)) / 2.0,
            climb=self.climb + np.asarray(by.get("lead", 0.0)),
        )

    def at_zone(self, zone: LugZone, sign: float) -> Edges:
        wider = math.degrees(zone.side_mm / self.rim_mm) + zone.position_deg
        more = zone.ends_mm + self.climb * zone.position_deg / 360.0
        return Edges(
            far_deg=self.far_deg + sign * wider,
            top_mm=self.top_mm - sign * (zone.bearing_mm + more),
            bottom_mm=self.bottom_mm + sign * (zone.leading_mm + more),
            rim_mm=self.rim_mm + sign * zone.outer_radius_mm,
            climb=self.climb,
        )

    def bearing_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Any:
        return np.asarray(self.top_mm + self.climb * np.asarray(from_centre_deg) / 360.0)

    def leading_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Any:
        return np.asarray(self.bottom_mm + self.climb * np.asarray(from_centre_deg) / 360.0)

    def anywhere(self, aside_mm: float, *, root_mm: float) -> Edges:
        climb = abs(self.climb) * math.degrees(aside_mm / root_mm) / 360.0
        return Edges(
            far_deg=self.far_deg,
            top_mm=self.top_mm - climb,
            bottom_mm=self.bottom_mm + climb,
            rim_mm=self.rim_mm + aside_mm,
            climb=self.climb,
            out_mm=self.out_mm + aside_mm,
        )

    def touches_deg(
        self, flank: str, lead_mm_per_rev: ArrayLike, *, radius_mm: float
    ) -> tuple[Any, ...]:
        """A place between the ends too many must change nothing."""
        return (np.asarray(self.far_deg / 3.0),)

    def bearing_angle_deg(self, depth_mm: ArrayLike, *, radius_mm: float) -> Any:
        return 360.0 * (np.asarray(depth_mm) - self.top_mm) / self.climb

    def contour(self, inner_mm: float) -> Contour:
        left, right = Side(-self.far_deg, -self.out_mm), Side(self.far_deg, self.out_mm)
        start = -self.far_deg
        top = Flank(float(self.bearing_at(start, radius_mm=0.0)), start, self.climb)
        bottom = Flank(float(self.leading_at(start, radius_mm=0.0)), start, self.climb)
        corners = ((left, top), (left, bottom), (right, bottom), (right, top))
        return Contour(
            tuple(Corner(*both) for both in corners), (left, bottom, right, top), inner_mm,
            self.rim_mm,
        )  # fmt: skip

    def root(self, root_mm: float) -> RootSection:
        chord = 2.0 * root_mm * math.sin(math.radians(self.far_deg))
        return RootSection(width_mm=chord, thickness_mm=self.thickness_mm)

    def bearing_width_mm(self, radius_mm: float, *, share: float) -> float:
        return math.radians(2.0 * self.far_deg) * share * radius_mm


@pytest.fixture(autouse=True)
def _rows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(FORMS, "peg", Peg)
    monkeypatch.setitem(FORMS, "edges", Edges)


def pegged(design: bayonet.Design) -> bayonet.Design:
    """The design with pegs for lugs; clamped, its ramp must be said, for a peg has no lead."""
    changes: list[tuple[str, Any]] = [("plug.lugs.form", "peg"), ("plug.lugs.lead", None)]
    changes += [("service.lowest_c", None), ("service.highest_c", None)]
    changes.append(("socket.track.lead", design.socket.lead_mm_per_rev or None))
    return changed(design, changes)


def test_a_form_not_in_the_table_is_refused(sensor: bayonet.Design) -> None:
    with pytest.raises(DesignError, match="must be one of block, edges, peg, pin"):
        changed(sensor, [("plug.lugs.form", "cone")])
    assert changed(sensor, [("plug.lugs.form", "block")]).plug == sensor.plug


def test_volume_of_a_peg_and_its_solid(sensor: bayonet.Design) -> None:
    """Area of a regular n-gon in a circle: n / 2 sin(2 pi / n) of the radii's product."""
    design = pegged(sensor)
    lug, root = design.plug.lugs[0], design.plug.lug_body.radius_mm
    wide, high = math.radians(float(lug.half.at(20.0))), lug.thickness_mm / 2
    area = CORNERS / 2 * math.sin(2 * math.pi / CORNERS) * wide * high
    by_hand = area * (lug.outer_radius_mm**2 - root**2) / 2
    assert lug.volume_mm3(inner_mm=root) == pytest.approx(by_hand, rel=1e-12)
    assert solids.plug(design.plug).isValid()  # its gate holds the volume within 1e-9
    assert solids.socket(design.socket).isValid()


def test_a_pegs_span_and_overlap_by_hand(sensor: bayonet.Design) -> None:
    lug = pegged(sensor).plug.lugs[0]
    low, high = depth_span_mm(lug.shape, radius_mm=18.0)
    assert (float(low), float(high)) == pytest.approx((5.0, 8.5))
    assert lug.bearing_at(0.0, radius_mm=18.0) == pytest.approx(5.0)
    assert lug.bearing_at(lug.half.at(18.0), radius_mm=18.0) == pytest.approx(6.75)


def test_roof_overlap_of_a_peg(sensor: bayonet.Design) -> None:
    """Its top hangs under the roof at the turn's end: a corner touches, no face bears."""
    design = pegged(sensor)
    lug, track = design.plug.lugs[0], design.socket.tracks[0]
    got = engagement(lug, track, turn_deg=design.plug.turn_deg)
    width = math.radians(2 * float(lug.half.at(20.0)))
    inner = track.inner_radius_mm
    assert got.share == pytest.approx(1.0)
    assert got.overlap_mm2 == pytest.approx(width * (20.0**2 - inner**2) / 2, rel=1e-3)
    assert got.bearing_mm2 == 0.0
    gap = gap_to_roof_mm(lug, track, turn_deg=design.plug.turn_deg)
    assert gap == pytest.approx(design.socket.clearance.axial_mm, abs=1e-12)


def test_pegs_enter_turn_and_lock_over_the_whole_zone(sensor: bayonet.Design) -> None:
    design = pegged(sensor)
    proof = prove(design.plug, design.socket)
    for motion in (proof.nominal, proof.tightest, proof.loosest):
        assert motion.path
        assert motion.furthest_deg > design.plug.turn_deg - 2.0
    assert proof.tightest.play_mm < proof.nominal.play_mm < proof.loosest.play_mm


def one(chains: Any, point: Any, key: str) -> float:
    return float(min(row[0] for row in chains.pieces(point)[key]))


@pytest.mark.parametrize("name", ["sensor", "vent"])
def test_chains_of_pegs_as_the_free_region_has_them(
    name: str, request: pytest.FixtureRequest
) -> None:
    """Polygons moved through the track against the chains: play and stop, or where it is tight."""
    design = pegged(request.getfixturevalue(name))
    chains = chains_of(design)
    motion = motion_of(design.plug, design.socket)
    nominal = chains.values(chains.nominal())
    if design.socket.seating == "stop":
        assert float(nominal["axial_play"][0]) == pytest.approx(motion.play_mm, abs=2e-4)
        stop = end_of(design.socket) + float(nominal["clocking"][0])
    else:
        stop = design.plug.turn_deg + float(nominal["clocking"][0])
    assert stop == pytest.approx(motion.furthest_deg, abs=2e-3)


@pytest.mark.parametrize("key", ["bearing_depth", "thickness", "width"])
def test_a_deviation_of_a_peg_as_the_free_region_has_it(sensor: bayonet.Design, key: str) -> None:
    """One peg 0.05 mm off: its own shape in the polygons, its variable in the chain."""
    design = pegged(sensor)
    chains = chains_of(design)
    point = chains.nominal().copy()
    point[[v.key for v in chains.variables].index(f"lug_1_{key}")] = 0.05
    lugs = list(design.plug.lugs)
    lugs[0] = dataclasses.replace(lugs[0], shape=lugs[0].shape.moved({key: 0.05}))
    motion = motion_of(dataclasses.replace(design.plug, lugs=tuple(lugs)), design.socket)
    values = chains.values(point)
    assert float(values["axial_play"][0]) == pytest.approx(motion.play_mm, abs=2e-4)
    stop = end_of(design.socket) + float(values["clocking"][0])
    assert stop == pytest.approx(motion.furthest_deg, abs=2e-4)


def test_a_block_written_another_way_gives_the_blocks_figures(sensor: bayonet.Design) -> None:
    """All findings but for rounding; every chain at random points; the strength's sections."""
    other = changed(sensor, [("plug.lugs.form", "edges")])
    assert isinstance(sensor.plug.lugs[0].shape, Block)
    assert isinstance(other.plug.lugs[0].shape, Edges)
    ours, theirs = bayonet.check(sensor).findings, bayonet.check(other).findings
    assert [(f.code, f.verdict, f.message) for f in ours] == [
        (f.code, f.verdict, f.message) for f in theirs
    ]
    first, second = chains_of(sensor), chains_of(other)
    source = np.random.default_rng(5)
    width = np.array([v.half_width for v in first.variables])[:, None]
    points = width * source.uniform(-1, 1, (len(first.variables), 50))
    mine, its = first.values(points), second.values(points)
    for key, values in mine.items():
        np.testing.assert_allclose(values, its[key], rtol=0, atol=1e-9, err_msg=key)
    for extreme in ("nominal", "loosest"):
        one_way, another = (contact_of(d, None, extreme) for d in (sensor, other))  # type: ignore[arg-type]
        for field in dataclasses.fields(one_way):
            np.testing.assert_allclose(getattr(one_way, field.name), getattr(another, field.name))
