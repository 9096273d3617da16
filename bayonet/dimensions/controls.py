"""Datums, geometrical tolerances, surface texture and edges, as the chains take them."""

from __future__ import annotations

import math

from bayonet import rounding
from bayonet.checks import Result
from bayonet.dimensions.drawn_only import lead_in
from bayonet.dimensions.record import Control, Datum, Edge, Texture
from bayonet.parts import Socket

_PRACTICE = "common practice, no source"
_RING_RMS_UM = 0.8
_ROOF_RA_UM = {"machined": 3.2}
_CORNER_STEP_MM = 0.05
_SHARP_MM = 0.05
_BROKEN_MM = 0.3


def datums_of() -> tuple[Datum, ...]:
    """A the mouth face, B the bore between the tracks, C the middle plane of entry slot 1."""
    return (
        Datum(letter="A", feature="mouth face", name="mouth face"),
        Datum(letter="B", feature="bore between the tracks", name="axis of the bore"),
        Datum(letter="C", feature="entry slot", name="middle plane of entry slot 1"),
    )


def controls_of(socket: Socket) -> tuple[Control, ...]:
    """Geometrical tolerances that stand for the chains' deviations of place and direction.

    Tilt is an angle in the chains; over the bore's length it is the zone of ISO 1101:2017, 17.11:
    tan(tilt) times the length. A slot's place is an angle too; at the track wall it is the width
    of the position zone, 2 R tan(angle).
    """
    limits, wall = socket.limits, socket.track_radius_mm
    length = _bore_length(socket)
    found = [
        Control(
            number=0, key="perpendicularity_bore", name="bore's axis square to the mouth face",
            characteristic="perpendicularity", diametral=True, datums=("A",),
            zone_mm=math.tan(math.radians(limits.tilt_deg)) * length,
            feature="bore between the tracks", group="tilt_deg",
            note=f"{limits.tilt_deg:g}° over {length:.1f} mm",
        ),
        Control(
            number=0, key="coaxiality_tracks", name="axis of the track walls to the bore's",
            characteristic="coaxiality", diametral=True, datums=("B",),
            zone_mm=limits.coaxiality_mm, feature="track wall", group="coaxiality",
            places=len(socket.tracks),
        ),
    ]  # fmt: skip
    if socket.seal_radius_mm is not None:
        found.append(
            Control(
                number=0, key="coaxiality_seal", name="axis of the sealing bore to the bore's",
                characteristic="coaxiality", diametral=True, datums=("B",),
                zone_mm=limits.seal_coaxiality_mm, feature="sealing bore",
                group="seal_coaxiality",
            )
        )  # fmt: skip
    found.append(
        Control(
            number=0, key="position_slots", name="middle planes of the entry slots",
            characteristic="position", diametral=False, datums=("A", "B", "C"),
            zone_mm=2.0 * wall * math.tan(math.radians(limits.slot_position_deg)),
            feature="entry slot", group="slot_position_deg", places=len(socket.tracks) - 1,
            note=f"±{limits.slot_position_deg:g}° at the track wall",
        )
    )  # fmt: skip
    return tuple(found)


def textures_of(socket: Socket) -> tuple[Texture, ...]:
    """What the ring seals on and slides over, and what the lugs slide on."""
    found = []
    handbook = "O-ring handbook ORD 5700, section 4.0: 32 microinch rms for static seals"
    if socket.ring is not None:
        feature = "sealing bore" if socket.seal_radius_mm is not None else "face under the ring"
        found.append(
            Texture(feature=feature, parameter="Rq", most_um=_RING_RMS_UM, source=handbook)
        )
        if lead_in(socket) is not None:
            found.append(
                Texture(feature="lead-in", parameter="Rq", most_um=_RING_RMS_UM, source=handbook)
            )
    roof = _ROOF_RA_UM.get(socket.process)
    if roof is not None:
        found.append(Texture(feature="roof", parameter="Ra", most_um=roof, source=_PRACTICE))
    return tuple(found)


def edges_of(result: Result) -> tuple[Edge, ...]:
    """What must stay sharp, what must be broken, and how round an inside corner may stay.

    An inside corner of radius R between two faces clears a sharp lug corner that stands off one
    of them by R or more: the least gap from lug to wall over all parts is therefore the most.
    """
    socket = result.design.socket
    found = [
        Edge(feature="roof", state="sharp", low_mm=-_SHARP_MM, high_mm=_SHARP_MM,
             why="bears the lugs: free of burr, not broken", source=_PRACTICE),
    ]  # fmt: skip
    if socket.ring is not None and socket.seal_radius_mm is not None:
        found.append(
            Edge(feature="lead-in", state="broken", low_mm=-_BROKEN_MM, high_mm=-_SHARP_MM,
                 why="both ends of the lead-in: the ring passes them", source=_PRACTICE)
        )  # fmt: skip
    found += [
        Edge(feature="roof and stop", state="corner", low_mm=-_BROKEN_MM, high_mm=0.0,
             why="a lug lies against both: sharp or undercut", source=_PRACTICE),
        Edge(feature="track wall", state="corner", low_mm=0.0, high_mm=_corner_mm(result),
             why="least gap from lug to wall over all parts: lugs must not ride on it",
             source="worst case of the chain lug to track wall"),
    ]  # fmt: skip
    return tuple(found)


def general_of(socket: Socket) -> str:
    """What sizes without limits of their own are made to."""
    half = socket.tolerance
    return (
        f"Sizes without limits: diameters ±{half.diameter_mm:g}, lengths ±{half.length_mm:g},"
        f" angles ±{half.angle_deg:g}°"
    )


def _corner_mm(result: Result) -> float:
    """Greatest radius where another face meets the track wall [mm]; 0 where no gap is left."""
    gaps = [one.worst.low for one in result.study.figures if one.chain.key == "lug_radial"]
    return max(0.0, rounding.down(min(gaps, default=0.0), step=_CORNER_STEP_MM))


def _bore_length(socket: Socket) -> float:
    """Length of the bore between the tracks [mm]."""
    depths = [d for r, d in socket.bore if abs(r - socket.track_bore_radius_mm) < 1e-9]
    return max(depths) - min(depths)
