"""Whether all a STEP file declares came out of the kernel: counts held against each other.

The kernel leaves out what it cannot translate and says nothing; here every loss has a name.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from cadquery import Shape
from OCP.Interface import Interface_InterfaceModel
from OCP.ShapeAnalysis import ShapeAnalysis_ShapeTolerance
from OCP.StepData import StepData_UndefinedEntity

from bayonet.errors import TankError
from bayonet.part21 import Counted, Part21, named, parsed

LOOSEST_MM = 0.05
"""Greatest gap of an edge or corner the kernel may have bridged [mm]; common practice, no source:
exchanged models state 0.001 to 0.02 mm, and a broken number of a tenth must not pass."""


def text_of(path: Path) -> Part21:
    """The file taken apart.

    Raises
    ------
    TankError
        If it cannot be read, or is not STEP.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise TankError(f"{path}: cannot be read: {error.strerror or error}") from error
    if b"ISO-10303-21" not in data[:4096]:
        raise TankError(f"{path}: is not a STEP file (it does not start with ISO-10303-21)")
    return parsed(data.decode("latin-1"))


def refuse(path: Path, damage: Sequence[str]) -> None:
    """Raise `TankError` that names what is missing, if anything is."""
    if damage:
        raise TankError(
            f"{path}: is damaged, and parts of it would be lost: {named(damage)}; get the file anew"
        )


def untranslated(file: Part21, model: Interface_InterfaceModel) -> Iterator[str]:
    """Entities of shape or place the kernel could not take in, by number where it is certain."""
    reached = file.reached()
    numbers = list(file.entities)
    same = model.NbEntities() == len(numbers)
    for place in range(1, model.NbEntities() + 1):
        known = not isinstance(model.Value(place), StepData_UndefinedEntity)
        check = model.ReportEntity(place).Check() if model.IsReportEntity(place) else None
        failed = check is not None and check.NbFails() > 0
        if known and not failed:
            continue
        if same and numbers[place - 1] not in reached:
            continue
        entity = str(file.entities[numbers[place - 1]]) if same else _kind(model, place)
        why = str(check.CFail(1)) if check is not None and failed else "no kind the kernel knows"
        yield f"{entity}: {why.strip()}"


def _kind(model: Interface_InterfaceModel, place: int) -> str:
    return type(model.Value(place)).__name__.partition("_")[2] or "entity"


def lost(file: Part21, shapes: Sequence[Shape]) -> Iterator[str]:
    """What the file declares and the shapes lack, by count.

    A face that closes on itself may come out as several, so more faces are no loss.
    """
    declared = file.counted_once() if file.is_mapped else file.counted()
    found = Counted(
        solids=sum(len(one.Solids()) for one in shapes),
        shells=sum(len(solid.Shells()) for one in shapes for solid in one.Solids()),
        faces=sum(len(solid.Faces()) for one in shapes for solid in one.Solids()),
    )
    for what, wanted, got in (
        ("solids", declared.solids, found.solids),
        ("shells (skins and hollows)", declared.shells, found.shells),
        ("faces", declared.faces, found.faces),
    ):
        if got < wanted:
            yield f"the file declares {wanted} {what}, the kernel made {got}"


def gaps(shapes: Sequence[tuple[str, Shape]]) -> Iterator[str]:
    """Solids the kernel closed over gaps too wide to be rounding."""
    for name, shape in shapes:
        widest = ShapeAnalysis_ShapeTolerance().Tolerance(shape.wrapped, 1)
        if not widest <= LOOSEST_MM:
            yield f"solid {name!r}: its faces leave a gap of {widest:.3g} mm"


def surfaces(file: Part21) -> tuple[str, ...]:
    """Surface bodies beside the solids: shells that bound none."""
    bound = {shell for shells, _ in file.solids.values() for shell in shells}
    return tuple(
        str(one)
        for kind in ("OPEN_SHELL", "CLOSED_SHELL")
        for one in file.kinds.get(kind, ())
        if one.number not in bound
    )
