"""Chain sets made by hand for the tests: no plug, no socket."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.variable import Spread, Variable

Array = NDArray[np.float64]


def variable(key: str, half: float, spread: Spread = "normal", **more: object) -> Variable:
    return Variable(key=key, meaning=key, owner="socket", half_width=half, spread=spread, **more)  # type: ignore[arg-type]


def standard(key: str) -> Variable:
    """A standard normal variate."""
    return variable(key, 3.0)


def stack(
    variables: Sequence[Variable],
    quantity: Callable[[Array], Array],
    *,
    low: float = -math.inf,
    high: float = math.inf,
    correlation: Array | None = None,
) -> ChainSet:
    """One chain of one piece."""
    chain = Chain(key="y", title="y", why="", unit="mm", low=low, high=high)
    return ChainSet(
        variables=tuple(variables),
        chains=(chain,),
        evaluate=lambda x, _: {"y": [quantity(x)]},
        correlation=correlation,
    )


def linear(
    nominal: float, signs: Sequence[float], variables: Sequence[Variable], **limits: float
) -> ChainSet:
    weights = np.asarray(signs, dtype=float)
    return stack(variables, lambda x: nominal + weights @ x, **limits)
