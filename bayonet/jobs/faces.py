"""List and picture the faces of a tank."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bayonet.exchange import appearing_in
from bayonet.tank import TankFace

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
    from bayonet.solids.graft import spot, tank

    read = tank.read(Path(tank_file))
    progress("looking at its faces")
    found = spot.listed(read)
    if folder is not None:
        progress("drawing")
        from bayonet.report.data import graft
        from bayonet.report.sheets import faces as picture
        from bayonet.solids.graft import view

        with appearing_in(Path(folder)) as room:
            views = view.numbered(read, found)
            name = f"Faces of {Path(tank_file).name}"
            picture.write(views, name=name, svg=room / "faces.svg", png=room / "faces.png")
            (room / "faces.json").write_text(graft.faces_json(found), "utf-8")
    return found
