"""Where the program meets the world: exit codes, crashes, Ctrl-C, closed pipes, poor terminals.

0 nothing fails; 1 a finding fails; 2 bad input, or nothing could be written; 70 an error of the
program itself; 130 interrupted.
"""

from __future__ import annotations

import codecs
import contextlib
import errno
import hashlib
import os
import sys
import unicodedata
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import IO, Any, NoReturn

import click

from bayonet import inputs

BAD_INPUT, INTERNAL, INTERRUPTED, CLOSED = 2, 70, 130, 141
"""Exit codes; 70 is EX_SOFTWARE of sysexits.h, 130 and 141 are 128 + SIGINT and SIGPIPE, as shells
count: never 0, for what was cut off has not told that nothing fails."""

CODES = (
    "Exit codes: 0 nothing fails; 1 a finding fails; 2 bad input, or nothing could be written;"
    " 70 an error of the program itself, kept in a crash file; 130 interrupted;"
    " 141 the output was closed."
)

_PLAIN = {
    "Ø": "dia ", "±": "+/-", "°": " deg", "µ": "u", "μ": "u", "×": "x", "·": ".", "–": "-",
    "—": "-", "−": "-", "≥": ">=", "≤": "<=", "≈": "~", "→": "->", "²": "2", "³": "3", "…": "...",
    "σ": "s", "Δ": "d", "θ": "theta", "“": '"', "”": '"', "‘": "'", "’": "'", "✓": "ok", "✗": "x",
    "─": "-", "━": "-", "│": "|", "█": "#",
}  # fmt: skip
"""Signs the program prints, for an output that lacks them."""

_INPUT_BYTES = 50_000_000
_PLAINLY = "bayonet-plainly"


def plainly(error: UnicodeError) -> tuple[str, int]:
    """Codec error handler: a sign the output lacks as letters it has.

    Examples
    --------
    >>> "Ø 5 ± 0.1 µm 漢".encode("ascii", "bayonet-plainly")
    b'dia  5 +/- 0.1 um ?'
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    said = []
    for char in error.object[error.start : error.end]:
        bare = _PLAIN.get(char) or unicodedata.normalize("NFKD", char)
        said.append("".join(one for one in bare if one.isascii()) or "?")
    return "".join(said), error.end


codecs.register_error(_PLAINLY, plainly)


class Program(click.Group):
    """A command group at the edge of the program."""

    def main(  # type: ignore[override]  # the parent's overloads say the same
        self, args: Sequence[str] | None = None, *, standalone_mode: bool = True, **extra: Any
    ) -> Any:
        """Run; ends the process with one of the exit codes."""
        if not standalone_mode:
            return super().main(args, standalone_mode=False, **extra)
        words = list(sys.argv[1:] if args is None else args)
        with _edge(words):
            _poor_output(sys.stdout)
            _poor_output(sys.stderr)
            done = super().main(args, standalone_mode=False, **extra)
            sys.stdout.flush()
        sys.exit(done if isinstance(done, int) else 0)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; what read our output may have had enough."""
        try:
            done = super().invoke(ctx)
            sys.stdout.flush()
        except OSError as error:
            if error.errno == errno.EPIPE:
                _end(CLOSED)
            raise
        return done


def _poor_output(stream: IO[str]) -> None:
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure is not None:
        with contextlib.suppress(OSError, ValueError):
            reconfigure(errors=_PLAINLY)


@contextlib.contextmanager
def _edge(words: Sequence[str]) -> Iterator[None]:
    try:
        yield
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except (KeyboardInterrupt, click.Abort):
        click.echo("interrupted", err=True)
        _end(INTERRUPTED)
    except MemoryError:
        click.echo("error: the memory does not suffice; nothing was written", err=True)
        sys.exit(INTERNAL)
    except OSError as error:
        if error.errno == errno.EPIPE:
            _end(CLOSED)
        _crash(error, words)
    except Exception as error:
        _crash(error, words)


def _end(code: int) -> NoReturn:
    """End without a word more, even from buffers that can no longer be written."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(Exception):
            stream.flush()
    with contextlib.suppress(Exception):
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, sys.stdout.fileno())
    sys.exit(code)


def _crash(error: BaseException, words: Sequence[str]) -> NoReturn:
    import tempfile

    text = crash_text(error, words)
    told = f"internal error: {type(error).__name__}: {' '.join(str(error).split())}"[:300]
    try:
        kept = tempfile.gettempdir()
        name = f"bayonet-crash-{hashlib.sha256(text.encode()).hexdigest()[:12]}.txt"
        handle, path = tempfile.mkstemp(prefix=name[:-4] + "-", suffix=".txt", dir=kept)
        with os.fdopen(handle, "w", encoding="utf-8", errors="replace") as stream:
            stream.write(text)
        where = f"kept in {path}"
    except OSError as other:
        where = f"no crash file could be written ({other.strerror})"
    click.echo(f"{told}; this is a fault of the program, not of your input; {where}", err=True)
    sys.exit(INTERNAL)


def crash_text(error: BaseException, words: Sequence[str]) -> str:
    """What a maintainer needs: version, words of the command, sums of the inputs, traceback."""
    import platform
    import traceback

    from bayonet import __version__

    lines = [f"bayonet {__version__}, Python {platform.python_version()}"]
    lines.append(f"command: {' '.join(map(repr, words))}")
    for word in words:
        with contextlib.suppress(OSError, ValueError):
            data = inputs.content(word, most_bytes=_INPUT_BYTES, what="an input")
            lines.append(f"sha-256 of {Path(word).name!r}: {hashlib.sha256(data).hexdigest()}")
    return "\n".join([*lines, "", *traceback.format_exception(error)])
