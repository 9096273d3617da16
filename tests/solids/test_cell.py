"""The cell: what dies, hangs, eats memory or talks inside it comes out as one plain error."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path

import pytest

from bayonet.cell import Limits, call
from bayonet.errors import DesignError, KernelError, Problem

SHORT = Limits(processor_s=2.0, clock_s=6.0, memory_bytes=0.5e9)


def talk(number: int) -> int:
    os.write(1, b"kernel chatter")
    print("more of it", flush=True)
    os.write(2, b"and on standard error")
    return number + 1


def refuse() -> None:
    raise DesignError([Problem(file="a", line=1, field="b", value="c", rule="d")])


def spin() -> None:
    while True:
        pass


def throw() -> None:
    from OCP.gp import gp_Dir

    gp_Dir(0.0, 0.0, 0.0)


def two_stages(progress: object) -> None:
    progress("meshing b.step")  # type: ignore[operator]
    os.abort()


def test_an_answer_comes_back_and_no_chatter(capfd: pytest.CaptureFixture[str]) -> None:
    assert call(talk, 41, limits=SHORT, doing="talking") == 42
    assert capfd.readouterr() == ("", "")


def test_errors_of_the_package_travel_whole() -> None:
    with pytest.raises(DesignError) as caught:
        call(refuse, limits=SHORT, doing="x")
    assert caught.value.problems[0].rule == "d"


def test_death_names_the_stage_it_came_in() -> None:
    with pytest.raises(KernelError, match=r"died reading a\.step"):
        call(os.abort, limits=SHORT, doing="reading a.step")
    told: list[str] = []
    with pytest.raises(KernelError, match=r"died meshing b\.step"):
        call(two_stages, limits=SHORT, doing="reading a.step", progress=told.append)
    assert told == ["meshing b.step"]


def test_a_bug_stays_a_bug() -> None:
    with pytest.raises(ZeroDivisionError) as caught:
        call(divmod, 1, 0, limits=SHORT, doing="x")
    assert "in the cell" in caught.value.__notes__[0]


def test_what_the_kernel_throws_is_the_packages_own_error() -> None:
    roomy = Limits(processor_s=30.0, clock_s=240.0, memory_bytes=1e9)
    with pytest.raises(KernelError, match="gave up"):
        call(throw, limits=roomy, doing="x")


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of processor time there")
def test_processor_time_ends_a_loop() -> None:
    with pytest.raises(KernelError, match="did not end looping within 2 s"):
        call(spin, limits=Limits(processor_s=2, clock_s=120, memory_bytes=1e9), doing="looping")


def test_the_clock_ends_a_sleep() -> None:
    start = time.monotonic()
    with pytest.raises(KernelError, match="within 3 s"):
        call(time.sleep, 60, limits=Limits(processor_s=9, clock_s=3, memory_bytes=1e9), doing="x")
    assert time.monotonic() - start < 30.0


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="memory is limited on Linux only")
def test_memory_has_a_limit() -> None:
    with pytest.raises(KernelError, match=r"more than 0\.5 GB"):
        call(bytearray, 2 * 10**9, limits=SHORT, doing="filling")


@pytest.mark.skipif(sys.platform == "win32", reason="signals as POSIX has them")
def test_a_segmentation_fault_is_named() -> None:
    with pytest.raises(KernelError, match="Segmentation fault"):
        call(signal.raise_signal, signal.SIGSEGV, limits=SHORT, doing="x")


def test_a_larger_file_has_more_time(tmp_path: Path) -> None:
    small, large = tmp_path / "s", tmp_path / "l"
    small.write_bytes(b"x")
    with large.open("wb") as stream:
        stream.truncate(40_000_000)
    assert Limits.for_files(small) == Limits.for_files(tmp_path / "none")
    assert Limits.for_files(large).processor_s == pytest.approx(4 * 17.0, rel=1e-9)
    assert Limits.for_files(small, patience=3.0).processor_s == pytest.approx(51.0)
