"""Ways in which lugs, roof and boss give way, each with its stress as a line over the pressure."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import cylinder
from bayonet.mechanics import lug as formula
from bayonet.parts import Design
from bayonet.strength.contact import Contact
from bayonet.strength.joint import JointLoad
from bayonet.strength.loads import end_load_n
from bayonet.strength.material import Body

Array = NDArray[np.float64]


_OF_PINS = "round section: Shigley eq. 3-24 and table 3-2 (from memory)"


@dataclass(frozen=True, kw_only=True)
class Mode:
    """One way to give way.

    Parameters
    ----------
    key, title : str
    body : Body
        The part that gives way.
    at_rest_mpa : float
        Equivalent stress without pressure, from the clamp load [MPa].
    per_mpa : float
        Equivalent stress added per pressure [-].
    proof_factor : float
        Proof over working pressure [-].
    note : str
        What bounds its validity, for people.
    power : float
        Of the line ``at_rest_mpa + per_mpa p`` that the stress is: 1, or 1/2 where stress grows
        as the root of the load, and the line is of its square [MPa2].
    formula : str
        Where it comes from, if not from where it usually does.
    """

    key: str
    title: str
    body: Body
    at_rest_mpa: float
    per_mpa: float
    proof_factor: float
    note: str = ""
    power: float = 1.0
    formula: str = ""

    def stress_mpa(self, pressure_mpa: float) -> float:
        """Equivalent tensile stress at a pressure [MPa]."""
        line = self.at_rest_mpa + self.per_mpa * pressure_mpa
        return line if self.power == 1.0 else line**self.power

    @property
    def allowed_mpa(self) -> float:
        """Greatest working pressure, safety and proof test regarded [MPa]; 0 if none."""
        working = self._pressure_at(self.body.working_mpa)
        proof = self._pressure_at(self.body.proof_mpa) / self.proof_factor
        return min(working, proof)

    @property
    def gives_way_mpa(self) -> float:
        """Pressure at which it yields, or breaks where that comes first [MPa]."""
        return self._pressure_at(self.body.basis_mpa)

    def _pressure_at(self, stress_mpa: float) -> float:
        line = stress_mpa if self.power == 1.0 else stress_mpa ** (1.0 / self.power)
        left = max(line - self.at_rest_mpa, 0.0)
        return left / self.per_mpa if self.per_mpa > 0.0 else math.inf


def modes(
    design: Design,
    contact: Contact,
    *,
    share: Array,
    sealed_radius_mm: float,
    clamp_n: float,
    plug: Body,
    socket: Body,
    joint: JointLoad | None = None,
) -> tuple[Mode, ...]:
    """All ways to give way, with the stress of the worst lug.

    Parameters
    ----------
    design : Design
    contact : Contact
    share : array, shape (lugs,)
        Share of the load each lug carries [-].
    sealed_radius_mm : float
        Radius the pressure acts on [mm].
    clamp_n : float
        Load of the clamp, added in full to the pressure's [N].
    plug, socket : Body
    joint : JointLoad or None
        Of a socket of two parts: its screws and ring stand in for the wall behind the tracks.

    Returns
    -------
    tuple of Mode
    """
    per_mpa = end_load_n(1.0, sealed_radius_mm)
    factor = design.spec.service.proof_factor
    found = []
    pins = not np.isinf(contact.round_mm).all()
    for key, title, body, per_newton, note in _of_lugs(contact, plug, socket):
        worst = float(np.max(np.asarray(per_newton) * share))
        found.append(
            Mode(
                key=key, title=title, body=body, at_rest_mpa=worst * clamp_n,
                per_mpa=worst * per_mpa, proof_factor=factor, note=note,
                formula=_OF_PINS if pins and key.startswith("lug_") else "",
            )
        )  # fmt: skip
    line = _line_contact(contact, plug, socket)
    if line is not None:
        squares, note = line
        worst = float(np.max(squares * share))
        found.append(
            Mode(
                key="line_contact", title="pins dent the roof, or are dented", power=0.5,
                body=min(plug, socket, key=lambda body: body.working_mpa),
                at_rest_mpa=worst * clamp_n, per_mpa=worst * per_mpa, proof_factor=factor,
                note=note,
            )
        )  # fmt: skip
    if joint is None and design.socket.joint is None:
        wall = _wall(contact, share, body=socket)
        found.append(
            Mode(
                key="boss_wall", title="wall behind the tracks, pull and bending", body=socket,
                at_rest_mpa=wall * clamp_n, per_mpa=wall * per_mpa, proof_factor=factor,
                note=f"net section outside the tracks, stress concentration {socket.notch:g}",
            )
        )  # fmt: skip
    if joint is not None:
        found += _of_joint(joint, socket, per_mpa=per_mpa, clamp_n=clamp_n, factor=factor)
    found.append(_hoop(design, contact, sealed_radius_mm, body=socket, factor=factor))
    return tuple(found)


def _of_joint(
    joint: JointLoad, socket: Body, *, per_mpa: float, clamp_n: float, factor: float
) -> list[Mode]:
    """Ring and screws of a socket of two parts."""
    ring = socket.notch * joint.ring_mpa_per_n
    area = joint.joint.bolts.bolt.stress_area_mm2
    added = joint.share * joint.per_newton / area
    rest = max(joint.hottest_n, joint.coldest_n) / area
    return [
        Mode(
            key="ring_plate", title="the retaining ring bends", body=socket,
            at_rest_mpa=ring * clamp_n, per_mpa=ring * per_mpa, proof_factor=factor,
            note="plate round the slots and beam between screws, added",
        ),
        Mode(
            key="screws", title="the screws stretch", body=joint.screws,
            at_rest_mpa=rest + added * clamp_n, per_mpa=added * per_mpa, proof_factor=factor,
            note=f"{joint.heat_words}; prying {joint.lever:.2f}, rigid ring",
        ),
    ]  # fmt: skip


_Row = tuple[str, str, Body, Array, str]


def _of_lugs(contact: Contact, plug: Body, socket: Body) -> tuple[_Row, ...]:
    """Equivalent stress per newton on a lug, shape (lugs,), of each way lugs and roof give way."""
    weaker = min(plug, socket, key=lambda body: body.working_mpa)
    shear = 1.0 / formula.SHEAR_SHARE
    lug = (contact.lug_width_mm, contact.lug_thickness_mm, contact.lug_arm_mm)
    ledge = (contact.ledge_width_mm, contact.ledge_thickness_mm, contact.ledge_arm_mm)
    rows: tuple[_Row, ...] = (
        ("lug_shear", "lugs shear off", plug, shear * _shear(lug), ""),
        ("lug_bending", "lugs bend at the root", plug, plug.notch * _bending(lug), _short(lug)),
        ("roof_shear", "the roof's ledge shears off", socket, shear * _shear(ledge), ""),
        ("roof_bending", "the roof's ledge bends", socket, socket.notch * _bending(ledge),
         _short(ledge)),
    )  # fmt: skip
    if not np.isinf(contact.round_mm).all():
        return rows  # round ones bear along lines: see `_line_contact`
    pressed = formula.bearing_mpa(1.0, width_mm=contact.width_mm, height_mm=contact.height_mm)
    flank = ("flank", "flanks are crushed", weaker, pressed, "mean pressure on the contact")
    return (*rows[:2], flank, *rows[2:])


_TIMES_YIELD = 2.5
"""Of the yield strength the pressure on a line may be, of steel pins that must come out again:
EN 1993-1-8:2005, 3.13.2 (4), eq. 3.14 and 3.16 (from memory)."""


def _line_contact(contact: Contact, plug: Body, socket: Body) -> tuple[Array, str] | None:
    """Square of the stress per newton on a pin, shape (lugs,), and how it is meant.

    Of wrought metals the pressure over `_TIMES_YIELD`, which is held to the yield strength; of
    others, for which no such rule is known, the equivalent stress below the line. None where no
    lug is round, or a stiffness is not tabled: `checks.load` says so.
    """
    if np.isinf(contact.round_mm).all() or not stiffness_known(plug, socket):
        return None
    weaker = min(plug, socket, key=lambda body: body.working_mpa)
    pressure = formula.line_pressure_mpa(
        1.0, radius_mm=contact.round_mm, length_mm=contact.height_mm,
        modulus_mpa=(plug.modulus_mpa or 0.0, socket.modulus_mpa or 0.0),
        poisson=(plug.poisson or 0.0, socket.poisson or 0.0),
    )  # fmt: skip
    if weaker.kind == "wrought metal":
        share, note = 1.0 / _TIMES_YIELD, f"greatest pressure of Hertz over {_TIMES_YIELD:g}"
    else:
        share = formula.line_equivalent(weaker.poisson or 0.0)
        note = "greatest equivalent stress under the line a pin bears along"
    return np.asarray((pressure * share) ** 2), note


def stiffness_known(plug: Body, socket: Body) -> bool:
    """Whether both materials have a modulus and a Poisson's ratio."""
    return None not in (plug.modulus_mpa, plug.poisson, socket.modulus_mpa, socket.poisson)


_Root = tuple[Array, Array, Array]


def _shear(root: _Root) -> Array:
    return formula.shear_mpa(1.0, width_mm=root[0], thickness_mm=root[1])


def _bending(root: _Root) -> Array:
    return formula.bending_mpa(1.0, width_mm=root[0], thickness_mm=root[1], arm_mm=root[2])


def _short(root: _Root) -> str:
    """How far the beam formula is to be trusted."""
    ratio = float(np.max(root[2] / root[1]))
    if ratio < formula.SHORT_ARM:
        return f"arm {ratio:.2f} of the thickness: shorter than a beam, an estimate"
    return f"arm {ratio:.2f} of the thickness"


def _wall(contact: Contact, share: Array, *, body: Body) -> float:
    """Equivalent stress of the wall behind the tracks per newton of end load [1/mm2].

    The end load pulls on the whole ring outside the tracks. Each lug's load acts inside the wall:
    its moment bends a strip as wide as the contact, spread at 45 deg over the wall's thickness.
    That the ring round the strip helps is left out, so this errs on the safe side.
    """
    wall, outer = contact.wall_mm, contact.wall_radius_mm + contact.wall_mm
    area = math.pi * float(np.min(outer**2 - contact.wall_radius_mm**2))
    strip = contact.ledge_width_mm + 2.0 * wall
    arm = contact.wall_radius_mm + wall / 2.0 - contact.radius_mm
    bent = formula.bending_mpa(share, arm_mm=arm, width_mm=strip, thickness_mm=wall)
    return body.notch * (1.0 / area + float(np.max(bent)))


def _hoop(
    design: Design, contact: Contact, sealed_radius_mm: float, *, body: Body, factor: float
) -> Mode:
    """Boss under inside pressure, at the widest radius the pressure reaches."""
    socket = design.socket
    inner, where = sealed_radius_mm, "at the seal"
    if socket.layout in ("B", "D") or design.plug.groove_kind == "shoulder_face":
        inner, where = float(np.max(contact.wall_radius_mm)), "at the tracks, which the fluid fills"
    outer = socket.boss_radius_mm - socket.tolerance.diameter_mm / 2.0
    hoop = float(cylinder.hoop_mpa(1.0, inner_radius_mm=inner, outer_radius_mm=outer))
    pull = inner**2 / (outer**2 - inner**2)
    each = float(formula.equivalent_mpa(hoop, pull, -1.0, shear_mpa=0.0))
    return Mode(
        key="boss_hoop", title="the boss bursts", body=body, at_rest_mpa=0.0, per_mpa=each,
        proof_factor=factor, note=f"thick cylinder {where}, bore {2 * inner:.2f} mm",
    )  # fmt: skip
