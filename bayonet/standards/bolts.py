"""Socket head cap screws: sizes, holes, heads, stress areas, and what each property class bears."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.standards.tables import from_memory, rows


@dataclass(frozen=True, kw_only=True)
class Bolt:
    """A cap screw with coarse thread and the holes it needs; all sizes [mm], area [mm2].

    Parameters
    ----------
    name : str
        As in ``M4``.
    diameter_mm, pitch_mm : float
    clearance_hole_mm, head_diameter_mm, head_height_mm, counterbore_mm : float
        Hole through the clamped part, medium series; the head and the counterbore that sinks it.
    stress_area_mm2 : float
        As printed.
    source : str
    """

    name: str
    diameter_mm: float
    pitch_mm: float
    clearance_hole_mm: float
    head_diameter_mm: float
    head_height_mm: float
    counterbore_mm: float
    stress_area_mm2: float
    source: str

    @property
    def tap_drill_mm(self) -> float:
        """Diameter drilled for the thread: diameter less pitch, common practice, no source [mm]."""
        return self.diameter_mm - self.pitch_mm

    @property
    def pitch_diameter_mm(self) -> float:
        """Basic pitch diameter, ISO 724: d - 0.6495 P [mm]."""
        return self.diameter_mm - 0.649519 * self.pitch_mm


@dataclass(frozen=True, kw_only=True)
class BoltClass:
    """What a property class bears [MPa].

    Parameters
    ----------
    name, kind : str
    proof_mpa, yield_mpa, ultimate_mpa, modulus_mpa : float
        Stress under proof load, least yield or 0.2 % stress, least tensile strength; Young's
        modulus.
    expansion_per_k : float
        Linear expansion [1/K].
    lowest_c, highest_c : float
        Between which the class holds [deg C].
    source : str
    """

    name: str
    kind: str
    proof_mpa: float
    yield_mpa: float
    ultimate_mpa: float
    modulus_mpa: float
    expansion_per_k: float
    lowest_c: float
    highest_c: float
    source: str


def bolt(name: str) -> Bolt:
    """A cap screw by its thread.

    Raises
    ------
    TableError
        If the table has no such size.

    References
    ----------
    .. [1] ISO 262, ISO 273, ISO 4762, DIN 974-1, ISO 898-1 table 4 (from memory).

    Examples
    --------
    >>> bolt("M6").stress_area_mm2, bolt("m6").tap_drill_mm
    (20.1, 5.0)
    """
    for row in rows("bolts"):
        if row["size"].lower() == name.strip().lower():
            sizes = {key: float(text) for key, text in row.items() if key.endswith(("_mm", "_mm2"))}
            source = from_memory(row["source"], row["provenance"])
            return Bolt(name=row["size"], source=source, **sizes)
    raise TableError(f"no bolt {name!r}: one of {', '.join(bolt_names())}")


def bolt_names() -> tuple[str, ...]:
    """Every size of the table, the smallest first."""
    return tuple(row["size"] for row in rows("bolts"))


def bolt_class(name: str, diameter_mm: float) -> BoltClass:
    """A property class at a diameter.

    Raises
    ------
    TableError
        If the table does not have it.

    References
    ----------
    .. [1] ISO 898-1:2013, table 3; ISO 3506-1:2009, table 2 (from memory).

    Examples
    --------
    >>> bolt_class("8.8", 6.0).proof_mpa, bolt_class("A2-70", 6.0).yield_mpa
    (580.0, 450.0)
    """
    for row in rows("bolt_classes"):
        fits = float(row["over_mm"]) < diameter_mm <= float(row["upto_mm"])
        if row["property_class"].lower() == name.strip().lower() and fits:
            return BoltClass(
                name=row["property_class"],
                kind=row["kind"],
                proof_mpa=float(row["proof_mpa"]),
                yield_mpa=float(row["yield_mpa"]),
                ultimate_mpa=float(row["ultimate_mpa"]),
                modulus_mpa=float(row["modulus_mpa"]),
                expansion_per_k=float(row["expansion_per_k"]),
                lowest_c=float(row["lowest_c"]),
                highest_c=float(row["highest_c"]),
                source=from_memory(row["source"], row["provenance"]),
            )
    raise TableError(
        f"no property class {name!r} for {diameter_mm:g} mm: one of {', '.join(bolt_classes())}"
    )


def bolt_classes() -> tuple[str, ...]:
    """Every property class of the table."""
    return tuple(dict.fromkeys(row["property_class"] for row in rows("bolt_classes")))
