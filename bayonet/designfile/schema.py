"""JSON Schema of the design file, for editors; repeated field types are named once."""

from __future__ import annotations

import json
from typing import Any

from bayonet.designfile.document import DesignFile

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def design_schema() -> dict[str, Any]:
    """Schema of a design file (JSON Schema 2020-12).

    Examples
    --------
    >>> design_schema()["title"]
    'bayonet design file'
    """
    schema = DesignFile.model_json_schema()
    named: dict[str, dict[str, Any]] = {}
    body = _shared(schema, named)
    body.pop("title")
    definitions = {**body.pop("$defs"), **named}
    return {"$schema": _DIALECT, "title": "bayonet design file", **body, "$defs": definitions}


def _shared(node: Any, named: dict[str, dict[str, Any]]) -> Any:
    """Replace every measured-value type by a reference to one definition."""
    if isinstance(node, list):
        return [_shared(item, named) for item in node]
    if not isinstance(node, dict):
        return node
    if _is_measured(node):
        key = _name_of(node["anyOf"], named)
        rest = {name: _shared(value, named) for name, value in node.items() if name != "anyOf"}
        return {**rest, "$ref": f"#/$defs/{key}"}
    return {name: _shared(value, named) for name, value in node.items() if name != "default"}


def _is_measured(node: dict[str, Any]) -> bool:
    options = node.get("anyOf")
    return isinstance(options, list) and len(options) == 3 and "oneOf" in options[2]


def _name_of(options: list[Any], named: dict[str, dict[str, Any]]) -> str:
    text = json.dumps(options, sort_keys=True)
    for key, known in named.items():
        if json.dumps(known["anyOf"], sort_keys=True) == text:
            return key
    key = f"measured_{len(named) + 1}"
    named[key] = {"anyOf": options}
    return key
