"""Several solids in one STEP AP242 file, each a part with its own name and colour."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from cadquery import Solid
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Quantity import Quantity_Color, Quantity_ColorRGBA, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

from bayonet.errors import BuildError, ExportError
from bayonet.solids.kernel.guard import guarded
from bayonet.solids.kernel.step import StepHead, set_header, switches

Colour = tuple[float, float, float, float]
"""Red, green, blue, opacity, each from 0 to 1."""

SURFACE = XCAFDoc_ColorType.XCAFDoc_ColorSurf


@dataclass(frozen=True, kw_only=True)
class NamedSolid:
    """A part as it stands, its name and its colour."""

    name: str
    solid: Solid
    colour: Colour


@guarded("writing the assembly")
def write(parts: Iterable[NamedSolid], path: Path, *, head: StepHead) -> None:
    """Write parts as they stand to each other.

    Parameters
    ----------
    parts : iterable of NamedSolid
    path : Path
    head : StepHead

    Raises
    ------
    BuildError, ExportError
        If the kernel refuses a shape, or the file.
    """

    def filled(document: TDocStd_Document) -> None:
        for one in parts:
            label = add(document, one.solid, one.name)
            tool = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
            tool.SetColor(label, colour_of(one.colour), SURFACE)

    write_document(filled, path, head=head)


def write_document(fill: Callable[[TDocStd_Document], None], path: Path, *, head: StepHead) -> None:
    """Write a document with names and colours; ``fill`` puts the parts into it."""
    with switches():
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        XCAFDoc_DocumentTool.SetLengthUnit_s(document, 0.001)
        fill(document)
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(True)
        writer.SetNameMode(True)
        if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
            raise BuildError(f"STEP: the kernel could not translate {head.product}")
        set_header(writer.ChangeWriter(), head)
        if writer.Write(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise ExportError(f"{path}: could not be written")


def add(document: TDocStd_Document, solid: Solid, name: str) -> TDF_Label:
    """Put a named part into a document."""
    label = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).AddShape(solid.wrapped, False)
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, True))
    return label


def colour_of(colour: Colour) -> Quantity_ColorRGBA:
    """A colour as the kernel takes it."""
    red, green, blue, opacity = colour
    rgb = Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_RGB)
    return Quantity_ColorRGBA(rgb, opacity)
