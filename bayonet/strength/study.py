"""Everything about strength and torque of a design, worked out once."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.parts import Design
from bayonet.strength.contact import Contact, contact_of
from bayonet.strength.joint import JointLoad, joint_load
from bayonet.strength.loads import Shares, end_load_n, sealed_radius_mm, shares
from bayonet.strength.material import Body, body
from bayonet.strength.modes import Mode, modes
from bayonet.strength.seal_load import Mu, RingLoad, lug_friction, ring_load
from bayonet.strength.turning import Hand, Turning, hand_of, turning
from bayonet.tolerance.chains import Study
from bayonet.tolerance.fitting import GlandState


@dataclass(frozen=True, kw_only=True)
class StrengthStudy:
    """Loads, stresses and torques of a design; a text where one cannot be told, and why.

    Parameters
    ----------
    sealed_radius_mm : float
        Radius the pressure acts on, at its upper limit [mm].
    sealed_by : str
        What that is.
    working_mpa, proof_mpa : float or None
        None where no pressure is given.
    working_n, proof_n : float
        End load; 0 without a pressure [N].
    clamp_n : float
        Greatest clamp load a strong hand reaches; with stop seating what a squeezed face seal or
        gasket pushes with [N].
    plug, socket : Body or str
    nominal, worst : Contact
    shares : Shares or None
    modes : tuple of Mode
        At the least favourable dimensions; empty where a material is not known.
    at_nominal : tuple of Mode
        The same at nominal dimensions.
    hand : Hand
    lug_friction : Mu or str
    ring : RingLoad or str
    turning : Turning or str
    joint : JointLoad, str or None
        Of a socket of two parts; None for one piece or where the materials are not known.
    """

    sealed_radius_mm: float
    sealed_by: str
    working_mpa: float | None
    proof_mpa: float | None
    working_n: float
    proof_n: float
    clamp_n: float
    plug: Body | str
    socket: Body | str
    nominal: Contact
    worst: Contact
    shares: Shares | None
    modes: tuple[Mode, ...]
    at_nominal: tuple[Mode, ...]
    hand: Hand
    lug_friction: Mu | str
    ring: RingLoad | str
    turning: Turning | str
    joint: JointLoad | str | None = None

    @property
    def why_no_modes(self) -> str:
        """Why stresses cannot be told; empty where they can."""
        return "; ".join(one for one in (self.plug, self.socket) if isinstance(one, str))

    @property
    def weakest(self) -> Mode | None:
        """The way to give way that allows the least pressure."""
        return min(self.modes, key=lambda mode: mode.allowed_mpa, default=None)

    @property
    def first(self) -> Mode | None:
        """The way it gives way first when the pressure rises."""
        return min(self.modes, key=lambda mode: mode.gives_way_mpa, default=None)


def strength_of(
    design: Design,
    study: Study | None,
    bench: GlandState | None,
    *,
    clamp_n: float | None = None,
) -> StrengthStudy:
    """Work out loads, stresses and torques.

    Parameters
    ----------
    design : Design
    study : Study or None
        Dimension chains, for what lies under the roof at the worst corner.
    bench : GlandState or None
        The gland at the temperature of measuring; None where no ring is known.
    clamp_n : float or None
        Clamp load to reckon with instead of the one the torque gives [N].

    Returns
    -------
    StrengthStudy

    Examples
    --------
    See `tests/strength/test_study.py`.
    """
    radius, sealed_by = sealed_radius_mm(design)
    nominal, worst = contact_of(design, study, "nominal"), contact_of(design, study, "loosest")
    pressure = design.spec.service.pressure
    working = None if pressure is None else pressure.value
    proof = None if working is None else working * design.spec.service.proof_factor
    hand, mu, ring = hand_of(design), lug_friction(design), ring_load(design, bench)
    torques: Turning | str
    if isinstance(mu, str) or isinstance(ring, str):
        torques = "; ".join(one for one in (mu, ring) if isinstance(one, str))
    else:
        torques = turning(
            design, lug=mu, ring=ring, hand=hand, radius_mm=float(nominal.radius_mm.mean()),
            sealed_radius_mm=radius,
        )  # fmt: skip
    clamp = clamp_n or 0.0
    if clamp_n is None and not isinstance(torques, str) and torques.clamp_n is not None:
        clamp = torques.clamp_n[1]
    elif clamp_n is None and isinstance(ring, RingLoad) and ring.axial:
        clamp = ring.normal_n[1]  # a stop holds the plug against what the seal pushes
    plug, socket = body(design, "plug"), body(design, "socket")
    proof_n = end_load_n(proof or 0.0, radius)
    shared: Shares | None = None
    found: tuple[Mode, ...] = ()
    at_nominal: tuple[Mode, ...] = ()
    joint: JointLoad | str | None = None
    if not isinstance(plug, str) and not isinstance(socket, str):
        shared = shares(design, worst, force_n=proof_n + clamp, plug=plug, socket=socket)
        joint = joint_load(design, worst, shared, socket)
        found, at_nominal = (
            modes(
                design, sections, share=shared.most, sealed_radius_mm=radius, clamp_n=clamp,
                plug=plug, socket=socket, joint=None if isinstance(joint, str) else joint,
            )
            for sections in (worst, nominal)
        )  # fmt: skip
    return StrengthStudy(
        sealed_radius_mm=radius,
        sealed_by=sealed_by,
        working_mpa=working,
        proof_mpa=proof,
        working_n=end_load_n(working or 0.0, radius),
        proof_n=proof_n,
        clamp_n=clamp,
        plug=plug,
        socket=socket,
        nominal=nominal,
        worst=worst,
        shares=shared,
        modes=found,
        at_nominal=at_nominal,
        hand=hand,
        lug_friction=mu,
        ring=ring,
        turning=torques,
        joint=joint,
    )
