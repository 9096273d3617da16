"""The dimension chains of a fitting: which quantity must keep which limit, and why."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from bayonet.findings import PRACTICE
from bayonet.parts import Design
from bayonet.tolerance.chains import Chain, ChainSet, Evaluate
from bayonet.tolerance.fitting.assembly import Assembly
from bayonet.tolerance.fitting.deviations import deviations_of
from bayonet.tolerance.fitting.geometry import goes_into_seal
from bayonet.tolerance.fitting.gland import BENCH, Conditions
from bayonet.tolerance.fitting.parts import Parts
from bayonet.tolerance.fitting.requirement import TOUCHES, Requirement
from bayonet.tolerance.fitting.seal_requirements import of_seal
from bayonet.tolerance.fitting.seal_states import worst_corners
from bayonet.tolerance.fitting.service import states

Array = NDArray[np.float64]

_LEAST_OVERLAP = 0.5


def chains_of(design: Design) -> ChainSet:
    """All dimension chains of a design.

    Parameters
    ----------
    design : Design

    Returns
    -------
    ChainSet
        The rows of a chain are its lugs (or steps, or pairs of sides) in every state of service.

    Examples
    --------
    >>> import bayonet
    >>> design = bayonet.loads(bayonet.starting_file())
    >>> [chain.key for chain in chains_of(design).chains][:3]
    ['lug_radial', 'body_radial', 'body_in_seal']
    """
    known = deviations_of(design)
    return ChainSet(
        variables=known.variables,
        chains=tuple(one.chain for one in requirements(design)),
        evaluate=Evaluation(design),
        correlation=known.correlation,
    )


class Evaluation:
    """Deviations to the rows of each chain; is its design alone when it is pickled."""

    def __init__(self, design: Design, *, bench: bool = False, centred: bool = False) -> None:
        self._design = design
        self._known = deviations_of(design)
        self._wanted = tuple(requirements(design))
        known = conditions_of(design)
        self._conditions = dict.fromkeys(known, (BENCH,)) if bench else {
            kind: tuple(found.values()) for kind, found in known.items()
        }  # fmt: skip
        self._kind = (bench, centred)

    def __reduce__(self) -> tuple[Callable[..., Evaluate], tuple[Design, bool, bool]]:
        return evaluation_of, (self._design, *self._kind)

    def __call__(self, deviations: Array, keys: Sequence[str]) -> Mapping[str, list[Array]]:
        """Rows of the chains wanted, see `ChainSet`."""
        parts = Parts(self._design, self._known, deviations)
        every = {at for found in self._conditions.values() for at in found}
        assemblies = {at: Assembly(parts, at, self._kind[1]) for at in every}
        return {
            one.chain.key: [
                row for at in self._conditions[one.states] for row in one.quantity(assemblies[at])
            ]
            for one in self._wanted
            if one.chain.key in keys
        }


def evaluation_of(design: Design, bench: bool, centred: bool) -> Evaluate:
    """An evaluation as it was before it was pickled."""
    return Evaluation(design, bench=bench, centred=centred)


def conditions_of(design: Design) -> dict[str, dict[str, Conditions]]:
    """States by their names, for each kind of ``states`` a requirement may ask for.

    Each kind has the bench, or what is nearest to it, first.
    """
    usual = {state.name: state.conditions for state in states(design)[0]}
    return {
        "bench": dict(list(usual.items())[:1]),
        "all": usual,
        "seal": worst_corners(design, aged=False),
        "aged": worst_corners(design, aged=True),
    }


def states_of(design: Design) -> dict[str, tuple[str, ...]]:
    """Names of the states each chain is judged in, by its key, in the order of its rows."""
    known = conditions_of(design)
    return {one.chain.key: tuple(known[one.states]) for one in requirements(design)}


def judged_in(design: Design) -> dict[str, str]:
    """Kind of states each chain is judged in, by its key: a key of `conditions_of`."""
    return {one.chain.key: one.states for one in requirements(design)}


def described_states(design: Design) -> str:
    """The states of service in words, for titles."""
    return ", ".join(state.name for state in states(design)[0])


def requirements(design: Design) -> Iterator[Requirement]:
    """What every pair of plug and socket must keep, in the order people read it."""
    yield from _radial(design)
    yield from _slots(design)
    yield from _at_lock(design)
    yield from _depths(design)
    yield from _detent(design)
    yield from of_seal(design)


def _radial(design: Design) -> Iterator[Requirement]:
    yield Requirement(
        chain=Chain(
            key="lug_radial", title="lug to track wall", unit="mm", low=0.0, source=TOUCHES,
            why="below zero: a lug jams in its track",
            field="socket.clearance.lug_radial", field_slope=1.0,
        ),
        quantity=Assembly.lug_radial,
    )  # fmt: skip
    in_seal = [goes_into_seal(design, step) for step in design.plug.body]
    if not all(in_seal):
        yield Requirement(
            chain=Chain(
                key="body_radial", title="body to bore", unit="mm", low=0.0, source=TOUCHES,
                why="below zero: the body does not go into its bore",
                field="socket.clearance.body", field_slope=0.5,
            ),
            quantity=Assembly.body_radial,
        )  # fmt: skip
    if any(in_seal):
        yield Requirement(
            chain=Chain(
                key="body_in_seal", title="body to sealing bore", unit="mm", low=0.0,
                source=TOUCHES, why="below zero: the body does not go into the sealing bore",
            ),
            quantity=Assembly.body_in_seal,
        )  # fmt: skip
    if len(design.plug.body) > 1:
        yield Requirement(
            chain=Chain(
                key="body_in_both", title="two steps of the body in their bores at once",
                unit="mm", low=0.0, source=TOUCHES,
                why="below zero: eccentric steps and bores jam on the way in",
                field="socket.clearance.body", field_slope=0.5,
            ),
            quantity=Assembly.body_in_both,
        )  # fmt: skip
    if design.socket.layout == "B":
        yield Requirement(
            chain=Chain(
                key="lugs_pass_seal", title="lugs through the sealing bore", unit="mm", low=0.0,
                source=TOUCHES, why="below zero: the lugs scratch the sealing bore",
                field="socket.seal.bore_diameter", field_slope=0.5,
            ),
            quantity=Assembly.lugs_pass_seal,
        )  # fmt: skip
    heights = [lug.outer_radius_mm - design.plug.lug_body.radius_mm for lug in design.plug.lugs]
    yield Requirement(
        chain=Chain(
            key="lug_overlap", title="lug height under the roof, plug pushed aside", unit="mm",
            low=_LEAST_OVERLAP * min(heights), source=f"half the lug's height; {PRACTICE}",
            why="less and the lug bears on an edge only",
            field="socket.clearance.body", field_slope=-0.5,
        ),
        quantity=Assembly.lug_overlap,
    )  # fmt: skip


def _slots(design: Design) -> Iterator[Requirement]:
    del design
    yield Requirement(
        chain=Chain(
            key="slot_side", title="lug to slot side", unit="mm", low=0.0, source=TOUCHES,
            why="below zero: the plug does not go into the slots",
            field="socket.clearance.lug_side", field_slope=1.0,
        ),
        quantity=Assembly.slot_side,
        states="bench",
    )  # fmt: skip


def _at_lock(design: Design) -> Iterator[Requirement]:
    socket, asked = design.socket, design.spec.production.clocking_deg
    if socket.seating == "stop":
        yield Requirement(
            chain=Chain(
                key="axial_play", title="axial play at lock", unit="mm", low=0.0, source=TOUCHES,
                why="below zero: the plug does not reach its stop",
                field="socket.clearance.axial", field_slope=1.0,
            ),
            quantity=Assembly.axial_play,
        )  # fmt: skip
    else:
        yield from _window()
    yield Requirement(
        chain=Chain(
            key="engagement", title="lug width under the roof", unit="-",
            low=socket.least_engagement, source="socket.stop.least_engagement",
            why="less and too little of the lug carries the load",
        ),
        quantity=Assembly.engagement,
        states="bench" if socket.seating == "stop" else "all",
    )  # fmt: skip
    limit = math.inf if asked is None else asked.value
    yield Requirement(
        chain=Chain(
            key="clocking", title="turn at lock, off nominal", unit="deg", low=-limit, high=limit,
            source="production.clocking_deg" if asked is not None else "no limit asked for",
            why="where the valve points when it is locked", digits=2,
        ),
        quantity=Assembly.clocking,
        states="bench" if socket.seating == "stop" else "all",
    )  # fmt: skip


def _window() -> Iterator[Requirement]:
    """Clamp seating: tight after least engagement and before the stop."""
    yield Requirement(
        chain=Chain(
            key="tight_after_engaged", title="engaged before it is tight", unit="deg", low=0.0,
            source="socket.stop.least_engagement", digits=2,
            why="below zero: it is tight before enough of the lugs is under the roof",
        ),
        quantity=Assembly.tight_after_engaged,
    )  # fmt: skip
    yield Requirement(
        chain=Chain(
            key="tight_before_stop", title="turn left from tight to the stop", unit="deg",
            low=0.0, source=TOUCHES, digits=2,
            why="below zero: it meets the stop before it is tight",
            field="socket.stop.overtravel_deg", field_slope=1.0,
        ),
        quantity=Assembly.tight_before_stop,
    )  # fmt: skip


def _depths(design: Design) -> Iterator[Requirement]:
    yield Requirement(
        chain=Chain(
            key="floor_gap", title="lug to track floor", unit="mm", low=0.0, source=TOUCHES,
            why="below zero: the shoulder cannot come down on the mouth face",
            field="socket.clearance.floor", field_slope=1.0,
        ),
        quantity=Assembly.floor_gap,
    )  # fmt: skip
    if design.socket.nose_floor_mm is not None:
        on_ring = design.plug.groove_kind == "nose_face" and design.socket.ring is not None
        yield Requirement(
            chain=Chain(
                key="nose_gap", title="nose to the floor under it", unit="mm", low=0.0,
                source=TOUCHES,
                why="below zero: the nose stands on the floor before the shoulder seats",
                field="" if on_ring else "socket.clearance.nose",
                field_slope=0.0 if on_ring else 1.0,
            ),
            quantity=Assembly.nose_gap,
        )  # fmt: skip
    if design.spec.socket.track.floor == "level":
        return  # nearest to the roof at lock, where play and floor gap tell
    yield Requirement(
        chain=Chain(
            key="way_height", title="lug between roof and floor on the way", unit="mm", low=0.0,
            source=TOUCHES, why="below zero: the lug wedges in its track as it turns",
            field="socket.clearance.floor", field_slope=1.0,
        ),
        quantity=Assembly.way_height,
        states="bench",
    )  # fmt: skip


def _detent(design: Design) -> Iterator[Requirement]:
    if not design.socket.detent_height_mm > 0.0:
        return
    yield Requirement(
        chain=Chain(
            key="detent_pass", title="lug under the detent", unit="mm", low=0.0, source=TOUCHES,
            why="below zero: the lug does not pass the detent",
            field="socket.clearance.axial", field_slope=1.0,
        ),
        quantity=Assembly.detent_pass,
    )  # fmt: skip
    yield Requirement(
        chain=Chain(
            key="detent_hold", title="grip of the detent", unit="mm", low=0.0,
            source="the plug must dip to turn back",
            why="below zero: the detent holds nothing",
            field="socket.track.detent.height", field_slope=1.0,
        ),
        quantity=Assembly.detent_hold,
        states="bench",
    )  # fmt: skip
    yield Requirement(
        chain=Chain(
            key="angular_play", title="turn from the stop back to the detent", unit="deg",
            source="no limit asked for", why="how far the locked valve can be turned to and fro",
            digits=2,
        ),
        quantity=Assembly.angular_play,
        states="bench",
    )  # fmt: skip
