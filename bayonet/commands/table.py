"""`bayonet table`: look-ups in the standards without a design."""

from __future__ import annotations

import json
from typing import Any

import click

from bayonet.commands.common import JSON, Number, console, guarded


@click.group()
def table() -> None:
    """Look up rings, glands, limits and materials; nothing outside a table is ever guessed."""


def _printed(rows: list[dict[str, Any]], *, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(rows, indent=1, ensure_ascii=False))
        return
    from bayonet.report.data import lookups

    console().print(lookups.as_table(rows))


@table.command("ring", context_settings={"ignore_unknown_options": True})
@click.argument("designation")
@JSON
@guarded
def table_ring(designation: str, as_json: bool) -> None:
    """Show an AS568 ring by its dash number, for example 118."""
    from bayonet.report.data import lookups

    _printed(lookups.ring(designation), as_json=as_json)


@table.command("groove")
@click.argument("diameter_mm", type=Number())
@click.argument("width_mm", type=Number())
@click.argument("body_diameter_mm", type=Number())
@JSON
@guarded
def table_groove(
    diameter_mm: float, width_mm: float, body_diameter_mm: float, as_json: bool
) -> None:
    """Rank the rings for a radial groove: its bottom's diameter, width, and the body's diameter."""
    from bayonet.report.data import lookups

    rows = lookups.groove(diameter_mm, width_mm, body_diameter_mm)
    _printed(rows, as_json=as_json)


@table.command("gland")
@click.argument("section_mm", type=Number())
@click.option("--face", is_flag=True, help="Face seal; else radial.")
@JSON
@guarded
def table_gland(section_mm: float, face: bool, as_json: bool) -> None:
    """Show the printed static glands for a ring section."""
    from bayonet.report.data import lookups

    _printed(lookups.gland(section_mm, face=face), as_json=as_json)


@table.command("fit")
@click.argument("size_mm", type=Number())
@click.argument("classes")
@JSON
@guarded
def table_fit(size_mm: float, classes: str, as_json: bool) -> None:
    """Show ISO 286 limits of one class (H7), or of a fit and its clearance (H7/g6)."""
    from bayonet.report.data import lookups

    _printed(lookups.fit(size_mm, classes), as_json=as_json)


@table.command("general")
@click.argument("size_mm", type=Number())
@JSON
@guarded
def table_general(size_mm: float, as_json: bool) -> None:
    """Show ISO 2768-1 tolerances of a length, fine to very coarse."""
    from bayonet.report.data import lookups

    _printed(lookups.general(size_mm), as_json=as_json)


@table.command("elastomer")
@click.argument("name")
@JSON
@guarded
def table_elastomer(name: str, as_json: bool) -> None:
    """Show a ring compound's service range and expansion, for example NBR."""
    from bayonet.report.data import lookups

    _printed(lookups.elastomer(name), as_json=as_json)


@table.command("gap")
@click.argument("pressure_mpa", type=Number())
@click.option("--section", type=Number(), help="Section of the ring [mm]; else every inch section.")
@click.option("--elastomer", help="Compound, for example VMQ.")
@click.option("--celsius", type=Number(), help="Hottest state [deg C].")
@JSON
@guarded
def table_gap(
    pressure_mpa: float,
    section: float | None,
    elastomer: str | None,
    celsius: float | None,
    as_json: bool,
) -> None:
    """Show the gap a ring bridges at a pressure [MPa] without a back-up ring."""
    from bayonet.report.data import lookups

    found = lookups.gap(pressure_mpa, section_mm=section, elastomer=elastomer, celsius=celsius)
    _printed(found, as_json=as_json)


@table.command("material")
@click.argument("name", required=False)
@JSON
@guarded
def table_material(name: str | None, as_json: bool) -> None:
    """List body materials, or show every printed row of one, for example "316L stainless"."""
    from bayonet.report.data import lookups

    _printed(lookups.material(name), as_json=as_json)
