"""Graft a design's socket onto a tank, judge it, write it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bayonet.exchange import stl
from bayonet.exchange.folder import appearing_in
from bayonet.exchange.step_order import canonical
from bayonet.model.design import Design
from bayonet.model.graft import Wishes
from bayonet.model.mesh import TriangleMesh
from bayonet.model.placement import Frame

if TYPE_CHECKING:
    from bayonet.solids.graft import Grafted

Progress = Callable[[str], None]

USUAL_CHORD_MM = 0.05


@dataclass(frozen=True, kw_only=True)
class GraftMade:
    """A tank with its socket, as written.

    Parameters
    ----------
    design : Design
    grafted : Grafted
        Exact solids; ``grafted.frame`` takes the fitting's coordinates to the tank's.
    meshes : tuple of TriangleMesh
        One a solid, tank coordinates; the grafted one at ``grafted.host``.
    folder : Path
    files : tuple of str
    """

    design: Design
    grafted: Grafted
    meshes: tuple[TriangleMesh, ...]
    folder: Path
    files: tuple[str, ...]

    @property
    def frame(self) -> Frame:
        """The fitting's frame in the tank's coordinates."""
        return self.grafted.frame


def graft(
    design: Design,
    tank_file: str | Path,
    folder: str | Path,
    *,
    wishes: Wishes,
    chord_mm: float = USUAL_CHORD_MM,
    progress: Progress = lambda _: None,
) -> GraftMade:
    """Graft, judge and write.

    Parameters
    ----------
    design : Design
    tank_file : str or Path
        STEP.
    folder : str or Path
        Made if missing. Files appear together at the end, or not at all.
    wishes : Wishes
    chord_mm : float
        Greatest distance allowed between meshes and exact surface [mm].
    progress : callable
        Told what is being done, in a few words.

    Returns
    -------
    GraftMade

    Raises
    ------
    TankError
        If the tank cannot be read, or the place cannot take a socket.
    BuildError
        If the CAD kernel's result does not pass the gate.
    ExportError
        If the folder cannot be written.
    """
    progress("reading the tank")
    from bayonet.solids import graft as build
    from bayonet.solids import mesh, snap, step, tank, tank_step

    read = tank.read(Path(tank_file))
    spot = snap.spot(read, at=wishes.at, face=wishes.face, toward=wishes.toward)
    progress("grafting")
    grafted = build.graft(
        read, spot, design.socket, wishes, shoulder_mm=design.plug.shoulder_radius_mm
    )
    title = f"{design.name}, rev {design.revision}"
    with appearing_in(Path(folder)) as room:
        progress("meshing")
        meshes = tuple(mesh.meshed(one.solid, chord_mm=chord_mm) for one in grafted.tank.solids)
        head = step.StepHead(product="tank_with_socket", description=f"Tank with socket: {title}")
        tank_step.write(grafted.tank, room / "tank_with_socket.step", head=head)
        written = room / "tank_with_socket.step"
        written.write_bytes(canonical(written.read_bytes().decode("latin-1")).encode("latin-1"))
        stl.write(joined(meshes), room / "tank_with_socket.stl", title="tank with socket")
        names = tuple(sorted(file.name for file in room.iterdir()))
    return GraftMade(
        design=design, grafted=grafted, meshes=meshes, folder=Path(folder), files=names
    )


def joined(meshes: tuple[TriangleMesh, ...]) -> TriangleMesh:
    """Several meshes as one, their bodies apart."""
    import numpy as np

    starts = np.cumsum([0, *(len(one.vertices) for one in meshes)])[:-1]
    return TriangleMesh(
        vertices=np.concatenate([one.vertices for one in meshes]),
        triangles=np.concatenate(
            [one.triangles + start for one, start in zip(meshes, starts.tolist(), strict=True)]
        ),
        chord_mm=max(one.chord_mm for one in meshes),
    )
