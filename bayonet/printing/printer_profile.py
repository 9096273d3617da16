"""What a printer makes of sizes, as learnt from its prints: a small TOML file to use again."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from bayonet import inputs
from bayonet.cautions import PRINTED_CAUTION
from bayonet.errors import DesignError, Problem
from bayonet.printing.compensation import PrintedSize

Array = NDArray[np.float64]

FORMAT = 1

PRIOR_U = (0.30, 0.30, 0.005)
"""Prior uncertainty of hole offset, boss offset [mm] and scale [-]; common practice, no source."""

_LARGEST_BYTES = 100_000
_DIGITS = 9


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)
    format: int = Field(ge=1, le=FORMAT)
    caution: str
    name: str
    hole_offset_mm: float = Field(ge=-5.0, le=5.0)
    boss_offset_mm: float = Field(ge=-5.0, le=5.0)
    scale: float = Field(ge=0.8, le=1.25)
    u: tuple[float, float, float]
    covariance: tuple[
        tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]
    ]
    sizes: int = Field(ge=0)
    felt: int = Field(ge=0)
    contradictions: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class ProcessProfile:
    """Offsets and scale of one printer, material and setting, with their uncertainty.

    Parameters
    ----------
    name : str
    mean : array, shape (3,)
        Hole offset and boss offset on diameter [mm], scale [-].
    covariance : array, shape (3, 3)
    sizes, felt : int
        Measured sizes and felt results it rests on, earlier rounds included.
    contradictions : tuple of str
        What in the results did not agree; empty where all did.
    """

    name: str
    mean: Array
    covariance: Array
    sizes: int = 0
    felt: int = 0
    contradictions: tuple[str, ...] = ()

    @property
    def size(self) -> PrintedSize:
        """The best estimate, to draw by."""
        hole, boss, scale = self.mean.tolist()
        return PrintedSize(hole_mm=hole, boss_mm=boss, scale=scale)

    @property
    def u(self) -> Array:
        """Standard uncertainties in the order of the mean."""
        return np.sqrt(np.diag(self.covariance))

    def in_words(self) -> str:
        """Offsets and scale on one line, ASCII."""
        hole, boss, scale = self.mean.tolist()
        u_hole, u_boss, u_scale = self.u.tolist()
        return (
            f"holes {hole:+.3f} mm (u {u_hole:.3f}), bosses {boss:+.3f} mm (u {u_boss:.3f}),"
            f" scale {scale:.5f} (u {u_scale:.5f})"
        )

    def text(self) -> str:
        """The file, as TOML; the same profile gives the same text."""
        hole, boss, scale = (_number(x) for x in self.mean.tolist())
        rows = ",\n".join(f"    {_list(row)}" for row in self.covariance.tolist())
        uncertainties = ", ".join(f"{u:.5g}" for u in self.u.tolist())
        said = "".join(f"    {_quoted(line)},\n" for line in self.contradictions)
        return (
            "# What a printer makes of drawn sizes, learnt from its own prints:\n"
            "#   hole = scale * drawn + hole_offset_mm, boss likewise, length = scale * drawn\n"
            "# Offsets are on diameter. It holds for one printer, material and setting.\n"
            f"format = {FORMAT}\n"
            f"caution = {_quoted(PRINTED_CAUTION)}\n"
            f"name = {_quoted(self.name)}\n"
            f"hole_offset_mm = {hole}\n"
            f"boss_offset_mm = {boss}\n"
            f"scale = {scale}\n"
            f"u = [{uncertainties}]  # standard uncertainties, in the same order\n"
            f"covariance = [\n{rows},\n]\n"
            f"sizes = {self.sizes}\n"
            f"felt = {self.felt}\n"
            f"contradictions = [\n{said}]\n"
        )


def prior(name: str) -> ProcessProfile:
    """What is believed of a printer before anything is measured: no offset, wide uncertainty."""
    return ProcessProfile(
        name=name,
        mean=np.array([0.0, 0.0, 1.0]),
        covariance=np.diag(np.square(PRIOR_U)),
    )


def load(path: str | Path) -> ProcessProfile:
    """Read a process profile.

    Parameters
    ----------
    path : str or Path
        As `bayonet calibrate` wrote it.

    Returns
    -------
    ProcessProfile

    Raises
    ------
    DesignError
        If it cannot be read or is not one; carries every problem found.
    """
    file = str(path)
    try:
        data = inputs.content(path, most_bytes=_LARGEST_BYTES, what="a process profile")
        raw = tomllib.loads(data.decode("utf-8-sig"))
    except inputs.UnreadableError as error:
        raise _error(file, [("(file)", error.rule)]) from error
    except RecursionError as error:
        raise _error(file, [("(file)", "is not a process profile: nested too deeply")]) from error
    except ValueError as error:
        rule = f"is not a process profile: {str(error)[:200]}"
        raise _error(file, [("(file)", rule)]) from error
    try:
        read = _File.model_validate(raw)
    except ValidationError as error:
        found = [(".".join(map(str, e["loc"])), e["msg"]) for e in error.errors()]
        raise _error(file, found) from error
    covariance = np.array(read.covariance)
    values = np.linalg.eigvalsh((covariance + covariance.T) / 2.0)
    symmetric = np.allclose(covariance, covariance.T, rtol=0.0, atol=1e-9)
    if not symmetric or not values.min() > 0.0:
        raise _error(file, [("covariance", "must be symmetric and positive definite")])
    return ProcessProfile(
        name=read.name,
        mean=np.array([read.hole_offset_mm, read.boss_offset_mm, read.scale]),
        covariance=covariance,
        sizes=read.sizes,
        felt=read.felt,
        contradictions=read.contradictions,
    )


def _error(file: str, found: list[tuple[str, str]]) -> DesignError:
    return DesignError(
        [Problem(file=file, line=None, field=field, value="", rule=rule) for field, rule in found]
    )


def _number(value: float) -> str:
    return repr(float(f"{value:.{_DIGITS}g}"))


def _list(values: list[Any]) -> str:
    return "[" + ", ".join(_number(value) for value in values) + "]"


def _quoted(text: str) -> str:
    plain = "".join(char if ord(char) >= 32 else " " for char in text)
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'
