"""A cell: work on foreign geometry in a process of its own, with limits of time and memory.

The CAD kernel can die, hang or fill the memory over a damaged file, and it talks on standard
output. Nothing of that leaves the cell. A cell is no guard against a file made to do harm.
"""

from __future__ import annotations

import contextlib
import importlib
import os
import pickle
import queue
import signal
import subprocess
import sys
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, NoReturn, TypeVar

from bayonet.errors import BayonetError, KernelError

Progress = Callable[[str], None]
Made = TypeVar("Made")

_GB = 1e9
_LENGTH_BYTES = 8  # of the number that goes before each message
_SERVE = "from bayonet.cell import serve; serve()"


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What one stage of the work may take.

    Parameters
    ----------
    processor_s : float
        Processor time of a stage, all threads together [s]; where the system cannot limit it
        (Windows), only ``clock_s`` holds.
    clock_s : float
        Time by the clock of a stage [s]; more than the former, for a machine may be busy.
    memory_bytes : float
        Memory over what an idle kernel takes [byte]; limited on Linux only.
    """

    processor_s: float
    clock_s: float
    memory_bytes: float

    @classmethod
    def for_files(cls, *files: Path, patience: float = 1.0) -> Limits:
        """Limits for some input files: a share for any file, and more for a large one.

        The base is a choice: a damaged file must be refused within 20 s and 2 GB, the start of the
        process included, and a good one should not come near it.
        """
        size_mb = sum(_size_bytes(file) for file in files) / 1e6
        over = max(0.0, size_mb - _USUAL_MB)
        seconds = patience * (_USUAL_S + over * _USUAL_S / _USUAL_MB)
        memory = patience * (_USUAL_BYTES + over * _USUAL_BYTES / _USUAL_MB)
        return cls(processor_s=seconds, clock_s=_BUSY_TIMES * seconds, memory_bytes=memory)


_USUAL_MB = 10.0
_USUAL_S = 17.0
_USUAL_BYTES = 1.8 * _GB
_BUSY_TIMES = 8.0  # a stage on a machine that does seven other things at once


def call(
    function: Callable[..., Made],
    /,
    *arguments: Any,
    limits: Limits,
    doing: str,
    progress: Progress | None = None,
    **named: Any,
) -> Made:
    """Call a function in a process of its own.

    Parameters
    ----------
    function : callable
        Of a module's top level; arguments and result travel by `pickle`.
    *arguments, **named
        Its own.
    limits : Limits
        Of each stage; a stage ends where the next is told.
    doing : str
        What the first stage does, for the error: "reading tank.step".
    progress : callable or None
        Told of each stage. If given, ``function`` is given a ``progress`` too, which tells.

    Returns
    -------
    What the function returns.

    Raises
    ------
    KernelError
        If the process dies, or goes beyond a limit, or the kernel throws.
    Exception
        Whatever else the function raises, with its traceback there as a note.

    Examples
    --------
    >>> from pathlib import PurePosixPath
    >>> call(PurePosixPath, "a", "b", limits=Limits.for_files(), doing="joining").name
    'b'
    """
    request = pickle.dumps((function, arguments, named, limits, progress is not None))
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(one for one in sys.path if one)}
    child = subprocess.Popen(
        [sys.executable, "-c", _SERVE], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL, env=environment,
    )  # fmt: skip
    stage = doing
    try:
        messages = _messages(child, request)
        while True:
            try:
                kind, value = messages.get(timeout=limits.clock_s)
            except queue.Empty:
                raise _too_long(stage, limits.clock_s) from None
            if kind == "stage":
                stage = value
                if progress is not None:
                    progress(value)
            elif kind == "made":
                made: Made = value
                return made
            elif kind == "raised":
                raise value
            elif kind == "memory":
                raise _too_much(stage, limits)
            else:
                raise _died(stage, child.wait(), limits)
    finally:
        child.kill()
        child.wait()
        for stream in (child.stdin, child.stdout):
            with contextlib.suppress(OSError):
                assert stream is not None
                stream.close()


def _messages(child: subprocess.Popen[bytes], request: bytes) -> queue.Queue[tuple[str, Any]]:
    """Send the request; collect what comes back, and its end, on a thread."""
    found: queue.Queue[tuple[str, Any]] = queue.Queue()

    def listen() -> None:
        assert child.stdin is not None
        assert child.stdout is not None
        try:
            _send(child.stdin, request)  # stays open: its end tells the child that we are gone
            for message in _received(child.stdout):
                found.put(pickle.loads(message))
        except (OSError, ValueError, pickle.UnpicklingError, EOFError):
            pass  # it died in the middle of a word
        found.put(("end", None))

    threading.Thread(target=listen, daemon=True).start()
    return found


def _send(stream: IO[bytes], message: bytes) -> None:
    stream.write(len(message).to_bytes(_LENGTH_BYTES, "little") + message)
    stream.flush()


def _received(stream: IO[bytes]) -> Iterator[bytes]:
    while len(head := stream.read(_LENGTH_BYTES)) == _LENGTH_BYTES:
        length = int.from_bytes(head, "little")
        message = stream.read(length)
        if len(message) < length:
            return
        yield message


def _died(stage: str, code: int, limits: Limits) -> KernelError:
    if code < 0:
        number = -code
        if number == getattr(signal, "SIGXCPU", None):
            return _too_long(stage, limits.processor_s)
        why = signal.strsignal(number) or f"signal {number}"
        if number == getattr(signal, "SIGKILL", None):
            why += ", as when the memory runs out"
    else:
        why = f"code {code}"
    return KernelError(
        f"the CAD kernel died {stage} ({why}); the file is damaged, or holds what the kernel"
        " cannot bear: write it anew in the program it came from"
    )


def _too_long(stage: str, seconds: float) -> KernelError:
    return KernelError(
        f"the CAD kernel did not end {stage} within {seconds:.0f} s; the file is damaged, or"
        " needs a greater --patience"
    )


def _too_much(stage: str, limits: Limits) -> KernelError:
    return KernelError(
        f"the CAD kernel wanted more than {limits.memory_bytes / _GB:.1f} GB {stage}; the file is"
        " damaged, or needs a greater --patience"
    )


def _size_bytes(file: Path) -> int:
    try:
        return file.stat().st_size
    except OSError:
        return 0  # its reader says it better


# What follows runs in the cell.


def serve() -> None:
    """Do one piece of work and send what came of it: the whole life of a cell."""
    asked, told = _private_streams()
    function, arguments, named, limits, tells = pickle.loads(next(_received(asked)))
    threading.Thread(target=_die_with_parent, args=(asked,), daemon=True).start()
    limited = _Limited(limits)

    def stage(text: str) -> None:
        _send(told, pickle.dumps(("stage", text)))
        limited.begin_stage()

    if tells:
        named["progress"] = stage
    limited.begin_stage()
    try:
        answer: tuple[str, Any] = ("made", function(*arguments, **named))
    except MemoryError:
        answer = ("memory", None)
    except Exception as error:
        answer = ("raised", _sent(error))
    limited.lift()
    _send(told, pickle.dumps(answer))
    sys.stdout.flush()
    os._exit(0)  # the kernel's own end can die of what it read


def _private_streams() -> tuple[IO[bytes], IO[bytes]]:
    """Standard input and output for messages alone; whatever else is said goes nowhere."""
    asked = os.fdopen(os.dup(0), "rb")
    told = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_RDWR)
    for number in (0, 1, 2):
        os.dup2(nowhere, number)
    return asked, told


def _die_with_parent(asked: IO[bytes]) -> NoReturn:
    asked.read()
    os._exit(1)


def _sent(error: Exception) -> Exception:
    """An error that can travel: the kernel's own become the package's."""
    if type(error).__module__.partition(".")[0] == "OCP":
        words = str(error).strip() or "no reason given"
        return KernelError(f"the CAD kernel gave up: {type(error).__name__}: {words}")
    if not isinstance(error, BayonetError):
        error.add_note("in the cell:\n" + "".join(traceback.format_exception(error)))
    error.__cause__ = error.__context__ = None
    try:
        pickle.loads(pickle.dumps(error))
    except Exception:
        return RuntimeError("".join(traceback.format_exception(error)))
    return error


class _Limited:
    """The limits of this process, where the system has them."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._resource: Any = None
        with contextlib.suppress(ImportError):
            self._resource = importlib.import_module("resource")
        self._memory_set = False

    def begin_stage(self) -> None:
        """Grant a stage its processor time, and memory over what was taken at the first."""
        if self._resource is None:
            return
        self._set("RLIMIT_CPU", int(time.process_time() + self._limits.processor_s) + 1)
        taken = None if self._memory_set else _data_bytes()
        if taken is not None:
            self._memory_set = True
            self._set("RLIMIT_DATA", int(taken + self._limits.memory_bytes))

    def lift(self) -> None:
        """Take the limits away, to say what came of it."""
        if self._resource is not None:
            for name in ("RLIMIT_CPU", "RLIMIT_DATA"):
                self._set(name, self._resource.RLIM_INFINITY)

    def _set(self, name: str, value: int) -> None:
        number = getattr(self._resource, name)
        _, most = self._resource.getrlimit(number)
        if most != self._resource.RLIM_INFINITY:
            value = most if value == self._resource.RLIM_INFINITY else min(value, most)
        with contextlib.suppress(ValueError, OSError):  # a system without this limit
            self._resource.setrlimit(number, (value, most))


def _data_bytes() -> int | None:
    """Memory of this process that `RLIMIT_DATA` counts; None where the system does not tell."""
    try:
        status = Path("/proc/self/status").read_text("ascii", "replace")
    except OSError:
        return None
    rows = [line.split() for line in status.splitlines() if line.startswith("VmData:")]
    return 1024 * int(rows[0][1]) if rows else None
