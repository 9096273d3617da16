"""3MF (3MF Consortium, Core Specification 1.3): vertices merged, unit stated, no time stamp."""

from __future__ import annotations

import zipfile
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from bayonet.model.mesh import TriangleMesh

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


def write(mesh: TriangleMesh, path: Path, *, title: str) -> None:
    """Write a mesh as one named object in mm.

    Parameters
    ----------
    mesh : TriangleMesh
    path : Path
    title : str
        Name of the object and title of the file.
    """
    parts = {
        "[Content_Types].xml": _TYPES,
        "_rels/.rels": _RELATIONS,
        "3D/3dmodel.model": _model(mesh, title),
    }
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, text in parts.items():
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            package.writestr(entry, text)


def _model(mesh: TriangleMesh, title: str) -> str:
    vertices = "\n".join(
        f'<vertex x="{_number(x)}" y="{_number(y)}" z="{_number(z)}"/>'
        for x, y, z in mesh.vertices.tolist()
    )
    triangles = "\n".join(
        f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.triangles.tolist()
    )
    name = quoteattr(title)
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xml:lang="en-US" \
xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
<metadata name="Title">{escape(title)}</metadata>
<resources><object id="1" type="model" name={name}><mesh>
<vertices>
{vertices}
</vertices>
<triangles>
{triangles}
</triangles>
</mesh></object></resources>
<build><item objectid="1"/></build>
</model>
"""


def _number(value: float) -> str:
    text = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
