"""STEP AP242 with the same bytes for the same shape: fixed header, every switch set each time."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from cadquery import Solid
from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.StepBasic import StepBasic_Product
from OCP.STEPCAFControl import STEPCAFControl_Controller
from OCP.STEPControl import STEPControl_Reader, STEPControl_StepModelType, STEPControl_Writer
from OCP.TCollection import TCollection_HAsciiString

from bayonet.errors import BuildError, ExportError
from bayonet.solids.kernel.guard import guarded

STAMP = "2000-01-01T00:00:00"
"""Time stamp of every file, so that the same design gives the same bytes."""

_SYSTEM = "bayonet"
_SWITCHES = (
    ("write.step.schema", "AP242DIS"),
    ("write.step.unit", "MM"),
    ("write.surfacecurve.mode", "0"),  # without parameter curves the file is half as long
    ("xstep.cascade.unit", "MM"),
)


@dataclass(frozen=True, kw_only=True)
class StepHead:
    """What the file says of itself; plain ASCII."""

    product: str
    description: str


@guarded("writing STEP")
def write(solid: Solid, path: Path, *, head: StepHead) -> None:
    """Write one solid.

    Parameters
    ----------
    solid : cadquery.Solid
    path : Path
        Written as it is; the caller renames.
    head : StepHead

    Raises
    ------
    BuildError, ExportError
        If the kernel refuses the shape, or the file.
    """
    with switches():
        writer = STEPControl_Writer()
        status = writer.Transfer(solid.wrapped, STEPControl_StepModelType.STEPControl_AsIs)
        if status != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise BuildError(f"STEP: the kernel could not translate {head.product}")
        set_header(writer, head)
        _set_product(writer, head.product)
        if writer.Write(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise ExportError(f"{path}: could not be written")


def read(path: Path) -> Solid:
    """Read the one solid of a STEP file written here.

    Raises
    ------
    BuildError
        If the file cannot be read or does not hold one solid.
    """
    with switches():
        reader = STEPControl_Reader()
        if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise BuildError(f"{path}: not a STEP file the kernel can read")
        reader.TransferRoots()
        solids = Solid.cast(reader.OneShape()).Solids()
    if len(solids) != 1:
        raise BuildError(f"{path}: holds {len(solids)} solids, not one")
    return solids[0]


@contextmanager
def switches() -> Iterator[None]:
    """Every switch of the kernel's STEP reader and writer as this package needs it.

    They are one for the whole process, so whoever else uses the kernel in it finds their own again.
    """
    STEPCAFControl_Controller.Init_s()
    before = [(key, Interface_Static.CVal_s(key)) for key, _ in _SWITCHES]
    try:
        for key, value in _SWITCHES:
            if not Interface_Static.SetCVal_s(key, value):
                raise BuildError(f"STEP: the kernel does not take {key} = {value}")
        yield
    finally:
        for key, value in before:
            Interface_Static.SetCVal_s(key, value)


def set_header(writer: STEPControl_Writer, head: StepHead) -> None:
    """Fill the file's header; nothing in it comes from the clock or the machine."""
    header = APIHeaderSection_MakeHeader(writer.Model())
    header.SetName(_text(head.product))
    header.SetTimeStamp(_text(STAMP))
    header.SetAuthorValue(1, _text(""))
    header.SetOrganizationValue(1, _text(""))
    header.SetOriginatingSystem(_text(_SYSTEM))
    header.SetPreprocessorVersion(_text(_SYSTEM))
    header.SetAuthorisation(_text(""))
    header.SetDescriptionValue(1, _text(head.description))


def _set_product(writer: STEPControl_Writer, name: str) -> None:
    """Name the product; the kernel would append a count of all it ever wrote."""
    model = writer.Model()
    for number in range(1, model.NbEntities() + 1):
        entity = model.Value(number)
        if isinstance(entity, StepBasic_Product):
            entity.SetId(_text(name))
            entity.SetName(_text(name))


def _text(text: str) -> TCollection_HAsciiString:
    return TCollection_HAsciiString(text.encode("ascii", "replace").decode("ascii"))
