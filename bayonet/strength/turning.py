"""Torque to turn the plug, over the range of friction: rings, ramp, shoulder, detent."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.designfile import value_or
from bayonet.mechanics import screw
from bayonet.parts import Design
from bayonet.standards import hand_force_n
from bayonet.strength.loads import end_load_n
from bayonet.strength.seal_load import Mu, Range, RingLoad

NORMAL_95 = 1.645
"""One-sided 95 % point of the normal distribution [-]."""
WIDEST_GRIP_MM = 63.5
"""Beyond this grip the force was not measured: the arm is held at it [mm]."""
GRIP_SOURCE = "grips to 63.5 mm: Shih & Wang 1996, Int. J. Industrial Ergonomics 18"

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Hand:
    """What hands can do at the grip.

    Parameters
    ----------
    anybody_nm, strong_nm : float
        Torque 95 % of women reach, or what the file asks for; and what 95 % of men do not pass, or
        the same where that is more [N m].
    grip_mm : float
    source : str
    """

    anybody_nm: float
    strong_nm: float
    grip_mm: float
    source: str
    given: bool

    @property
    def words(self) -> str:
        """What is at hand, for people."""
        if self.given:
            return f"{self.anybody_nm:.3g} N m are at hand (hand_torque_nm)"
        return f"anybody manages {self.anybody_nm:.2f} N m on a grip of {self.grip_mm:g} mm"


def hand_of(design: Design) -> Hand:
    """Torque of weak and strong hands at the design's grip.

    Examples
    --------
    Women 70 N with a scatter of 20 %, arm 25 mm: (70 - 1.645 x 14) x 0.025 = 1.17 N m.

    >>> from bayonet.measuring import starting_file
    >>> from bayonet.parts.design import changed, loads
    >>> design = changed(loads(starting_file()), [("service.grip_diameter", 50.0)])
    >>> round(hand_of(design).anybody_nm, 2)
    1.17
    """
    service = design.spec.service
    grip = value_or(service.grip_diameter, 2.0 * design.plug.shoulder_radius_mm)
    arm_m = min(grip, WIDEST_GRIP_MM) / 2000.0
    weak, weak_scatter, source = hand_force_n("women")
    strong, strong_scatter, _ = hand_force_n("men")
    anybody = (weak - NORMAL_95 * weak_scatter) * arm_m
    return Hand(
        anybody_nm=service.hand_torque_nm or anybody,
        strong_nm=max((strong + NORMAL_95 * strong_scatter) * arm_m, service.hand_torque_nm or 0.0),
        grip_mm=grip,
        given=service.hand_torque_nm is not None,
        source="service.hand_torque_nm" if service.hand_torque_nm else f"{source}; {GRIP_SOURCE}",
    )


@dataclass(frozen=True, kw_only=True)
class Turning:
    """Torques of a design, each least and most over the range of friction [N m].

    Parameters
    ----------
    lock, unlock : Range
        With no pressure; with clamp seating, from free to tight (0 clamp load) and back from tight
        at ``clamp_torque_nm``.
    detent : Range or None
        Peak when the lugs ride over the detent.
    under_pressure : Range or None
        To unlock at working pressure.
    clamp_n : Range or None
        Clamp load: what anybody reaches at most friction, what a strong hand does at least [N].
    lead_angle_deg : float
        Of the roof under the locked lugs; 0 on a dwell.
    lowest_friction_angle_deg : float
    """

    lock: Range
    unlock: Range
    detent: Range | None
    under_pressure: Range | None
    clamp_n: Range | None
    lead_angle_deg: float
    lowest_friction_angle_deg: float


def turning(
    design: Design,
    *,
    lug: Mu,
    ring: RingLoad,
    hand: Hand,
    radius_mm: float,
    sealed_radius_mm: float,
) -> Turning:
    """Torques of a design.

    Parameters
    ----------
    design : Design
    lug : Mu
        Friction of lug on track, and of the shoulder on the mouth face.
    ring : RingLoad
    hand : Hand
    radius_mm : float
        Middle of the lugs' contact.
    sealed_radius_mm : float
        Radius the pressure acts on.

    Returns
    -------
    Turning
    """
    work = _Work(design, lug, ring, hand, 2.0 * radius_mm)
    clamp = work.clamp() if design.socket.seating == "clamp" else None
    pressure = design.spec.service.pressure
    locked = work.down(0.0) if clamp is None else work.unclamp(clamp)
    force = 0.0 if pressure is None else end_load_n(pressure.value, sealed_radius_mm)
    detent = design.spec.socket.track.detent
    return Turning(
        lock=work.up(0.0),
        unlock=locked,
        detent=None if detent is None else work.over(detent.flank_angle_deg.value),
        under_pressure=None if pressure is None else work.pressed(force, locked),
        clamp_n=clamp,
        lead_angle_deg=float(screw.lead_angle_deg(work.lead_at_lock, mean_diameter_mm=work.across)),
        lowest_friction_angle_deg=float(screw.friction_angle_deg(lug.least)),
    )


@dataclass(frozen=True)
class _Work:
    design: Design
    lug: Mu
    ring: RingLoad
    hand: Hand
    across: float

    @property
    def lead_at_lock(self) -> float:
        """Lead of the roof under the locked lug [mm/rev]."""
        dwells = self.design.spec.socket.track.dwell_deg.value > 0.0
        return 0.0 if dwells else self.design.socket.lead_mm_per_rev

    @property
    def face_mm(self) -> float:
        """Mean diameter at which the shoulder rubs on the mouth face [mm]."""
        outer = min(self.design.plug.shoulder_radius_mm, self.design.socket.mouth_radius_mm)
        return outer + min(self.design.socket.track_radius_mm, outer)

    @property
    def friction(self) -> Array:
        """Of lug on track and shoulder on mouth face, least and most [-]."""
        return np.array([self.lug.least, self.lug.most])

    def _with_drag(self, torque_nmm: Array) -> Range:
        """The ring's own rubbing added; from N mm to N m."""
        low, high = (torque_nmm / 1000.0 + self.ring.drag_nm).tolist()
        return low, high

    def _axial(self, extra_n: float) -> Array:
        """Load on the lugs from the ring, least and most, and something on top [N]."""
        face = self.ring.normal_n if self.ring.axial else (0.0, 0.0)
        return np.array(face) + extra_n

    def up(self, force_n: float) -> Range:
        """Towards lock against a load, rings included [N m]."""
        return self._with_drag(
            screw.ramp_torque_nmm(
                self._axial(force_n),
                mean_diameter_mm=self.across,
                lead_mm_per_rev=self.design.socket.lead_mm_per_rev,
                friction=self.friction,
            )
        )

    def down(self, force_n: float) -> Range:
        """Away from lock with a load on the lugs, rings included [N m]."""
        return self._with_drag(self._release(self._axial(force_n)))

    def _release(self, load_n: Array) -> Array:
        """Torque down the roof under the locked lugs [N mm]."""
        return screw.release_torque_nmm(
            load_n,
            mean_diameter_mm=self.across,
            lead_mm_per_rev=self.lead_at_lock,
            friction=self.friction,
        )

    def pressed(self, force_n: float, locked: Range) -> Range:
        """As `down` with the pressure's load; one well clamped takes what it took without."""
        low, high = self.down(force_n)
        clamps = self.design.socket.seating == "clamp"
        return low, max(high, locked[1]) if clamps else high

    def clamp(self) -> Range:
        """Clamp load of a weak hand at most friction and of a strong one at least [N]."""
        hands = np.array([self.hand.strong_nm, self.hand.anybody_nm])
        high, low = screw.clamp_load_n(
            1000.0 * (hands - self.ring.drag_nm),
            mean_diameter_mm=self.across,
            lead_mm_per_rev=self.design.socket.lead_mm_per_rev,
            friction=self.friction,
            face_diameter_mm=self.face_mm,
            face_friction=self.friction,
        ).tolist()
        return low, high

    def unclamp(self, clamp_n: Range) -> Range:
        """Back from tight: the weak hand's clamp at most friction, and the strong hand's at least.

        The order of least and most follows the torques, not the loads.
        """
        load = np.array(clamp_n[::-1])
        face = screw.face_torque_nmm(load, mean_diameter_mm=self.face_mm, friction=self.friction)
        low, high = sorted(self._with_drag(self._release(load) + face))
        return low, high

    def over(self, flank_angle_deg: float) -> Range:
        """Peak over the detent: the flank against what holds the plug out, drag included [N m].

        A face seal pushes the plug out; a radial ring resists being slid in by its friction.
        """
        return self._with_drag(
            screw.flank_torque_nmm(
                self.ring.normal_n if self.ring.axial else self.ring.rub_n,
                mean_diameter_mm=self.across,
                flank_angle_deg=flank_angle_deg,
                friction=self.friction,
            )
        )
