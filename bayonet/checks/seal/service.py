"""Does it go on sealing? Gap under pressure, heat, cold, ageing, forces."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bayonet.checks.seal.gland import bore_for_fill, bore_of, sane_bore, span_text
from bayonet.errors import TableError
from bayonet.findings import Finding, Mends, Verdict, at_least, at_most, left_open
from bayonet.parts import FILL_SOURCE, LEAST_MM_SOURCE, LEAST_SQUEEZE_MM, MOST_FILL, Design, Ring
from bayonet.standards import extrusion, from_memory, materials
from bayonet.strength import ring_load
from bayonet.tolerance.fitting import (
    Conditions,
    GlandState,
    Span,
    allowed_gap,
    at_temperature,
    growth,
    least_body_gap,
    state,
)

EXPANSION_SOURCE = "expansions of the tables (partly from memory)"
_FORCE_SOURCE = "Lindley 1967, Gent 1958 (from memory)"


def findings(design: Design, bench: GlandState, play_mm: Span) -> tuple[Finding, ...]:
    """Judge the seal in service.

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
        *service.gap(),
        *service.temperature(),
        *service.cold(),
        *service.hot(),
        *service.ageing(),
        *service.force(),
    )


@dataclass(frozen=True)
class _Service:
    design: Design
    ring: Ring
    bench: GlandState
    play_mm: Span

    def gap(self) -> Iterator[Finding]:
        """Back-up ring, extrusion gap and squeeze under pressure."""
        pressure = self.design.spec.service.pressure
        if pressure is None:
            yield left_open("seal.gap", "give service.pressure")
            return
        if pressure.value > extrusion.BACK_UP_RING_ABOVE_MPA:
            yield Finding(
                code="seal.back_up",
                verdict=Verdict.LOOK,
                message=f"above {extrusion.BACK_UP_RING_ABOVE_MPA} MPa a back-up ring is usual",
                source="O-ring handbook ORD 5700, section 4.0",
                change="a wider groove with a back-up ring",
            )
        grown = growth(self.design)
        note, memory = grown.note, grown.provenance
        pressed = self._state(Conditions(bore_growth_mm=grown.radial_mm))
        yield from self._extrusion(pressure.value, pressed, note, memory)
        if self.design.socket.seal_radius_mm is not None:
            yield at_least(
                pressed.worst_side_mm,
                LEAST_SQUEEZE_MM,
                code="seal.under_pressure",
                message=(
                    f"at {pressure.value:g} MPa the bore grows {grown.radial_mm:.4f} mm{note};"
                    f" on the open side {pressed.worst_side_mm:.3f} mm of squeeze is left"
                ),
                unit="mm",
                source=from_memory(f"Lame, stiffness of the table; {LEAST_MM_SOURCE}", memory),
                change="a thicker or stiffer boss, or more squeeze",
                otherwise=Verdict.LOOK if pressed.worst_side_mm > 0.0 else Verdict.FAIL,
            )

    def _extrusion(
        self, pressure: float, pressed: GlandState, note: str, memory: str
    ) -> Iterator[Finding]:
        allowed = allowed_gap(self.design)
        if isinstance(allowed, str):
            yield left_open("seal.gap", allowed)
            return
        limit, source, _ = allowed
        hardness = self.design.spec.socket.seal.hardness
        change, mends = self._harder(pressed.gap_mm.most)
        yield at_most(
            pressed.gap_mm.most,
            limit,
            code="seal.gap",
            message=(
                f"gap {span_text(self.bench.gap_mm, unit='mm on diameter')}, under pressure"
                f" {pressed.gap_mm.most:.3f}{note}; {hardness} Shore A of section"
                f" {self.ring.section_mm:.2f} bridges {limit:.3f} mm at {pressure:g} MPa"
            ),
            unit="mm",
            source=from_memory(source, memory),
            change=change,
            mends=mends,
        )

    def _state(self, at: Conditions) -> GlandState:
        return state(self.design.plug, self.design.socket, self.ring, play_mm=self.play_mm, at=at)

    def _harder(self, widest: float, celsius: float | None = None) -> tuple[str, Mends]:
        """What bridges the gap: a harder compound if one in the table does, else less gap."""
        harder = allowed_gap(self.design, hardness=90, celsius=celsius)
        if not isinstance(harder, str) and harder[0] >= widest:
            return "hardness = 90", (("socket.seal.hardness", 90),)
        return "a body closer to the bore, closer limits, or a back-up ring", ()

    def temperature(self) -> Iterator[Finding]:
        """Service range against the compound's."""
        table, name = self.design.spec.service, self.design.spec.socket.seal.elastomer
        if name is None or (table.lowest_c is None and table.highest_c is None):
            yield left_open("seal.temperature", "give the elastomer and service temperatures")
            return
        try:
            compound = materials.elastomer(name)
        except TableError as error:
            yield left_open("seal.temperature", str(error))
            return
        low = table.assembly_c if table.lowest_c is None else table.lowest_c
        high = table.assembly_c if table.highest_c is None else table.highest_c
        change, mends = self._other_compound(low, high)
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
            change=change,
            mends=mends,
        )

    def _other_compound(self, low: float, high: float) -> tuple[str, Mends]:
        for name in ("NBR", "HNBR", "EPDM", "FKM", "VMQ"):
            other = materials.elastomer(name)
            if other.lowest_c <= low and other.highest_c >= high:
                text = f'elastomer = "{name}" stands the temperature; check it against the fluid'
                return text, (("socket.seal.elastomer", name),)
        return "no compound in the table stands this range", ()

    def _heat_gap(self, there: GlandState, celsius: float, word: str) -> Iterator[Finding]:
        """Extrusion gap at a temperature, where the pressure and hardness are known."""
        pressure = self.design.spec.service.pressure
        if pressure is None or self.design.socket.seal_radius_mm is None:
            return
        allowed = allowed_gap(self.design, celsius=celsius)
        if isinstance(allowed, str):
            return
        limit, source, _ = allowed
        widest = there.gap_mm.most
        change, mends = self._harder(widest, celsius)
        yield at_most(
            widest,
            limit,
            code=f"seal.gap_{word}",
            message=f"at {celsius:g} °C the gap is up to {widest:.3f} mm on diameter",
            unit="mm",
            source=f"{source}; {EXPANSION_SOURCE}",
            change=change,
            mends=mends,
        )

    def _heat_fit(self, at: Conditions, celsius: float, word: str) -> Finding:
        """Whether the body still goes into its bores at a temperature."""
        plug, socket = self.design.plug, self.design.socket
        grows = (1 + at.plug_per_k * at.warmer_k, 1 + at.socket_per_k * at.warmer_k)
        least = least_body_gap(plug, socket, grows=grows)[1]
        return at_least(
            least,
            0.0,
            code=f"seal.body_{word}",
            message=f"at {celsius:g} °C the body is at least {least:.3f} mm clear of its bores",
            unit="mm",
            source=EXPANSION_SOURCE,
            change="more body clearance or less squeeze, or materials that expand alike",
        )

    def cold(self) -> Iterator[Finding]:
        """Squeeze left at the lowest temperature: rubber shrinks most."""
        lowest = self.design.spec.service.lowest_c
        if lowest is None:
            yield left_open("seal.cold", "give service.lowest_c")
            return
        at = at_temperature(self.design, lowest)
        if isinstance(at, str):
            yield left_open("seal.cold", at)
            return
        cold = self._state(at)
        left = cold.worst_side_mm
        change, mends = self._smaller_bore((LEAST_SQUEEZE_MM - left) / 2.0)
        yield at_least(
            left,
            LEAST_SQUEEZE_MM,
            code="seal.cold",
            message=(
                f"at {lowest:g} °C the squeeze is"
                f" {span_text(cold.squeeze, scale=100, unit='%', digits=1)}; on the open side"
                f" {left:.3f} mm is left"
            ),
            unit="mm",
            source=f"{EXPANSION_SOURCE}; {LEAST_MM_SOURCE}",
            change=change,
            mends=mends,
            otherwise=Verdict.LOOK if left > 0.0 else Verdict.FAIL,
        )
        yield self._heat_fit(at, lowest, "cold")
        yield from self._heat_gap(cold, lowest, "cold")

    def _smaller_bore(self, by_mm: float) -> tuple[str, Mends]:
        """A sealing bore that much smaller on radius, if that is a sensible bore at all."""
        radius = self.design.socket.seal_radius_mm
        if radius is None:
            return "a shallower groove or a thicker ring", ()
        bore = 2 * (radius - 1.01 * by_mm) - 0.002
        mends = sane_bore(self.design, self.bench, bore)
        if not mends:
            return "closer limits, a thicker ring, or a body closer to the bore", ()
        return bore_of(bore)[0], mends

    def hot(self) -> Iterator[Finding]:
        """Fill at the highest temperature with swell."""
        highest = self.design.spec.service.highest_c
        if highest is None:
            yield left_open("seal.hot", "give service.highest_c")
            return
        swell = self.design.spec.socket.seal.swell
        at = at_temperature(self.design, highest, swell=swell)
        if isinstance(at, str):
            yield left_open("seal.hot", at)
            return
        hot = self._state(at)
        yield at_most(
            hot.fill.most,
            MOST_FILL,
            code="seal.hot",
            message=(
                f"at {highest:g} °C, swollen by {100 * swell:g} %, the ring fills"
                f" {span_text(hot.fill, scale=100, unit='%', digits=0)} of the gland"
            ),
            unit="-",
            source=f"{FILL_SOURCE}; {EXPANSION_SOURCE}",
            change="a thinner ring, less squeeze, or a compound that swells less",
            mends=bore_for_fill(self.design, self.bench, hot),
            otherwise=Verdict.LOOK if hot.fill.most < 1.0 else Verdict.FAIL,
        )
        yield self._heat_fit(at, highest, "hot")
        yield from self._heat_gap(hot, highest, "hot")

    def ageing(self) -> Iterator[Finding]:
        """Squeeze left when the ring has taken its set."""
        lost = self.design.spec.socket.seal.compression_set
        if lost is None:
            yield left_open("seal.end_of_life", "give socket.seal.compression_set")
            return
        left = self.bench.squeeze_mm.least * (1.0 - lost)
        change, mends = self._smaller_bore((LEAST_SQUEEZE_MM - left) / (1.0 - lost))
        yield at_least(
            left,
            LEAST_SQUEEZE_MM,
            code="seal.end_of_life",
            message=f"after {100 * lost:g} % compression set {left:.3f} mm of squeeze is left",
            unit="mm",
            source=LEAST_MM_SOURCE,
            change=change,
            mends=mends,
            otherwise=Verdict.LOOK if left > 0.0 else Verdict.FAIL,
        )

    def force(self) -> Iterator[Finding]:
        """Push to insert and torque to turn, from the ring alone: a wide, honest range."""
        load = ring_load(self.design, self.bench)
        if isinstance(load, str) or load.axial:
            yield left_open("seal.force", "give socket.seal.hardness (radial rings only)")
            return
        push, torque = load.rub_n, load.drag_nm
        yield Finding(
            code="seal.force",
            verdict=Verdict.PASS,
            message=(
                f"{self.design.spec.service.lubrication}, the ring takes {push[0]:.0f} to"
                f" {push[1]:.0f} N to push in and {torque[0]:.2f} to {torque[1]:.2f} N m to turn:"
                " an estimate"
            ),
            value=push[1],
            unit="N",
            source=f"{_FORCE_SOURCE}, friction {load.friction.least:g} to {load.friction.most:g}:"
            f" {load.friction.source}",
        )
