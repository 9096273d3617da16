"""3MF (3MF Consortium, Core Specification 1.3): vertices merged, unit stated, no time stamp."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from bayonet.shapes import TriangleMesh

_EPOCH = (1980, 1, 1, 0, 0, 0)
_DECIMALS = 6

_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
 <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
 <Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"""
_RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
 <Relationship Target="/3D/3dmodel.model" Id="rel0" \
Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"""


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A named mesh and where it stands on the plate [mm]."""

    name: str
    mesh: TriangleMesh
    at_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)


def write(mesh: TriangleMesh, path: Path, *, title: str, description: str = "") -> None:
    """Write a mesh as one named object in mm.

    Parameters
    ----------
    mesh : TriangleMesh
    path : Path
    title : str
        Name of the object and title of the file.
    description : str
        For the file's head; left out where empty.
    """
    write_plate([Placed(name=title, mesh=mesh)], path, title=title, description=description)


def write_plate(pieces: Sequence[Placed], path: Path, *, title: str, description: str = "") -> None:
    """Write several named objects, each where it stands, in mm.

    Parameters
    ----------
    pieces : sequence of Placed
    path : Path
    title, description : str
        For the file's head; the description is left out where empty.
    """
    parts = {
        "[Content_Types].xml": _TYPES,
        "_rels/.rels": _RELATIONS,
        "3D/3dmodel.model": _model(pieces, title, description),
    }
    import zipfile

    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, text in parts.items():
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            package.writestr(entry, text)


def _model(pieces: Sequence[Placed], title: str, description: str) -> str:
    from xml.sax.saxutils import escape  # brings in the web's libraries: only to write

    objects = "".join(_object(piece, number) for number, piece in enumerate(pieces, start=1))
    items = "".join(_item(piece, number) for number, piece in enumerate(pieces, start=1))
    said = f'<metadata name="Description">{escape(description)}</metadata>\n' if description else ""
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xml:lang="en-US" \
xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
<metadata name="Title">{escape(title)}</metadata>
{said}<resources>{objects}</resources>
<build>{items}</build>
</model>
"""


def _object(piece: Placed, number: int) -> str:
    from xml.sax.saxutils import quoteattr

    vertices = "\n".join(
        f'<vertex x="{_number(x)}" y="{_number(y)}" z="{_number(z)}"/>'
        for x, y, z in piece.mesh.vertices.tolist()
    )
    triangles = "\n".join(
        f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in piece.mesh.triangles.tolist()
    )
    return f"""<object id="{number}" type="model" name={quoteattr(piece.name)}><mesh>
<vertices>
{vertices}
</vertices>
<triangles>
{triangles}
</triangles>
</mesh></object>"""


def _item(piece: Placed, number: int) -> str:
    if not any(piece.at_mm):
        return f'<item objectid="{number}"/>'
    moved = " ".join(_number(value) for value in piece.at_mm)
    return f'<item objectid="{number}" transform="1 0 0 0 1 0 0 0 1 {moved}"/>'


def _number(value: float) -> str:
    text = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
