"""How wide a word is on a sheet: one typeface, its own advance widths, ISO 3098 heights.

The letters are DejaVu Sans drawn narrow, for it has every sign a drawing needs; heights and the
least height follow ISO 3098-1, the shapes of the letters do not.
"""

from __future__ import annotations

import functools
from pathlib import Path

FONT_FILE = "DejaVuSans.ttf"
FAMILY = "DejaVu Sans"
NARROW = 0.8
"""Width of the letters against the typeface's own."""

SMALL_MM, USUAL_MM, TITLE_MM = 2.5, 3.5, 5.0
"""Heights of capitals (ISO 3098-1, series 2.5, 3.5, 5) [mm]."""

_BELOW, _ABOVE = 0.32, 0.22  # of the height: what letters and signs reach beyond capitals


@functools.cache
def fonts_folder() -> Path:
    """Where the typeface is: it comes with matplotlib."""
    import matplotlib as mpl

    return Path(mpl.get_data_path()) / "fonts" / "ttf"


@functools.cache
def _measures() -> tuple[dict[int, str], dict[str, tuple[int, int]], float]:
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    font = TTFont(fonts_folder() / FONT_FILE)
    return font.getBestCmap(), font["hmtx"].metrics, float(font["glyf"]["H"].yMax)


def cap_share() -> float:
    """Height of capitals over the type size [-]."""
    return _measures()[2] / 2048.0


def width_mm(text: str, height_mm: float) -> float:
    """Width of a text at a height of capitals [mm]."""
    signs, advances, capital = _measures()
    missing = advances[".notdef"][0]
    total = sum(advances[signs[ord(c)]][0] if ord(c) in signs else missing for c in text)
    return total / capital * height_mm * NARROW


def knows(text: str) -> bool:
    """Whether the typeface has every sign of a text."""
    signs, _, _ = _measures()
    return all(ord(char) in signs for char in text)


def span_mm(height_mm: float) -> tuple[float, float]:
    """How far letters reach below and above the middle of their capitals [mm]."""
    return -height_mm * (0.5 + _BELOW), height_mm * (0.5 + _ABOVE)
