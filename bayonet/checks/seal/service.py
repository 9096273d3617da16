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
    SealState,
    Span,
    allowed_gap,
    at_temperature,
    growth,
    least_body_gap,
    state,
)

EXPANSION_SOURCE = "expansions of the tables (partly from memory)"
_FORCE_SOURCE = "Lindley 1967, Gent 1958 (from memory)"


def findings(
    design: Design, bench: GlandState, play_mm: Span, known: tuple[SealState, ...]
) -> tuple[Finding, ...]:
    """Judge the seal in service.

    Parameters
    ----------
    design : Design
        With a known ring.
    bench : GlandState
        The gland at the temperature of measuring.
    play_mm : Span
        Axial play at lock [mm].
    known : tuple of SealState
        The gland in every state of service.

    Returns
    -------
    tuple of Finding
    """
    ring = design.socket.ring
    assert ring is not None
    service = _Service(design, ring, bench, play_mm, known)
    return (
        *service.squeeze(),
        *service.gap(),
        *service.temperature(),
        *service.cold(),
        *service.hot(),
        *service.force(),
    )


@dataclass(frozen=True)
class _Service:
    design: Design
    ring: Ring
    bench: GlandState
    play_mm: Span
    states: tuple[SealState, ...]

    def gap(self) -> Iterator[Finding]:
        """Back-up ring, and the extrusion gap in the state that leaves it the least room."""
        pressed = [one for one in self.states if one.pressure_mpa != 0.0]
        if not pressed:
            yield left_open("seal.gap", "give service.pressure")
            return
        most = max(abs(one.pressure_mpa) for one in pressed)
        if most > extrusion.BACK_UP_RING_ABOVE_MPA:
            yield Finding(
                code="seal.back_up",
                verdict=Verdict.LOOK,
                message=f"above {extrusion.BACK_UP_RING_ABOVE_MPA} MPa a back-up ring is usual",
                source="O-ring handbook ORD 5700, section 4.0",
                change="a wider groove with a back-up ring",
            )
        untold = next((one.gap_source for one in pressed if one.gap_limit_mm is None), None)
        if untold is not None:
            yield left_open("seal.gap", untold)
            return
        worst = min(pressed, key=lambda one: (one.gap_room_mm, one.aged))
        assert worst.gap_limit_mm is not None
        widest = worst.gland.gap_mm.most
        change, mends = self._harder(widest, worst)
        yield at_most(
            widest,
            worst.gap_limit_mm,
            code="seal.gap",
            message=(
                f"gap {span_text(self.bench.gap_mm, unit='mm on diameter')}; least room of"
                f" {len(pressed)} states at {_without_age(worst)}: gap {widest:.3f}{self.note},"
                f" {self.design.spec.socket.seal.hardness} Shore A of section"
                f" {self.ring.section_mm:.2f} bridges {worst.gap_limit_mm:.3f} mm"
            ),
            unit="mm",
            source=f"{worst.gap_source}; {EXPANSION_SOURCE}",
            change=change,
            mends=mends,
        )

    def _state(self, at: Conditions) -> GlandState:
        return state(self.design.plug, self.design.socket, self.ring, play_mm=self.play_mm, at=at)

    @property
    def note(self) -> str:
        """What the growth of the bore does not know."""
        return growth(self.design).note

    def squeeze(self) -> Iterator[Finding]:
        """Squeeze left with all together: leaning, cold or hot, under pressure, new and aged."""
        new = [one for one in self.states if not one.aged]
        aged = [one for one in self.states if one.aged]
        yield self._least(
            new, code="seal.worst_state", gain=2.0, what="new ring",
            hint="more squeeze, a body closer to the bore, or a thicker or stiffer boss",
        )  # fmt: skip
        if not aged:
            yield left_open("seal.end_of_life", "give socket.seal.compression_set")
            return
        lost = self.design.spec.socket.seal.compression_set or 0.0
        yield self._least(
            aged, code="seal.end_of_life", gain=2.0 * (1.0 - lost),
            what=f"ring after {100 * lost:g} % compression set",
            hint="a compound of less compression set, more squeeze, or a body closer to the bore",
        )  # fmt: skip

    def _least(
        self, known: list[SealState], *, code: str, gain: float, what: str, hint: str
    ) -> Finding:
        """Judge the state with the least squeeze; a smaller bore gains ``gain`` of its radius."""
        worst = min(known, key=lambda one: one.gland.worst_side_mm)
        left = worst.gland.worst_side_mm
        radial = self.design.socket.seal_radius_mm is not None
        how = "the plug leaning to one side" if radial else "the plug pushed out"
        told = f"{left:.3f} mm of squeeze is left" if left > 0.0 else (
            f"the ring has lost its surface by {-left:.3f} mm"
        )  # fmt: skip
        change, mends = self._smaller_bore((LEAST_SQUEEZE_MM - left) / gain)
        return at_least(
            left,
            LEAST_SQUEEZE_MM,
            code=code,
            message=(
                f"{what}, {how}: {told} in the worst of {len(known)} states,"
                f" {_without_age(worst)}{self.note}"
            ),
            unit="mm",
            source=f"{LEAST_MM_SOURCE}; {EXPANSION_SOURCE}; Lame, stiffness of the table",
            change=change if mends else hint,
            mends=mends,
            otherwise=Verdict.LOOK if left > 0.0 else Verdict.FAIL,
        )

    def _harder(self, widest: float, worst: SealState) -> tuple[str, Mends]:
        """What bridges the gap: a harder compound if one in the table does, else less gap."""
        harder = allowed_gap(
            self.design, hardness=90, celsius=worst.celsius, pressure_mpa=abs(worst.pressure_mpa)
        )
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
        """Whether the states of `squeeze` hold the cold, and whether the body goes in then."""
        lowest = self.design.spec.service.lowest_c
        if lowest is None:
            yield left_open("seal.cold", "give service.lowest_c: rubber shrinks most")
            return
        at = at_temperature(self.design, lowest)
        if isinstance(at, str):
            yield left_open("seal.cold", f"squeeze at {lowest:g} °C: {at}")
            return
        yield self._heat_fit(at, lowest, "cold")

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


def _without_age(one: SealState) -> str:
    return one.name.rpartition(", ")[0]
