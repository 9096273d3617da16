"""What the report says of load and handling, before the findings. Words only."""

from __future__ import annotations

from bayonet.checks import Result
from bayonet.findings import sentence
from bayonet.report.documents.blocks import Block, Heading, NewPage, Picture, Points


def load_blocks(result: Result, picture: Picture | None) -> list[Block]:
    """What gives way first and what a hand must do, in a few lines and a sheet."""
    told = {f.code: f for f in result.findings}
    codes = ("load.weakest", "load.share", "handling.lock", "handling.self_locking")
    lines = tuple(
        sentence(told[code].message)
        + (f" Change: {sentence(told[code].change)}" if told[code].change else "")
        for code in codes
        if code in told
    )
    if picture is None:
        return []
    return [Heading(text="Load and handling"), Points(lines=lines), picture, NewPage()]
