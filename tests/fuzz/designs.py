"""Design files broken on purpose: values, keys, types, structure, bytes."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import numpy as np
import tomlkit

import bayonet
from bayonet.errors import BayonetError

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXTS = tuple(file.read_text("utf-8") for file in sorted(EXAMPLES.glob("*.toml")))

NUMBERS: tuple[Any, ...] = (
    0, -1, 1e-12, 1e9, 1e300, float("nan"), float("inf"), -0.0, 10**40, True, "", "12,5", "5 mm",
    "1e400 mm", "30 in", "x" * 300, [], {}, [1, 2], "²", "\u0661", {"value": 30, "tol": -1},
    {"readings": [30.0, 30.04]}, {"readings": []}, {"samples": [30.0, 30.0]}, {"value": 30, "u": 9},
    {"value": 30, "tol": 40}, 1979, "\u0000", "nan", {"value": 30, "fit": "H99"},
)  # fmt: skip


def broken(rng: np.random.Generator, number: int) -> str:
    """A design's text with one to four things wrong, or odd; in two of five, sizes a little off."""
    text = TEXTS[int(rng.integers(len(TEXTS)))]
    if number % 4 == 3:
        return _bytes(rng, text)
    data: Any = tomlkit.parse(text).unwrap()
    for _ in range(int(rng.integers(1, 5))):
        if number % 5 in (1, 4):
            _a_little(rng, data)
        else:
            _one(rng, data)
    try:
        return tomlkit.dumps(data)
    except (ValueError, TypeError):
        return text


def _places(data: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = []
    rows = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in rows:
        found.append((*at, key))
        if isinstance(value, (dict, list)):
            found += _places(value, (*at, key))
    return found


def _a_little(rng: np.random.Generator, data: Any) -> None:
    """A number other than it was, within a factor of two: most such designs are read and judged."""
    places = [
        (table, key)
        for table, key in _tables(data)
        if isinstance(table[key], (int, float)) and not isinstance(table[key], bool)
    ]
    table, key = places[int(rng.integers(len(places)))]
    by = float(rng.choice([0.5, 0.9, 0.98, 1.0, 1.02, 1.1, 2.0]))
    table[key] = table[key] * by if isinstance(table[key], float) else round(table[key] * by)


def _tables(data: Any) -> list[tuple[Any, Any]]:
    found = []
    for *way, key in _places(data):
        table = data
        for name in way:
            table = table[name]
        found.append((table, key))
    return found


def _one(rng: np.random.Generator, data: Any) -> None:
    places = _places(data)
    if not places:
        return
    *way, key = places[int(rng.integers(len(places)))]
    table = data
    for name in way:
        table = table[name]
    value = table[key]
    match int(rng.integers(7)):
        case 0 | 1:
            table[key] = copy.deepcopy(NUMBERS[int(rng.integers(len(NUMBERS)))])
        case 2:
            del table[key]
        case 3 if isinstance(table, dict):
            table[f"{key}x"] = table.pop(key)
        case 4 if isinstance(value, (int, float)) and not isinstance(value, bool):
            table[key] = value * float(rng.choice([0.1, 0.5, 0.9, 1.1, 2.0, 10.0, -1.0]))
        case 5 if isinstance(value, list) and value:
            table[key] = value * int(rng.integers(2, 30))
        case _ if isinstance(value, (int, float)) and not isinstance(value, bool):
            table[key] = value * float(rng.normal(1.0, 0.05))
        case _:
            pass


def _bytes(rng: np.random.Generator, text: str) -> str:
    chars = list(text)
    for _ in range(int(rng.integers(1, 6))):
        at = int(rng.integers(len(chars)))
        match int(rng.integers(4)):
            case 0:
                del chars[at : at + int(rng.integers(1, 40))]
            case 1:
                chars.insert(at, str(rng.choice(list('"[]{}=.,#\n\\\u0007\ufeff9-e'))))
            case 2:
                chars[at] = chr(int(rng.integers(1, 0x2FFF)))
            case _:
                piece = chars[at : at + int(rng.integers(1, 60))]
                chars[at:at] = piece * int(rng.integers(1, 4))
        if not chars:
            break
    return "".join(chars)


def outcome(text: str) -> str:
    """Read, and judge every fifth that can be read: a verdict costs a second."""
    try:
        design = bayonet.loads(text)
    except BayonetError as error:
        said = str(error)
        if not said or "\x1b" in said:
            return "failure: an error without words"
        return "refused"
    if len(text) % 5 == 0:
        result = bayonet.check(design)
        for one in result.findings:
            if one.verdict.value == "pass" and one.value is not None and one.value != one.value:
                return f"failure: NaN passes: {one.code}"
            if "nan" in one.message.lower().split():
                return f"failure: NaN is printed: {one.code}"
        return f"judged {result.verdict.value}"
    return "taken"
