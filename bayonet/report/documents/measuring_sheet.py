"""The sheet to measure a plug with: sketch, letters, fields to fill in by hand, a protractor."""

from __future__ import annotations

import math

from bayonet.measuring import Letter, Sketch
from bayonet.report.documents.blocks import (
    Block,
    Grid,
    Heading,
    Picture,
    Points,
    Report,
    Together,
    Words,
)
from bayonet.report.documents.pdf import Paper
from bayonet.report.documents.sketch import sketch_svg

TEXT_WIDTH_MM = {"a4": 176.0, "letter": 181.9}
"""Width between the margins of `bayonet.report.documents.pdf`."""

_RADIUS_MM = 60.0
_BAR_MM = 50.8


def measuring_sheet(
    sketch: Sketch, letters: tuple[Letter, ...], *, title: str, units: str = "mm", paper: Paper
) -> Report:
    """The sheet as a report.

    Parameters
    ----------
    sketch : Sketch
    letters : tuple of Letter
    title : str
    units : {"mm", "in"}
        Of the fields to fill in.
    paper : {"a4", "letter"}
        For the protractor, which is printed in true size.

    Returns
    -------
    Report
    """
    width = TEXT_WIDTH_MM[paper]
    blocks: tuple[Block, ...] = (
        Heading(text=title, level=1),
        Words(
            text="Plug: ______________________   Measured by: ________________   Date: __________"
            f"   Instruments: ______________________   Unit: {units}"
        ),
        Picture(
            name="sketch", svg=sketch_svg(sketch), width=1.0,
            words="An example of the form; letters as in the table, in the design file and in"
            " its questions.",
        ),
        Heading(text="Before you start", level=3),
        Points(lines=_FIRST),
        Heading(text="Sizes"),
        _sizes(letters, units),
        Heading(text="How to find what no calliper reads"),
        *_finds(letters),
        _true_size(width),
        Heading(text="Then"),
        Points(lines=_THEN),
    )  # fmt: skip
    return Report(title=title, foot="bayonet measure", blocks=blocks)


_FIRST = (
    "Clean the plug and take the ring off. Let plug and instruments stand in the same room for an"
    " hour.",
    "Close the calliper: it must read 0. Wipe its jaws. Measure something of known size.",
    "Every diameter in three places round, and at both ends of its step; every depth in two places"
    " opposite. Write all readings down: their scatter is what tells how well the size is known.",
    "Seat the calliper square: rock it and take the least reading over a diameter, the greatest in"
    " a groove. Do not press: plastic gives.",
    "Several plugs at hand? Measure each on a sheet of its own: their scatter sets the limits.",
    "What you cannot measure, write down roughly, with how far off it may be.",
)
_THEN = (
    "bayonet new my_plug.toml --ask    asks for these letters one by one and writes the design"
    " file.",
    "bayonet check my_plug.toml    judges it and names the readings worth repeating.",
)


def _sizes(letters: tuple[Letter, ...], units: str) -> Grid:
    rows = tuple(_row(one) for one in letters)
    return Grid(
        head=("", "what", "how", f"1 [{units}]", "2", "3"),
        rows=rows,
        align=("left", "left", "left", "left", "left", "left"),
        widths=(0.45, 2.0, 5.0, 1.0, 0.8, 0.8),
    )


def _row(one: Letter) -> tuple[str, ...]:
    needed = "" if one.is_needed else " (may be left out)"
    blanks = {
        "count": ("____", "", ""), "hand": ("right / left", "", ""),
        "angle": ("____ deg", "____", "____"),
        "lead": (f"{one.letter}1 ____", f"{one.letter}2 ____", ""),
    }.get(one.kind, ("______", "_____", "_____"))  # fmt: skip
    return (one.letter, f"{one.asks}{needed}", f"{one.instrument}: {one.how}", *blanks)


def _finds(letters: tuple[Letter, ...]) -> tuple[Block, ...]:
    fields = {one.field for one in letters}
    radial = "plug.groove.at_depth" in fields
    ring = "bayonet table groove K M D" if radial else "bayonet table gland N --face"
    of_ring = (
        (f"The ring: its size from the bag, or measure it new; {ring} lists what fits.",)
        if "plug.groove.width" in fields
        else ()
    )
    return (
        Points(
            lines=(
                "The lead: stand the shoulder on a flat plate, nose up. Height of the flank above"
                " the plate at both ends of one lug: P1 and P2, with the thickness of the shoulder"
                " taken off both. A depth gauge or a dial gauge on the plate is best.",
                "The turn: hold plug and old socket in front of you, mark both with one pen stroke"
                " where the lugs go in, turn to the stop, mark again. No socket: any turn below"
                " 360 / S less the angle of a lug can be made; you choose.",
                "The hand: clockwise to lock, as you look at its head, is right.",
                *of_ring,
            )
        ),
    )


def _true_size(width_mm: float) -> Together:
    return Together(
        blocks=(
            Heading(text="Protractor, in true size", level=3),
            Picture(
                name="protractor", svg=protractor_svg(),
                width=(2 * _RADIUS_MM + 10.0) / width_mm,
                words="Print at 100 %: the bar must measure 50.8 mm, 2 in. If it does not, set the"
                " printer to actual size.",
            ),
        )
    )  # fmt: skip


def protractor_svg() -> str:
    """A half circle divided in degrees, and a bar of 50.8 mm, in true size."""
    wide, high, centre = 2 * _RADIUS_MM + 10.0, _RADIUS_MM + 18.0, _RADIUS_MM + 5.0
    base = _RADIUS_MM + 5.0
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm"'
        f' viewBox="0 0 {wide} {high}" font-family="DejaVu Sans, sans-serif" stroke="#1f2a33">',
        f'<line x1="{centre - _RADIUS_MM}" y1="{base}" x2="{centre + _RADIUS_MM}" y2="{base}"'
        ' stroke-width="0.3"/>',
        f'<line x1="{centre}" y1="{base}" x2="{centre}" y2="{base - 6}" stroke-width="0.2"/>',
    ]
    for deg in range(181):
        long = 6.0 if deg % 10 == 0 else 4.0 if deg % 5 == 0 else 2.2
        cos, sin = math.cos(math.radians(deg)), math.sin(math.radians(deg))
        outer, inner = _RADIUS_MM, _RADIUS_MM - long
        parts.append(
            f'<line x1="{centre + outer * cos:.3f}" y1="{base - outer * sin:.3f}"'
            f' x2="{centre + inner * cos:.3f}" y2="{base - inner * sin:.3f}" stroke-width="0.18"/>'
        )
        if deg % 10 == 0:
            at = _RADIUS_MM - 9.0
            parts.append(
                f'<text x="{centre + at * cos:.3f}" y="{base - at * sin + 0.9:.3f}" font-size="2.6"'
                f' stroke="none" fill="#1f2a33" text-anchor="middle">{deg}</text>'
            )
    left, level = centre - _BAR_MM / 2, base + 6.0
    parts.append(
        f'<path d="M{left} {level - 2} v4 m0 -2 h{_BAR_MM} m0 -2 v4" fill="none"'
        ' stroke-width="0.3"/>'
        f'<text x="{centre}" y="{level + 5}" font-size="2.8" stroke="none" fill="#1f2a33"'
        ' text-anchor="middle">50.8 mm = 2 in</text></svg>'
    )
    return "\n".join(parts) + "\n"
