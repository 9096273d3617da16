"""Friction to judge by, and how hard ring or gasket press and rub."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.findings import span_text
from bayonet.mechanics import gasket as gasket_formula
from bayonet.mechanics import ring as ring_formula
from bayonet.parts import Design, Gasket
from bayonet.standards import friction as table
from bayonet.standards import friction_names, from_memory
from bayonet.tolerance.fitting import GlandState

Range = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Mu:
    """Friction of a pair to judge by [-], and where it comes from.

    Parameters
    ----------
    least, most : float
        What it may be counted on where it must hold, and what must be overcome to turn. ``least``
        is below what is printed, by `bayonet.standards.friction.WIDEN`, unless the file gives it.
    source : str
    printed : float or None
        The least that is printed; None where the file gives the range.
    """

    least: float
    most: float
    source: str
    printed: float | None = None

    @property
    def words(self) -> str:
        """The range for people, and what the least was printed as."""
        span = span_text(self.least, self.most)
        if self.printed is None:
            return span
        return f"{span} (least printed {self.printed:.2g}, taken {table.WIDEN:g} times less)"


def lug_friction(design: Design) -> Mu | str:
    """Friction of lug on track, or why it cannot be told."""
    service = design.spec.service
    if service.lug_friction is not None:
        return Mu(least=service.lug_friction[0], most=service.lug_friction[1], source="given")
    names = [
        friction_names(name or "") for name in (service.plug_material, service.socket_material)
    ]
    if not all(names):
        return "give service.lug_friction, or plug_material and socket_material of the table"
    try:
        found = table.between(names[0], names[1], lubrication=service.lubrication)
    except TableError as error:
        return f"{error}; give service.lug_friction"
    return _judged(found)


def _judged(found: table.Friction) -> Mu:
    return Mu(
        least=found.holds,
        most=found.turns,
        printed=found.least,
        source=from_memory(found.source, found.provenance),
    )


@dataclass(frozen=True, kw_only=True)
class RingLoad:
    """How hard the ring presses and rubs, least and most.

    Parameters
    ----------
    normal_n : Range
        Force on the surface it seals on, over the whole ring [N].
    radius_mm : float
        Where it rubs.
    axial : bool
        Whether that force acts along the axis (a face seal) and loads the lugs.
    friction : Mu
    """

    normal_n: Range
    radius_mm: float
    axial: bool
    friction: Mu

    @property
    def rub_n(self) -> Range:
        """Force of its rubbing, against sliding or turning [N]."""
        low, high = self.normal_n
        return self.friction.least * low, self.friction.most * high

    @property
    def drag_nm(self) -> Range:
        """Torque of its rubbing alone [N m]."""
        low, high = (force * self.radius_mm / 1000.0 for force in self.rub_n)
        return low, high


def ring_load(design: Design, bench: GlandState | None) -> RingLoad | str:
    """Load and rubbing of the ring, or why they cannot be told; none of a plug without one."""
    socket, hardness = design.socket, design.spec.socket.seal.hardness
    rubber = table.friction(
        "elastomer (NBR 70)", "metal", condition=design.spec.service.lubrication
    )
    if socket.gasket is not None:
        return _of_gasket(design, socket.gasket, _judged(rubber))
    if design.plug.ring_groove is None:
        return RingLoad(normal_n=(0.0, 0.0), radius_mm=0.0, axial=False, friction=_judged(rubber))
    if bench is None or socket.ring is None:
        return "no ring is given"
    if hardness is None:
        return "give socket.seal.hardness"
    axial = socket.seal_radius_mm is None
    groove = design.plug.groove
    radius = (groove.start_mm + groove.end_mm) / 2.0 if axial else socket.seal_radius_mm or 0.0
    line = ring_formula.line_load_n_per_mm(
        [bench.section_mm.least, bench.section_mm.most],
        [bench.squeeze.least, bench.squeeze.most],
        hardness,
    )
    least, most = (line * 2 * math.pi * radius).tolist()
    return RingLoad(
        normal_n=(least, most),
        radius_mm=radius,
        axial=axial,
        friction=_judged(rubber),
    )


def _of_gasket(design: Design, gasket: Gasket, friction: Mu) -> RingLoad | str:
    """A gasket between its least and greatest squeeze, as the axial load and rubbing it is."""
    least = gasket_contact_mpa(design, gasket, gasket.least_squeeze)
    most = gasket_contact_mpa(design, gasket, gasket.most_squeeze)
    if isinstance(least, str) or isinstance(most, str):
        return "give socket.seal.hardness"
    area = math.pi * (gasket.outer_radius_mm**2 - gasket.inner_radius_mm**2)
    return RingLoad(
        normal_n=(least[0] * area, most[1] * area),
        radius_mm=(gasket.inner_radius_mm + gasket.outer_radius_mm) / 2.0,
        axial=True,
        friction=friction,
    )


def gasket_contact_mpa(design: Design, gasket: Gasket, squeeze: float) -> Range | str:
    """Mean pressure of a squeezed gasket, where its faces let it slide and where they hold it.

    Parameters
    ----------
    design : Design
        Gives its hardness.
    gasket : Gasket
    squeeze : float
        [-]

    Returns
    -------
    (float, float) or str
        [MPa]; why it cannot be told.

    Examples
    --------
    See `tests/checks/test_gasket.py`.
    """
    hardness = design.spec.socket.seal.hardness
    if hardness is None:
        return "give socket.seal.hardness"
    modulus = float(ring_formula.modulus_mpa(hardness))
    shape = float(gasket_formula.shape_factor(gasket.width_mm, gasket.thickness_mm))
    low, high = (
        float(gasket_formula.contact_mpa(squeeze, modulus_mpa=modulus, shape=shape, sticks=sticks))
        for sticks in (False, True)
    )
    return low, high
