"""Designs in which any field may be set: judged or refused in plain words, never a traceback."""

from __future__ import annotations

import typing
from collections import Counter
from collections.abc import Iterator
from typing import Any

from hypothesis import HealthCheck, given, settings
from pydantic import BaseModel
from test_findings import quick
from whole_designs import (
    GASKET,
    GROUPS,
    JOINTS,
    NO_RING,
    joined_designs,
    paths_of,
    whole_designs,
)

import bayonet
from bayonet.designfile import DesignFile, Measured
from bayonet.findings import Verdict, finding_codes
from bayonet.printing import ladder

ELSEWHERE = "graft."
"""Where a socket stands on a tank is drawn by the tests of grafts."""
UNDRAWN = {"plug.lugs.each.outer_diameter", "plug.lugs.each.bearing_depth",
           "plug.lugs.each.width", "plug.correlation.between", "plug.correlation.r",
           "plug.lugs.diameter", "plug.lugs.each.diameter", "design.units"}  # fmt: skip
"""Not drawn yet. Only ever shorter."""


def fields_of(model: type[BaseModel], prefix: str = "") -> Iterator[str]:
    """Dotted fields of the schema, as `paths_of` names those of a mapping."""
    for name, field in model.model_fields.items():
        path = f"{prefix}.{name}" if prefix else name
        inner = [
            one for one in (field.annotation, *_inside(field.annotation))
            if isinstance(one, type) and issubclass(one, BaseModel) and one is not Measured
        ]  # fmt: skip
        if not inner:
            yield path
        for table in inner:
            yield from fields_of(table, path)


def _inside(annotation: Any) -> Iterator[Any]:
    for one in typing.get_args(annotation):
        yield one
        yield from _inside(one)


def spread_over(examples: int) -> settings:
    return settings(
        max_examples=examples, deadline=None, derandomize=True, database=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )  # fmt: skip


def test_any_field_is_judged_or_refused_in_words() -> None:
    """Every field of the schema is drawn; cutters and nose-face grooves are among those judged."""
    drawn: set[str] = set()
    judged: Counter[str] = Counter()

    def each(raw: dict[str, Any]) -> None:
        drawn.update(paths_of(raw))
        try:
            design = bayonet.from_mapping(raw)
        except bayonet.DesignError as error:
            assert error.problems
            return
        judged["all"] += 1
        judged["cutter"] += design.spec.socket.cutter is not None
        judged["nose"] += design.plug.groove_kind == "nose_face"
        judged["gasket"] += design.socket.gasket is not None
        judged["no ring"] += design.plug.groove_kind is None
        _judged(design)

    spread_over(100)(given(whole_designs())(each))()
    spread_over(25)(given(whole_designs(always="cutter"))(each))()
    spread_over(15)(given(whole_designs(on_top=NO_RING))(each))()
    spread_over(15)(given(whole_designs(on_top=GASKET))(each))()
    named = {path for group in GROUPS.values() for one in group for path in one}
    named |= {path for one in JOINTS for path in one} | {"socket.construction"}
    wanted = {path for path in fields_of(DesignFile) if not path.startswith(ELSEWHERE)}
    assert wanted - UNDRAWN - drawn - named == set()
    assert judged["all"] > 40, judged
    for kind in ("cutter", "nose", "no ring", "gasket"):
        assert judged[kind] > 2, (kind, judged)


@spread_over(6)
@given(joined_designs())
def test_any_joint_is_judged_or_refused_in_words(raw: dict[str, Any]) -> None:
    try:
        design = bayonet.from_mapping(raw)
    except bayonet.DesignError as error:
        assert error.problems
        return
    _judged(design)


def _judged(design: bayonet.Design) -> None:
    found = quick(design)
    assert {f.code for f in found} <= {one.code for one in finding_codes()}
    for one in found:
        assert one.verdict in (Verdict.PASS, Verdict.OPEN) or one.change, one.code
    try:
        made = ladder.sample(design, steps_mm=(0.0, 0.2), with_seal=False, profile=None)
    except bayonet.DesignError as error:
        assert error.problems
        return
    assert made.findings
