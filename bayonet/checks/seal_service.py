"""Does it go on sealing? Way in, gap under pressure, heat, cold, ageing, forces."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from bayonet.checks.finding import Finding, Mends, Verdict, at_least
from bayonet.checks.seal import (
    FILL_SOURCE,
    LEAST_MM_SOURCE,
    LEAST_SQUEEZE_MM,
    MOST_FILL,
    bore_for_fill,
    bore_of,
    from_memory,
    span_text,
)
from bayonet.errors import TableError
from bayonet.mechanics import ring as formula
from bayonet.mechanics.cylinder import bore_growth_mm
from bayonet.model.design import Design
from bayonet.model.ring import Ring, section_in_place_mm
from bayonet.model.socket import Socket
from bayonet.standards import extrusion, friction, materials
from bayonet.tolerance.gland import Conditions, GlandState, Span, state

STEEPEST_LEAD_IN_DEG = 30.0
_FORCE_SOURCE = (
    "Lindley 1967 and Gent 1958 (from memory); friction greased 0.1 to 0.3 (rule of thumb,"
    " from memory)"
)


def findings(design: Design, bench: GlandState, play_mm: Span) -> tuple[Finding, ...]:
    """Judge the seal on its way in and in service.

    Parameters
    ----------
    design : Design
        With a known ring.
    bench : GlandState
        The gland at the temperature of measuring.
    play_mm : Span
        Axial play at lock [mm].

    Returns
    -------
    tuple of Finding
    """
    ring = design.socket.ring
    assert ring is not None
    service = _Service(design, ring, bench, play_mm)
    return (
        *_way_in(design, ring),
        *_lead_in(design, ring),
        *service.gap(),
        *service.temperature(),
        *service.cold(),
        *service.hot(),
        *service.ageing(),
        *service.force(),
    )


def _skipped(code: str, why: str) -> Finding:
    return Finding(code=code, verdict=Verdict.NOT_EVALUATED, message=why)


def _way_in(design: Design, ring: Ring) -> Iterator[Finding]:
    """Layout A: the ring passes the bore between the entry slots before it reaches its own."""
    socket = design.socket
    if socket.layout != "A":
        return
    zone = ring.section_tol_mm + design.plug.groove.radius_zone_mm
    outside = design.plug.groove.radius_mm + section_in_place_mm(design.plug, ring)
    gap = socket.track_bore_radius_mm - socket.tolerance.diameter_mm / 2 - outside - zone
    more = math.ceil(20 * -gap + 1e-9) / 10
    yield at_least(
        gap,
        0.0,
        code="seal.way_in",
        message=(
            f"the ring passes the slots' edges {gap:.2f} mm clear"
            if gap >= 0
            else f"the ring is {-gap:.2f} mm larger than the bore and drags over the slots' edges"
        ),
        unit="mm",
        source="dimensions, at the least bore and the largest ring",
        change=f"body clearance {socket.clearance.body_diametral_mm + more:.1f} mm, or round the"
        f" slots' edges by {max(-gap, 0) + 0.2:.1f} mm and grease the ring",
        mends=_wider_body(socket.clearance.body_diametral_mm + more),
        otherwise=Verdict.WARN,
    )


def _wider_body(clearance_mm: float) -> Mends:
    return (("socket.clearance.body", round(clearance_mm, 3)),)


def _lead_in(design: Design, ring: Ring) -> Iterator[Finding]:
    socket = design.socket
    if socket.seal_radius_mm is None or socket.seal_from_mm is None:
        return
    outside = design.plug.groove.radius_mm + section_in_place_mm(design.plug, ring)
    largest = outside + ring.section_tol_mm + design.plug.groove.radius_zone_mm
    room = _entry_radius(socket) - socket.tolerance.diameter_mm / 2 - largest
    angle = design.spec.socket.seal.lead_in_angle_deg.value
    if angle > STEEPEST_LEAD_IN_DEG:
        room = min(room, STEEPEST_LEAD_IN_DEG - angle)
    wider = socket.clearance.body_diametral_mm + math.ceil(20 * max(-room, 0.0) + 1e-9) / 10
    too_steep: Mends = (("socket.seal.lead_in_angle_deg", 20),)
    steep = angle > STEEPEST_LEAD_IN_DEG
    yield at_least(
        room,
        0.0,
        code="seal.lead_in",
        message=(
            f"the {angle:g} deg lead-in is too steep: it shaves the ring"
            if steep
            else f"the {angle:g} deg lead-in starts {abs(room):.2f} mm"
            f" {'outside' if room >= 0 else 'inside'} the largest ring"
        ),
        unit="deg" if steep else "mm",
        source="entry larger than the free ring; 15 to 30 deg: common practice, no source",
        change="lead_in_angle_deg = 20" if steep else f"body clearance {wider:.1f} mm",
        mends=too_steep if steep else _wider_body(wider),
        otherwise=Verdict.WARN if steep else Verdict.FAIL,
    )


def _entry_radius(socket: Socket) -> float:
    """Radius at which the lead-in to the sealing bore starts [mm]."""
    full = next(
        index for index, (radius, _) in enumerate(socket.bore) if radius == socket.seal_radius_mm
    )
    return max(socket.bore[max(full - 1, 0)][0], socket.bore[full][0])


@dataclass(frozen=True)
class _Service:
    design: Design
    ring: Ring
    bench: GlandState
    play_mm: Span

    # ---- pressure ------------------------------------------------------------------------

    def gap(self) -> Iterator[Finding]:
        """Extrusion gap under pressure, and the need of a back-up ring."""
        table, seal = self.design.spec.service, self.design.spec.socket.seal
        if table.pressure is None or seal.hardness is None:
            yield _skipped("seal.gap", "give service.pressure and socket.seal.hardness")
            return
        pressure = table.pressure.value
        try:
            allowed = extrusion.gap_limit(pressure, seal.hardness)
        except TableError as error:
            yield _skipped("seal.gap", str(error))
            return
        limit = allowed.diametral_mm * (0.5 if seal.elastomer == "VMQ" else 1.0)
        growth, note = self._growth(pressure)
        widest = self.bench.gap_mm.most + 2 * growth
        yield at_least(
            limit - widest,
            0.0,
            code="seal.gap",
            message=(
                f"gap {span_text(self.bench.gap_mm, unit='mm on diameter')}, under pressure"
                f" {widest:.3f}{note}; {seal.hardness} Shore A bridges {limit:.3f} mm"
                f" at {pressure:g} MPa"
            ),
            unit="mm",
            source=from_memory(allowed.source, allowed.provenance),
            change=self._harder(pressure, widest)[0],
            mends=self._harder(pressure, widest)[1],
        )
        if pressure > extrusion.BACK_UP_RING_ABOVE_MPA:
            yield Finding(
                code="seal.back_up",
                verdict=Verdict.WARN,
                message=f"above {extrusion.BACK_UP_RING_ABOVE_MPA} MPa a back-up ring is usual",
                source="O-ring handbook ORD 5700, section 4.0",
                change="a wider groove with a back-up ring",
            )

    def _growth(self, pressure: float) -> tuple[float, str]:
        """Radial growth of the bore under pressure, and a note where it is not known."""
        socket, name = self.design.socket, self.design.spec.service.socket_material
        if socket.seal_radius_mm is None:
            return 0.0, ""
        try:
            metal = materials.material(name or "")
        except TableError:
            return 0.0, " (boss taken as rigid: no socket_material)"
        if metal.modulus_mpa is None or metal.poisson is None:
            return 0.0, " (boss taken as rigid: no stiffness in the table)"
        grown = bore_growth_mm(
            pressure,
            inner_radius_mm=socket.seal_radius_mm,
            outer_radius_mm=socket.boss_radius_mm,
            modulus_mpa=metal.modulus_mpa,
            poisson=metal.poisson,
        )
        return float(grown), ""

    def _harder(self, pressure: float, widest: float) -> tuple[str, Mends]:
        """What bridges the gap: a harder compound if one in the table does, else less gap."""
        try:
            limit = extrusion.gap_limit(pressure, 90).diametral_mm
        except TableError:
            limit = 0.0
        if limit >= widest and self.design.spec.socket.seal.elastomer != "VMQ":
            return "hardness = 90", (("socket.seal.hardness", 90),)
        return "a body closer to the bore, closer limits, or a back-up ring", ()

    # ---- temperature ---------------------------------------------------------------------

    def temperature(self) -> Iterator[Finding]:
        """Service range against the compound's."""
        table, name = self.design.spec.service, self.design.spec.socket.seal.elastomer
        if name is None or (table.lowest_c is None and table.highest_c is None):
            yield _skipped("seal.temperature", "give the elastomer and service temperatures")
            return
        try:
            compound = materials.elastomer(name)
        except TableError as error:
            yield _skipped("seal.temperature", str(error))
            return
        low = table.assembly_c if table.lowest_c is None else table.lowest_c
        high = table.assembly_c if table.highest_c is None else table.highest_c
        yield at_least(
            min(low - compound.lowest_c, compound.highest_c - high),
            0.0,
            code="seal.temperature",
            message=(
                f"service {low:g} to {high:g} °C; {compound.name} stands"
                f" {compound.lowest_c:g} to {compound.highest_c:g} °C"
            ),
            unit="K",
            source=from_memory(compound.source, compound.provenance),
            change=self._other_compound(low, high)[0],
            mends=self._other_compound(low, high)[1],
        )

    def _other_compound(self, low: float, high: float) -> tuple[str, Mends]:
        for name in ("NBR", "HNBR", "EPDM", "FKM", "VMQ"):
            other = materials.elastomer(name)
            if other.lowest_c <= low and other.highest_c >= high:
                text = f'elastomer = "{name}" stands the temperature; check it against the fluid'
                return text, (("socket.seal.elastomer", name),)
        return "no compound in the table stands this range", ()

    def _at(self, celsius: float, *, swell: float = 0.0) -> GlandState | str:
        """The gland at a temperature, or why it cannot be told."""
        table, name = self.design.spec.service, self.design.spec.socket.seal.elastomer
        missing = [
            word
            for word, value in (
                ("socket.seal.elastomer", name),
                ("service.plug_material", table.plug_material),
                ("service.socket_material", table.socket_material),
            )
            if value is None
        ]
        if missing:
            return f"give {', '.join(missing)}"
        try:
            ring = materials.elastomer(name or "")
            plug = materials.material(table.plug_material or "")
            socket = materials.material(table.socket_material or "")
        except TableError as error:
            return str(error)
        if plug.expansion_per_k is None or socket.expansion_per_k is None:
            return "the table has no plain expansion for one of the materials"
        conditions = Conditions(
            warmer_k=celsius - table.assembly_c,
            ring_per_k=ring.expansion_per_k,
            plug_per_k=plug.expansion_per_k,
            socket_per_k=socket.expansion_per_k,
            swell=swell,
        )
        return state(
            self.design.plug, self.design.socket, self.ring, play_mm=self.play_mm, at=conditions
        )

    def cold(self) -> Iterator[Finding]:
        """Squeeze left at the lowest temperature: rubber shrinks most."""
        lowest = self.design.spec.service.lowest_c
        if lowest is None:
            yield _skipped("seal.cold", "give service.lowest_c")
            return
        at = self._at(lowest)
        if isinstance(at, str):
            yield _skipped("seal.cold", at)
            return
        yield at_least(
            at.squeeze_mm.least,
            LEAST_SQUEEZE_MM,
            code="seal.cold",
            message=(
                f"at {lowest:g} °C the squeeze is"
                f" {span_text(at.squeeze, scale=100, unit='%', digits=1)},"
                f" at least {at.squeeze_mm.least:.3f} mm"
            ),
            unit="mm",
            source=f"expansions of the tables (elastomers partly from memory); {LEAST_MM_SOURCE}",
            change=self._smaller_bore(LEAST_SQUEEZE_MM - at.squeeze_mm.least)[0],
            mends=self._smaller_bore(LEAST_SQUEEZE_MM - at.squeeze_mm.least)[1],
            otherwise=Verdict.WARN if at.squeeze_mm.least > 0.0 else Verdict.FAIL,
        )

    def _smaller_bore(self, by_mm: float) -> tuple[str, Mends]:
        radius = self.design.socket.seal_radius_mm
        if radius is None:
            return "a shallower groove or a thicker ring", ()
        return bore_of(2 * (radius - 1.01 * by_mm) - 0.002)

    def hot(self) -> Iterator[Finding]:
        """Fill at the highest temperature with swell."""
        highest = self.design.spec.service.highest_c
        if highest is None:
            yield _skipped("seal.hot", "give service.highest_c")
            return
        swell = self.design.spec.socket.seal.swell
        at = self._at(highest, swell=swell)
        if isinstance(at, str):
            yield _skipped("seal.hot", at)
            return
        yield at_least(
            MOST_FILL - at.fill.most,
            0.0,
            code="seal.hot",
            message=(
                f"at {highest:g} °C, swollen by {100 * swell:g} %, the ring fills"
                f" {span_text(at.fill, scale=100, unit='%', digits=0)} of the gland"
            ),
            unit="-",
            source=FILL_SOURCE,
            change="a larger bore (less squeeze), a thinner ring, or a compound that swells less",
            mends=bore_for_fill(self.design, at),
            otherwise=Verdict.WARN if at.fill.most < 1.0 else Verdict.FAIL,
        )

    # ---- life and forces -----------------------------------------------------------------

    def ageing(self) -> Iterator[Finding]:
        """Squeeze left when the ring has taken its set."""
        lost = self.design.spec.socket.seal.compression_set
        if lost is None:
            yield _skipped("seal.end_of_life", "give socket.seal.compression_set")
            return
        left = self.bench.squeeze_mm.least * (1.0 - lost)
        yield at_least(
            left,
            LEAST_SQUEEZE_MM,
            code="seal.end_of_life",
            message=f"after {100 * lost:g} % compression set {left:.3f} mm of squeeze is left",
            unit="mm",
            source=LEAST_MM_SOURCE,
            change=self._smaller_bore((LEAST_SQUEEZE_MM - left) / (1.0 - lost))[0],
            mends=self._smaller_bore((LEAST_SQUEEZE_MM - left) / (1.0 - lost))[1],
            otherwise=Verdict.WARN if left > 0.0 else Verdict.FAIL,
        )

    def force(self) -> Iterator[Finding]:
        """Push to insert and torque to turn, from the ring alone: a wide, honest range."""
        hardness, radius = self.design.spec.socket.seal.hardness, self.design.socket.seal_radius_mm
        if hardness is None or radius is None:
            yield _skipped("seal.force", "give socket.seal.hardness (radial rings only)")
            return
        greased = friction.friction("elastomer (NBR 70)", "metal", condition="greased")
        loads = [
            float(formula.line_load_n_per_mm(section, squeeze, hardness)) * 2 * math.pi * radius
            for section, squeeze in (
                (self.bench.section_mm.least, self.bench.squeeze.least),
                (self.bench.section_mm.most, self.bench.squeeze.most),
            )
        ]
        push = (greased.least * loads[0], greased.most * loads[1])
        torque = tuple(force * radius / 1000 for force in push)
        yield Finding(
            code="seal.force",
            verdict=Verdict.PASS,
            message=(
                f"greased, the ring takes {push[0]:.0f} to {push[1]:.0f} N to push in and"
                f" {torque[0]:.2f} to {torque[1]:.2f} N m to turn: an estimate"
            ),
            value=push[1],
            unit="N",
            source=_FORCE_SOURCE,
        )
