"""The table of dimensions, with the numbers of the drawing, and the shop's notes."""

from __future__ import annotations

from bayonet.cautions import PRINTED_CAUTION
from bayonet.dimensions import Control, Dimension, figure, limits_text
from bayonet.drawing.canvas import Canvas, Word
from bayonet.drawing.lettering import SMALL_MM, USUAL_MM, width_mm
from bayonet.drawing.scene import Scene
from bayonet.drawing.symbols import TIMES, zone_text

_ROW_MM = 5.0
_NAMES = {"perpendicularity": "square", "coaxiality": "coaxial", "position": "position"}
_GAP_MM = 3.0


def table(scene: Scene, *, rows_each: int) -> list[Canvas]:
    """The whole table, in pieces that fit a sheet."""
    head = ("no.", "dimension", "value", "limits", "datum", "measure with")
    rows = [
        *(_row(one, scene) for one in scene.record.dimensions),
        *(_control(one) for one in scene.record.controls),
    ]
    widths = [
        max(width_mm(row[n], SMALL_MM) for row in (head, *rows)) + _GAP_MM for n in range(len(head))
    ]
    starts = range(0, len(rows), rows_each)
    return [_piece(head, rows[start : start + rows_each], widths) for start in starts]


def _row(one: Dimension, scene: Scene) -> tuple[str, ...]:
    places = f"{one.places}{TIMES} " if one.places > 1 else ""
    tracks = f" ({', '.join(map(str, one.tracks))})" if one.tracks else ""
    limits = limits_text(one, inch=scene.inch)
    status = {"limits": limits, "exact": "exact", "reference": "reference"}[one.status]
    return (
        str(one.number), f"{one.name}{tracks}", f"{places}{figure(one, inch=scene.inch)}", status,
        one.datum, one.gauge,
    )  # fmt: skip


def _control(one: Control) -> tuple[str, ...]:
    zone = f"{'Ø' if one.diametral else ''}{zone_text(one)}"
    places = f"{one.places}{TIMES} " if one.places > 1 else ""
    name = f"{_NAMES[one.characteristic]}: {one.name}" + (f", {one.note}" if one.note else "")
    return str(one.number), name, f"{places}{zone}", "zone", " ".join(one.datums), ""


def _piece(
    head: tuple[str, ...], rows: list[tuple[str, ...]], widths: list[float]
) -> Canvas:  # fmt: skip
    canvas = Canvas()
    total = sum(widths)
    y = 0.0
    for number, row in enumerate((head, *rows)):
        x = 1.0
        for cell, width in zip(row, widths, strict=True):
            if cell:
                canvas.add(Word(text=cell, at=(x, y - _ROW_MM / 2.0)))
            x += width
        y -= _ROW_MM
        if number in (0, len(rows)):
            canvas.line((0.0, y), (total, y), layer="FRAME")
    canvas.line((0.0, 0.0), (total, 0.0), layer="FRAME")
    return canvas


def notes(scene: Scene) -> Canvas:
    """What a shop asks before it sets up, in one block."""
    canvas = Canvas()
    for number, (text, height) in enumerate(_lines(scene)):
        canvas.add(Word(text=text, at=(0.0, -number * 5.4), height=height))
    return canvas


def _lines(scene: Scene) -> list[tuple[str, float]]:
    design, socket = scene.result.design, scene.socket
    service, track = design.spec.service, design.spec.socket.track
    clock = "clockwise" if socket.sign < 0 else "counter-clockwise"
    hand = "right" if socket.sign < 0 else "left"
    lines = [
        f"{hand.upper()} HAND: the plug locks {clock}, seen from outside;"
        f" turn {socket.turn_deg:g}°",
        f"Material: {service.socket_material or 'not given: ask'}; made: {socket.process}",
        f"Tracks: {_cut_by(scene, track.made_by)}",
        "Datums: A mouth face, B bore between the tracks, C slot 1",
        f"{scene.record.general}. {design.spec.service.assembly_c:g} °C",
        "Sizes with E in a circle: envelope (ISO 14405-1). Texture ISO 21920-1, edges ISO 13715,"
        " tolerances ISO 1101, datums ISO 5459.",
        "Other outside edges: broken 0.1 to 0.3 (common practice, no source)",
        "Sharp edges of the roof carry the lugs: do not deburr with a wheel.",
    ]
    if socket.ring is not None:
        lines.append(f"Seal: ring {socket.ring.name}; what it passes must be free of burr")
    marks = [*scene.result.headline]
    if socket.process == "printed":
        marks.append(PRINTED_CAUTION)
    marks.append("Pressure and hot fluid injure: proof-test before use; follow your local code")
    wrapped = [part for line in lines for part in _wrapped(line)]
    return [
        ("What the shop asks", USUAL_MM),
        *((text, SMALL_MM) for text in wrapped),
        *((part, SMALL_MM) for text in marks for part in _wrapped(text)),
    ]


def _cut_by(scene: Scene, made_by: str | None) -> str:
    cutter = scene.result.design.spec.socket.cutter
    if cutter is not None:
        mill = f", slots end mill Ø{cutter.end_mill.value:g}" if cutter.end_mill else ""
        return (
            f"disc cutter Ø{cutter.diameter.value:g} {TIMES} {cutter.thickness.value:g}, neck"
            f" Ø{cutter.neck_diameter.value:g}, reach {cutter.reach.value:g}{mill}"
        )
    if made_by == "erosion":
        return "eroded (a sharp form; no disc cutter leaves it)"
    return f"as {scene.socket.process}; the file names no cutter"


def _wrapped(text: str, width: float = 118.0) -> list[str]:
    """A line broken at spaces to a width [mm]."""
    lines, line = [], ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and width_mm(longer, SMALL_MM) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line]
