"""The record of a judged design: every dimension numbered, with its datum, chains and gauge."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from bayonet.checks import Result
from bayonet.checks.making import measurements
from bayonet.dimensions.controls import controls_of, datums_of, edges_of, general_of, textures_of
from bayonet.dimensions.drawn_only import bore_rows, mount_rows, track_rows
from bayonet.dimensions.record import Dimension, Kind, Record
from bayonet.parts import NamedDimension, Socket
from bayonet.standards import Advice

_LEAST_SHARE = 0.01  # of a chain's variance or worst case that makes a dimension one of its own

_GROUPS = {
    "track_bore_diameter": "track_bore", "sealing_bore_diameter": "sealing_bore",
    "track_diameter": "track_wall", "track_slot_width": "slot_width",
    "track_centre": "slot_position_deg", "track_stop": "stop_deg", "track_roof_depth": "roof",
    "track_floor_depth": "floor", "nose_floor_depth": "nose_floor", "track_lead": "lead",
}  # fmt: skip
_FEATURES = {
    "track_bore_diameter": "bore between the tracks", "passage_diameter": "passage",
    "sealing_bore_diameter": "sealing bore", "sealing_bore_from_depth": "sealing bore",
    "sealing_bore_to_depth": "sealing bore", "boss_diameter": "outside of the boss",
    "boss_height": "end of the boss", "nose_floor_depth": "floor under the nose",
    "mouth_chamfer": "chamfer at the mouth", "detent_height": "detent",
    "track_centre": "entry slot", "track_slot_width": "entry slot", "track_stop": "stop",
    "track_diameter": "track wall", "track_roof_depth": "roof", "track_floor_depth": "floor",
    "track_lead": "roof", "track_floor_slope": "floor",
}  # fmt: skip
_FROM_MOUTH = ("_depth", "_height")


def record_of(result: Result) -> Record:
    """Everything a drawing asks of a judged design's socket, numbered from 1.

    Parameters
    ----------
    result : Result
        The chains must have been worked out: they say which dimension decides what.

    Returns
    -------
    Record
        Dimensions in the order bores, boss, mount, tracks; then the geometrical tolerances, whose
        numbers go on.

    Examples
    --------
    >>> import bayonet
    >>> record = record_of(bayonet.check(bayonet.loads(bayonet.starting_file())))
    >>> [one.number for one in record.dimensions][:3], record.find("track_bore_diameter").datum
    ([1, 2, 3], '')
    """
    design, socket = result.design, result.design.socket
    rows = [
        *_named(socket, tracks=False),
        *bore_rows(socket, design.spec.socket.seal),
        *mount_rows(socket),
        *_named(socket, tracks=True),
        *track_rows(socket, design.spec.socket.cutter),
    ]
    rows = sorted(_together(rows), key=_place)
    moved = _moved(result)
    dimensions = tuple(
        dataclasses.replace(row, number=number, chains=moved.get(row.group, ()))
        for number, row in enumerate(rows, 1)
    )
    controls = tuple(
        dataclasses.replace(one, number=number, chains=moved.get(one.group, ()))
        for number, one in enumerate(controls_of(socket), len(dimensions) + 1)
    )
    return Record(
        dimensions=dimensions,
        controls=controls,
        datums=datums_of(),
        textures=textures_of(socket),
        edges=edges_of(result),
        general=general_of(socket),
    )


def _named(socket: Socket, *, tracks: bool) -> list[Dimension]:
    """The socket's own named dimensions, each with its gauge."""
    gauges = {one.dimension.key: one.advice for one in measurements(socket)}
    rows = []
    for row in socket.dimensions():
        bare, track = _track_of(row.key)
        if (track is not None) is not tracks or _same_surface(row.key, socket):
            continue
        rows.append(_dimension(row, bare, track, socket, gauges.get(row.key)))
    return rows


def _dimension(
    row: NamedDimension, bare: str, track: int | None, socket: Socket, advice: Advice | None
) -> Dimension:
    value, half, unit = row.value, row.half_width or 0.0, row.unit
    name = row.meaning if track is None else row.meaning.partition(": ")[2]
    status = "limits" if half else "reference"
    kind = _kind(bare, unit)
    datum = "A" if bare.endswith(_FROM_MOUTH) and bare != "detent_height" else ""
    group = _GROUPS.get(bare, "")
    if track is not None:
        shape = socket.tracks[track - 1]
        if bare == "track_slot_width" and not shape.slot.is_radial:
            value, half, unit, kind = (
                2.0 * shape.slot.offset_mm,
                socket.limits.slot_width_mm,
                "mm",
                "width",
            )
            name = "slot width between its parallel sides"
        elif bare == "track_stop" and not shape.end.is_radial:
            value = shape.end.deg
            name = "slot's middle to the line the stop is parallel to"
        elif bare == "track_centre":
            value = (value - socket.tracks[0].centre_deg) % 360.0
            status, half, datum, group = "exact", 0.0, "C", ""
            name = "middle of the slot, counter-clockwise from slot 1"
    return Dimension(
        number=0, key=bare, keys=(row.key,), name=name, kind=kind,
        status=status,  # type: ignore[arg-type]  # two words of three
        nominal=value, lower=-half, upper=half, unit=unit, datum=datum,
        feature=_FEATURES.get(bare, ""), tracks=() if track is None else (track,),
        envelope=bare in ("track_bore_diameter", "sealing_bore_diameter", "track_diameter"),
        group=group,
        gauge=advice.gauge.name if advice and half else "",
        gauge_u=advice.gauge.expanded_u if advice and half else 0.0,
        gauge_unit=advice.gauge.unit if advice and half else "",
        ratio=advice.ratio if advice and half else 0.0,
    )  # fmt: skip


def _kind(bare: str, unit: str) -> Kind:
    if unit == "mm/rev":
        return "lead"
    if unit == "deg":
        return "angle"
    if bare.endswith("_diameter"):
        return "diameter"
    return "depth" if bare.endswith(_FROM_MOUTH) else "length"


def _track_of(key: str) -> tuple[str, int | None]:
    """``track_2_lead`` is ``track_lead`` of track 2."""
    first, _, rest = key.partition("_")
    number, _, last = rest.partition("_")
    return (f"{first}_{last}", int(number)) if number.isdigit() else (key, None)


def _same_surface(key: str, socket: Socket) -> bool:
    """Whether a dimension is another one's surface: a bore that runs through as the passage."""
    return key == "passage_diameter" and socket.nose_floor_mm is None


def _together(rows: Iterable[Dimension]) -> list[Dimension]:
    """Those of several tracks that are alike come once, with the tracks they hold for."""
    found: list[Dimension] = []
    seen: dict[tuple[object, ...], int] = {}
    for row in rows:
        alike = (row.key, row.name, round(row.nominal, 9), row.upper, row.unit)
        if not row.tracks or alike not in seen:
            seen[alike] = len(found)
            found.append(row)
            continue
        first = found[seen[alike]]
        found[seen[alike]] = dataclasses.replace(
            first,
            keys=first.keys + row.keys,
            tracks=first.tracks + row.tracks,
            places=first.places + row.places,
        )
    return found


_ORDER = (
    "track_bore_diameter", "sealing_bore_diameter", "lead_in_diameter", "lead_in_angle",
    "lead_in_from_depth", "sealing_bore_from_depth", "sealing_bore_to_depth", "bore_step_depth",
    "passage_diameter", "nose_floor_depth", "mouth_chamfer", "boss_diameter", "boss_height",
    "flange_diameter", "flange_thickness", "bolt_circle_diameter", "bolt_hole_diameter",
    "bolt_hole_angle", "weld_angle", "weld_width", "weld_land", "track_centre",
    "track_slot_width", "track_stop", "track_stop_offset", "track_diameter", "track_roof_depth",
    "track_floor_depth", "track_lead", "track_roof_corner", "track_floor_slope", "detent_height",
    "cutter_diameter", "cutter_centre_radius", "cutter_stop_angle",
)  # fmt: skip


def _place(row: Dimension) -> tuple[int, int, float]:
    place = _ORDER.index(row.key) if row.key in _ORDER else len(_ORDER)
    return (place, min(row.tracks, default=0), row.nominal)


def _moved(result: Result) -> dict[str, tuple[str, ...]]:
    """Chains that each tolerance group moves, the one it moves most first."""
    shares: dict[str, dict[str, float]] = {}
    for one in result.study.figures:
        for part in one.first.contributors:
            if part.group and part.owner == "socket":
                share = max(abs(part.variance_share), abs(part.worst_case_share))
                found = shares.setdefault(part.group, {})
                found[one.chain.key] = found.get(one.chain.key, 0.0) + share
    return {
        group: tuple(
            key
            for key, share in sorted(found.items(), key=lambda item: (-item[1], item[0]))
            if share >= _LEAST_SHARE
        )
        for group, found in shares.items()
    }
