"""What is done in a process of its own: judging step by step, solids, files, a scan."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bayonet.checks import (
    Corners,
    FirstLook,
    Result,
    explain,
    judge,
    number_text,
    shown_in,
    steps,
    tried,
)
from bayonet.errors import BayonetError
from bayonet.findings import Verdict
from bayonet.measuring import letters_of, sketch
from bayonet.parts import loads
from bayonet.report.documents import sketch as drawn_sketch
from bayonet.report.page import finding_row, mesh_data, shown, worst_first

Message = dict[str, Any]


def judging(text: str) -> Iterator[Message]:
    """A design judged: motion, worst corners, everything, and at last advice that was tried."""
    last: Result | None = None
    for one in steps(loads(text)):
        if isinstance(one, FirstLook):
            yield {"step": "first", "shown": shown(one), **_lettered(one)}
        elif isinstance(one, Corners):
            yield {"step": "corners", "chains": _corner_rows(one)}
        else:
            last = one
            yield {"step": "result", "shown": shown(one), "chains": _chain_rows(one)}
    if last is not None and last.verdict is Verdict.FAIL:
        done = tried(last)
        yield {"step": "tried", "findings": [finding_row(o) for o in worst_first(done.findings)]}


def _lettered(found: FirstLook) -> Message:
    """The sketch of the plug, and the letter of each field."""
    plug = found.design.plug
    letters = letters_of(plug.groove.kind if plug.groove is not None else "none")
    return {
        "sketch": drawn_sketch.sketch_svg(sketch(plug)),
        "letters": {one.field: one.letter for one in letters},
    }


def _corner_rows(found: Corners) -> list[Message]:
    limited = [one for one in found.chains.chains if one.has_limits]
    rows = []
    for chain in sorted(limited, key=found.room):
        (scale, unit), worst = shown_in(chain), found.worst[chain.key]
        rows.append({
            "key": chain.key, "title": chain.title, "unit": unit,
            "worst": [number_text(chain, worst.low), number_text(chain, worst.high)],
            "room": scale * found.room(chain),
        })  # fmt: skip
    return rows


def _chain_rows(result: Result) -> list[Message]:
    """Chains, the tightest first, with what eats most of each one's margin."""
    rows = []
    for one in sorted(result.study.figures, key=lambda figure: figure.cpk):
        if not one.chain.has_limits:
            continue
        scale, unit = shown_in(one.chain)
        eaters = [link for link in one.first.contributors if link.worst_case_share > 0.0][:3]
        rows.append({
            "key": one.chain.key, "title": one.chain.title, "unit": unit, "why": one.chain.why,
            "worst": [number_text(one.chain, v) for v in (one.worst.low, one.worst.high)],
            "room": scale * one.worst_room, "fails": one.out.value,
            "eaters": [[link.meaning, link.worst_case_share] for link in eaters],
        })  # fmt: skip
    return rows


def explaining(text: str, code: str) -> Iterator[Message]:
    """How one finding comes about: formula, source, what moves it."""
    found = explain(judge(loads(text)), code)
    one = found.finding
    yield {
        "step": "why",
        "code": code,
        "judges": found.judges,
        "formula": found.formula,
        "source": one.source,
        "movers": [
            {"name": m.name, "value": m.value, "unit": m.unit, "step": m.step, "moves": m.moves}
            for m in found.movers
        ],
        "unit": one.unit,
    }


def building(text: str, chord_mm: float) -> Iterator[Message]:
    """Socket and plug for the eye."""
    from bayonet.jobs.moving import meshes

    socket, plug = meshes(loads(text), chord_mm=chord_mm)
    yield {"step": "solids", "solids": {"socket": mesh_data(socket), "plug": mesh_data(plug)}}


def making(text: str, name: str, folder: str) -> Iterator[Message]:
    """The files of `make`; a folder with files of others is refused as on the command line."""
    from bayonet.jobs.design import make

    made = make(loads(text, file=name), folder)
    yield {"step": "made", "files": list(made.files), "verdict": made.result.verdict.value}


def scanning(data: bytes, name: str) -> Iterator[Message]:
    """A design file of what a scan shows, as `bayonet scan --out` writes it."""
    from bayonet.scan import fit
    from bayonet.scan.describe import described
    from bayonet.scan.read import read

    with tempfile.TemporaryDirectory() as room:
        file = Path(room) / Path(name).name
        file.write_bytes(data)
        points = read(file)
        yield {"step": "scanned", "text": described(fit(points), points)}


def preparing(kernel: bool) -> Iterator[Message]:
    """Load what the first real request would wait for."""
    if kernel:
        import bayonet.solids  # noqa: F401 - loads the CAD kernel

    yield {"step": "ready"}


def problems_of(error: BayonetError) -> list[Message]:
    """What is wrong in an input, one by one."""
    found = getattr(error, "problems", None)
    if found is None:
        return [{"field": "", "rule": str(error), "value": "", "example": "", "line": None}]
    keys = ("field", "rule", "value", "example", "line")
    return [{key: getattr(one, key) for key in keys} for one in found]
