"""The joint of ring and body under load: what each screw carries, what bends the ring."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.mechanics import Annulus, lug
from bayonet.mechanics import bolted_joint as formula
from bayonet.parts import Design, Joint
from bayonet.standards import BoltClass, bolt_class, materials
from bayonet.strength.contact import Contact
from bayonet.strength.loads import Shares
from bayonet.strength.material import Body

LOAD_FACTOR = 1.5
"""Times the proof load's part of screws and joint that must be left. Common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class JointLoad:
    """The joint's screws and ring, per newton of end load.

    Parameters
    ----------
    joint : Joint
    grade : BoltClass
    proof_n : float
        Proof load of one screw [N].
    preload_n, hottest_n, coldest_n : float
        Preload of one screw when it is tightened, and at the ends of service temperature [N].
    share : float
        Part of what is added that the screw takes, C [-].
    per_newton : float
        Load on the worst screw per newton of end load, prying counted [-].
    lever : float
        Prying: load on the screws over the load that lifts the ring [-].
    torque_nm : float
        Tightening torque [N m].
    strip_mm : float
        Engagement at which the body's thread yields as the screw reaches its proof load [mm].
    ring_mpa_per_n : float
        Bending stress of the ring per newton of end load [1/mm2].
    screws : Body
        The screws as a part that gives way.
    heat_words : str
        What temperature does to the preload.
    """

    joint: Joint
    grade: BoltClass
    proof_n: float
    preload_n: float
    hottest_n: float
    coldest_n: float
    share: float
    per_newton: float
    lever: float
    torque_nm: float
    strip_mm: float
    ring_mpa_per_n: float
    screws: Body
    heat_words: str

    def separation(self, load_n: float) -> float:
        """How many times an end load opens the joint at its weakest screw, cold or hot [-]."""
        least = min(self.hottest_n, self.coldest_n)
        return formula.separation_factor(
            preload_n=max(least, 0.0), share=self.share, load_n=self.per_newton * load_n
        )


def joint_load(
    design: Design, contact: Contact, shares: Shares, socket: Body
) -> JointLoad | str | None:
    """Work out the joint; None for one piece, a text where it cannot be told, and why.

    Parameters
    ----------
    design : Design
    contact : Contact
        At the least favourable dimensions.
    shares : Shares
    socket : Body

    Returns
    -------
    JointLoad, str or None
    """
    joint = design.socket.joint
    if joint is None:
        return None
    service, bolt = design.spec.service, joint.bolts.bolt
    name = service.socket_material or ""
    metal = materials.material(name)
    if metal.modulus_mpa is None or metal.poisson is None or metal.expansion_per_k is None:
        return f"joint: stiffness or expansion of {name} is not in the table"
    try:
        grade = bolt_class(joint.bolts.property_class, bolt.diameter_mm)
    except TableError as error:
        return f"joint: {error}"
    cold = service.assembly_c if service.lowest_c is None else service.lowest_c
    hot = service.assembly_c if service.highest_c is None else service.highest_c
    if not grade.lowest_c <= cold <= hot <= grade.highest_c:
        return (
            f"joint: screws {grade.name} hold their strength from {grade.lowest_c:g} to"
            f" {grade.highest_c:g} deg C; service is {cold:g} to {hot:g}"
        )
    clamped = joint.seat_mm - joint.bolts.sink_mm
    grip = formula.tapped_grip_mm(clamped, bolt.diameter_mm)
    screw = formula.screw_stiffness_n_per_mm(
        grip_mm=grip, unthreaded_mm=0.0, diameter_mm=bolt.diameter_mm,
        stress_area_mm2=bolt.stress_area_mm2, modulus_mpa=grade.modulus_mpa,
    )  # fmt: skip
    members = formula.members_stiffness_n_per_mm(
        grip_mm=grip, diameter_mm=bolt.diameter_mm, modulus_mpa=metal.modulus_mpa
    )
    proof = grade.proof_mpa * bolt.stress_area_mm2
    preload = joint.bolts.preload_share * proof
    series = screw * members / (screw + members) * grip
    apart = metal.expansion_per_k - grade.expansion_per_k

    def at(celsius: float) -> float:
        return preload + series * apart * (celsius - service.assembly_c)

    worst = max(float(shares.most.max()), 1.0 / joint.bolts.count)
    lever = _lever(joint, contact)
    strip = formula.strip_area_mm2(1.0, diameter_mm=bolt.diameter_mm)
    return JointLoad(
        joint=joint,
        grade=grade,
        proof_n=proof,
        preload_n=preload,
        hottest_n=at(hot),
        coldest_n=at(cold),
        share=screw / (screw + members),
        per_newton=worst * lever,
        lever=lever,
        torque_nm=formula.torque_nmm(
            preload, diameter_mm=bolt.diameter_mm, nut_factor=joint.bolts.nut_factor
        ) / 1000.0,
        strip_mm=proof / (strip * lug.SHEAR_SHARE * socket.proof_mpa),
        ring_mpa_per_n=_ring(design, joint, contact, worst, metal.modulus_mpa, metal.poisson),
        screws=_screws(joint, grade, max(at(hot), at(cold)) / bolt.stress_area_mm2),
        heat_words=(
            f"preload {preload:.0f} N, {at(hot):.0f} at {hot:g} deg C, {at(cold):.0f} at {cold:g}"
        ),
    )  # fmt: skip


def _lever(joint: Joint, contact: Contact) -> float:
    """Prying: the ring taken as rigid, rocking on its outer edge; its hoop holds nothing.

    Moments about the ring's edge: load and screw stand at their distances from it.
    """
    edge = joint.ring_radius_mm
    return float((edge - contact.radius_mm.min()) / (edge - joint.bolts.circle_radius_mm))


def _ring(
    design: Design, joint: Joint, contact: Contact, worst: float, modulus: float, poisson: float
) -> float:
    """Bending of the ring per newton: as a plate all round, and as a beam between two screws.

    The plate is what lies outside slots and tracks, held at the bolt circle; the ledges bring the
    load to its inner edge. Between two screws the worst lug's share stands in the middle of a beam
    that is only supported there, of the section beside the screws' counterbores. Both are added,
    and each leaves out what the other holds.
    """
    inner, circle = design.socket.slot_reach_mm, joint.bolts.circle_radius_mm
    plate = Annulus(
        inner_mm=inner, support_mm=circle, thickness_mm=joint.seat_mm, modulus_mpa=modulus,
        poisson=poisson,
    )  # fmt: skip
    around = plate.stress_mpa(1.0, arm_mm=inner - float(contact.radius_mm.min()))
    span = 2.0 * circle * math.sin(math.pi / joint.bolts.count)
    width = joint.ring_radius_mm - inner - 2.0 * joint.bolts.head_radius_mm
    between = lug.bending_mpa(worst / 4.0, arm_mm=span, width_mm=width, thickness_mm=joint.seat_mm)
    return around + float(between)


def _screws(joint: Joint, grade: BoltClass, rest_mpa: float) -> Body:
    """The screws as a part: what is left over the preload must last for `LOAD_FACTOR` loads."""
    allowed = rest_mpa + (grade.proof_mpa - rest_mpa) / LOAD_FACTOR
    bolts = joint.bolts
    return Body(
        part="screws", material=f"{bolts.bolt.name} {grade.name}", kind="wrought metal",
        basis_mpa=grade.proof_mpa, working_mpa=allowed, proof_mpa=allowed,
        factor_words=f"load factor {LOAD_FACTOR:g} on what the preload leaves", notch=1.0,
        modulus_mpa=grade.modulus_mpa, poisson=None, layers=1.0, source=grade.source,
    )  # fmt: skip
