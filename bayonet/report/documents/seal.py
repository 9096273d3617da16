"""What the report says of the seal's states of service. Words only."""

from __future__ import annotations

from bayonet.checks import Result
from bayonet.report.documents.blocks import Block, Grid, Heading, Words
from bayonet.tolerance.fitting import SealState

_HEAD = (
    "State", "Squeeze, least to most", "Fill at most", "Squeeze left, leaning", "Widest gap",
    "Gap bridged",
)  # fmt: skip


def seal_blocks(result: Result) -> list[Block]:
    """The gland in every state it was judged in; the governing ones stand out."""
    states = result.seal_states
    if not states:
        return []
    least = min(range(len(states)), key=lambda i: states[i].gland.worst_side_mm)
    pressed = [i for i, one in enumerate(states) if one.gap_room_mm is not None]
    bold = {least, *([min(pressed, key=lambda i: states[i].gap_room_mm or 0.0)] if pressed else [])}
    return [
        Heading(text="The seal in every state of service"),
        Words(
            text="At the least favourable dimensions of ring, groove, body and bore together. The"
            " states that govern stand out. Shares in per cent, lengths in mm; a negative squeeze"
            " is a gap."
        ),
        Grid(
            head=_HEAD,
            rows=tuple(_row(one) for one in states),
            align=("left", "right", "right", "right", "right", "right"),
            widths=(0.40, 0.16, 0.10, 0.12, 0.11, 0.11),
            bold=frozenset(bold),
        ),
    ]


def _row(one: SealState) -> tuple[str, ...]:
    gland, limit = one.gland, one.gap_limit_mm
    return (
        one.name,
        f"{100 * gland.squeeze.least:.1f} to {100 * gland.squeeze.most:.1f}",
        f"{100 * gland.fill.most:.0f}",
        f"{gland.worst_side_mm:.3f}",
        f"{gland.gap_mm.most:.3f}",
        "" if limit is None else f"{limit:.3f}",
    )
