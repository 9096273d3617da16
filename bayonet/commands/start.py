"""`bayonet measure` and `bayonet new`: from the plug in the hand to the first design file."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bayonet.commands.common import FORCE, OUT, guarded, quoted, run_of
from bayonet.errors import DesignError, UnitError
from bayonet.exchange import write_whole

if TYPE_CHECKING:
    from bayonet.jobs.usual import Paper
    from bayonet.measuring import Letter

SEALS = ("radial", "shoulder_face", "nose_face", "none")
UNITS = ("mm", "in")

SEAL = click.option(
    "--seal", type=click.Choice(SEALS), default="radial", show_default=True,
    help="Where the ring's groove is: round the body, in the shoulder's face, in the nose's"
    " face, or no ring at all.",
)  # fmt: skip
FORM = click.option("--form", default="block", show_default=True, help="Form of the lugs.")
UNIT = click.option(
    "--units", type=click.Choice(UNITS), default="mm", show_default=True,
    help="What is measured in.",
)  # fmt: skip

_PROCESSES = ("machined", "printed", "cast")
_MADE = ("moulded", "machined", "cast", "printed")
_GAUGES = ("calliper", "micrometer", "coordinate measuring machine", "drawing")


@click.command()
@click.argument("design", required=False, type=click.Path(path_type=Path))
@OUT
@SEAL
@FORM
@UNIT
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True,
    help="Size of the pages.",
)  # fmt: skip
@FORCE
@guarded
def measure(
    design: Path | None,
    folder: Path,
    seal: str,
    form: str,
    units: str,
    paper: Paper,
    force: bool,  # noqa: ARG001 - read by run_of
) -> None:
    """Write a sheet to print and measure a plug with; of DESIGN, the sketch is that plug's."""
    from bayonet.jobs.measure import measure as write
    from bayonet.parts import load

    plug = None if design is None else load(design).plug
    made = write(folder, plug=plug, seal=seal, form=form, units=units, paper=paper, run=run_of())
    click.echo(f"Wrote to {folder}: {', '.join(made)}.")
    click.echo(f"Next: print {folder / 'measuring_sheet.pdf'} at 100 %, fill it in, then")
    click.echo(f"  bayonet new my_plug.toml --ask{_as_asked(seal, form, units)}")


def _as_asked(seal: str, form: str, units: str) -> str:
    usual = (("seal", seal, "radial"), ("form", form, "block"), ("units", units, "mm"))
    return "".join(f" --{name} {value}" for name, value, left_out in usual if value != left_out)


@click.command()
@click.argument("design", type=click.Path(path_type=Path))
@click.option("--ask", is_flag=True, help="Ask for the plug's dimensions, letter by letter.")
@SEAL
@FORM
@UNIT
@guarded
def new(design: Path, ask: bool, seal: str, form: str, units: str) -> None:
    """Write a commented starting file to DESIGN."""
    from bayonet.exchange import Run, refuse_file
    from bayonet.measuring import starting_file

    refuse_file(design, Run())  # nobody is asked for answers that cannot be kept
    if ask:
        text = _asked(seal, form, units)
        write_whole(design, text)
        click.echo(f"Wrote {design}.")
        click.echo(f"Next: bayonet check {quoted(design)}")
        return
    write_whole(design, starting_file(seal=seal, form=form, units=units))
    click.echo(f"Wrote {design}. Put your measurements in, then: bayonet check {quoted(design)}")


def _asked(seal: str, form: str, units: str) -> str:
    """The file from answers; asks again for what does not go together."""
    from bayonet.designfile import explicit_field
    from bayonet.measuring import fields_of, letters_of, starting_file
    from bayonet.parts import loads

    letters = letters_of(seal)
    click.echo(_HOW)
    fields: dict[str, Any] = {
        "design.name": click.prompt("Name of the design", default="My valve"),
        "plug.measured_with": _choice("Measured with", _GAUGES),
        "plug.made_by": _choice("How plugs are made", _MADE),
        "socket.process": _choice("How the socket will be made", _PROCESSES),
    }
    if seal.endswith("face"):
        fields["socket.seal.ring"] = None
    answers: dict[str, Any] = {}
    first = units
    told: dict[str, str] = {}
    wanted = letters
    while True:
        units = _ask_letters(wanted, answers, told, units)
        made = {**fields, **fields_of(answers, letters)}
        given = {name: explicit_field(name, one, first) for name, one in made.items()}
        text = starting_file(seal=seal, form=form, units=first, fields=given)
        try:
            loads(text)
        except DesignError as error:
            wanted = _faulty(error, letters)
            continue
        return text


_HOW = (
    "Each question has the letter of the measuring sheet (bayonet measure --out DIR).\n"
    "Answer with a number (32.05), a number with its unit (1.26 in, 1 1/4 in), several readings\n"
    "(32.02 31.98 32.00), a rough value (32 +- 0.5), or unknown. The unit is remembered."
)


def _choice(words: str, legal: tuple[str, ...]) -> str:
    kind = click.Choice(legal)
    return str(click.prompt(words, type=kind, default=legal[0], show_choices=True))


def _ask_letters(
    letters: tuple[Letter, ...], answers: dict[str, Any], told: dict[str, str], unit: str
) -> str:
    """Ask for letters into ``answers``; ``told`` keeps the words as defaults for a second round."""
    for one in letters:
        asked = (f"{one.letter}1", f"{one.letter}2") if one.kind == "lead" else (one.letter,)
        for name in asked:
            unit = _ask_one(name, one, answers, told, unit)
    return unit


def _ask_one(
    name: str, one: Letter, answers: dict[str, Any], told: dict[str, str], unit: str
) -> str:
    from bayonet.measuring import answer

    shown = {"length": unit, "lead": unit, "angle": "deg", "count": "number", "hand": "right/left"}
    while True:
        words = f"{name:<2} {one.asks} [{shown[one.kind]}]"
        before = told.get(name, None if one.is_needed else "unknown")
        text = str(click.prompt(words, default=before, show_default=before is not None))
        try:
            read = answer(text, one, unit=unit)
        except UnitError as error:
            click.echo(f"   {error}")
            continue
        if read.value is None and one.is_needed:
            click.echo(f"   Needed. {one.how} Or give a rough value, for instance 32 +- 0.5.")
            continue
        answers[name], told[name] = read.value, text
        return read.unit


def _faulty(error: DesignError, letters: tuple[Letter, ...]) -> tuple[Letter, ...]:
    """The letters to ask for again: those of the fields at fault, or all."""
    click.echo("That does not go together:")
    found = []
    for problem in error.problems:
        click.echo(f"  {problem.field}: {problem.rule}")
        with contextlib.suppress(StopIteration):
            found.append(next(one for one in letters if problem.field.startswith(one.field)))
    found = [one for one in letters if one in found]
    click.echo("Asked again; Enter keeps an answer." if found else "Asked again from the start.")
    return tuple(found) or letters
