"""STEP AP242 with the same bytes for the same shape: fixed header, every switch set each time.

Parts carry names and colours. Who reads a foreign file is not here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from cadquery import Face, Location, Solid
from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_ColorRGBA, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_Reader, STEPControl_StepModelType, STEPControl_Writer
from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

from bayonet.errors import BuildError, ExportError
from bayonet.part21 import encoded
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


Colour = tuple[float, float, float, float]
"""Red, green, blue, opacity, 0 to 1 in linear light, as the kernel has them."""

_SURFACE = XCAFDoc_ColorType.XCAFDoc_ColorSurf


@dataclass(frozen=True, kw_only=True)
class StepHead:
    """What the file says of itself, in any script.

    Parameters
    ----------
    product : str
        Name of the product, and of the file in its header.
    description : str
    """

    product: str
    description: str


@dataclass(frozen=True, kw_only=True)
class StepPart:
    """One part of a file.

    Parameters
    ----------
    name : str
    solid : cadquery.Solid
        Without a placement of its own.
    colour : Colour or None
    face_colours : tuple of (Face, Colour)
        Faces of the solid whose colour is another.
    """

    name: str
    solid: Solid
    colour: Colour | None = None
    face_colours: tuple[tuple[Face, Colour], ...] = ()


@guarded("writing STEP")
def write(solid: Solid, path: Path, *, head: StepHead, colour: Colour | None = None) -> None:
    """Write one solid, named as its product.

    Parameters
    ----------
    solid : cadquery.Solid
    path : Path
        Written as it is; the caller renames.
    head : StepHead
    colour : Colour or None

    Raises
    ------
    BuildError, ExportError
        If the kernel refuses the shape, or the file.
    """
    part = StepPart(name=head.product, solid=baked(solid), colour=colour)
    write_parts([part], path, head=head)


@guarded("writing STEP")
def write_parts(parts: Sequence[StepPart], path: Path, *, head: StepHead) -> None:
    """Write solids, each a part of its own; raises as `write`."""
    with switches():
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        XCAFDoc_DocumentTool.SetLengthUnit_s(document, 0.001)
        for part in parts:
            _add(document, part)
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(True)
        writer.SetNameMode(True)
        if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
            raise BuildError(f"STEP: the kernel could not translate {head.product}")
        _set_header(writer.ChangeWriter(), head)
        if writer.Write(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise ExportError(f"{path}: could not be written")


def baked(solid: Solid) -> Solid:
    """A solid whose placement has gone into its numbers: a part stands where it says."""
    placement = solid.wrapped.Location()
    if placement.IsIdentity():
        return solid
    bare = solid.wrapped.Located(Location().wrapped)
    return Solid(BRepBuilderAPI_Transform(bare, placement.Transformation(), True).Shape())


def _add(document: TDocStd_Document, part: StepPart) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    label = shapes.AddShape(part.solid.wrapped, False)
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(encoded(part.name), True))
    if part.colour is not None:
        colours.SetColor(label, _colour(part.colour), _SURFACE)
    for face, colour in part.face_colours:
        colours.SetColor(shapes.AddSubShape(label, face.wrapped), _colour(colour), _SURFACE)


def _colour(colour: Colour) -> Quantity_ColorRGBA:
    red, green, blue, opacity = colour
    rgb = Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_RGB)
    return Quantity_ColorRGBA(rgb, opacity)


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


def _set_header(writer: STEPControl_Writer, head: StepHead) -> None:
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


def _text(text: str) -> TCollection_HAsciiString:
    return TCollection_HAsciiString(encoded(text))
