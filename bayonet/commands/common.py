"""What every command shares: arguments, words for errors, progress, exit codes."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from math import isfinite
from pathlib import Path
from typing import Any, NoReturn

import click

from bayonet import inputs
from bayonet.commands.boundary import BAD_INPUT
from bayonet.errors import MOST_TOLD, BayonetError, DesignError, ExportError
from bayonet.exchange import Run, write_whole

DESIGN = click.argument("design", type=click.Path(path_type=Path))
JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON for other programs.")
OUT = click.option(
    "--out", "folder", type=click.Path(path_type=Path), required=True, help="Folder to write to."
)
FORCE = click.option(
    "--force", is_flag=True, help="Replace inputs and files of your own that are in the way."
)
PROFILE = click.option(
    "--profile",
    "profile_file",
    type=click.Path(path_type=Path),
    help="Process profile of the printer; left out: [printer] profile in DESIGN, if there.",
)


LEAST_COLUMNS = 40
"""Below which no table can be set; a terminal that says less says nothing."""

_WRITTEN = ("folder", "out", "report", "file", "target")
"""Parameters that name what is written; other paths name what is read."""

_ON_SCREEN = ("as_json", "force", "all_of_it", "quiet", "explain")
"""Parameters that change nothing of what is written."""


class Number(click.FloatRange):
    """A finite number, within a range where one is given."""

    name = "number"

    def convert(self, value: Any, param: Any, ctx: Any) -> float:
        """Read it; NaN compares with nothing and would pass every range."""
        number = super().convert(value, param, ctx)
        if not isfinite(number):
            self.fail(f"{value!r} is not a finite number", param, ctx)
        return float(number)


PATIENCE = click.option(
    "--patience", type=Number(min=0.1, max=1000.0), default=1.0, show_default=True,
    help="Times the usual limits of time and memory for reading and building.",
)  # fmt: skip


def run_of(*more: Path | None) -> Run:
    """Who writes, from the command being run: its inputs, options, and whether it forces.

    Parameters
    ----------
    *more : Path or None
        Inputs the command line does not name, for instance those of a design file.
    """
    context = click.get_current_context()
    read: list[Path] = [one for one in more if one is not None]
    options: dict[str, Any] = {}
    for name, value in sorted(context.params.items()):
        several = value if isinstance(value, tuple) else (value,)
        if any(isinstance(one, Path) for one in several):
            read += [] if name in _WRITTEN else list(several)
        elif value is not None and name not in _ON_SCREEN:
            options[name] = value if isinstance(value, (str, int, float, bool)) else str(value)
    files = {one.resolve(): one for one in read if one.is_file()}
    return Run(
        command=context.info_name or "",
        inputs=tuple(sorted(files.values(), key=lambda one: one.name)),
        options=options,
        force=bool(context.params.get("force")),
        say=lambda text: click.echo(f"note: {text}", err=True),
    )


def console(*, least: int = LEAST_COLUMNS) -> Any:
    """Where tables are printed; as wide as the terminal says, if it says something usable."""
    from rich.console import Console

    made = Console(highlight=False, soft_wrap=False)
    if made.width < least:
        made = Console(highlight=False, soft_wrap=False, width=least)
    return made


def profile_path(design: Any, file: Path, given: Path | None) -> Path | None:
    """The printer's profile as asked for, else as the design file names it; None for neither."""
    named = design.spec.printer.profile
    if given is None and named is None:
        return None
    return given if given is not None else file.parent / named


def profile_of(design: Any, file: Path, given: Path | None) -> Any:
    """The same, read."""
    from bayonet.printing import printer_profile

    path = profile_path(design, file, given)
    return None if path is None else printer_profile.load(path)


def guarded(command: Callable[..., None]) -> Callable[..., None]:
    """Turn every error of the package into plain words and exit code 2."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        try:
            _refuse_names(kwargs)
            command(*args, **kwargs)
        except BayonetError as error:
            _refuse(error, as_json=bool(kwargs.get("as_json")))

    return run


def write_edited(design: Path, fields: Mapping[str, object], target: Path, run: Run) -> None:
    """A person's own file with some fields set, comments kept; it must read as a design again."""
    from bayonet.designfile import edited, explicit_field
    from bayonet.parts import load, loads

    def reads(text: str) -> None:
        loads(text.removeprefix("\ufeff"), file=str(target))

    units = load(design).units
    said = {
        name: None if value is None else explicit_field(name, value, units)
        for name, value in fields.items()
    }
    made = edited(design.read_bytes().decode("utf-8"), said, file=str(design))
    write_whole(target, made, run=run, check=reads)


def _refuse_names(given: dict[str, Any]) -> None:
    """Every path goes into reports and lists, which are UTF-8."""
    for value in given.values():
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, (str, Path)) and not inputs.is_valid_name(one):
                raise ExportError(f"{os.fsencode(one)!r}: is not UTF-8; give it another name")
            if isinstance(one, Path) and any(len(os.fsencode(p)) > 255 for p in one.parts):
                raise ExportError(f"{one.name[:60]}...: no name of a file is that long")


def _refuse(error: BayonetError, *, as_json: bool) -> NoReturn:
    problems = error.problems if isinstance(error, DesignError) else ()
    if as_json:
        rows = [vars(problem) for problem in problems] or [{"rule": str(error)}]
        click.echo(json.dumps({"verdict": "bad input", "problems": rows}, indent=1))
    elif problems:
        word = "problem" if len(problems) == 1 else "problems"
        click.echo(f"{len(problems)} {word}; nothing was written.", err=True)
        for problem in problems[:MOST_TOLD]:
            click.echo(f"  {problem}", err=True)
        if len(problems) > MOST_TOLD:
            click.echo(f"  and {len(problems) - MOST_TOLD} more", err=True)
    else:
        click.echo(f"error: {error}", err=True)
    sys.exit(BAD_INPUT)


def shown_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """``--all``, ``--quiet`` and ``--explain`` as `Show`, given to the command as ``shown``."""

    @click.option("--all", "all_of_it", is_flag=True, help="Every finding, assumption and caution.")
    @click.option("--quiet", is_flag=True, help="One line with the verdict, no progress.")
    @click.option("--explain", metavar="CODE", help="One finding: formula, numbers, what moves it.")
    @wraps(command)
    def run(*args: Any, all_of_it: bool, quiet: bool, explain: str | None, **kwargs: Any) -> None:
        command(*args, shown=Show(all_of_it=all_of_it, quiet=quiet, explain=explain), **kwargs)

    return run


@dataclass(frozen=True, kw_only=True)
class Show:
    """What of a result is printed for people: a screen, all, one line, or one finding."""

    all_of_it: bool
    quiet: bool
    explain: str | None

    def print(self, result: Any, *, next_step: str, written: Sequence[str] = ()) -> None:
        """Print it.

        Parameters
        ----------
        result : Result or alike
        next_step : str
            What to do next, where nothing fails.
        written : sequence of str
            Where files lie, a line each.
        """
        from bayonet.report.terminal import findings, screen

        if self.explain is not None:
            self._explain(result)
        elif self.quiet:
            click.echo(f"{result.verdict.value}: {screen.tally(result)}")
        elif self.all_of_it:
            findings.show(result, console())
            for line in written:
                click.echo(line)
        else:
            screen.show(result, console(), next_step=next_step, written=written)

    def _explain(self, result: Any) -> None:
        from bayonet.checks import explain
        from bayonet.report.terminal import explained

        assert self.explain is not None
        try:
            with bar(False, "moving each field") as tell:
                found = explain(result, self.explain, progress=tell)
        except KeyError as error:
            raise BayonetError(f"--explain {error.args[0]}") from error
        explained.show(found, console())


def progress(quiet: bool) -> Callable[[str], None]:
    """Say what is being done, on a terminal; silent where quiet or piped."""
    if quiet or not sys.stderr.isatty():
        return lambda _: None
    return lambda text: click.echo(f"... {text}", err=True)


@contextmanager
def bar(quiet: bool, what: str) -> Iterator[Callable[[float], None]]:
    """A bar for long sampling, on a terminal; nothing where quiet, piped, or soon over.

    Yields
    ------
    callable
        Takes the share done.
    """
    if quiet or not sys.stderr.isatty():
        yield lambda _: None
        return
    with click.progressbar(length=1000, label=what, file=sys.stderr) as shown:
        done = 0

        def tell(share: float) -> None:
            nonlocal done
            steps = int(1000 * share) - done
            if steps > 0:
                done += steps
                shown.update(steps)

        yield tell


def exit_code(result: Any) -> int:
    """1 where a finding fails, else 0."""
    return 1 if result.verdict.value == "fail" else 0


def quoted(path: Path) -> str:
    """A path as it must be typed into a shell: in double quotes where it has to be.

    Double quotes group words in the shells of Windows, macOS and Linux alike.

    Examples
    --------
    >>> quoted(Path("my valve.toml")), quoted(Path("ventil_ø.toml"))
    ('"my valve.toml"', 'ventil_ø.toml')
    """
    text = str(path)
    plain = all(sign.isalnum() or sign in "._-/\\:+,~" for sign in text)
    return text if plain else f'"{text}"'
