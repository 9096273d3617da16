"""What each edge of a track's contour is called, in the order of its corners."""

from __future__ import annotations

from bayonet.developed import contour
from bayonet.parts import Track
from bayonet.shapes import Side


def edge_names(track: Track) -> tuple[str, ...]:
    """Name of the edge from each corner of a track's contour to the next.

    Parameters
    ----------
    track : Track

    Returns
    -------
    tuple of str
        ``slot`` (its sides), ``floor``, ``stop``, ``roof``, ``break`` (an axial step of roof or
        floor) or ``opening``; the last edge closes the contour and is the opening.

    Examples
    --------
    A slot, a floor, a stop, a ramp with a dwell, the slot's other side and the opening:

    >>> import bayonet
    >>> track = bayonet.loads(bayonet.starting_file()).socket.tracks[0]
    >>> edge_names(track)
    ('slot', 'floor', 'stop', 'roof', 'roof', 'slot', 'opening')
    """
    edges = contour.of_track(track).edges
    sides = [number for number, edge in enumerate(edges) if isinstance(edge, Side)]
    first, last = sides[0], sides[-1]
    inner = sides[1:-1]
    stop = inner[0] if inner else last
    names = []
    for number, edge in enumerate(edges):
        if number == len(edges) - 1:
            names.append("opening")
        elif number in (first, last):
            names.append("slot")
        elif isinstance(edge, Side):
            names.append("stop" if number == stop else "break")
        else:
            names.append("floor" if number < stop else "roof")
    return tuple(names)
