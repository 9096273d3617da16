"""STEP files of tanks broken on purpose; each is read in a process of its own, as the cell does.

What is taken must be the tank as it was: a broken number that changes a solid is not to pass.
"""

from __future__ import annotations

import os
import pickle
import re
import resource
import signal
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np
import tanks

from bayonet.errors import BayonetError, TankError
from bayonet.solids.graft import tank
from bayonet.solids.graft.whole import LOOSEST_MM

MOST_PROCESSOR_S = 17
MOST_BYTES = 3_000_000_000  # of address space: the kernel's own libraries take about one
_SEEN_MM = 2.0 * LOOSEST_MM
"""A size that differs by more is seen: each of two walls may lie off by such a gap."""

_WORDS = (
    b"nan",
    b"1.E400",
    b"-1",
    b"99999999999999",
    b"$",
    b"*",
    b"''",
    b"()",
    b"#1",
    b"\0",
    b"ADVANCED_FACE",
    b"/*",
    b"'",
    b";",
    b"\x1b[2J",
    b"9" * 3000,
    b".T.",
    b"\xff",
)
_NUMBER = re.compile(rb"(?<=[(,])[+-]?\d+\.\d*(?:E[+-]?\d+)?(?=[,)])")
_REFERENCE = re.compile(rb"(?<=[(,])#\d+(?=[,)])")
_STATEMENT = re.compile(rb"#\d+ = ?[^;]*;\n")
_FREE = rb"COLOUR_RGB|UNCERTAINTY|MEASURE_WITH_UNIT|FILE_|CURVE_STYLE"
"""Statements whose numbers shape no face."""


@dataclass(frozen=True)
class Case:
    """A broken file, and which sound one it was."""

    sound: str
    data: bytes = field(repr=False)
    may_move: bool
    """Whether what was broken may rightly give another tank: a name, a placement, a unit."""

    def __str__(self) -> str:
        """The first place where it differs from the sound file."""
        was = sound(self.sound)
        at = next((i for i, (a, b) in enumerate(zip(was, self.data, strict=False)) if a != b), 0)
        return (
            f"{self.sound}: {was[max(0, at - 60) : at + 30]!r} is {self.data[at - 10 : at + 30]!r}"
        )


@cache
def sound(name: str) -> bytes:
    """A sound file: flat and round walls in an assembly, a dome, a free-form wall."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "sound.step"
        if name == "plant":
            whole = cq.Assembly(name="plant")
            whole.add(tanks.box(), name="vessel", color=cq.Color(0.2, 0.4, 0.6))
            bracket = cq.Workplane().box(20, 30, 40)
            whole.add(bracket, name="left", loc=cq.Location(cq.Vector(400, 0, 0)))
            whole.add(bracket, name="right", loc=cq.Location(cq.Vector(-400, 0, 0)))
            whole.export(str(file), exportType="STEP")
        else:
            made = tanks.vessel() if name == "vessel" else tanks.free_form()
            cq.exporters.export(cq.Workplane(obj=made), str(file))
        return file.read_bytes()


NAMES = ("plant", "vessel", "free form")


def broken(rng: np.random.Generator, number: int) -> Case:
    """One file with one to three places broken."""
    name = NAMES[number % len(NAMES)]
    data, may_move = sound(name), False
    for _ in range(int(rng.integers(1, 4))):
        data, moved = _one(rng, data)
        may_move |= moved
    return Case(name, data, may_move)


def _one(rng: np.random.Generator, data: bytes) -> tuple[bytes, bool]:
    at = int(rng.integers(len(data)))
    match int(rng.integers(9)):
        case 0:  # one byte
            return data[:at] + bytes([int(rng.integers(256))]) + data[at + 1 :], True
        case 1:  # a piece gone
            return data[:at] + data[at + int(rng.integers(1, 400)) :], True
        case 2:  # a piece twice
            return data[:at] + data[at : at + int(rng.integers(1, 400))] + data[at:], True
        case 3:  # a word that does not belong there
            return data[:at] + _WORDS[int(rng.integers(len(_WORDS)))] + data[at:], True
        case 4 if rng.random() < 0.3:  # the end gone
            return data[:at], True
        case 5:  # a statement gone
            return _swapped(rng, data, _STATEMENT, lambda _: b""), True
        case 6:  # a reference to another entity
            most = data.count(b"\n#")
            other = f"#{int(rng.integers(1, most))}".encode()
            return _swapped(rng, data, _REFERENCE, lambda _: other), True
        case _:  # a number a little or much wrong
            return _number(rng, data)


def _swapped(
    rng: np.random.Generator, data: bytes, what: re.Pattern[bytes], by: Callable[[bytes], bytes]
) -> bytes:
    found = list(what.finditer(data))
    if not found:
        return data
    one = found[int(rng.integers(len(found)))]
    return data[: one.start()] + by(one[0]) + data[one.end() :]


def _number(rng: np.random.Generator, data: bytes) -> tuple[bytes, bool]:
    found = list(_NUMBER.finditer(data))
    if not found:
        return data, False
    one = found[int(rng.integers(len(found)))]
    start = data.rfind(b";", 0, one.start())
    placed = _placements(data)
    head = re.match(rb"\s*#(\d+)", data[start + 1 :])
    may_move = bool(re.search(_FREE, data[start : one.start()])) or (
        head is not None and int(head[1]) in placed
    )
    by = float(rng.choice([0.001, 0.1, 1.0, 7.0, -30.0, 1e6]))
    text = f"{float(one[0]) + by:.12G}"
    text = text if "." in text or "E" in text else text + "."
    return data[: one.start()] + text.encode() + data[one.end() :], may_move


@cache
def _placements(data: bytes) -> frozenset[int]:
    """Entities that say where a part stands, which nothing else in the file knows better."""
    from bayonet.part21 import parsed

    file = parsed(data.decode("latin-1"))
    pending = [one.number for one in file.kinds.get("ITEM_DEFINED_TRANSFORMATION", ())]
    found: set[int] = set()
    while pending:
        current = pending.pop()
        if current not in found and current in file.entities:
            found.add(current)
            pending += file.entities[current].references
    return frozenset(found)


def measured(file: Path) -> tuple[tuple[float, ...], ...]:
    """Mean thickness in volume by area, and box, of each solid [mm], in an order of their own."""
    rows = []
    for one in tank.read(file).solids:
        box = one.solid.BoundingBox(0.01)
        thick = tank.volume_of(one.solid) / one.solid.Area()
        rows.append((thick, box.xlen, box.ylen, box.zlen))
    return tuple(sorted(rows))


def _in_child(work: Callable[[], Any]) -> Any:
    """What a piece of work gives in a forked process; "died" or "too long" where none came."""
    end, start = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(end)
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        signal.alarm(0)
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_PROCESSOR_S, MOST_PROCESSOR_S + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        try:
            told = work()
        except MemoryError:
            told = "memory"
        except BaseException as error:
            told = error if isinstance(error, BayonetError) else f"raised {error!r}"
        with os.fdopen(start, "wb") as stream:
            pickle.dump(told, stream)
        os._exit(0)
    os.close(start)
    with os.fdopen(end, "rb") as stream:
        said = stream.read()
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return "too long" if os.WTERMSIG(status) == signal.SIGXCPU else "died"
    return pickle.loads(said)


@cache
def _as_it_was(name: str) -> tuple[tuple[float, ...], ...]:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "sound.step"
        file.write_bytes(sound(name))
        return measured(file)


def outcome(case: Case) -> str:
    """Refused by name, ended by the cell, or taken as it was."""
    _as_it_was(case.sound)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "tank.step"
        file.write_bytes(case.data)
        found = _in_child(lambda: measured(file))
    if isinstance(found, TankError):
        return "refused" if str(file) in str(found) else f"failure: without its file: {found}"
    if isinstance(found, BayonetError):
        return "refused by the kernel"
    if isinstance(found, str):
        return f"failure: {found}" if found.startswith("raised") else f"cell: {found}"
    was = _as_it_was(case.sound)
    if len(found) == len(was) and np.allclose(found, was, rtol=0.0, atol=_SEEN_MM):
        return "taken as it was"
    return "taken, another placement or name" if case.may_move else "failure: silent"
