"""From first values to the joint fit and back to dimensions: one linear map between the two."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit import joint, surface
from bayonet.scan.fit.all_points import Ended, on_all
from bayonet.scan.fit.correlation import Smooth, smooth
from bayonet.scan.fit.faces import Shape, Values
from bayonet.scan.fit.flank_check import contradicted
from bayonet.scan.fit.frame_points import Spots, joined, spots
from bayonet.scan.fit.keys import LEAD, LEADING_LEAD, Key, body_key, lug_key
from bayonet.scan.fit.labels import Labelled as Faced
from bayonet.scan.fit.labels import State
from bayonet.scan.fit.misfit import misfits
from bayonet.scan.fit.own_flanks import told_apart, with_flanks
from bayonet.scan.fit.refined import POSE, Labelled, Pose, Refined, inverse
from bayonet.scan.fit.reseed import reseeded
from bayonet.scan.fit.wear import worn
from bayonet.scan.read import thinned

Array = NDArray[np.float64]

_BESIDE_MM = 2.0  # before and after the lugs: flanks with their ramp
_POOL = 400_000  # points samples are drawn from; more change nothing
_LEANS = {"bearing_flank_deg": 1.0, "leading_flank_deg": -1.0}  # positive: thinner outwards
_UNVERIFIED = 0.3  # mm/rev: leads that may differ by more than a few of it are not taken for one
_SURE = 3.0  # standard uncertainties, from which they are two
_POSE = dict(zip(surface.POSE, POSE, strict=True))


def shape_of(shape: Shape, v: Values) -> surface.Shape:
    """The joint fit's shape."""
    holder = shape.bodies - 1
    if shape.groove == "radial":
        middle = v["groove.at_depth"] + v["groove.width"] / 2.0
        holder = next(
            (i for i in range(shape.bodies) if v[body_key(i, "to_depth")] > middle), holder
        )
    return surface.Shape(
        steps=shape.bodies, lugs=shape.lugs, root=shape.root, groove=shape.groove, holder=holder,
        parallel=shape.parallel, has_rim="shoulder_diameter" in v,
        has_top="shoulder_thickness" in v, flanks=shape.flanks,
    )  # fmt: skip


def state_of(shape: Shape, v: Values, pose: Pose) -> State:
    """First values as a state of the joint fit."""
    own = shape_of(shape, v)
    names = own.all_names()
    p = np.zeros(len(names))
    for i, name in enumerate(names):
        p[i] = sum(v[key] * times for key, times in source_of(name, shape).items())
    return State(shape=own, names=names, p=p, rotation=pose.rotation, origin=pose.origin)


def source_of(name: str, shape: Shape) -> dict[str, float]:
    """A parameter of the joint fit by dimensions; empty for those that are form only."""
    if name in _POSE:
        return {}
    key = Key(name)
    if name == "top.z":
        return {"shoulder_thickness": 1.0}
    if name == "rim.r":
        return {"shoulder_diameter": 0.5}
    if key.name in (*surface.FORM, surface.FLARE):
        return {}
    if key.name in surface.FLANKS:
        turn = shape.sign / (2.0 * math.pi)
        is_told = key.name == "twist" and shape.has_own_leads
        return {LEADING_LEAD: turn, LEAD: -turn} if is_told else {}
    base, own = key.base, key.name
    if key.part == "body":
        return {base.of("diameter"): 0.5} if own == "r" else {base.of("to_depth"): 1.0}
    if key.part == "groove":
        return {
            "r": {"groove.diameter": 0.5},
            "start": {"groove.at_depth": 1.0},
            "width": {"groove.width": 1.0},
            "depth": {"groove.depth": 1.0},
        }[own]
    if own == "half":
        if shape.parallel:
            return {base.of("width"): 0.5}
        return {base.of("width_deg"): math.radians(0.5)}
    of_a_lug: dict[str, dict[str, float]] = {
        "centre": {base.of("centre_deg"): math.radians(1.0)},
        "r": {base.of("outer_diameter"): 0.5},
        "bearing": {base.of("bearing_depth"): 1.0},
        "thickness": {base.of("thickness"): 1.0},
        "slope": {LEAD: shape.sign / (2.0 * math.pi)},
    }
    return of_a_lug[own]


def _flank_keys(shape: Shape) -> tuple[str, ...]:
    """Dimensions of the flanks beside the common lead."""
    leans = tuple(key for key in _LEANS if _lean_name(key) in shape.flanks)
    return ((LEADING_LEAD,) if shape.has_own_leads else ()) + leans


def _lean_name(key: str) -> str:
    return key.replace("flank_deg", "lean")


def _lean_of(name: str, shape: Shape, at: float) -> dict[str, float]:
    """A flank's slope [deg] against square to the axis: rate of its lean, where it is fitted."""
    for key, way in _LEANS.items():
        if Key(name).name == _lean_name(key) and _lean_name(key) in shape.flanks:
            return {key: way * math.radians(1.0 + at**2)}
    return {}


def refined(shape: Shape, values: Values, end: Ended) -> Refined:
    """Dimensions, their information, and labelled points."""
    state = end.state
    values = {**values, **dict.fromkeys(_flank_keys(shape), 0.0)}
    keys = (*POSE, *values)
    place = {key: i for i, key in enumerate(keys)}
    names = state.names
    maker = np.zeros((len(names), len(keys)))
    for i, (name, at) in enumerate(zip(names, state.p.tolist(), strict=True)):
        own = {_POSE[name]: 1.0} if name in _POSE else source_of(name, shape)
        for key, times in (own or _lean_of(name, shape, at)).items():
            maker[i, place[key]] = times
    mapped = np.asarray(maker.any(axis=1))
    freed = _freed(end.information, ~mapped & end.free)
    information = maker.T @ freed @ end.information @ maker
    extra, found = _unsure(end)
    scatter = maker.T @ freed @ extra @ freed.T @ maker
    result = dict(values)
    for name, value in zip(names, state.p.tolist(), strict=True):
        source = source_of(name, shape)
        if len(source) == 1:
            ((key, times),) = source.items()
            result[key] = value / times  # all lugs have the one slope
        for key in _lean_of(name, shape, value):
            result[key] = math.degrees(math.atan(_LEANS[key] * value))
    if shape.has_own_leads:
        twist = state.values[lug_key(0, "twist")]
        result[LEADING_LEAD] = result[LEAD] + shape.sign * 2.0 * math.pi * twist
    for key in result:
        if Key(key).name == "centre_deg":
            result[key] %= 360.0
    return Refined(
        pose=Pose(rotation=state.rotation, origin=state.origin), values=result, keys=keys,
        information=information, labelled=labels(end.rows, state), noise=end.noise, scatter=scatter,
        correlation_mm=found.length_mm, smooth_mm=found.sd_mm,
    )  # fmt: skip


def _unsure(end: Ended) -> tuple[Array, Smooth]:
    """Covariance of right sides beyond white noise, and what of it is smooth.

    What is smooth in the residuals; and what form errors left out for being unsure would move, if
    they are there as large as they were found.
    """
    names = end.state.names
    solve = joint.covariance(end.information, joint.columns_of(names, ~end.free))
    found = smooth(end.cells, solve, end.noise)
    total = found.squares
    kinds = np.array([name.split("_")[0] for name in names])  # both parts of an ovality at once
    for kind in dict.fromkeys(kinds[end.dropped != 0.0].tolist()):
        side = end.information @ np.where(kinds == kind, end.dropped, 0.0)
        total = total + np.outer(side, side)
    return total, found


def _freed(information: Array, nuisance: NDArray[np.bool_]) -> Array:
    """What takes the nuisances' share out of right sides; times information, Schur's complement."""
    out = np.eye(len(information))
    if not nuisance.any():
        return out
    rest = ~nuisance
    own = information[np.ix_(nuisance, nuisance)]
    out[np.ix_(rest, nuisance)] = -information[np.ix_(rest, nuisance)] @ inverse(own)
    out[nuisance] = 0.0
    return out


def labels(rows: list[Faced], state: State) -> Labelled:
    """Labelled points, face by face; residuals with the form errors in them, to be reported."""
    formless = {name: 0.0 if Key(name).name in surface.FORM else value
                for name, value in state.values.items()}  # fmt: skip
    c = joined([one.spots for one in rows])
    counts = [len(one.off) for one in rows]
    return Labelled(
        r=c.r, theta=np.degrees(c.theta), depth=c.depth,
        face=np.repeat(np.arange(len(rows)), counts),
        residual=np.concatenate([one.face.off(one.spots, formless) for one in rows]),
        names=tuple(one.face.name for one in rows),
    )  # fmt: skip


def _sample(xyz: Array, state: State, few: int) -> Array:
    """Some points of everything and as many from where the lugs are, whose faces are small."""
    xyz = xyz[thinned(len(xyz), _POOL, np.random.default_rng(8))]
    c, v, shape = spots(xyz, state.rotation, state.origin), state.values, state.shape
    low = max(min(v[lug_key(i, "bearing")] for i in range(shape.lugs)) - _BESIDE_MM, 0.5)
    high = max(v[lug_key(i, "bearing")] + v[lug_key(i, "thickness")] for i in range(shape.lugs))
    near = (c.r > v[body_key(shape.root, "r")] + 0.3) & (c.r < v[lug_key(0, "r")] + 0.5)
    near &= (c.depth > low) & (c.depth < high + _BESIDE_MM)
    kinds = (np.flatnonzero(near), np.flatnonzero(~near))
    rng = np.random.default_rng(7)
    parts = [which[thinned(len(which), few, rng)] for which in kinds]
    return np.asarray(xyz[np.sort(np.concatenate(parts))])


def fitted(
    xyz: Array, pose: Pose, shape: Shape, values: Values, *, few: int
) -> tuple[Shape, Refined, Spots, dict[int, float]]:
    """The joint fit, with sides as they show on a sample (radial or parallel).

    Returns
    -------
    (Shape, Refined, Spots, dict)
        Spots are all points in the fitted frame; the dict names worn lugs.
    """
    start = state_of(shape, values, pose)
    sample = _sample(xyz, start, few)
    fewer = sample[thinned(len(sample), few // 2, np.random.default_rng(6))]
    end = joint.coarse(sample, fewer, start, reseed=reseeded)
    for _ in range(2):
        flanks = told_apart(sample, end.state, end.noise)
        if flanks == end.state.shape.flanks:
            break
        end = joint.closer(sample, fewer, with_flanks(end.state, flanks))
    shape = dataclasses.replace(shape, flanks=end.state.shape.flanks)
    if joint.flare_of(sample, end.state, end.noise) > 0.5:
        state = end.state
        v = state.values
        shape = dataclasses.replace(shape, parallel=True)
        values = {_as_chord(Key(key)): value for key, value in values.items()}
        own = shape_of(shape, values)
        p = state.p.copy()
        for i in range(shape.lugs):
            middle = (v[lug_key(i, "r")] + v[body_key(shape.root, "r")]) / 2.0
            p[state.names.index(lug_key(i, "half"))] = middle * math.sin(v[lug_key(i, "half")])
        state = dataclasses.replace(state, shape=own, p=p)
        end = joint.closer(sample, fewer, state)
    last = on_all(xyz, sample, joint.with_margins(sample, end))
    flanks = _flanks_told(last, shape)
    if flanks != shape.flanks:
        shape = dataclasses.replace(shape, flanks=flanks)
        end = joint.closer(sample, fewer, with_flanks(end.state, flanks))
        last = on_all(xyz, sample, joint.with_margins(sample, end))
    against = contradicted(last.cloud, last.state, last.noise)
    seen = dataclasses.replace(refined(shape, values, last), against=against,
                               misfit=misfits(last))  # fmt: skip
    lost = worn(last.cloud, last.state, last.noise, max(0.3, 3.0 * last.noise), seen.smooth_mm)
    return shape, seen, last.cloud, lost


def _flanks_told(end: Ended, shape: Shape) -> tuple[str, ...]:
    """What of `surface.FLANKS` is to be told: what is surely there.

    Leads that the scan does not hold close enough together to be taken for one are two.
    """
    names, state = end.state.names, end.state
    twist = np.array([Key(name).name == "twist" for name in names])
    free = joint.columns_of(names, ~(end.free | twist))
    solve = joint.covariance(end.information, free)
    spread = end.noise**2 * solve
    if any(Key(name).name in shape.flanks for name in names):
        spread = spread + solve @ smooth(end.cells, solve, end.noise).squares @ solve
    found = []
    for name in surface.FLANKS:
        at = names.index(lug_key(0, name))
        u = math.sqrt(max(float(spread[at, at]), 0.0))
        is_sure = name in shape.flanks and abs(state.p[at]) > _SURE * u
        is_open = name == "twist" and 2.0 * math.pi * u > _UNVERIFIED
        if is_sure or is_open:
            found.append(name)
    return tuple(found)


def _as_chord(key: Key) -> Key:
    """The name of a lug's width between parallel sides, of its angular width; else the same."""
    return key.base.of("width") if key.is_lug and key.name == "width_deg" else key
