"""`bayonet scan`: from scans of the plug to its description, a comparison, or its production."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bayonet.commands.common import JSON, guarded, progress
from bayonet.errors import ExportError, ScanError
from bayonet.exchange import write_whole

if TYPE_CHECKING:
    from bayonet.scan.describe import Comparison, KnownPlug, Population
    from bayonet.scan.fit import ScanResult
    from bayonet.scan.read import ScanPoints

_FEW = 5_000
Read = tuple["ScanPoints", "ScanResult"]


@click.command()
@click.argument("files", type=click.Path(path_type=Path), nargs=-1, required=True)
@click.option("--units", type=click.Choice(["mm", "in", "cm", "m"]), help="Unit of the files.")
@click.option("--out", type=click.Path(path_type=Path), help="Plug description to write (.toml).")
@click.option(
    "--report",
    type=click.Path(path_type=Path),
    help="Folder for the page and its pictures, or one .html file.",
)
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    help="Design file to compare with; exit code 1 where the part differs.",
)
@JSON
@guarded
def scan(
    files: tuple[Path, ...],
    units: str | None,
    out: Path | None,
    report: Path | None,
    against: Path | None,
    as_json: bool,
) -> None:
    """Measure the plug in scans: STL, PLY, OBJ, E57, or tables of points.

    One file gives the plug's dimensions with their uncertainty. Several are taken as samples of
    one production: mean, scatter, and limits for the tolerance chains.
    """
    told = progress(as_json)
    _refuse_early(out, report, against, files)
    reference = _loaded(against)
    read = [_measured(file, units, told) for file in files]
    population = _population(read) if len(read) > 1 else None
    comparison = _compared(read, population, reference)
    text = _description(read, population) if out is not None else None
    written = _write(read, population, comparison, out=out, text=text, report=report, told=told)
    _print(read, population, comparison, written=written, as_json=as_json)
    if comparison is not None and comparison.verdict == "differs":
        raise SystemExit(1)


def _refuse_early(
    out: Path | None, report: Path | None, against: Path | None, files: Sequence[Path]
) -> None:
    """What would only come out after minutes of work."""
    if out is not None and (out.is_dir() or out.suffix.lower() != ".toml"):
        raise ExportError(f"{out}: name a file that ends in .toml")
    if out is not None and not out.parent.is_dir():
        raise ExportError(f"{out}: its folder {out.parent} does not exist")
    taken = [one for one in (*files, against) if one is not None]
    for target in (out, report):
        if target is not None and any(_same(target, one) for one in taken):
            raise ExportError(f"{target}: is also to be read; choose another name")
    if len({file.resolve() for file in files}) < len(files):
        raise ScanError("the same scan is named twice; it says nothing of other samples")


def _same(one: Path, other: Path) -> bool:
    return one.resolve() == other.resolve()


def _loaded(against: Path | None) -> KnownPlug | None:
    if against is None:
        return None
    from bayonet.parts import load
    from bayonet.scan.describe import known

    return known(load(against))


def _measured(file: Path, units: str | None, told: Callable[[str], None]) -> Read:
    from bayonet.scan import fit
    from bayonet.scan.read import read

    points = read(file, units=units, progress=told)
    try:
        return points, fit(points, progress=told)
    except ScanError as error:
        few = f"; {len(points.xyz_mm)} points, few" if len(points.xyz_mm) < _FEW else ""
        raise ScanError(f"{error} (read as: {points.unit_note}{few})") from error


def _population(read: Sequence[Read]) -> Population:
    from bayonet.scan.describe import pooled

    (first_points, first), *others = read
    for points, result in others:
        for name in ("lugs", "groove", "sides"):
            one, other = getattr(first, name), getattr(result, name)
            if one != other:
                raise ScanError(
                    f"{points.name}: shows {name} {other}, {first_points.name} shows {one}: not"
                    " samples of one plug"
                )
    return pooled([result.features for _, result in read], lugs=first.lugs)


def _mean_result(read: Sequence[Read], population: Population | None) -> ScanResult:
    """The first result, with means over all samples where there are several."""
    first = read[0][1]
    if population is None:
        return first
    means = {row.key: row for row in population.rows}
    features = tuple(
        dataclasses.replace(one, value=means[one.key].mean, u=means[one.key].u)
        if one.key in means
        else one
        for one in first.features
    )
    return dataclasses.replace(first, features=features)


def _compared(
    read: Sequence[Read], population: Population | None, reference: KnownPlug | None
) -> Comparison | None:
    if reference is None:
        return None
    from bayonet.scan.describe import compared

    result = _mean_result(read, population)
    return compared(
        result.features, reference, lugs=result.lugs, hand=result.hand, groove=result.groove
    )


def _description(read: Sequence[Read], population: Population | None) -> str:
    from bayonet.scan.describe import described, spread_table

    points = read[0][0]
    text = described(_mean_result(read, population), points)
    return text if population is None else f"{text.rstrip()}\n\n{spread_table(population)}"


def _write(
    read: Sequence[Read],
    population: Population | None,
    comparison: Comparison | None,
    *,
    out: Path | None,
    text: str | None,
    report: Path | None,
    told: Callable[[str], None],
) -> list[str]:
    """Report first, then the description: it appears only if everything else is there."""
    written = []
    if report is not None:
        told("drawing the report")
        written += _write_report(read, population, comparison, report)
    if out is not None and text is not None:
        write_whole(out, text)
        written.append(str(out))
    return written


def _write_report(
    read: Sequence[Read], population: Population | None, comparison: Comparison | None, report: Path
) -> list[str]:
    from bayonet.exchange import appearing_in
    from bayonet.report.documents import scan as scan_page
    from bayonet.report.sheets import scan as scan_pictures

    points, result = read[0]
    name = Path(points.name).name
    as_file = report.suffix.lower() in (".html", ".htm")
    with (
        tempfile.TemporaryDirectory() as aside,
        appearing_in(report.parent if as_file else report) as folder,
    ):
        pictures = Path(aside) if as_file else folder
        scan_pictures.write(result, pictures, name=name)
        scan_page.write(
            _mean_result(read, population), pictures, name=name, unit_note=points.unit_note,
            comparison=comparison, population=population,
        )  # fmt: skip
        if as_file:
            page = (pictures / scan_page.NAME).read_bytes()
            (folder / report.name).write_bytes(page)
            return [str(report)]
        return [str(report / file.name) for file in sorted(folder.iterdir())]


def _print(
    read: Sequence[Read],
    population: Population | None,
    comparison: Comparison | None,
    *,
    written: Sequence[str],
    as_json: bool,
) -> None:
    from bayonet.report.terminal import scan as scan_table

    rows = [(points.name, points.unit_note, result) for points, result in read]
    if as_json:
        text = scan_table.as_json(rows, comparison=comparison, population=population, files=written)
        click.echo(text, nl=False)
        return
    from rich.console import Console

    console = Console(highlight=False, soft_wrap=False)
    scan_table.show(rows, comparison=comparison, population=population, console=console)
    for file in written:
        click.echo(f"Wrote {file}")
