"""The gland in every state of service together: temperature x pressure x age, leaning to a side.

One function of state, `gland.state`, at all corners the design file names; no judgement.
"""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from bayonet.parts import Design
from bayonet.tolerance.fitting.gland import Conditions, GlandState, Span, state
from bayonet.tolerance.fitting.service import allowed_gap, growth, states


@dataclass(frozen=True, kw_only=True)
class SealState:
    """One corner of the states a design file names, and the gland there.

    Parameters
    ----------
    name : str
        As people read it.
    celsius : float
    pressure_mpa : float
        Inside over outside; negative for vacuum [MPa].
    aged : bool
        Whether the ring has taken its compression set.
    gland : GlandState
        ``worst_side_mm`` is with the plug leaning to one side.
    gap_limit_mm : float or None
        Greatest diametral gap the ring bridges there; None where none is told, or no pressure.
    gap_source : str
    """

    name: str
    celsius: float
    pressure_mpa: float
    aged: bool
    gland: GlandState
    gap_limit_mm: float | None
    gap_source: str

    @property
    def gap_room_mm(self) -> float | None:
        """Limit less widest gap [mm]."""
        if self.gap_limit_mm is None:
            return None
        return self.gap_limit_mm - self.gland.gap_mm.most


@dataclass(frozen=True, kw_only=True)
class Corner:
    """Conditions of one state, before any gland is worked out."""

    celsius: float
    pressure_mpa: float
    aged: bool
    conditions: Conditions


def corners(design: Design) -> tuple[Corner, ...]:
    r"""Every combination of temperature, pressure and age the file names and the tables tell.

    Temperatures: of measuring, lowest, highest. Pressures: none, working, proof, vacuum. Age: new,
    and with the compression set the file gives.

    Parameters
    ----------
    design : Design

    Returns
    -------
    tuple of Corner
        The bench first.

    Examples
    --------
    The starting file names no service: the bench alone. With a service and a compression set:
    three temperatures, three pressures, two ages.

    >>> import bayonet
    >>> text = bayonet.starting_file()
    >>> len(corners(bayonet.loads(text)))
    1
    >>> text = text.replace("# compression_set", "compression_set").replace("# elast", "elast")
    >>> text += '[service]\npressure = "6 bar"\nlowest_c = -10\nhighest_c = 90'
    >>> text += '\nplug_material = "POM-C"\nsocket_material = "6061-T6"'
    >>> len(corners(bayonet.loads(text)))
    18
    """
    lost = design.spec.socket.seal.compression_set
    ages = (False,) if lost is None else (False, True)
    return tuple(
        Corner(
            celsius=design.spec.service.assembly_c + heat.warmer_k,
            pressure_mpa=pressure,
            aged=aged,
            conditions=dataclasses.replace(
                heat,
                bore_growth_mm=growth(design, pressure).radial_mm,
                compression_set=(lost or 0.0) if aged else 0.0,
            ),
        )
        for aged, heat, pressure in itertools.product(ages, _heats(design), pressures(design))
    )


def worst_corners(design: Design, *, aged: bool) -> dict[str, Conditions]:
    """Conditions the chains of the ring are judged in: each temperature at most growth.

    Less squeeze and a wider gap go with the greatest growth of the bore, so the other pressures
    cannot be worse.
    """
    known = [one for one in corners(design) if one.aged is aged]
    worst = [
        max(group, key=lambda one: one.conditions.bore_growth_mm)
        for _, found in itertools.groupby(known, key=lambda one: one.celsius)
        for group in [list(found)]
    ]
    return {_name(design, one): one.conditions for one in worst}


def _heats(design: Design) -> tuple[Conditions, ...]:
    found = {one.conditions.warmer_k: one.conditions for one in states(design)[0]}
    return tuple(found.values())


def pressures(design: Design) -> tuple[float, ...]:
    """Pressures the ring meets, none among them: inside over outside [MPa]."""
    table = design.spec.service
    found = [0.0]
    if table.pressure is not None:
        found += [table.pressure.value, table.pressure.value * table.proof_factor]
    if table.vacuum is not None:
        found.append(-table.vacuum.value)
    return tuple(dict.fromkeys(found))


def seal_states(design: Design, play_mm: Span) -> tuple[SealState, ...]:
    """The gland at every corner of `corners`; empty where no ring is known.

    Parameters
    ----------
    design : Design
    play_mm : Span
        Axial play at lock; a face seal's gap [mm].

    Returns
    -------
    tuple of SealState
    """
    return tuple(_at(design, play_mm))


def _at(design: Design, play_mm: Span) -> Iterator[SealState]:
    ring = design.socket.ring
    if ring is None:
        return
    for one in corners(design):
        here = state(design.plug, design.socket, ring, play_mm=play_mm, at=one.conditions)
        limit: float | None = None
        source = ""
        if one.pressure_mpa != 0.0:
            allowed = allowed_gap(design, celsius=one.celsius, pressure_mpa=abs(one.pressure_mpa))
            limit, source = (None, allowed) if isinstance(allowed, str) else allowed[:2]
        yield SealState(
            name=_name(design, one), celsius=one.celsius, pressure_mpa=one.pressure_mpa,
            aged=one.aged, gland=here, gap_limit_mm=limit, gap_source=source,
        )  # fmt: skip


def _name(design: Design, one: Corner) -> str:
    """A state in words, as "-20 °C, proof pressure 0.21 MPa, ring aged"."""
    table = design.spec.service
    words = [f"{one.celsius:g} °C"]
    if one.pressure_mpa < 0.0:
        words.append(f"vacuum {-one.pressure_mpa:g} MPa")
    elif one.pressure_mpa > 0.0:
        working = table.pressure is not None and one.pressure_mpa == table.pressure.value
        words.append(f"{'working' if working else 'proof'} pressure {one.pressure_mpa:g} MPa")
    else:
        words.append("no pressure")
    words.append("ring aged" if one.aged else "ring new")
    return ", ".join(words)
