"""Forms of lug that real plugs have: read right, withheld or refused with a reason, never misread.

Plugs, scans and truth are the generator's own (`generator_forms`), no code of the package's.
"""

from __future__ import annotations

import functools
import math
from pathlib import Path

import evaluate
import generator as g
import generator_forms as forms
import generator_scan as s
import numpy as np
import pytest

import bayonet
from bayonet.errors import ScanError
from bayonet.parts import Design
from bayonet.scan import fit
from bayonet.scan.describe import described
from bayonet.scan.describe.comparison import compared
from bayonet.scan.describe.stated import known
from bayonet.scan.fit import FeatureValue, ScanResult


def _designed(text: str, folder: Path) -> Design:
    path = folder / "plug.toml"
    path.write_text(text, encoding="utf-8")
    return bayonet.load(path)


POINTS, NOISE = 25_000, 0.02


@functools.cache
def _scan(form: str, seed: int = 3) -> s.Scan:
    _, plug = forms.random_form(np.random.default_rng(seed), form=form)
    return s.scan(plug, s.Nuisance(noise=NOISE), points=POINTS, seed=seed)


@functools.cache
def _read(form: str, seed: int = 3) -> tuple[s.Scan, ScanResult, dict[str, FeatureValue]]:
    scan = _scan(form, seed)
    result = fit(evaluate.as_points(scan))
    return scan, result, evaluate.by_true_key(scan, result)


@pytest.mark.parametrize("form", forms.FORMS)
def test_the_generators_points_lie_on_its_faces(form: str) -> None:
    """Points by one formula, distances by another; and lugs' faces meet without gaps."""
    scan = _scan(form)
    for index, face in enumerate(scan.faces):
        on = scan.local[scan.face == index]
        if len(on):
            off = face.implicit(*s._cylindrical(on), scan.plug.p)
            limit = 1e-4 if face.name.endswith("fillet") else 1e-9
            if not face.name.startswith("body"):  # tapered afterwards
                assert np.abs(off).max() < limit, face.name


@pytest.mark.parametrize("form", ["claw", "own leads", "sloped", "long thread", "wide groove"])
def test_forms_the_fit_knows_are_read_within_their_uncertainty(form: str) -> None:
    """Every value within 4 u of the truth, none off by what matters, none withheld."""
    scan, result, told = _read(form)
    assert (result.lugs, result.groove) == (scan.plug.count, scan.plug.groove)
    assert evaluate.observability_errors(scan, told) == []
    for key, truth in scan.truth.items():
        one = told[key]
        away = one.value - truth
        away = (away + 180.0) % 360.0 - 180.0 if key.endswith("centre_deg") else away
        unit = "deg" if key.endswith("_deg") else "mm/rev" if key.endswith("lead") else "mm"
        assert abs(away) < min(4.0 * one.u, evaluate.MATTERS[unit]), (key, truth, one)


def test_a_ramp_on_the_bearing_flank_alone_is_written_as_it_is(tmp_path: Path) -> None:
    """The file holds both leads and reads back; thickness is the one at the lug's middle."""
    scan, result, _ = _read("claw")
    text = described(result, evaluate.as_points(scan))
    lugs = _designed(text, tmp_path).spec.plug.lugs
    leads = (("lead", lugs.lead), ("leading_lead", lugs.leading_lead))
    for name, told in leads:
        assert told.value == pytest.approx(scan.plug.p[f"lug.0.{name}"], abs=4.0 * told.u)
        assert told.u < 0.2
    assert "# bearing_depth and thickness are those at a lug's middle" in text
    assert lugs.thickness.value == pytest.approx(scan.plug.p["lug.0.thickness"], abs=0.01)


def test_lugs_of_one_lead_have_no_other() -> None:
    _, result, _ = _read("block")
    assert not [one for one in result.features if "leading_lead" in one.key or "flank" in one.key]


def test_one_worn_lug_is_no_form_of_the_set() -> None:
    """0.4 mm lost on one bearing flank of three or more: that lug's, not a lead of all."""
    _, plug = forms.random_form(np.random.default_rng(3), form="block")
    assert plug.count >= 3
    nuisance = s.Nuisance(noise=NOISE, wear=0.4)
    result = fit(evaluate.as_points(s.scan(plug, nuisance, points=POINTS, seed=3)))
    assert not [one for one in result.features if one.key.endswith("leading_lead")]
    assert result.flags


@pytest.mark.parametrize("seed", [3, 4])
def test_round_lugs_are_refused_as_round(seed: int) -> None:
    plug = _scan("pin", seed).plug
    with pytest.raises(ScanError, match="these lugs are round") as told:
        fit(evaluate.as_points(_scan("pin", seed)))
    across = float(str(told.value).split("pins of ")[1].split(" mm")[0])
    assert across == pytest.approx(plug.p["lug.0.thickness"], abs=0.15)
    assert f"{plug.count} pins" in str(told.value)


def test_a_form_the_fit_does_not_know_has_no_value_and_says_why() -> None:
    """Flanks rounded by a tenth of a millimetre; a lug whose outside is a cone."""
    scan, _, told = _read("crowned")
    assert scan.plug.crown > 0.08
    for name in ("bearing_depth", "thickness", "lead"):
        one = told[f"lug.0.{name}"]
        assert one.found == "not seen"
        assert "flank of no form this fit knows" in one.note
    assert told["lug.0.outer_diameter"].found == "measured"
    scan, _, told = _read("drafted lug")
    one = told["lug.0.outer_diameter"]
    assert one.found == "not seen"
    assert "outside of no form" in one.note
    assert told["lug.0.thickness"].value == pytest.approx(scan.truth["lug.0.thickness"], abs=0.02)


def test_a_plug_without_a_shoulder_is_refused_as_such() -> None:
    with pytest.raises(ScanError, match="no shoulder found"):
        fit(evaluate.as_points(_scan("no shoulder")))


def test_a_file_of_one_lead_differs_from_a_plug_of_two(tmp_path: Path) -> None:
    """A comparison by the bearing flanks alone would let the leading ones pass."""
    scan, result, _ = _read("claw")
    text = described(result, evaluate.as_points(scan))
    lines = [line for line in text.splitlines() if not line.startswith("leading_lead")]
    file = known(_designed("\n".join(lines), tmp_path))
    rows = compared(result.features, file, lugs=result.lugs, hand=result.hand,
                    groove=result.groove).rows  # fmt: skip
    verdicts = {one.key: one.verdict for one in rows}
    assert verdicts["lug.0.lead"] != "differs"
    assert verdicts["lug.0.leading_lead"] == "differs"


def test_the_thread_flanks_lean_is_an_angle_in_the_axial_section() -> None:
    """Depth at the outside less that at the foot, over the height: tan of the angle, by hand."""
    scan, _, told = _read("long thread")
    plug, p = scan.plug, scan.plug.p
    root, outer = p[f"body.{plug.lug_step}.diameter"] / 2, p["lug.0.outer_diameter"] / 2
    depths = [float(g.flank_at(plug, 0, "bearing", np.zeros(1), r, p)[0]) for r in (root, outer)]
    lean = math.degrees(math.atan((depths[1] - depths[0]) / (outer - root)))
    assert told["lug.0.bearing_flank_deg"].value == pytest.approx(lean, abs=0.3)
