"""A tank as STEP AP242 with names and colours; the same bytes for the same tank."""

from __future__ import annotations

from pathlib import Path

from cadquery import Location, Shape, Solid
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Quantity import Quantity_Color, Quantity_ColorRGBA, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

from bayonet.errors import BuildError, ExportError
from bayonet.solids.graft.tank import Colour, Tank, TankSolid
from bayonet.solids.kernel import StepHead, guarded, set_header, switches

_SURFACE = XCAFDoc_ColorType.XCAFDoc_ColorSurf


@guarded("writing the tank")
def write(tank: Tank, path: Path, *, head: StepHead) -> None:
    """Write all solids of a tank, each as a part of its own in the tank's coordinates.

    Parameters
    ----------
    tank : Tank
    path : Path
    head : StepHead

    Raises
    ------
    BuildError, ExportError
        If the kernel refuses a shape, or the file.
    """
    with switches():
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        XCAFDoc_DocumentTool.SetLengthUnit_s(document, 0.001)
        for one in tank.solids:
            _add(document, one)
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(True)
        writer.SetNameMode(True)
        if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
            raise BuildError(f"STEP: the kernel could not translate {head.product}")
        set_header(writer.ChangeWriter(), head)
        if writer.Write(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise ExportError(f"{path}: could not be written")


def baked(solid: Solid) -> Solid:
    """A solid whose placement has gone into its numbers: a part stands where it says."""
    placement = solid.wrapped.Location()
    if placement.IsIdentity():
        return solid
    bare = solid.wrapped.Located(Location().wrapped)
    return Solid(BRepBuilderAPI_Transform(bare, placement.Transformation(), True).Shape())


def _add(document: TDocStd_Document, one: TankSolid) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    solid = baked(one.solid)
    label = shapes.AddShape(solid.wrapped, False)
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(one.name, True))
    if one.colour is not None:
        colours.SetColor(label, _colour(one.colour), _SURFACE)
    own = dict(one.face_colours)
    for before, face in zip(one.solid.Faces(), solid.Faces(), strict=True):
        if before in own:
            part = shapes.AddSubShape(label, Shape.cast(face.wrapped).wrapped)
            colours.SetColor(part, _colour(own[before]), _SURFACE)


def _colour(colour: Colour) -> Quantity_ColorRGBA:
    red, green, blue, opacity = colour
    rgb = Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_RGB)
    return Quantity_ColorRGBA(rgb, opacity)
