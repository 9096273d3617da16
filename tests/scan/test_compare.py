"""Comparison with a file, statistics of several samples, pictures and page: apart from any fit."""

from __future__ import annotations

import dataclasses
import math
import tomllib
from html.parser import HTMLParser
from pathlib import Path

import generator as g
import generator_scan as s
import numpy as np
import pytest
import told

import bayonet
from bayonet.errors import ScanError
from bayonet.parts.design import from_mapping
from bayonet.report.data import scan as scan_words
from bayonet.report.documents import scan as scan_page
from bayonet.report.sheets import scan as scan_pictures
from bayonet.scan.describe.comparison import Comparison, compared
from bayonet.scan.describe.registration import renumbered
from bayonet.scan.describe.samples import pooled, spread_table
from bayonet.scan.describe.stated import known
from bayonet.scan.fit.result import FeatureValue

EXAMPLES = Path(__file__).parents[2] / "examples"


def _feature(key: str, value: float, u: float = 0.002, unit: str = "mm") -> FeatureValue:
    return FeatureValue(
        key=key, meaning=key, value=value, u=u, unit=unit, coverage=1.0, found="measured"
    )


def _of_file(name: str) -> tuple[tuple[FeatureValue, ...], object]:
    """A scan that shows exactly what a file says."""
    plug = known(bayonet.load(EXAMPLES / f"{name}.toml"))
    return tuple(_feature(one.key, one.value, unit=one.unit) for one in plug.values), plug


def _compared(features: tuple[FeatureValue, ...], plug, **changed: object) -> Comparison:
    kind = {"lugs": plug.lugs, "hand": plug.hand, "groove": plug.groove, **changed}
    return compared(features, plug, **kind)


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_a_part_like_its_file_agrees(name: str) -> None:
    features, plug = _of_file(name)
    result = _compared(features, plug)
    assert not result.structure
    assert {row.verdict for row in result.rows} <= {"agrees", "cannot tell"}
    assert all(row.difference == pytest.approx(0.0, abs=1e-9) for row in result.rows)


def test_lengths_of_the_sensor_by_hand() -> None:
    """Chord 10 at diameter 40: 2 asin(10 / 40) = 28.955 deg (closed form)."""
    _, plug = _of_file("level_sensor")
    width = plug.of("lug.0.width_deg")
    assert width is not None
    assert width.value == pytest.approx(28.9550, abs=1e-4)
    body = plug.of("body.0.diameter")
    assert body is not None
    assert body.value == pytest.approx(32.0)
    # moulded spread 0.1 from the table of processes; the readings' uncertainty is its own
    assert 0.0 < body.uncertainty < 0.1
    outer = plug.of("lug.2.outer_diameter")
    assert outer is not None
    assert outer.uncertainty == pytest.approx(2 * 0.02)


def test_verdicts_at_the_limits() -> None:
    """Limit 0.05, U = 0.004: agrees to 0.046, differs beyond 0.054, between cannot tell."""
    features, plug = _of_file("irrigation_drain")
    key = "shoulder_diameter"
    limit = plug.of(key)
    assert limit is not None
    off = dataclasses.replace(limit, uncertainty=0.0, limit=0.05)
    plug = dataclasses.replace(
        plug, values=tuple(off if one.key == key else one for one in plug.values)
    )
    for away, verdict in ((0.045, "agrees"), (-0.055, "differs"), (0.05, "cannot tell")):
        moved = tuple(
            dataclasses.replace(one, value=one.value + away) if one.key == key else one
            for one in features
        )
        row = next(row for row in _compared(moved, plug).rows if row.key == key)
        assert row.verdict == verdict
        assert row.difference == pytest.approx(away)


def test_not_seen_is_no_agreement() -> None:
    features, plug = _of_file("level_sensor")
    unseen = dataclasses.replace(features[0], value=math.nan, found="not seen")
    result = _compared((unseen, *features[1:]), plug)
    assert result.rows[0].verdict == "cannot tell"
    assert "not seen" in result.rows[0].note
    missing = _compared(features[1:], plug)
    assert missing.rows[0].verdict == "cannot tell"


def test_another_kind_of_plug_is_told_in_words() -> None:
    features, plug = _of_file("level_sensor")
    result = _compared(features, plug, lugs=4, hand="left", groove="none")
    assert len(result.structure) == 3
    assert result.verdict == "differs"
    assert not [row for row in result.rows if row.key.startswith("lug.")]
    assert not _compared(features, plug, hand=None).structure


def test_lugs_are_matched_whatever_the_scan_starts_with() -> None:
    """Polarised lugs numbered from another one and turned by 77 deg come back."""
    plug = g.random_plug(np.random.default_rng(9), count=5, equal=False)
    rows = told.features(s.scan(plug, s.Nuisance(), points=5000, seed=1))
    reference = {one.key: one.value for one in rows}
    turned = []
    for one in rows:
        parts = one.key.split(".")
        if parts[0] == "lug":
            value = (one.value + 77.0) % 360 if parts[2] == "centre_deg" else one.value
            key = f"lug.{(int(parts[1]) + 2) % 5}.{parts[2]}"
            turned.append(dataclasses.replace(one, key=key, value=value))
        else:
            turned.append(one)
    for one in renumbered(tuple(turned), reference, 5):
        assert one.value == pytest.approx(reference[one.key], abs=1e-9)


def _samples(count: int, spread: float, seed: int) -> list[tuple[FeatureValue, ...]]:
    rng = np.random.default_rng(seed)
    plug = g.random_plug(np.random.default_rng(9), count=3, equal=False, layout="A")
    rows = told.features(s.scan(plug, s.Nuisance(), points=5000, seed=1))
    return [
        tuple(dataclasses.replace(one, value=one.value + rng.normal(0, spread)) for one in rows)
        for _ in range(count)
    ]


def test_statistics_of_samples_by_hand() -> None:
    """9, 10, 11: mean 10, s = 1; u of the mean 0.3 / sqrt 3."""
    samples = [(_feature("shoulder_diameter", value, u=0.3),) for value in (9.0, 10.0, 11.0)]
    row = pooled(samples, lugs=3).rows[0]
    assert (row.mean, row.scatter, row.samples) == (10.0, pytest.approx(1.0), 3)
    assert row.u == pytest.approx(0.3 / math.sqrt(3))


def test_limit_of_one_dimension_is_the_printed_factor() -> None:
    """ISO 16269-6: n = 5, 99 % / 95 %, exact factor 6.60 (as in mechanics/uncertainty)."""
    samples = [(_feature("shoulder_diameter", v),) for v in (9.0, 9.5, 10.0, 10.5, 11.0)]
    limit = pooled(samples, lugs=3).limits[0]
    assert limit.dof == 4
    assert limit.factor == pytest.approx(6.60, abs=0.005)
    assert limit.half_width == pytest.approx(6.60 * math.sqrt(0.625), rel=1e-3)


def test_lugs_fitted_as_evenly_spaced_give_no_limit_of_their_places() -> None:
    """Their middles are apart by the pitch in every sample: that is no scatter of nought."""
    turns = [0.0, 31.0, 77.0]
    samples = [
        (
            *tuple(
                _feature(f"lug.{i}.centre_deg", 10.0 + turn + 120.0 * i, unit="deg")
                for i in range(3)
            ),
            _feature("shoulder_diameter", 50.0 + turn / 1000.0),
        )
        for turn in turns
    ]
    found = pooled(samples, lugs=3)
    assert {one.kind for one in found.limits} == {"diameter"}
    assert "angle_deg =" not in spread_table(found)


def test_limits_hold_what_they_promise() -> None:
    """Four samples of six diameters: the limits hold 99 % of parts in 95 % of 20 000 trials."""
    keys = [f"body.{i}.diameter" for i in range(6)]
    rng = np.random.default_rng(5)
    sample = [tuple(_feature(key, rng.normal()) for key in keys) for _ in range(4)]
    limit = pooled(sample, lugs=3).limits[0]
    assert limit.dof == 18
    draws = rng.normal(size=(20_000, 4, 6))
    scatter = np.sqrt((draws.std(axis=1, ddof=1) ** 2).mean(axis=1))
    mean, half = draws[:, :, 0].mean(axis=1), limit.factor * scatter
    share = (_normal(mean + half) - _normal(mean - half)) >= 0.99
    assert share.mean() == pytest.approx(0.95, abs=0.006)


def _normal(at: np.ndarray) -> np.ndarray:
    return np.array([0.5 * (1.0 + math.erf(one / math.sqrt(2.0))) for one in at])


def test_spread_table_is_read_by_the_design_file() -> None:
    found = pooled(_samples(4, 0.02, 1), lugs=3)
    table = tomllib.loads(spread_table(found))["plug"]["spread"]
    assert set(table) == {"diameter", "length", "angle_deg"}
    raw = dict(bayonet.load(EXAMPLES / "level_sensor.toml").raw)
    body = [{"diameter": 32.0, "to_depth": 13.0},
            {"diameter": {"value": 26.4, "u": 0.0}, "to_depth": 24.0}]  # fmt: skip
    raw["plug"] = {**raw["plug"], "body": body, "spread": table}
    design = from_mapping(raw)
    assert design.plug.body[1].radius_zone_mm == pytest.approx(table["diameter"] / 2)
    for one in found.limits:
        name = "angle_deg" if one.kind == "angle" else one.kind
        assert one.half_width <= table[name] <= 1.1 * one.half_width


def test_one_sample_says_nothing_of_others() -> None:
    with pytest.raises(ScanError, match="at least two"):
        pooled(_samples(1, 0.0, 0), lugs=3)


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.sources: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.sources += [value or "" for name, value in attrs if name in ("src", "href")]
        if tag not in ("meta", "img", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def test_page_is_whole_in_one_file_and_the_same_each_time(tmp_path: Path) -> None:
    plug = g.random_plug(np.random.default_rng(25), layout="A", equal=False, flat=False)
    scan = s.scan(plug, s.Nuisance(sector=(0, 260)), points=20000, seed=1)
    result = told.result(scan)
    made = []
    for name in ("a", "b"):
        folder = tmp_path / name
        folder.mkdir()
        scan_pictures.write(result, folder, name="<sensor> & co")
        scan_page.write(result, folder, name="<sensor> & co", unit_note="unit mm")
        made.append({file.name: file.read_bytes() for file in sorted(folder.iterdir())})
    assert made[0] == made[1]
    assert set(made[0]) == {*scan_pictures.NAMES, scan_page.NAME}
    page = _Page()
    page.feed(made[0][scan_page.NAME].decode())
    assert not page.open
    assert len(page.sources) == 4
    assert all(source.startswith("data:image/png;base64,") for source in page.sources)
    text = " ".join(page.text)
    for one in result.features:
        assert scan_words.number(one.value, one.u) in text
    assert "<sensor> & co" in text
    assert "the shoulder was seen on 200 deg only" in text
