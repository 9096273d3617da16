"""A tank from a STEP file: its solids with names and colours, in millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from cadquery import Face, Shape, Solid
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_ColorRGBA
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Reader
from OCP.STEPControl import STEPControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool
from OCP.XCAFPrs import XCAFPrs_DocumentExplorer

from bayonet.errors import TankError
from bayonet.solids.kernel import unswept

Colour = tuple[float, float, float, float]
"""Red, green, blue and opacity, linear, 0 to 1."""

_ONLY_LEAVES = 1  # XCAFPrs_DocumentExplorerFlags_OnlyLeafNodes
_COLOURS = (XCAFDoc_ColorType.XCAFDoc_ColorSurf, XCAFDoc_ColorType.XCAFDoc_ColorGen)


@dataclass(frozen=True, kw_only=True)
class TankSolid:
    """One solid of a tank file.

    Parameters
    ----------
    name : str
        As the file names it; never empty.
    solid : cadquery.Solid
        In the tank's coordinates [mm].
    colour : Colour or None
    face_colours : tuple of (Face, Colour)
        Faces that have a colour of their own.
    """

    name: str
    solid: Solid
    colour: Colour | None = None
    face_colours: tuple[tuple[Face, Colour], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Tank:
    """All solids of a tank file, in the file's order."""

    file: str
    solids: tuple[TankSolid, ...]


def read(path: Path) -> Tank:
    """Read a tank; whatever length unit the file declares becomes mm.

    Parameters
    ----------
    path : Path
        STEP, any schema the kernel knows; assemblies are laid out as they stand.

    Returns
    -------
    Tank

    Raises
    ------
    TankError
        If the file cannot be read, is not STEP, or holds no solid, or a solid is not valid.
    """
    _refuse_what_is_not_step(path)
    document = _document(path)
    solids = tuple(_solids(document))
    if not solids:
        raise TankError(
            f"{path}: holds no solid: surfaces and wires have no wall to build on; export the"
            " tank as a solid body"
        )
    for one in solids:
        if not BRepCheck_Analyzer(one.solid.wrapped, True).IsValid():
            raise TankError(
                f"{path}: solid {one.name!r} is not valid (gaps, or faces that cross); mend it in"
                " the program it came from"
            )
        if not volume_of(one.solid) > 0.0:
            raise TankError(f"{path}: solid {one.name!r} encloses nothing, or is inside out")
    return Tank(file=str(path), solids=solids)


def shape_of(path: Path) -> Shape:
    """All shapes of a STEP file as one, in mm; nothing is asked of them.

    Raises
    ------
    TankError
        If the file cannot be read, is not STEP, or holds no shape.
    """
    _refuse_what_is_not_step(path)
    reader = STEPControl_Reader()
    Interface_Static.SetCVal_s("xstep.cascade.unit", "MM")
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise TankError(f"{path}: starts like a STEP file, but the kernel cannot read it")
    reader.TransferRoots()
    found = reader.OneShape()
    if found is None or found.IsNull() or not Shape.cast(found).Faces():
        raise TankError(f"{path}: is STEP, but holds no surface")
    return Shape.cast(found)


def volume_of(shape: Shape) -> float:
    """Volume by the kernel's adaptive integration, relative error about 1e-9 [mm3].

    Its usual integration has fixed points and is off by up to a percent on trimmed free-form
    faces; and it does not see the spans of swept splines, so those become surfaces first.
    """
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(unswept(shape).wrapped, properties, 1e-9, False, False)
    return float(properties.Mass())


def _refuse_what_is_not_step(path: Path) -> None:
    try:
        with path.open("rb") as stream:
            head = stream.read(4096)
    except OSError as error:
        raise TankError(f"{path}: cannot be read: {error.strerror or error}") from error
    if b"ISO-10303-21" not in head:
        raise TankError(f"{path}: is not a STEP file (it does not start with ISO-10303-21)")


def _document(path: Path) -> TDocStd_Document:
    STEPCAFControl_Controller.Init_s()
    Interface_Static.SetCVal_s("xstep.cascade.unit", "MM")
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFDoc_DocumentTool.SetLengthUnit_s(document, 0.001)
    reader = STEPCAFControl_Reader()
    reader.SetColorMode(True)
    reader.SetNameMode(True)
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise TankError(f"{path}: starts like a STEP file, but the kernel cannot read it")
    if not reader.Transfer(document):
        raise TankError(f"{path}: is STEP, but holds no shape the kernel can translate")
    return document


def _solids(document: TDocStd_Document) -> Iterator[TankSolid]:
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())

    explorer = XCAFPrs_DocumentExplorer(document, _ONLY_LEAVES)
    taken: dict[str, int] = {}
    while explorer.More():
        node = explorer.Current()
        style = node.Style
        colour = _rgba(style.GetColorSurfRGBA()) if style.IsSetColorSurf() else None
        name = _name(node.RefLabel) or _name(node.Label) or "solid"
        whole = Shape.cast(shapes.GetShape_s(node.RefLabel))
        for solid in whole.Solids():
            taken[name] = taken.get(name, 0) + 1
            number = taken[name]
            own = _colour_of(colours, solid) or colour
            placed = Solid(solid.wrapped.Moved(node.Location))
            faces = tuple(
                (there, found)
                for here, there in zip(solid.Faces(), placed.Faces(), strict=True)
                if (found := _colour_of(colours, here)) is not None and found != own
            )
            yield TankSolid(
                name=name if number == 1 else f"{name} ({number})",
                solid=placed,
                colour=own,
                face_colours=faces,
            )
        explorer.Next()


def _name(label: TDF_Label) -> str:
    attribute = TDataStd_Name()
    if label.IsNull() or not label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return ""
    return str(attribute.Get().ToExtString()).strip()


def _colour_of(tool: object, shape: Shape) -> Colour | None:
    found = Quantity_ColorRGBA()
    for kind in _COLOURS:
        if tool.GetColor(shape.wrapped, kind, found):  # type: ignore[attr-defined]
            return _rgba(found)
    return None


def _rgba(colour: Quantity_ColorRGBA) -> Colour:
    rgb = colour.GetRGB()
    return (rgb.Red(), rgb.Green(), rgb.Blue(), float(colour.Alpha()))
