"""`bayonet scan`: from scans of the plug to its description, a comparison, or its production."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bayonet.commands.common import FORCE, JSON, console, guarded, progress, run_of
from bayonet.errors import DesignError, ExportError, ScanError
from bayonet.exchange import Run, refuse_file, refuse_folder, write_whole

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
@FORCE
@JSON
@guarded
def scan(
    files: tuple[Path, ...],
    units: str | None,
    out: Path | None,
    report: Path | None,
    against: Path | None,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
) -> None:
    """Measure the plug in scans: STL, PLY, OBJ, E57, or tables of points.

    One file gives the plug's dimensions with their uncertainty. Several are taken as samples of
    one production: mean, scatter, and limits for the tolerance chains.
    """
    told = progress(as_json)
    run = run_of()
    _refuse_early(out, report, files, run)
    reference = _loaded(against)
    read = [_measured(file, units, told) for file in files]
    population = _population(read) if len(read) > 1 else None
    comparison = _compared(read, population, reference)
    text = _description(read, population) if out is not None else None
    written = _write(
        read, population, comparison, out=out, text=text, report=report, run=run, told=told
    )
    _print(read, population, comparison, written=written, as_json=as_json)
    if comparison is not None and comparison.verdict == "differs":
        raise SystemExit(1)


def _refuse_early(out: Path | None, report: Path | None, files: Sequence[Path], run: Run) -> None:
    """What would only come out after minutes of work."""
    if out is not None:
        if out.is_dir() or out.suffix.lower() != ".toml":
            raise ExportError(f"{out}: name a file that ends in .toml")
        refuse_file(out, run)
    if report is not None:
        if _is_page(report):
            refuse_file(report, run)
        else:
            refuse_folder(report, run=run)
    if len({file.resolve() for file in files}) < len(files):
        raise ScanError("the same scan is named twice; it says nothing of other samples")


def _is_page(report: Path) -> bool:
    return report.suffix.lower() in (".html", ".htm")


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
    run: Run,
    told: Callable[[str], None],
) -> list[str]:
    """Report first, then the description: it appears only if everything else is there."""
    written = []
    if report is not None:
        told("drawing the report")
        written += _write_report(read, population, comparison, report, run)
    if out is not None and text is not None:
        write_whole(out, text, run=run, check=_reads)
        written.append(str(out))
    return written


def _reads(text: str) -> None:
    """Whether a description just written is one: what is left open in it is the user's to fill."""
    from bayonet.parts import loads

    try:
        loads(text)
    except DesignError as error:
        wrong = [one for one in error.problems if "missing" not in one.rule]
        if any(one.field == "(file)" for one in wrong):
            raise ExportError(f"the description does not hold when read again: {error}") from error


def _write_report(
    read: Sequence[Read],
    population: Population | None,
    comparison: Comparison | None,
    report: Path,
    run: Run,
) -> list[str]:
    from bayonet.exchange import appearing_in
    from bayonet.report.documents import scan as scan_page
    from bayonet.report.sheets import scan as scan_pictures

    points, result = read[0]
    name = Path(points.name).name

    def drawn(folder: Path) -> Path:
        scan_pictures.write(result, folder, name=name)
        scan_page.write(
            _mean_result(read, population), folder, name=name, unit_note=points.unit_note,
            comparison=comparison, population=population,
        )  # fmt: skip
        return folder / scan_page.NAME

    if _is_page(report):
        with tempfile.TemporaryDirectory() as aside:
            write_whole(report, drawn(Path(aside)).read_text("utf-8"), run=run)
        return [str(report)]
    with appearing_in(report, run=run) as folder:
        drawn(folder)
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
    scan_table.show(rows, comparison=comparison, population=population, console=console())
    for file in written:
        click.echo(f"Wrote {file}")
