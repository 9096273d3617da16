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
from OCP.Quantity import Quantity_ColorRGBA
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.STEPControl import STEPControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool
from OCP.XCAFPrs import XCAFPrs_DocumentExplorer

from bayonet.errors import TankError
from bayonet.part21 import decoded, printable
from bayonet.solids.graft import whole
from bayonet.solids.kernel import Colour, guarded, switches, unswept

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
    """All solids of a tank file, in the file's order.

    Parameters
    ----------
    file : str
    solids : tuple of TankSolid
    damage : tuple of str
        What the file declares and is not there, named; empty but where that was accepted.
    surfaces : tuple of str
        Surface bodies of the file, which are left out.
    """

    file: str
    solids: tuple[TankSolid, ...]
    damage: tuple[str, ...] = ()
    surfaces: tuple[str, ...] = ()


@guarded("reading the tank")
def read(path: Path, *, accept_damaged: bool = False) -> Tank:
    """Read a whole tank; whatever length unit the file declares becomes mm.

    Parameters
    ----------
    path : Path
        STEP, any schema the kernel knows; assemblies are laid out as they stand.
    accept_damaged : bool
        Take a file of which something is missing, and say so in ``damage``.

    Returns
    -------
    Tank

    Raises
    ------
    TankError
        If the file cannot be read, is not STEP, or holds no solid, or a solid is not valid; if
        anything the file declares is missing, unless that is accepted.
    """
    file = whole.text_of(path)
    damage = [*file.damage, *file.loose_ends()]
    if not accept_damaged:
        whole.refuse(path, damage)
    document, reader = _document(path)
    damage += whole.untranslated(file, reader.Reader().StepModel())
    solids = tuple(_solids(document))
    damage += whole.lost(file, [one.solid for one in solids])
    damage += whole.gaps([(one.name, one.solid) for one in solids])
    if not accept_damaged:
        whole.refuse(path, damage)
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
    return Tank(file=str(path), solids=solids, damage=tuple(damage),
                surfaces=whole.surfaces(file))  # fmt: skip


@guarded("reading STEP")
def shape_of(path: Path) -> Shape:
    """All shapes of a STEP file as one, in mm; they need not be closed or valid.

    Raises
    ------
    TankError
        If the file cannot be read, is not STEP, holds no shape, or not all it declares.
    """
    file = whole.text_of(path)
    whole.refuse(path, [*file.damage, *file.loose_ends()])
    with switches():
        reader = STEPControl_Reader()
        if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise TankError(f"{path}: starts like a STEP file, but the kernel cannot read it")
        reader.TransferRoots()
    found = reader.OneShape()
    if found is None or found.IsNull() or not Shape.cast(found).Faces():
        raise TankError(f"{path}: is STEP, but holds no surface")
    shape = Shape.cast(found)
    whole.refuse(path, [*whole.untranslated(file, reader.StepModel()), *whole.lost(file, [shape])])
    return shape


def volume_of(shape: Shape) -> float:
    """Volume by the kernel's adaptive integration, relative error about 1e-9 [mm3].

    Its usual integration has fixed points and is off by up to a percent on trimmed free-form
    faces; and it does not see the spans of swept splines, so those become surfaces first.
    """
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(unswept(shape).wrapped, properties, 1e-9, False, False)
    return float(properties.Mass())


def _document(path: Path) -> tuple[TDocStd_Document, STEPCAFControl_Reader]:
    with switches():
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        XCAFDoc_DocumentTool.SetLengthUnit_s(document, 0.001)
        reader = STEPCAFControl_Reader()
        reader.SetColorMode(True)
        reader.SetNameMode(True)
        if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise TankError(f"{path}: starts like a STEP file, but the kernel cannot read it")
        if not reader.Transfer(document):
            raise TankError(f"{path}: is STEP, but holds no shape the kernel can translate")
    return document, reader


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
    return printable(decoded(str(attribute.Get().ToExtString())))


def _colour_of(tool: object, shape: Shape) -> Colour | None:
    found = Quantity_ColorRGBA()
    for kind in _COLOURS:
        if tool.GetColor(shape.wrapped, kind, found):  # type: ignore[attr-defined]
            return _rgba(found)
    return None


def _rgba(colour: Quantity_ColorRGBA) -> Colour:
    rgb = colour.GetRGB()
    return (rgb.Red(), rgb.Green(), rgb.Blue(), float(colour.Alpha()))
