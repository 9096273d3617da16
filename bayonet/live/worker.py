"""A process that does the work and may die: its death is a message, and the next call a new one.

One job at a time; a job nobody wants any longer ends at its next message.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import threading
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from typing import Any

from bayonet.errors import BayonetError, KernelError

Job = Callable[..., Iterator[dict[str, Any]]]

ENOUGH = "enough"
_LOOK_S = 0.01  # between looks whether a job is still wanted
_PATIENCE_S = 300.0


def serve(line: Connection) -> None:
    """Do jobs from a connection until it closes."""
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)  # the kernel talks on standard output
    while True:
        try:
            asked = line.recv()
        except (EOFError, OSError, KeyboardInterrupt):
            return
        if asked == ENOUGH:  # came after the job had ended
            continue
        job, arguments = asked
        try:
            for message in job(*arguments):
                line.send(("message", message))
                if line.poll():  # only this comes while a job runs
                    line.recv()
                    break
            line.send(("end", None))
        except BayonetError as error:
            line.send(("raised", error))
        except Exception as error:  # a fault of the program: told, not hidden
            line.send(("fault", f"{type(error).__name__}: {error}"))


class Worker:
    """Runs jobs of `bayonet.live.work` in a process of its own.

    Parameters
    ----------
    patience_s : float
        Longest silence of a job before it is given up [s].
    """

    def __init__(self, *, patience_s: float = _PATIENCE_S) -> None:
        self._lock = threading.Lock()
        self._patience_s = patience_s
        self._process: SpawnProcess | None = None
        self._line: Connection | None = None

    def stream(
        self, job: Job, *arguments: Any, wanted: Callable[[], bool] = lambda: True
    ) -> Iterator[dict[str, Any]]:
        """Messages of a job as they come.

        Parameters
        ----------
        job : callable
            Of a module's top level; yields messages.
        *arguments
            Its own; travel by `pickle`.
        wanted : callable
            Looked at again and again; where it says no, the job is dropped.

        Raises
        ------
        KernelError
            If the process dies or is silent for too long.
        BayonetError
            Whatever else the job raises on purpose.
        """
        with self._lock:
            if not wanted():
                return
            line = self._open()
            try:
                line.send((job, arguments))
                yield from self._messages(line, wanted)
            except (EOFError, BrokenPipeError, ConnectionError) as error:
                self.close()
                raise KernelError("the process at work died over this; nothing is lost") from error

    def _messages(self, line: Connection, wanted: Callable[[], bool]) -> Iterator[dict[str, Any]]:
        """Messages until the job ends; a job not wanted is told so and heard out in silence."""
        told, ended, silent_s = False, False, 0.0
        try:
            while not ended:
                if not told and not wanted():
                    line.send(ENOUGH)
                    told = True
                if not line.poll(_LOOK_S):
                    silent_s += _LOOK_S
                    if silent_s > self._patience_s:
                        raise KernelError(f"nothing came in {self._patience_s:g} s: given up")
                    continue
                kind, value = line.recv()
                silent_s, ended = 0.0, kind != "message"
                if kind == "raised" and not told:
                    raise value
                if kind == "fault" and not told:
                    raise KernelError(f"a fault of the program, not of your input: {value}")
                if kind == "message" and not told and wanted():
                    yield value
        finally:
            if not ended:  # who listened has gone, or nothing came: begin anew
                self.close()

    def _open(self) -> Connection:
        if self._process is None or not self._process.is_alive() or self._line is None:
            self.close()
            context = multiprocessing.get_context("spawn")
            ours, theirs = context.Pipe()
            self._process = context.Process(target=serve, args=(theirs,), daemon=True)
            self._process.start()
            theirs.close()
            self._line = ours
        return self._line

    def kill(self) -> None:
        """End the process at once, as a crash would."""
        if self._process is not None:
            self._process.kill()

    def close(self) -> None:
        """End the process; the next job starts a new one."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
        if self._line is not None:
            with contextlib.suppress(OSError):
                self._line.close()
        self._process = self._line = None
