"""Names in any script are drawn without a word from the drawing library."""

from __future__ import annotations

import warnings
from pathlib import Path

import pytest

from bayonet.report.sheets import paper


@pytest.mark.parametrize("name", ["水位传感器", "센서 \U0001f6b0", "حساس", "a\u0300 $x^2$"])
def test_a_name_in_any_script_is_drawn(tmp_path: Path, name: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with paper.sheet(4, 2, svg=tmp_path / "a.svg", png=tmp_path / "a.png") as figure:
            figure.text(0.1, 0.5, paper.one_line(name))
    assert (tmp_path / "a.png").stat().st_size > 1000
