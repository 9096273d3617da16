"""What a report is made of, before it is a page: one content for every kind of file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Align = Literal["left", "right"]


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A heading; ``level`` 1 to 3."""

    text: str
    level: int = 2


@dataclass(frozen=True, kw_only=True)
class Words:
    """A paragraph; ``kind`` "plain", "small" or "caution"."""

    text: str
    kind: Literal["plain", "small", "caution"] = "plain"


@dataclass(frozen=True, kw_only=True)
class Points:
    """A list of short lines."""

    lines: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Grid:
    """A table. ``widths`` are shares of the page; cells marked in ``bold`` rows stand out."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: tuple[Align, ...]
    widths: tuple[float, ...]
    bold: frozenset[int] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A drawing as SVG text; ``width`` is a share of the page."""

    name: str
    svg: str
    words: str
    width: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Beside:
    """Pictures side by side, each as wide as the others; their own widths do not count."""

    pictures: tuple[Picture, ...]


@dataclass(frozen=True, kw_only=True)
class Together:
    """Blocks that stay on one page."""

    blocks: tuple[Heading | Words | Points | Grid | Picture, ...]


@dataclass(frozen=True, kw_only=True)
class NewPage:
    """A page break where there are pages."""


Block = Heading | Words | Points | Grid | Picture | Beside | Together | NewPage


@dataclass(frozen=True, kw_only=True)
class Report:
    """A whole report: ``foot`` stands at the foot of every page, ``banner`` over every page."""

    title: str
    foot: str
    blocks: tuple[Block, ...]
    banner: str = ""
