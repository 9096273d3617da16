"""What is said of one dimension, one geometrical tolerance, one surface, one edge. Plain records.

How they follow from a design is in `collect`; how they are written in `printed`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["diameter", "width", "depth", "length", "angle", "lead"]
Status = Literal["limits", "exact", "reference"]
Unit = Literal["mm", "deg", "mm/rev"]
Characteristic = Literal["position", "coaxiality", "perpendicularity"]
EdgeState = Literal["sharp", "broken", "corner"]


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """One dimension, with the number it carries everywhere.

    Parameters
    ----------
    number : int
        Of its balloon: on drawing, table, inspection sheet and model.
    key : str
        Stable name, tracks numbered away: ``track_roof_depth``.
    keys : tuple of str
        The socket's named dimensions it stands for (`Socket.dimensions`); several where tracks
        are alike, none where the drawing alone needs it.
    name : str
        In words of the shop.
    kind : str
    status : {"limits", "exact", "reference"}
        Made to limits; theoretically exact (boxed; ISO 1101:2017, 3.5); for information only (in
        brackets; ISO 129-1:2018).
    places : int
        How many features it holds for.
    nominal : float
        [unit]
    lower, upper : float
        Deviations allowed, lower first [unit]; both 0 where there are no limits.
    unit : {"mm", "deg", "mm/rev"}
    datum : str
        Letter it counts from; empty for a size.
    feature : str
        The face or axis it belongs to, as ``sealing bore``.
    tracks : tuple of int
        Tracks it holds for, from 1; empty where it belongs to none.
    envelope : bool
        Whether the chains take its least or greatest size over the whole feature (ISO 14405-1,
        envelope requirement).
    group : str
        Its key in ``[socket.tolerance]``; empty where it has none of its own.
    chains : tuple of str
        Keys of the chains it moves, the one it moves most first.
    gauge : str
        What it is measured with; empty where the table has none.
    gauge_u : float
        Expanded uncertainty of the gauge (k = 2) [gauge_unit]; 0 where there is no gauge.
    gauge_unit : str
    ratio : float
        Half the limits over that uncertainty; 0 where there is no gauge.
    """

    number: int
    key: str
    keys: tuple[str, ...] = ()
    name: str
    kind: Kind
    status: Status = "limits"
    places: int = 1
    nominal: float
    lower: float = 0.0
    upper: float = 0.0
    unit: Unit = "mm"
    datum: str = ""
    feature: str
    tracks: tuple[int, ...] = ()
    envelope: bool = False
    group: str = ""
    chains: tuple[str, ...] = ()
    gauge: str = ""
    gauge_u: float = 0.0
    gauge_unit: str = ""
    ratio: float = 0.0

    @property
    def least(self) -> float:
        """Least size allowed [unit]."""
        return self.nominal + self.lower

    @property
    def most(self) -> float:
        """Greatest size allowed [unit]."""
        return self.nominal + self.upper


@dataclass(frozen=True, kw_only=True)
class Control:
    """One geometrical tolerance (ISO 1101:2017).

    Parameters
    ----------
    number : int
        Of its balloon; goes on from the dimensions' numbers.
    key, name : str
    characteristic : str
    zone_mm : float
        Width of the zone, or its diameter [mm].
    diametral : bool
        Whether the zone is a cylinder.
    datums : tuple of str
        Letters, primary first.
    feature : str
        What is held in the zone.
    places : int
    group : str
        Its key in ``[socket.tolerance]``.
    chains : tuple of str
    note : str
        Where the zone comes from, if it is not the file's own figure.
    """

    number: int
    key: str
    name: str
    characteristic: Characteristic
    zone_mm: float
    diametral: bool
    datums: tuple[str, ...]
    feature: str
    places: int = 1
    group: str = ""
    chains: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Datum:
    """A datum feature (ISO 5459): its letter and what it is."""

    letter: str
    feature: str
    name: str


@dataclass(frozen=True, kw_only=True)
class Texture:
    """Surface texture of a feature (ISO 21920-1): parameter and greatest value [µm]."""

    feature: str
    parameter: str
    most_um: float
    source: str


@dataclass(frozen=True, kw_only=True)
class Edge:
    """State of an edge (ISO 13715): sharp, broken, or an inside corner that may stay.

    Parameters
    ----------
    feature : str
    state : {"sharp", "broken", "corner"}
    low_mm, high_mm : float
        Ends of what is allowed, material left over counted positive [mm].
    why : str
    source : str
    """

    feature: str
    state: EdgeState
    low_mm: float
    high_mm: float
    why: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Record:
    """Everything that is asked of a socket, in the order of its numbers.

    Parameters
    ----------
    dimensions : tuple of Dimension
    controls : tuple of Control
    datums : tuple of Datum
    textures : tuple of Texture
    edges : tuple of Edge
    general : str
        What sizes without limits of their own are made to, in words.
    """

    dimensions: tuple[Dimension, ...]
    controls: tuple[Control, ...]
    datums: tuple[Datum, ...]
    textures: tuple[Texture, ...]
    edges: tuple[Edge, ...]
    general: str

    def find(self, key: str, *, track: int = 1) -> Dimension | None:
        """The dimension of a key, for a track where it belongs to one; None where there is none."""
        for one in self.dimensions:
            if one.key == key and (not one.tracks or track in one.tracks):
                return one
        return None

    def control(self, key: str) -> Control | None:
        """The geometrical tolerance of a key; None where there is none."""
        return next((one for one in self.controls if one.key == key), None)
