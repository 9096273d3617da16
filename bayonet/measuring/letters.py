"""The letter of every dimension of a plug, what to measure it with, and how."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal, cast

Asked = Literal["length", "angle", "lead", "count", "hand"]


@dataclass(frozen=True, kw_only=True)
class Letter:
    """One dimension of a plug.

    Parameters
    ----------
    letter : str
        On sketch, sheet, page and in the file's comments.
    field : str
        Dotted field of the design file.
    kind : {"length", "angle", "lead", "count", "hand"}
    asks : str
        What it is, in a few words.
    instrument : str
    how : str
        Where and how often to measure.
    is_needed : bool
        Whether a socket cannot be drawn without it.
    """

    letter: str
    field: str
    kind: Asked
    asks: str
    instrument: str
    how: str
    is_needed: bool


@cache
def letters_of(groove: str = "radial") -> tuple[Letter, ...]:
    """The letters of a plug with a kind of groove, in the order of measuring.

    Parameters
    ----------
    groove : {"radial", "shoulder_face", "nose_face", "none"}

    Returns
    -------
    tuple of Letter

    Examples
    --------
    >>> next(one.field for one in letters_of() if one.letter == "L")
    'plug.groove.at_depth'
    >>> next(one.field for one in letters_of("nose_face") if one.letter == "L")
    'plug.groove.depth'
    """
    kind = groove if groove in ("radial", "none") else "face"
    text = (files("bayonet.data") / "letters.csv").read_text("utf-8")
    return tuple(
        Letter(
            letter=row["letter"],
            field=row["field"],
            kind=cast(Asked, row["kind"]),
            asks=row["asks"],
            instrument=row["instrument"],
            how=row["how"],
            is_needed=row["needed"] == "yes",
        )
        for row in csv.DictReader(text.splitlines(), strict=True)
        if row["seal"] in ("any", kind) or (row["seal"] == "ring" and kind != "none")
    )
