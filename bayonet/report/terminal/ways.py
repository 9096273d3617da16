"""Ways to make a socket side by side, for people and as plain data. Computes nothing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rich import box
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from bayonet.checks import Way, Ways, share_text

_LONGEST = 160


def as_data(found: Ways) -> dict[str, Any]:
    """For other programs.

    Parameters
    ----------
    found : Ways

    Returns
    -------
    dict
    """
    return {
        "recommended": None if found.best is None else found.best.name,
        "reason": found.reason,
        "ways": [
            {
                "name": way.name,
                "fields": dict(way.fields),
                "is_made": way.is_made,
                "is_good": way.is_good,
                "why_not": way.why_not,
                "failing": [one.code for one in way.failing],
                "to_look_at": [one.code for one in way.looks],
                "parts": way.parts,
                "setups": way.setups,
                "tools": way.tools,
                "bearing": way.bearing,
                "gives_way": way.gives_way,
                "yield": way.yield_share,
                "mass_g": way.mass_g,
                "diameter_mm": way.diameter_mm,
                "height_mm": way.height_mm,
            }
            for way in found.ways
        ],
    }


def table(found: Ways) -> RenderableType:
    """One column a way, what matters in rows; what each fails on below.

    Parameters
    ----------
    found : Ways

    Returns
    -------
    rich renderable
    """
    grid = Table(box=box.HORIZONTALS, pad_edge=False)
    grid.add_column("", style="dim")
    for way in found.ways:
        grid.add_column(way.name, overflow="fold", ratio=1)
    for title, told in _ROWS:
        grid.add_row(title, *(told(way) for way in found.ways))
    whys = [
        Text.assemble((f"{way.name}: ", "bold"), _short(way.why_not))
        for way in found.ways if way.why_not
    ]  # fmt: skip
    head = "None is recommended: " if found.best is None else f"Recommended: {found.best.name}: "
    closing = Text.assemble(
        (head, "bold red" if found.best is None else "bold"), f"{found.reason}."
    )
    return Group(grid, *whys, closing)


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1].rstrip()}…"


def _made(way: Way) -> str:
    return "yes" if way.is_made else "no"


def _fails(way: Way) -> str:
    if way.problem:
        return "cannot be drawn"
    codes = [one.code.partition(".")[2].replace("_", " ") for one in way.failing]
    more = f" and {len(codes) - 3} more" if len(codes) > 3 else ""
    return ", ".join(codes[:3]) + more if codes else "nothing"


def _share(value: float | None) -> str:
    return "open" if value is None else f"{100 * value:.0f} %"


def _size(value: float | None, unit: str) -> str:
    return "open" if value is None else f"{value:.4g} {unit}"


_ROWS: tuple[tuple[str, Callable[[Way], str]], ...] = (
    ("can be made", _made),
    ("fails", _fails),
    ("to look at in making", lambda way: str(len(way.looks)) if way.design else "open"),
    ("parts", lambda way: str(way.parts)),
    ("setups", lambda way: str(way.setups)),
    ("tools", lambda way: way.tools),
    ("bears", lambda way: _share(way.bearing)),
    ("gives way first", lambda way: way.gives_way or "open"),
    ("yield", lambda way: "open" if way.yield_share is None else share_text(way.yield_share)),
    ("mass", lambda way: _size(way.mass_g, "g")),
    ("outside Ø", lambda way: _size(way.diameter_mm, "mm")),
    ("height", lambda way: _size(way.height_mm, "mm")),
)
