"""No words of any picture lie on one another or are cut by the sheet's edge."""

from __future__ import annotations

import runpy
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from designs import designs
from hypothesis import HealthCheck, Phase, given, settings
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

import bayonet
from bayonet.cli import main
from bayonet.jobs import faces as faces_job
from bayonet.jobs import graft as graft_job
from bayonet.report.sheets import developed, layout, load

ROOT = Path(__file__).parents[2]
SENSOR = ROOT / "examples" / "level_sensor.toml"


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[Figure]:
    """Every figure that is saved."""
    figures: list[Figure] = []
    save = Figure.savefig

    def keep(figure: Figure, *target: Any, **how: Any) -> None:
        if figure not in figures:
            figures.append(figure)
        save(figure, *target, **how)

    monkeypatch.setattr(Figure, "savefig", keep)
    return figures


def faults(figures: list[Figure]) -> list[str]:
    found = []
    for figure in figures:
        title = figure.texts[0].get_text() if figure.texts else ""
        for one, other in layout.crossing(figure):
            found.append(f"{title}: {one.text.get_text()!r} on {other.text.get_text()!r}")
        found += [f"{title}: {one.text.get_text()!r} cut" for one in layout.off_sheet(figure)]
    return found


def _random() -> Iterator[bayonet.Design]:
    raws: list[dict[str, Any]] = []

    @settings(
        max_examples=4, database=None, derandomize=True, deadline=None,
        suppress_health_check=list(HealthCheck), phases=[Phase.generate],
    )  # fmt: skip
    @given(designs())
    def gather(raw: dict[str, Any]) -> None:
        raws.append(raw)

    gather()
    for raw in raws:
        try:
            yield bayonet.from_mapping(raw)
        except bayonet.DesignError:
            continue


def test_design_sheets_of_random_designs(drawn: list[Figure], tmp_path: Path) -> None:
    count = 0
    for design in _random():
        result = bayonet.check(design)
        for one in (developed, load):
            one.write(result, svg=tmp_path / "a.svg", png=tmp_path / "a.png")
        count += 1
    assert count > 3
    assert len(drawn) == 2 * count
    assert faults(drawn) == []


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_all_sheets_of_the_examples(name: str, drawn: list[Figure], tmp_path: Path) -> None:
    file = ROOT / "examples" / f"{name}.toml"
    for command in ("make", "sample"):
        done = CliRunner().invoke(main, [command, str(file), "--out", str(tmp_path / command)])
        assert done.exit_code in (0, 1), done.output
    assert len(drawn) > 3
    assert faults(drawn) == []


def _here(work: Callable[..., Any], *given: Any, **named: Any) -> Any:
    """The work of a cell without the cell: what another process draws, this one does not see."""
    of_the_cell = ("limits", "doing")
    return work(*given, **{key: one for key, one in named.items() if key not in of_the_cell})


def test_sheets_of_a_tank_and_a_scan(
    drawn: list[Figure], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for job in (faces_job, graft_job):
        monkeypatch.setattr(job, "call", _here)
    tank, wall = tmp_path / "tank.step", tmp_path / "wall.stl"
    runpy.run_path(str(ROOT / "examples" / "make_header_tank.py"))["main"](tank)
    runpy.run_path(str(ROOT / "examples" / "make_partition_wall_scan.py"))["main"](wall)
    calls = (
        ["faces", tank, "--out", tmp_path / "faces"],
        ["graft", SENSOR, "--tank", tank, "--at", "60,-85,85", "--around", wall, "--hand",
         "fingers", "--out", tmp_path / "graft"],
        ["scan", ROOT / "examples" / "level_sensor_scan.ply", "--report", tmp_path / "scan"],
    )  # fmt: skip
    for call in calls:
        done = CliRunner().invoke(main, [str(one) for one in call])
        assert done.exit_code in (0, 1), done.output
    assert len(drawn) >= 7
    assert faults(drawn) == []


def _sheet(*labels: tuple[float, float, str]) -> Figure:
    figure = Figure(figsize=(3, 2))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.1, 0.1, 0.8, 0.8))
    for x, y, text in labels:
        axes.text(x, y, text)
    return figure


def test_words_on_one_another_are_seen_and_parted() -> None:
    figure = _sheet((0.5, 0.5, "one"), (0.52, 0.51, "other"), (0.1, 0.9, "far"))
    assert len(layout.crossing(figure)) == 1
    before = figure.axes[0].texts[2].get_position()
    layout.settle(figure)
    assert layout.crossing(figure) == []
    assert figure.axes[0].texts[0].get_position() == (0.5, 0.5)
    assert figure.axes[0].texts[2].get_position() == before


def test_a_label_over_the_edge_is_seen_and_pulled_back() -> None:
    figure = _sheet((0.9, 0.5, "longer than the sheet has room for"))
    label = figure.axes[0].texts[0]
    assert label in [one.text for one in layout.off_sheet(figure)]
    layout.settle(figure)
    assert label not in [one.text for one in layout.off_sheet(figure)]
