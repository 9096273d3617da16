"""`fitting.html` in a real browser: what moves there is what the free region allows."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import Seen, browser, needs_browser
from shapely.geometry import Point, Polygon

import bayonet
from bayonet.checks.motion import Proof, prove
from bayonet.jobs.moving import PAGE_BYTES, fitting_page

pytestmark = needs_browser
EXAMPLES = Path(__file__).parents[2] / "examples"
SIZES = ("nominal", "tightest", "loosest")


@pytest.fixture(scope="module")
def text() -> str:
    return fitting_page(bayonet.check(bayonet.load(EXAMPLES / "level_sensor.toml")))


@pytest.fixture(scope="module")
def proof() -> Proof:
    design = bayonet.load(EXAMPLES / "level_sensor.toml")
    return prove(design.plug, design.socket)


@pytest.fixture(scope="module")
def seen(text: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Seen]:
    file = tmp_path_factory.mktemp("page") / "fitting.html"
    file.write_text(text, "utf-8")
    with browser() as one:
        one.size(1280)
        one.driver.get(file.as_uri())
        yield one


def _regions(proof: Proof, size: str) -> list[Polygon]:
    return list(getattr(proof, size).region.pieces)


def _within(pose: list[float], pieces: list[Polygon], slack: float) -> bool:
    return any(piece.distance(Point(*pose)) <= slack for piece in pieces)


def test_the_file_needs_nothing_and_stays_small(text: str) -> None:
    assert len(text.encode("utf-8")) <= PAGE_BYTES < 1.5e6
    data = json.loads(re.search(r'id="data">(.*?)</script>', text, re.S).group(1))  # type: ignore[union-attr]
    assert data["verdict"] == "look"
    assert not re.search(r'(?:src|href)="(?!data:|#)', text)


def test_it_opens_without_a_word_and_asks_for_nothing(seen: Seen) -> None:
    """After a while of play the console is empty and no address but its own was asked for."""
    seen.run("shownFitting.go(0.6)")
    assert seen.console() == []
    asked = seen.requests()
    assert asked
    own = ("file:", "data:", "blob:", "chrome")  # the last: the browser's own empty first tab
    assert [url for url in asked if not url.startswith(own)] == []


@pytest.mark.parametrize("size", SIZES)
def test_the_slider_keeps_to_the_free_region(seen: Seen, proof: Proof, size: str) -> None:
    """From outside to lock: every pose shown is free by the polygons the proof rests on."""
    poses = seen.run(
        f"document.querySelector('input[value={size}]').click();"
        "return Array.from({length: 61}, (_, n) => { shownFitting.go(n / 60);"
        " return [...shownFitting.pose(), shownFitting.space().turn, shownFitting.space().lift]; })"
    )
    motion = getattr(proof, size)
    lift = motion.region.window.lift_mm
    assert poses[0][1] > lift
    assert poses[-1][0] == pytest.approx(motion.furthest_deg, abs=1e-6)
    for phi, delta, turned, lifted in poses:
        assert delta > lift or _within([phi, delta], _regions(proof, size), 1e-6)
        # right hand: towards lock is clockwise seen from outside, so theta falls
        assert turned == pytest.approx(-phi, abs=1e-6)
        assert lifted == pytest.approx(delta, abs=1e-6)


def test_dragging_never_leaves_the_free_region(seen: Seen, proof: Proof) -> None:
    """Three hundred pulls anywhere, from a pose on the way in."""
    poses = seen.run(
        "document.querySelector('input[value=nominal]').click();"
        "const way = JSON.parse(document.getElementById('data').textContent).ways.nominal;"
        "let seed = 7; const next = () => (seed = (seed * 16807) % 2147483647) / 2147483647;"
        "let at = Poses.along(way.path, 0.5, 0.35), out = [];"
        "const piece = Poses.pieceAt(way.pieces, at, 0.35).piece;"
        "for (let n = 0; n < 300; n++) {"
        "  const wanted = [next() * 120 - 20, n % 3 ? next() * 2 - 1 : next() * 12];"
        "  at = Poses.move(piece, at, wanted, 0.35).at; out.push(at); }"
        "return out"
    )
    assert all(_within(pose, _regions(proof, "nominal"), 1e-5) for pose in poses)
    assert max(pose[0] for pose in poses) > 70.0
    assert max(pose[1] for pose in poses) > 3.0


def test_at_the_stop_the_stop_is_named_with_its_size(seen: Seen) -> None:
    seen.run("document.querySelector('input[value=nominal]').click(); shownFitting.go(1)")
    told = seen.run("return document.querySelector('.touching').textContent")
    assert "Lug 1 touches the stop (slot's nominal middle to stop, at the wall, 94.48" in told


def test_keys_move_the_plug(seen: Seen) -> None:
    """With the plug in its slot, an arrow to the right meets the side of the slot and stops."""
    seen.run(
        "document.querySelector('input[value=nominal]').click();"
        "shownFitting.go(0.4); document.querySelector('.drag').focus()"
    )
    from selenium.webdriver.common.keys import Keys

    before = seen.run("return shownFitting.pose()")
    pane = seen.driver.switch_to.active_element
    for _ in range(6):
        pane.send_keys(Keys.ARROW_RIGHT)
    after = seen.run("return shownFitting.pose()")
    assert before[0] == 0.0
    assert 0.2 < after[0] < 1.5
    assert "a side of its slot" in seen.run(
        "return document.querySelector('.touching').textContent"
    )


@pytest.mark.parametrize(("width", "dark"), [(1280, False), (1280, True), (400, False)])
def test_everybody_can_read_it(seen: Seen, width: int, dark: bool) -> None:
    seen.size(width, dark=dark)
    assert seen.barriers() == []
    assert seen.run("return document.documentElement.scrollWidth") <= width
    assert seen.console() == []
