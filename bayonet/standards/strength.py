"""Strength of body materials, what heat leaves of it, and usual factors of safety.

Of several printed values the least is taken. Nothing is carried beyond the end of a table.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from bayonet.errors import TableError
from bayonet.standards.materials import rows_of
from bayonet.standards.tables import Row, number, provenance, rows

PLASTIC_MOST_C = 30.0  # tables of plastics are for 23 deg C

_NUMBER = re.compile(r"\d+(?:\.\d+)?")


@dataclass(frozen=True, kw_only=True)
class Strength:
    """What a material bears at room temperature, the least of what is printed.

    Parameters
    ----------
    material, kind : str
        Kind: wrought metal, cast metal or plastic.
    yield_mpa, ultimate_mpa : float or None
        [MPa]; None where no row prints one.
    modulus_mpa, poisson : float or None
        The least modulus printed [MPa]; Poisson's ratio [-].
    between_layers : float or None
        Share of the strength that is left across the layers of a printed part [-].
    source, provenance : str
    """

    material: str
    kind: str
    yield_mpa: float | None
    ultimate_mpa: float | None
    modulus_mpa: float | None
    poisson: float | None
    between_layers: float | None
    source: str
    provenance: str


@dataclass(frozen=True, kw_only=True)
class Safety:
    """Factors of safety on yield and tensile strength, and on yield at proof pressure [-]."""

    on_yield: float
    on_ultimate: float
    on_yield_at_proof: float
    source: str
    provenance: str


@dataclass(frozen=True, kw_only=True)
class Share:
    """What a temperature leaves of the strength [-]."""

    value: float
    source: str
    provenance: str


def strength(name: str) -> Strength:
    """Strength of a body material.

    Parameters
    ----------
    name : str
        As the table of materials names it.

    Returns
    -------
    Strength

    Raises
    ------
    TableError
        If the table has no such material.

    Examples
    --------
    49 CFR 178.46 asks for 35 ksi of 6061-T6; printed PLA keeps half across its layers.

    >>> strength("6061-T6").yield_mpa, strength("PLA").between_layers
    (241.0, 0.5)
    """
    found = rows_of(name)
    used = [row for row in found if any(row[key] for key in ("yield_MPa", "ultimate_MPa"))]
    return Strength(
        material=found[0]["material"],
        kind=_kind(found[0]["material"]),
        yield_mpa=_least(found, "yield_MPa"),
        ultimate_mpa=_least(found, "ultimate_MPa"),
        modulus_mpa=_least(found, "E_MPa"),
        poisson=_least(found, "poisson"),
        between_layers=_least(found, "Z_over_XY_strength"),
        source="; ".join(dict.fromkeys(row["source"] for row in used)),
        provenance=provenance(*(row["provenance"] for row in used)),
    )


def safety(kind: str) -> Safety:
    """Usual factors of safety for a kind of material.

    Raises
    ------
    TableError
        If there is no such kind.

    References
    ----------
    .. [1] EN 13445-3:2021, clause 6 (from memory); plastics: common practice, no source.

    Examples
    --------
    >>> safety("wrought metal").on_yield
    1.5
    """
    for row in rows("safety"):
        if row["kind"] == kind:
            return Safety(
                on_yield=float(row["on_yield"]),
                on_ultimate=float(row["on_ultimate"]),
                on_yield_at_proof=float(row["on_yield_at_proof"]),
                source=row["source"],
                provenance=row["provenance"],
            )
    raise TableError(f"no kind of material {kind!r}")


def left_by_heat(name: str, celsius: float) -> Share:
    """Share of the strength at room temperature that is left at a higher one.

    Parameters
    ----------
    name : str
        Material.
    celsius : float
        [deg C]; below room temperature nothing is taken off.

    Returns
    -------
    Share
        By straight lines between the rows.

    Raises
    ------
    TableError
        If the table does not reach the temperature, or has nothing for the material.

    References
    ----------
    .. [1] EN 10028-7:2016 (stainless), Aluminum Design Manual, Part V (6061-T6); from memory.

    Examples
    --------
    304 stainless at 100 deg C: 157 of 210 MPa.

    >>> round(left_by_heat("304 stainless", 100.0).value, 3)
    0.748
    """
    found = [row for row in rows("derating") if row["material"].lower() == name.strip().lower()]
    if not found:
        if celsius <= PLASTIC_MOST_C:
            return Share(value=1.0, source="", provenance="transcribed")
        raise TableError(f"no strength of {name} above {PLASTIC_MOST_C:g} deg C in the table")
    at = [float(row["celsius"]) for row in found]
    if celsius > at[-1]:
        raise TableError(f"strength of {name} is tabled to {at[-1]:g} deg C, not {celsius:g}")
    shares = [float(row["share_of_yield"]) for row in found]
    return Share(
        value=float(np.interp(celsius, at, shares)),
        source=found[0]["source"],
        provenance=provenance(*(row["provenance"] for row in found)),
    )


def hottest_c(name: str) -> float:
    """Hottest temperature at which a strength is known [deg C].

    Examples
    --------
    >>> hottest_c("6061-T6"), hottest_c("PLA")
    (204.0, 30.0)
    """
    at = [float(row["celsius"]) for row in rows("derating") if row["material"] == name]
    return max(at, default=PLASTIC_MOST_C)


def friction_names(name: str) -> tuple[str, ...]:
    """Names by which the table of friction may know a body material; empty where unknown.

    Examples
    --------
    >>> friction_names("6061-T6")
    ('aluminium alloy', 'aluminium', 'metal')
    """
    for row in rows("material_kinds"):
        if row["material"].lower() == name.strip().lower():
            return tuple(row["in_friction_table"].split("|"))
    return ()


def _kind(name: str) -> str:
    return next(row["kind"] for row in rows("material_kinds") if row["material"] == name)


def _least(found: list[Row], key: str) -> float | None:
    """The least number printed in a column, ranges included; None where there is none."""
    printed = [float(text) for row in found for text in _NUMBER.findall(row[key])]
    return min(printed) if printed else None


def hand_force_n(who: str) -> tuple[float, float, str]:
    """Mean force of a hand along the rim of what it turns, its scatter [N], and the source.

    Parameters
    ----------
    who : {"women", "men"}

    Raises
    ------
    TableError
        If there is no such row.

    References
    ----------
    .. [1] Shih, Wang & Chang, Human Factors 39(3) 489-496 (1997), Table 7: less than 175 N for men;
       Proc. Human Factors Society 27, 412-416 (1983): women about 40 % of men.

    Examples
    --------
    >>> hand_force_n("women")[0]
    70.0
    """
    for row in rows("hand_force"):
        if row["who"] == who:
            mean, share = number(row["tangential_force_n"]), number(row["share_sd"])
            assert mean is not None
            assert share is not None
            return mean, share * mean, row["source"]
    raise TableError(f"no hand force for {who!r}")
