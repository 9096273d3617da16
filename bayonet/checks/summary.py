"""What one screen says of a result: what decides, key sizes, tightest margins, what to measure.

Chosen from what the checks found; nothing is worked out anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from bayonet.checks.chains import number_text, shown_in
from bayonet.findings import Finding, Verdict, plain
from bayonet.parts import Design, NamedDimension, Socket
from bayonet.tolerance.advice import Reading, measure_next
from bayonet.tolerance.chains import ChainFigures, Study
from bayonet.units import SHOWN_IN_INCHES, shown

SIZES, MARGINS = 5, 3
"""How many a screen shows."""

_KEY_SIZES = (
    "sealing_bore_diameter", "nose_floor_depth", "track_bore_diameter", "track_1_diameter",
    "track_1_roof_depth", "track_1_slot_width", "boss_diameter", "boss_height",
)  # fmt: skip
"""Sizes by which a reader knows a socket, the most telling first."""


@dataclass(frozen=True, kw_only=True)
class Margin:
    """One of the tightest margins: the code of its finding, what it is, and how close it is.

    ``margin`` is the room at the worst corner [unit], ``text`` the range and the limit it nears.
    """

    code: str
    what: str
    text: str
    margin: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Summary:
    """What stands on the first screen.

    Parameters
    ----------
    failing, looking, open_ones : tuple of Finding
        In the order of the findings.
    sizes : tuple of NamedDimension
        At most five key sizes of the socket.
    margins : tuple of Margin
        At most three, the tightest first.
    readings : tuple of Reading
        At most three measured sizes that would narrow the result most.
    """

    failing: tuple[Finding, ...]
    looking: tuple[Finding, ...]
    open_ones: tuple[Finding, ...]
    sizes: tuple[NamedDimension, ...]
    margins: tuple[Margin, ...]
    readings: tuple[Reading, ...]


class _Found(Protocol):
    @property
    def design(self) -> Design: ...
    @property
    def findings(self) -> tuple[Finding, ...]: ...


def summary(result: _Found) -> Summary:
    """The first screen of a result of a design, or of a graft, which has no chains of its own.

    Parameters
    ----------
    result : Result or alike

    Returns
    -------
    Summary

    Examples
    --------
    >>> import bayonet
    >>> found = summary(bayonet.check(bayonet.loads(bayonet.starting_file())))
    >>> len(found.sizes), len(found.margins), len(found.readings)
    (5, 3, 3)
    """
    study = getattr(result, "study", None)
    by = {verdict: _of(result.findings, verdict) for verdict in Verdict}
    return Summary(
        failing=by[Verdict.FAIL],
        looking=by[Verdict.LOOK],
        open_ones=by[Verdict.OPEN],
        sizes=key_sizes(result.design.socket),
        margins=() if study is None else tightest(study, units=result.design.units),
        readings=() if study is None else measure_next(study),
    )


def _of(found: tuple[Finding, ...], verdict: Verdict) -> tuple[Finding, ...]:
    return tuple(one for one in found if one.verdict is verdict)


def key_sizes(socket: Socket) -> tuple[NamedDimension, ...]:
    """The sizes by which a reader knows the socket, with their limits; at most five."""
    rows = {row.key: row for row in socket.dimensions()}
    found = [rows[key] for key in _KEY_SIZES if key in rows]
    return tuple(found[:SIZES])


def tightest(study: Study, *, units: str = "mm") -> tuple[Margin, ...]:
    r"""The chains that come nearest to a limit, by capability :math:`C_{pk}`; at most three.

    Chains of different units are put in one order by how many standard deviations of their own
    they keep from the limit.
    """
    limited = [one for one in study.figures if one.chain.has_limits]
    nearest = sorted(limited, key=lambda one: one.cpk)[:MARGINS]
    return tuple(_margin(one, units) for one in nearest)


def _margin(one: ChainFigures, units: str) -> Margin:
    chain, (scale, unit) = one.chain, shown_in(one.chain)
    nearer_low = one.worst.low - chain.low <= chain.high - one.worst.high
    word, limit = ("at least", chain.low) if nearer_low else ("at most", chain.high)
    ends = [number_text(chain, end) for end in (one.worst.low, one.worst.high)]
    if units != "mm" and unit in SHOWN_IN_INCHES:
        ends = [
            f"{shown(scale * end, unit, units)[0]:.4f}" for end in (one.worst.low, one.worst.high)
        ]
    margin, said_unit = shown(scale * one.worst_room, unit, units)
    return Margin(
        code=f"tolerance.{chain.key}",
        what=chain.title,
        text=f"{' to '.join(ends)}, {word} {_limit(shown(scale * limit, unit, units)[0])}",
        margin=margin,
        unit=said_unit,
    )


def _limit(value: float) -> str:
    return plain(value, 3)
