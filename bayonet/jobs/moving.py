"""`fitting.html` of a result: solids for the eye, and the page that moves them."""

from __future__ import annotations

from bayonet.checks import Result
from bayonet.parts import Design
from bayonet.shapes import TriangleMesh

PAGE_BYTES = 1_400_000
"""Most a page may take; meshes are made coarser until it does."""

_CHORDS_MM = (0.03, 0.06, 0.12, 0.25, 0.5)


def meshes(design: Design, *, chord_mm: float = _CHORDS_MM[0]) -> tuple[TriangleMesh, TriangleMesh]:
    """Socket and plug for the eye, the plug as inserted with its shoulder on the mouth face.

    Parameters
    ----------
    design : Design
    chord_mm : float
        Greatest distance from the exact surface [mm].

    Returns
    -------
    tuple of TriangleMesh

    Raises
    ------
    BuildError
        If the CAD kernel cannot make them.
    """
    from bayonet import solids
    from bayonet.solids.kernel import mesh

    socket, plug = solids.socket(design), solids.plug(design)
    return mesh.meshed(socket, chord_mm=chord_mm), mesh.meshed(plug, chord_mm=chord_mm)


def fitting_page(result: Result, *, note: str = "") -> str:
    """The page of a result, at most `PAGE_BYTES` long.

    Parameters
    ----------
    result : Result
    note : str
        What the solids are, where they are not the design's own.

    Returns
    -------
    str
    """
    from bayonet.report.page import page

    text = ""
    for chord in _CHORDS_MM:
        socket, plug = meshes(result.design, chord_mm=chord)
        text = page(result, socket=socket, plug=plug, note=note)
        if len(text.encode("utf-8")) <= PAGE_BYTES:
            break
    return text
