"""Designs side by side on a page: pictures, then what differs."""

from __future__ import annotations

from bayonet.checks import Comparison
from bayonet.report.data import compared as texts
from bayonet.report.documents.blocks import (
    Align,
    Beside,
    Block,
    Grid,
    Heading,
    Picture,
    Report,
    Words,
)

_RIGHT: Align = "right"


def report(found: Comparison, pictures: tuple[str, ...]) -> Report:
    """The page.

    Parameters
    ----------
    found : Comparison
    pictures : tuple of str
        SVG a design; an empty text where it cannot be drawn.

    Returns
    -------
    Report
    """
    shown = tuple(
        Picture(name=f"design_{number}", svg=svg, words=f"{name}: {_verdict(found, number)}")
        for number, (name, svg) in enumerate(zip(found.names, pictures, strict=True))
        if svg
    )
    blocks: list[Block] = [
        Heading(text=f"{len(found.names)} designs side by side", level=1),
        *(Words(text=text, kind="caution") for text in _cautions(found)),
        Beside(pictures=shown),
    ]
    blocks += [
        Words(text=f"{name} cannot be drawn: {problem}")
        for name, problem in zip(found.names, found.problems, strict=True)
        if problem
    ]
    count = len(found.names)
    for heading, rows in texts.sections(found):
        blocks.append(Heading(text=heading))
        blocks.append(
            Grid(
                head=("", *found.names), rows=rows, align=("left", *[_RIGHT] * count),
                widths=(0.34, *(0.66 / count,) * count),
            )
        )  # fmt: skip
    return Report(title="Designs side by side", foot="bayonet compare", blocks=tuple(blocks))


def _verdict(found: Comparison, number: int) -> str:
    result = found.results[number]
    return "refused" if result is None else result.verdict.value


def _cautions(found: Comparison) -> tuple[str, ...]:
    """What any of the designs must say, once."""
    told = [one for result in found.results if result is not None for one in result.cautions]
    return tuple(dict.fromkeys(told))
