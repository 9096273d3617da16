"""A person's own file with fields set: every form TOML has for a table, held against tomllib."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bayonet.designfile import edited

LEAVES = st.sampled_from([1, 2.5, True, "a # b", [1, 2], "x = '1'"])
KEYS = st.sampled_from(["a", "b", "c", "d"])
TREES = st.recursive(
    st.dictionaries(KEYS, LEAVES, min_size=1, max_size=3),
    lambda inner: st.dictionaries(KEYS, LEAVES | inner, min_size=1, max_size=3),
    max_leaves=8,
)


def value_of(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {value_of(v)}" for k, v in value.items()) + " }"
    return repr(value).lower() if isinstance(value, bool) else repr(value)


def written(draw: Any, tree: dict[str, Any], at: tuple[str, ...] = ()) -> list[str]:
    """Statements of a table, and sections behind them, each in a form drawn."""
    rows, sections = [], []
    for key, value in tree.items():
        if not isinstance(value, dict):
            text = value_of(value) if not isinstance(value, str) else f'"{value}"'
            rows.append(f"{key} = {text}  # remark on {key}")
            continue
        form = draw(st.sampled_from(["inline", "dotted", "section"]))
        flat = all(not isinstance(one, (dict, str)) for one in value.values())
        if form == "inline" and flat:
            rows.append(f"{key} = {value_of(value)}")
        elif form == "dotted" and flat:
            rows += [f"{key}.{k} = {value_of(v)}" for k, v in value.items()]
        else:
            head = ".".join((*at, key))
            sections += ["", f"[{head}]", *written(draw, value, (*at, key))]
    if draw(st.booleans()):
        rows.reverse()
    return [*rows, *sections]


PATHS = st.lists(KEYS, min_size=1, max_size=3).map(".".join)


def fitting(tree: dict[str, Any], path: str) -> bool:
    *tables, key = path.split(".")
    for name in tables:
        tree = tree.get(name, {})
        if not isinstance(tree, dict):
            return False
    return not isinstance(tree.get(key), dict)


@settings(max_examples=300, deadline=None)
@given(data=st.data(), tree=TREES, ends=st.sampled_from(["\n", "\r\n"]), mark=st.booleans())
def test_any_form_is_edited_in_its_form(
    data: st.DataObject, tree: dict[str, Any], ends: str, mark: bool
) -> None:
    text = ends.join(written(data.draw, tree)) + ends
    assert tomllib.loads(text.replace("\r\n", "\n")) == tree, "the test writes what it means"
    path = data.draw(PATHS.filter(lambda one: fitting(tree, one)))
    value = data.draw(st.sampled_from([7, 0.25, None]))
    made = edited(("\ufeff" if mark else "") + text, {path: value})
    assert made.startswith("\ufeff") == mark
    bare = made.removeprefix("\ufeff")
    assert bare.count("\r\n") == (bare.count("\n") if ends == "\r\n" else 0)
    wanted = copy.deepcopy(tree)
    *tables, key = path.split(".")
    table = wanted
    for name in tables:
        table = table.get(name, {}) if value is None else table.setdefault(name, {})
    if value is None:
        table.pop(key, None)
    else:
        table[key] = value
    assert tomllib.loads(bare.replace("\r\n", "\n")) == wanted
    for row in text.split(ends):
        remark = row.partition("#")[2]
        gone = row.startswith(f"{key} =")
        assert not remark.startswith(" remark") or gone or remark in bare


@pytest.mark.parametrize("line", ["a.b = 1 # kept", "a = { b = 1 } # kept", "[a] # kept\nb = 1"])
def test_the_rest_stays_as_it_was(line: str) -> None:
    made = edited(f"# head\n{line}\n", {"a.b": 2, "a.c": 3})
    assert made.startswith("# head\n")
    assert "# kept" in made
    assert tomllib.loads(made) == {"a": {"b": 2, "c": 3}}
