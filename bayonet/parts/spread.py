"""How far other plugs lie from the measured one, dimension by dimension."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.designfile import Measured, PlugTable, Spread, value_or
from bayonet.errors import TableError
from bayonet.standards import HalfWidths, iso2768, plug_spread


@dataclass(frozen=True, kw_only=True)
class PlugSpread:
    """Half-widths of the production, by size where a table gives them so.

    Parameters
    ----------
    table : Spread
        What the file says.
    usual : HalfWidths
        Of the process, taken where neither file nor table says anything.
    """

    table: Spread
    usual: HalfWidths

    def diameter_mm(self, size_mm: float) -> float:
        """Of a diameter [mm]."""
        return self._sized(self.table.diameter, size_mm, self.usual.diameter_mm)

    def length_mm(self, size_mm: float) -> float:
        """Of a depth, width or thickness [mm]."""
        return self._sized(self.table.length, size_mm, self.usual.length_mm)

    def angle_deg(self, shorter_side_mm: float) -> float:
        """Of an angle whose shorter side has a length [deg]."""
        if self.table.angle_deg is not None:
            return self.table.angle_deg.value
        if self.table.general is not None:
            try:
                return iso2768.tolerance(
                    shorter_side_mm, self.table.general, kind="angular (shorter side)"
                )
            except TableError:
                pass  # beyond the table: the process's, as `words` says
        return self.usual.angle_deg

    @property
    def lead_mm_per_rev(self) -> float:
        """Of the lead of the flanks [mm/rev]."""
        return value_or(self.table.lead, self.usual.lead_mm_per_rev)

    @property
    def coaxiality_mm(self) -> float:
        """Diameter of the zone of the lugs' axis against the body's [mm]."""
        return value_or(self.table.coaxiality, self.usual.coaxiality_mm)

    @property
    def step_coaxiality_mm(self) -> float:
        """Diameter of the zone of another body step's axis against the lugs' own step's [mm]."""
        return value_or(self.table.step_coaxiality, self.usual.step_coaxiality_mm)

    @property
    def groove_coaxiality_mm(self) -> float:
        """Diameter of the zone of the groove's axis against the body it is cut into [mm]."""
        return value_or(self.table.groove_coaxiality, self.usual.step_coaxiality_mm)

    @property
    def tilt_deg(self) -> float:
        """Of the lugs against the shoulder [deg]."""
        return value_or(self.table.tilt_deg, self.usual.tilt_deg)

    @property
    def words(self) -> str:
        """Where the half-widths come from, for the assumptions."""
        if self.table.general is not None:
            return f"{iso2768.SOURCE} class {self.table.general}, else the process"
        return "preset of the process; common practice, no source, or the file"

    def _sized(self, own: Measured | None, size_mm: float, usual: float) -> float:
        if own is not None:
            return own.value
        try:
            if self.table.general is not None:
                return iso2768.tolerance(size_mm, self.table.general)
        except TableError:
            pass  # beyond the table: the process's, as `words` says
        return usual


def spread_of(table: PlugTable) -> PlugSpread:
    """Spread of the production: as declared, else of a table, else as plugs are made."""
    return PlugSpread(table=table.spread, usual=plug_spread(table.made_by))
