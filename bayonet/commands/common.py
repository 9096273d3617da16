"""What every command shares: arguments, words for errors, progress, exit codes."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import Any, NoReturn

import click

from bayonet.errors import BayonetError, DesignError

DESIGN = click.argument("design", type=click.Path(path_type=Path))
JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON for other programs.")
OUT = click.option(
    "--out", "folder", type=click.Path(path_type=Path), required=True, help="Folder to write to."
)
PROFILE = click.option(
    "--profile",
    "profile_file",
    type=click.Path(path_type=Path),
    help="Process profile of the printer; left out: [printer] profile in DESIGN, if there.",
)

PATIENCE = click.option(
    "--patience", type=click.FloatRange(min=0.1, max=1000.0), default=1.0, show_default=True,
    help="Times the usual limits of time and memory for reading and building.",
)  # fmt: skip


def profile_of(design: Any, file: Path, given: Path | None) -> Any:
    """The printer's profile as asked for, else as the design file names it; None for neither."""
    from bayonet.printing import printer_profile

    named = design.spec.printer.profile
    if given is None and named is None:
        return None
    return printer_profile.load(given if given is not None else file.parent / named)


def guarded(command: Callable[..., None]) -> Callable[..., None]:
    """Turn every error of the package into plain words and exit code 2."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        try:
            command(*args, **kwargs)
        except BayonetError as error:
            _refuse(error, as_json=bool(kwargs.get("as_json")))

    return run


def _refuse(error: BayonetError, *, as_json: bool) -> NoReturn:
    problems = error.problems if isinstance(error, DesignError) else ()
    if as_json:
        rows = [vars(problem) for problem in problems] or [{"rule": str(error)}]
        click.echo(json.dumps({"verdict": "bad input", "problems": rows}, indent=1))
    elif problems:
        word = "problem" if len(problems) == 1 else "problems"
        click.echo(f"{len(problems)} {word}; nothing was written.", err=True)
        for problem in problems:
            click.echo(f"  {problem}", err=True)
    else:
        click.echo(f"error: {error}", err=True)
    sys.exit(2)


def show(result: Any) -> None:
    """Print findings as a table for people."""
    from rich.console import Console

    from bayonet.report.terminal import findings

    findings.show(result, Console(highlight=False, soft_wrap=False))


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
