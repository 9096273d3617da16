"""List and picture the faces of a tank."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

from bayonet.cell import Limits, call
from bayonet.exchange import Run, appearing_in
from bayonet.tank import TankFace

FILES = ("faces.json", "faces.png", "faces.svg")

Progress = Callable[[str], None]


def faces(
    tank_file: str | Path,
    folder: str | Path | None,
    *,
    patience: float = 1.0,
    run: Run | None = None,
    progress: Progress = lambda _: None,
) -> tuple[TankFace, ...]:
    """Every face of a tank; with a folder, faces.svg, faces.png and faces.json in it.

    Parameters
    ----------
    tank_file : str or Path
        STEP; read in a cell.
    folder : str or Path or None
    patience : float
        Times the usual limits of time and memory.
    run : Run or None
    progress : callable

    Returns
    -------
    tuple of TankFace

    Raises
    ------
    TankError
        If the tank cannot be read.
    KernelError
        If the CAD kernel dies or hangs over it.
    ExportError
        If the folder cannot be written.
    """
    file = Path(tank_file)
    out = nullcontext() if folder is None else appearing_in(Path(folder), run=run, expected=FILES)
    with out as room:
        return call(in_room, file, room, limits=Limits.for_files(file, patience=patience),
                    doing=f"reading {file}", progress=progress)  # fmt: skip


def in_room(file: Path, room: Path | None, *, progress: Progress) -> tuple[TankFace, ...]:
    """List, and draw into a folder that is there: what the cell does of `faces`."""
    from bayonet.solids.graft import spot, tank

    progress(f"reading {file}")
    read = tank.read(file)
    progress(f"looking at the faces of {file}")
    found = spot.listed(read)
    if room is not None:
        progress(f"drawing {file}")
        from bayonet.report.data import graft
        from bayonet.report.sheets import faces as picture
        from bayonet.solids.graft import view

        views = view.numbered(read, found)
        picture.write(views, name=f"Faces of {file.name}", svg=room / "faces.svg",
                      png=room / "faces.png")  # fmt: skip
        (room / "faces.json").write_text(graft.faces_json(found), "utf-8")
    return found
