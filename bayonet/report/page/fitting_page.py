"""`fitting.html`: one file with everything inside, for a colleague who has nothing installed."""

from __future__ import annotations

import json
from functools import cache
from html import escape
from importlib.resources import files
from typing import Any

from bayonet.checks import Result
from bayonet.report.page.shown import mesh_data, shown
from bayonet.shapes import TriangleMesh

_POLICY = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:"
SCRIPTS = ("three.bundle.js", "poses.js", "plane.js", "scene.js", "fitting.js")
"""In the order they need each other."""


@cache
def assets(name: str) -> str:
    """Text of a file of the page: a script, the style sheet."""
    return (files("bayonet.report.page") / "data" / name).read_text("utf-8")


def page(result: Result, *, socket: TriangleMesh, plug: TriangleMesh, note: str = "") -> str:
    """The whole file.

    Parameters
    ----------
    result : Result
    socket, plug : TriangleMesh
        In the fitting's frame, the plug as inserted with its shoulder on the mouth face [mm].
    note : str
        What the solids are, where they are not the design's own.

    Returns
    -------
    str
        HTML that asks for nothing outside itself; the same result gives the same bytes.
    """
    content = {**shown(result), "solids": {"socket": mesh_data(socket), "plug": mesh_data(plug)}}
    title = f"{result.design.name}, revision {result.design.revision}"
    scripts = "\n".join(f"<script>{assets(name)}</script>" for name in (*SCRIPTS, "one_file.js"))
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{assets('style.css')}</style>\n</head>\n<body>\n"
        f'<header class="top"><h1>{escape(title)}</h1><span id="verdict"></span>'
        '<span class="grow"></span><button type="button" id="theme">Dark page</button></header>\n'
        f"{_headline(result)}"
        f'<main class="one">\n<div id="view"></div>\n{_note(note)}'
        '<div class="columns"><section><h2>What to read first</h2>'
        '<ul class="findings" id="urgent"></ul><p id="passed"></p></section>'
        '<section><h2>Sizes and margins</h2><div id="sizes"></div><div id="margins"></div>'
        f"</section></div>\n{_cautions(result)}</main>\n"
        "<footer>Motion within the free region of the developed plane; findings as in"
        " findings.json. Nothing leaves this page.</footer>\n"
        f'<script type="application/json" id="data">{json_inside(content)}</script>\n{scripts}\n'
        "</body>\n</html>\n"
    )


def json_inside(content: dict[str, Any]) -> str:
    """JSON that may stand inside HTML: no tag can begin in it."""
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c")


def _headline(result: Result) -> str:
    lines = dict.fromkeys((*result.marks, *result.headline))
    return "".join(f'<p class="headline">{escape(line)}</p>\n' for line in lines)


def _note(note: str) -> str:
    return f'<p class="note">{escape(note)}</p>\n' if note else ""


def _cautions(result: Result) -> str:
    items = "".join(f"<p>{escape(line)}</p>" for line in result.cautions)
    return f'<section class="cautions" aria-label="Cautions">{items}</section>\n'
