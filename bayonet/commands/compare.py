"""`bayonet compare`: several designs, or variants of one, side by side."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bayonet.commands.common import FORCE, JSON, bar, console, guarded, run_of
from bayonet.errors import ExportError

if TYPE_CHECKING:
    from bayonet.errors import DesignError
    from bayonet.parts import Design

_MOST_STEPS = 24


@click.command()
@click.argument(
    "files", metavar="DESIGN...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option(
    "--vary", multiple=True, metavar="FIELD=VALUES",
    help="A field of one DESIGN and its values: plug.lugs.count=2..6, socket.wall=3..5/0.5, or"
    " socket.process=machined,cast. Several give every combination.",
)  # fmt: skip
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), help="Folder for a page with pictures."
)
@FORCE
@JSON
@guarded
def compare(
    files: tuple[Path, ...],
    vary: tuple[str, ...],
    folder: Path | None,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
) -> None:
    """Put designs side by side: what differs in input, verdicts, sizes, margins, yield, load."""
    from bayonet.checks import compare as put
    from bayonet.jobs.compare import write
    from bayonet.report.terminal import compared

    designs = _designs(files, vary)
    try:
        with bar(as_json, "checking") as tell:
            found = put(designs, progress=tell)
    except ValueError as error:
        raise ExportError(str(error)) from error
    if folder is not None:
        names = write(found, folder, run=run_of())
    if as_json:
        click.echo(json.dumps(_rows(found), indent=1, ensure_ascii=False))
        return
    compared.show(found, console())
    if folder is not None:
        click.echo(f"Wrote to {folder}: {', '.join(names)}.")


def _rows(found: Any) -> dict[str, Any]:
    keys = ("about", "key", "meaning", "unit", "values")
    lines = [{key: getattr(one, key) for key in keys} for one in found.lines]
    return {"designs": list(found.names), "problems": list(found.problems), "lines": lines}


def _designs(files: Sequence[Path], vary: Sequence[str]) -> dict[str, Design | DesignError]:
    from bayonet.checks import variants
    from bayonet.parts import load

    if not vary:
        stems = [file.stem for file in files]
        named = stems if len(set(stems)) == len(stems) else [str(file) for file in files]
        return {name: load(file) for name, file in zip(named, files, strict=True)}
    if len(files) > 1:
        raise ExportError("--vary: give one design file")
    fields = dict(_varied(one) for one in vary)
    return variants(load(files[0]), fields)


def _varied(text: str) -> tuple[str, list[Any]]:
    """A field and its values from ``field=2..6``, ``field=3..5/0.5`` or ``field=a,b``."""
    field, equals, values = text.partition("=")
    if not (equals and field.strip() and values.strip()):
        raise ExportError(f"--vary {text}: write FIELD=VALUES, as in plug.lugs.count=2..6")
    span, _, step = values.partition("/")
    low, dots, high = span.partition("..")
    if not dots:
        return field.strip(), [_value(one.strip()) for one in values.split(",")]
    start, end, by = (_value(one.strip()) for one in (low, high, step or "1"))
    if any(isinstance(one, str) for one in (start, end, by)) or not (by > 0 and end >= start):
        raise ExportError(f"--vary {text}: write numbers, the lesser first, as in 3..5/0.5")
    count = int((end - start) / by + 1e-9) + 1
    if count > _MOST_STEPS:
        raise ExportError(f"--vary {text}: {count} values; give at most {_MOST_STEPS}")
    return field.strip(), [_rounded(start + number * by) for number in range(count)]


def _rounded(value: float) -> float | int:
    return value if isinstance(value, int) else float(f"{value:.12g}")


def _value(text: str) -> Any:
    for kind in (int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text
