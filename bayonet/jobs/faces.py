"""List and picture the faces of a tank."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bayonet.exchange.folder import appearing_in
from bayonet.model.tank_face import TankFace

Progress = Callable[[str], None]


def faces(
    tank_file: str | Path, folder: str | Path | None, *, progress: Progress = lambda _: None
) -> tuple[TankFace, ...]:
    """Every face of a tank; with a folder, faces.svg, faces.png and faces.json in it.

    Parameters
    ----------
    tank_file : str or Path
        STEP.
    folder : str or Path or None
    progress : callable

    Returns
    -------
    tuple of TankFace

    Raises
    ------
    TankError
        If the tank cannot be read.
    ExportError
        If the folder cannot be written.
    """
    progress("reading the tank")
    from bayonet.solids import snap, tank

    read = tank.read(Path(tank_file))
    progress("looking at its faces")
    found = snap.listed(read)
    if folder is not None:
        progress("drawing")
        from bayonet.report import faces as picture
        from bayonet.report import graft_data
        from bayonet.solids import graft_view

        with appearing_in(Path(folder)) as room:
            views = graft_view.numbered(read, found)
            name = f"Faces of {Path(tank_file).name}"
            picture.write(views, name=name, svg=room / "faces.svg", png=room / "faces.png")
            (room / "faces.json").write_text(graft_data.faces_json(found), "utf-8")
    return found
