"""`bayonet live`: its guard over plain sockets, its page in a real browser, from value to files."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser import Seen, browser, needs_browser
from shapely.geometry import Point

import bayonet
from bayonet.checks import steps
from bayonet.errors import KernelError
from bayonet.live.form import as_value, fields_of
from bayonet.live.worker import Worker

EXAMPLE = Path(__file__).parents[2] / "examples" / "level_sensor.toml"


class Running:
    """A run of `bayonet live` on a copy of an example."""

    def __init__(self, room: Path) -> None:
        self.file, self.folder = room / "sensor.toml", room / "made"
        shutil.copy(EXAMPLE, self.file)
        self.process = subprocess.Popen(
            [sys.executable, "-m", "bayonet", "live", str(self.file), "--no-browser",
             "--out", str(self.folder)],
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )  # fmt: skip
        assert self.process.stdout is not None
        self.address = self.process.stdout.readline().strip()
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/\?token=(\S+)", self.address)
        assert found, self.address
        self.port, self.token = int(found[1]), found[2]

    def ask(
        self, path: str, body: dict[str, Any] | None = None, **headers: str
    ) -> tuple[int, bytes, http.client.HTTPMessage]:
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        told = {"X-Token": self.token, **{k.replace("_", "-"): v for k, v in headers.items()}}
        told = {name: value for name, value in told.items() if value}
        data = None if body is None else json.dumps(body)
        with contextlib.closing(line):
            line.request("GET" if body is None else "POST", path, body=data, headers=told)
            answer = line.getresponse()
            return answer.status, answer.read(), answer.headers

    def judged(self, text: str, **more: Any) -> list[dict[str, Any]]:
        status, data, _ = self.ask("/judge", {"text": text, "page": "test", "number": 1, **more})
        assert status == 200
        return [json.loads(line) for line in data.splitlines()]


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    one = Running(tmp_path_factory.mktemp("live"))
    try:
        yield one
    finally:
        one.process.terminate()
        one.process.wait(timeout=20)
        assert one.process.stdout is not None
        one.process.stdout.close()


# ---- the guard ---------------------------------------------------------------------------


def test_only_this_machines_own_page_is_answered(running: Running) -> None:
    assert running.ask("/start")[0] == 200
    assert running.ask("/start", X_Token="")[0] == 403
    assert running.ask("/start", X_Token="wrong")[0] == 403
    assert running.ask("/start", Host="plant.example")[0] == 403
    assert running.ask("/start", Origin="http://plant.example")[0] == 403
    assert running.ask("/start", Origin=f"http://127.0.0.1:{running.port}")[0] == 200


def test_the_page_may_load_nothing_from_elsewhere(running: Running) -> None:
    status, _, headers = running.ask(f"/?token={running.token}", X_Token="")
    policy = headers["content-security-policy"]
    assert status == 200
    assert "default-src 'none'" in policy
    assert "connect-src 'self'" in policy
    assert "unsafe-inline" not in policy


def test_too_much_is_refused(running: Running) -> None:
    assert running.ask("/judge", {"text": "#" * 1_100_000})[0] == 413


def test_files_outside_the_folder_are_not_given(running: Running) -> None:
    assert running.ask("/files/..%2Fsensor.toml")[0] == 404
    assert running.ask("/files/sensor.toml")[0] == 404


# ---- the same functions as the command line ----------------------------------------------


def test_it_finds_what_the_checks_find(running: Running) -> None:
    """The last step is the judgement of the same text; the first is its first look."""
    text = running.file.read_text("utf-8")
    told = running.judged(text, set=[["plug.body.0.diameter", "32.1"]])
    assert [one["step"] for one in told] == ["text", "first", "corners", "result"]
    assert "{ diameter = 32.1," in told[0]["text"]
    *_, whole = steps(bayonet.loads(told[0]["text"]))
    want = sorted((one.code, one.verdict.value, one.message) for one in whole.findings)
    found = told[-1]["shown"]["findings"]
    assert sorted((one["code"], one["verdict"], one["message"]) for one in found) == want


def test_a_wrong_value_is_told_at_its_field(running: Running) -> None:
    text = running.file.read_text("utf-8")
    told = running.judged(text, set=[["plug.lugs.outer_diameter", "12,5 mm"]])
    problem = told[-1]["problems"][0]
    assert told[-1]["step"] == "problems"
    assert problem["field"] == "plug.lugs.outer_diameter"
    assert "decimal point" in problem["rule"]


def test_a_file_changed_by_another_hand_is_not_written_over(running: Running) -> None:
    text = running.file.read_text("utf-8")
    status, data, _ = running.ask("/save", {"text": text, "sum": "of another text"})
    assert status == 409
    assert "has changed on disk" in json.loads(data)["problems"][0]["rule"]
    assert running.file.read_text("utf-8") == text


def test_fields_say_what_the_schema_says() -> None:
    rows = {
        field["path"]: field for table in fields_of(EXAMPLE.read_text("utf-8"))
        for field in table["fields"]
    }  # fmt: skip
    assert rows["plug.turn_deg"]["limits"] == "more than 0, less than 360, deg"
    assert rows["plug.lugs.count"]["limits"] == "a whole number, at least 2, at most 8"
    assert rows["socket.seating"]["choices"] == ["stop", "clamp"]
    assert rows["plug.body.1.diameter"]["value"]
    for field in rows.values():
        value = as_value(field["value"])
        assert field["value"] == "" or value is not None


# ---- a process that may die --------------------------------------------------------------


def dying() -> Iterator[dict[str, Any]]:
    yield {"step": "begun"}
    os._exit(3)


def counting(upto: int) -> Iterator[dict[str, Any]]:
    for number in range(upto):
        time.sleep(0.01)
        yield {"number": number}


def test_a_process_that_dies_is_a_message_and_the_next_one_works() -> None:
    worker = Worker()
    try:
        with pytest.raises(KernelError, match="died"):
            list(worker.stream(dying))
        assert [one["number"] for one in worker.stream(counting, 3)] == [0, 1, 2]
    finally:
        worker.close()


def test_what_is_no_longer_wanted_is_dropped_and_the_process_kept() -> None:
    worker, seen = Worker(), []
    try:
        for one in worker.stream(counting, 500, wanted=lambda: len(seen) < 3):
            seen.append(one["number"])  # noqa: PERF401 - looked at while it grows
        process = worker._process
        assert seen == [0, 1, 2]
        assert [one["number"] for one in worker.stream(counting, 2)] == [0, 1]
        assert worker._process is process
    finally:
        worker.close()


# ---- the page ----------------------------------------------------------------------------


def _until(seen: Seen, script: str, seconds: float = 60.0) -> Any:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = seen.run(f"return {script}")
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError(f"never: {script}")


@pytest.fixture(scope="module")
def seen(running: Running) -> Iterator[Seen]:
    with browser() as one:
        one.size(1500)
        one.driver.get(running.address)
        _until(one, "window.livePage && livePage.settled && livePage.solid")
        yield one


def _type(seen: Seen, path: str, text: str) -> None:
    seen.run(
        "const f = document.getElementById('f-' + arguments[0]); f.value = arguments[1];"
        "livePage.settled = 0; f.dispatchEvent(new Event('input', {bubbles: true}));",
        path, text,
    )  # fmt: skip
    _until(seen, "livePage.settled")


@needs_browser
def test_from_a_wrong_value_to_files_and_back(seen: Seen, running: Running) -> None:
    """Wrong value, its error, the right one, undo, redo, save, make, load anew."""
    _type(seen, "plug.lugs.outer_diameter", "12,5 mm")
    box = "document.getElementById('f-plug.lugs.outer_diameter')"
    assert "decimal point" in seen.run(
        f"return {box}.closest('.field').querySelector('.error').textContent"
    )
    assert seen.run(f"return {box}.getAttribute('aria-invalid')") == "true"
    assert "open" in seen.run("return document.getElementById('verdict').textContent")

    _type(seen, "plug.lugs.outer_diameter", "40.1")
    assert seen.run("return livePage.state().wrong") == 0
    assert "outer_diameter = 40.1" in seen.run("return livePage.state().text")

    def press(name: str) -> None:
        seen.run("livePage.settled = 0; document.getElementById(arguments[0]).click()", name)
        _until(seen, "livePage.settled")

    press("undo")
    assert "outer_diameter = 40.1" not in seen.run("return livePage.state().text")
    press("redo")
    before = running.file.read_text("utf-8")
    seen.run("document.getElementById('save').click()")
    _until(seen, "document.getElementById('save').textContent === 'Saved'")
    after = running.file.read_text("utf-8")
    changed = [(a, b) for a, b in zip(before.split("\n"), after.split("\n"), strict=True) if a != b]
    assert len(changed) == 1
    assert changed[0][1].startswith("outer_diameter = 40.1")
    whole = bayonet.check(bayonet.load(running.file))
    shown = seen.run("return livePage.state().findings.map((one) => [one.code, one.verdict])")
    assert sorted(map(tuple, shown)) == sorted((o.code, o.verdict.value) for o in whole.findings)

    seen.driver.refresh()
    _until(seen, "window.livePage && livePage.settled && livePage.solid")
    assert seen.run(f"return {box}.value") == "40.1"


@needs_browser
def test_the_slider_shows_poses_of_the_free_region(seen: Seen, running: Running) -> None:
    poses = seen.run(
        "return Array.from({length: 41}, (_, n) => { livePage.view.go(n / 40);"
        " return [...livePage.view.pose(), livePage.view.space().turn]; })"
    )
    first = next(steps(bayonet.load(running.file)))
    motion = first.proof.nominal  # type: ignore[union-attr]
    for phi, delta, turned in poses:
        free = any(piece.distance(Point(phi, delta)) < 1e-6 for piece in motion.region.pieces)
        assert free or delta > motion.region.window.lift_mm
        assert turned == pytest.approx(-phi, abs=1e-6)
    assert poses[-1][0] == pytest.approx(motion.furthest_deg, abs=1e-6)


@needs_browser
def test_files_are_made_and_offered(seen: Seen, running: Running) -> None:
    seen.run("document.getElementById('make').click()")
    _until(seen, "document.querySelector('#files a, #files .bad')", 180.0)
    names = seen.run("return [...document.querySelectorAll('#files a')].map((a) => a.textContent)")
    assert {"socket.step", "fitting.html", "findings.json"} <= set(names)
    assert running.ask("/files/socket.step")[1].startswith(b"ISO-10303-21;")


@needs_browser
@pytest.mark.parametrize(("width", "dark"), [(1500, False), (1500, True), (400, False)])
def test_everybody_can_use_it(seen: Seen, width: int, dark: bool) -> None:
    seen.size(width, dark=dark)
    assert seen.barriers() == []
    assert seen.run("return document.documentElement.scrollWidth") <= width


@needs_browser
def test_nothing_leaves_the_machine_and_the_console_is_empty(seen: Seen, running: Running) -> None:
    own = (f"http://127.0.0.1:{running.port}/", "data:", "blob:", "chrome")
    assert [url for url in seen.requests() if not url.startswith(own)] == []
    assert seen.console() == []


@needs_browser
def test_an_idle_page_draws_nothing(seen: Seen) -> None:
    drawn: Callable[[], str] = lambda: seen.run(  # noqa: E731
        "return document.querySelector('.stage').dataset.drawn"
    )
    for _ in range(20):  # what was asked for before may still be drawn
        before = drawn()
        time.sleep(0.6)
        if drawn() == before:
            return
    raise AssertionError("it draws on and on")
