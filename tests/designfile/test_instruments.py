"""Plain sizes carry the uncertainty of the instrument named for the plug."""

from __future__ import annotations

import pytest

import bayonet
from bayonet.designfile.instruments import usual
from bayonet.designfile.measured import read
from bayonet.parts.design import changed
from bayonet.tolerance.fitting.requirements import chains_of


def test_a_calliper_by_its_standard() -> None:
    """ISO 13385-1 limits of error of a 150 mm digital calliper: 0.02 to 0.03 mm; k = 2: 0.04."""
    gauge = usual("calliper", "outside", 40.0)
    assert gauge is not None
    assert gauge.expanded_u == 0.04
    assert usual("micrometer", "outside", 40.0).expanded_u < gauge.expanded_u  # type: ignore[union-attr]
    assert usual("drawing", "outside", 40.0) is None
    assert usual("calliper", "outside", 1000.0) is None, "no calliper of the table reaches"


@pytest.mark.parametrize(
    ("given", "u"),
    [
        (22.4, 0.02),
        ({"readings": [22.4, 22.4, 22.4]}, 0.02),
        ({"readings": [22.38, 22.42]}, (0.02**2 + 0.02**2) ** 0.5),
        ({"value": 22.4, "u": 0.005}, 0.005),
        ({"value": 22.4, "u": 0.0}, 0.0),
        ({"readings": [22.4], "resolution": 0.01}, 0.005 / 3**0.5),
        ({"value": 22.4, "tol": 0.05}, 0.0),
    ],
)  # fmt: skip
def test_what_says_nothing_of_its_own_gets_the_instruments(
    sensor: bayonet.Design, given: object, u: float
) -> None:
    """JCGM 100, 5.1.2: scatter (s = 0.0283, over the root of 2) and instrument add in squares."""
    design = changed(sensor, [("plug.groove.diameter", given)])
    assert design.spec.plug.groove.diameter.uncertainty.u == pytest.approx(u, abs=1e-12)


def test_careless_does_not_beat_careful(sensor: bayonet.Design) -> None:
    """A plain number spreads squeeze no less than a stated calliper, more than a micrometer."""

    def spread(given: object, *more: tuple[str, object]) -> float:
        design = changed(sensor, [("plug.groove.diameter", given), *more])
        chains = chains_of(design)
        rows = {v.key: v for v in chains.variables}
        found = rows.get("uncertainty:groove.diameter")
        return 0.0 if found is None else found.half_width

    plain, careful = spread(22.4), spread({"value": 22.4, "u": 0.003})
    assert plain > careful
    assert spread(22.4, ("plug.measured_with", "micrometer")) < plain
    assert spread(22.4, ("plug.measured_with", "drawing")) == 0.0


def test_it_is_assumed_in_words_and_named_for_measuring_again(sensor: bayonet.Design) -> None:
    result = bayonet.check(changed(sensor, [("plug.body.0.diameter", 32.0)]))
    assert "calliper" in result.assumptions[0]
    assert "0.04 mm" in result.assumptions[0]
    text = result["tolerance.joint_yield"].message
    assert "measuring again" in text or result.study.fails.value < 1e-6


def test_files_are_written_as_they_were() -> None:
    from bayonet.designfile import as_written

    design = bayonet.loads(bayonet.starting_file())
    assert design.spec.plug.groove.diameter.usual_u == 0.02
    assert as_written(design.spec.plug.groove)["diameter"] == read(22.4, kind="length").value
