"""Names of what a scan measures: a part of the plug, which one, and what of it. One place for them.

A `Key` is its own text (``lug.2.thickness``), so it serves as a dictionary's key, in JSON and in
messages as it is; but what it is made of is asked of it, and nobody takes the text apart.
"""

from __future__ import annotations

from typing import Final


class Key(str):
    """Name of a dimension, a parameter of the joint fit, or a face.

    Examples
    --------
    >>> one = lug_key(2, "bearing_depth")
    >>> one, one.part, one.number, one.name, one.unit
    ('lug.2.bearing_depth', 'lug', 2, 'bearing_depth', 'mm')
    >>> Key("lead").unit, Key("groove.width").number
    ('mm/rev', None)
    """

    __slots__ = ()

    @property
    def part(self) -> str:
        """The part of the plug: lug, body, groove, pose, or the whole name where it is one word."""
        return self.partition(".")[0]

    @property
    def number(self) -> int | None:
        """Which lug or step of the body, from 0; None where there is one only."""
        middle = self.partition(".")[2].partition(".")[0]
        return int(middle) if middle.isdigit() else None

    @property
    def name(self) -> str:
        """What of the part: diameter, thickness; the whole name where it is one word."""
        return self.rpartition(".")[2]

    @property
    def base(self) -> Key:
        """The part alone: ``lug.2`` of ``lug.2.thickness``."""
        return Key(self.rpartition(".")[0])

    @property
    def is_lug(self) -> bool:
        """Whether it is one of a lug's own."""
        return self.part == "lug" and self.number is not None

    @property
    def is_angle(self) -> bool:
        """Whether its value is an angle."""
        return self.endswith("_deg") or (self.part == "pose" and self.name.startswith("turn_"))

    @property
    def unit(self) -> str:
        """Unit of its value: mm, deg or mm/rev."""
        if self.name.endswith("lead"):
            return "mm/rev"
        return "deg" if self.endswith("_deg") else "mm"

    def of(self, name: str) -> Key:
        """Something of this part: ``lug_key(2).of("side+1")``."""
        return Key(f"{self}.{name}")

    def numbered(self, number: int) -> Key:
        """The same of another lug or step."""
        assert self.number is not None, self
        return Key(".".join([self.part, str(number), *self.split(".")[2:]]))


LEAD: Final = Key("lead")
"""The lead of all lugs together; where flanks have a lead each, of their bearing flanks."""

LEADING_LEAD: Final = Key("leading_lead")
"""The lead of all leading flanks, where it is another."""


def lug_key(number: int, name: str | None = None) -> Key:
    """A lug, counted from 0, or something of it."""
    return Key(f"lug.{number}" if name is None else f"lug.{number}.{name}")


def body_key(number: int, name: str | None = None) -> Key:
    """A step of the body, counted from the shoulder, or something of it."""
    return Key(f"body.{number}" if name is None else f"body.{number}.{name}")


def groove_key(name: str) -> Key:
    """Something of the groove."""
    return Key(f"groove.{name}")
