"""Draws the rooms of the package, lowest at the bottom: exports/rooms.svg, shown in DEVELOPERS.md.

Run it after a room was added, moved or described anew:

    python tests/house/make_rooms.py
"""

from __future__ import annotations

import ast
import textwrap
from html import escape

from test_layers import NAMES, PACKAGE, ROOMS

TARGET = PACKAGE.parent / "exports" / "rooms.svg"
WIDTH, LEFT, TEXT, LINE, PAD, GAP = 1000, 150, 13, 18, 10, 6  # [px]
INNER = 170  # [px], name column of a room within a room
CHARACTERS = {True: 88, False: 112}  # a line holds, within a room and of a whole one


def about(room: str) -> str:
    """The first sentence of a room's docstring."""
    doc = ast.get_docstring(ast.parse(NAMES[room].read_text("utf-8"))) or ""
    return " ".join(doc.split("\n\n")[0].split()).replace("`", "")


def houses() -> list[tuple[str, list[tuple[str, str]]]]:
    """Each top-level room, highest first, with the rooms in it: name and what it is for."""
    tops = list(dict.fromkeys(room.partition(".")[0] for room in reversed(ROOMS)))
    found = []
    for top in tops:
        inner = [room for room in reversed(ROOMS) if room.startswith(f"{top}.")]
        found.append((top, [(room.partition(".")[2], about(room)) for room in inner]))
    return found


def picture() -> str:
    """The whole sheet as SVG text; fonts are the viewer's own."""
    y, parts = PAD, []
    for top, inner in houses():
        rows = [(name, textwrap.wrap(text, CHARACTERS[True])) for name, text in inner]
        own = textwrap.wrap(about(top), CHARACTERS[False])
        lines = len(own) + sum(len(text) for _, text in rows)
        height = lines * LINE + 2 * PAD + GAP * len(rows)
        parts.append(
            f'<rect x="{PAD}" y="{y}" width="{WIDTH - 2 * PAD}" height="{height}" rx="4"'
            ' fill="#f6f4ee" stroke="#8a8578"/>'
        )
        at = y + PAD + TEXT
        parts.append(_text(PAD + 12, at, top, "font-weight='bold'"))
        for line in own:
            parts.append(_text(LEFT, at, line))
            at += LINE
        for name, text in rows:
            parts.append(
                f'<line x1="{LEFT}" y1="{at - TEXT}" x2="{WIDTH - 2 * PAD}" y2="{at - TEXT}"'
                ' stroke="#d8d3c6"/>'
            )
            at += GAP
            parts.append(_text(LEFT, at, name, "font-weight='bold' fill='#5b5546'"))
            for line in text:
                parts.append(_text(LEFT + INNER, at, line))
                at += LINE
        y += height + GAP
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {y + PAD}"'
        f' width="{WIDTH}" font-family="sans-serif" font-size="{TEXT}">'
        f'<rect width="{WIDTH}" height="{y + PAD}" fill="white"/>'
    )
    return "\n".join([head, *parts, "</svg>", ""])


def _text(x: int, y: int, text: str, style: str = "") -> str:
    return f'<text x="{x}" y="{y}" {style}>{escape(text)}</text>'


if __name__ == "__main__":
    TARGET.write_text(picture(), "utf-8")
