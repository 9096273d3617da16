"""List and picture the faces of a tank."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bayonet.exchange import Run, appearing_in
from bayonet.tank import TankFace

FILES = ("faces.json", "faces.png", "faces.svg")

Progress = Callable[[str], None]


def faces(
    tank_file: str | Path,
    folder: str | Path | None,
    *,
    run: Run | None = None,
    progress: Progress = lambda _: None,
) -> tuple[TankFace, ...]:
    """Every face of a tank; with a folder, faces.svg, faces.png and faces.json in it.

    Parameters
    ----------
    tank_file : str or Path
        STEP.
    folder : str or Path or None
    run : Run or None
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
    if folder is None:
        return _listed(Path(tank_file), None, progress)
    with appearing_in(Path(folder), run=run, expected=FILES) as room:
        return _listed(Path(tank_file), room, progress)


def _listed(tank_file: Path, room: Path | None, progress: Progress) -> tuple[TankFace, ...]:
    progress("reading the tank")
    from bayonet.solids.graft import spot, tank

    read = tank.read(tank_file)
    progress("looking at its faces")
    found = spot.listed(read)
    if room is not None:
        progress("drawing")
        from bayonet.report.data import graft
        from bayonet.report.sheets import faces as picture
        from bayonet.solids.graft import view

        views = view.numbered(read, found)
        name = f"Faces of {tank_file.name}"
        picture.write(views, name=name, svg=room / "faces.svg", png=room / "faces.png")
        (room / "faces.json").write_text(graft.faces_json(found), "utf-8")
    return found
