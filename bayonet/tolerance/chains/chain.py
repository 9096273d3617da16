"""A set of dimension chains: deviations in, functional quantities out, each with its limits.

The same function serves nominal, corners, first order and sampling.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.variable import Variable

Array = NDArray[np.float64]

Rows = Sequence[Array]
Evaluate = Callable[[Array, Sequence[str]], Mapping[str, Rows]]


@dataclass(frozen=True, kw_only=True)
class Chain:
    """One functional quantity and what it must keep.

    Parameters
    ----------
    key : str
        Stable name, also of the rows the set's function returns.
    title : str
    why : str
        One plain line: what goes wrong outside the limits.
    unit : str
    low, high : float
        Limits [unit]; infinite for none.
    source : str
        Where the limits come from.
    field : str
        Field of the design file that moves its middle; empty where none does.
    field_slope : float
        Change of the quantity per unit of the field; 0 where no field moves it.
    digits : int
        Decimals people are shown.
    """

    key: str
    title: str
    why: str
    unit: str
    low: float = -math.inf
    high: float = math.inf
    source: str = ""
    field: str = ""
    field_slope: float = 0.0
    digits: int = 3

    @property
    def has_limits(self) -> bool:
        """Whether anything is asked of it at all."""
        return math.isfinite(self.low) or math.isfinite(self.high)

    def room(self, values: Array) -> Array:
        """Distance inside the nearer limit, negative outside; infinite without limits [unit]."""
        return np.minimum(values - self.low, self.high - values)


@dataclass(frozen=True, kw_only=True)
class ChainSet:
    """Chains over one list of variables.

    Parameters
    ----------
    variables : tuple of Variable
    chains : tuple of Chain
    evaluate : callable
        Takes deviations, shape (variables, n), and the keys wanted; gives for each key the
        quantity of each of the chain's pieces, a row of shape (n,) or of one number each. The
        chain's value is the piece with the least room.
    correlation : array, shape (variables, variables), or None
        Of the normal variates behind the variables; None is independent.

    Examples
    --------
    A gap of two parts; see `tests/tolerance/test_textbook_stacks.py` for printed ones.

    >>> hole = Variable(key="h", meaning="hole", owner="socket", half_width=0.1, spread="uniform")
    >>> gap = Chain(key="gap", title="gap", why="", unit="mm", low=0.0)
    >>> one = ChainSet(
    ...     variables=(hole,), chains=(gap,), evaluate=lambda x, keys: {"gap": [0.2 + x[0]]}
    ... )
    >>> one.values(np.zeros((1, 1)))["gap"]
    array([0.2])
    """

    variables: tuple[Variable, ...]
    chains: tuple[Chain, ...]
    evaluate: Evaluate
    correlation: Array | None = None

    def values(self, deviations: Array) -> dict[str, Array]:
        """Value of every chain: its piece with the least room, shape (n,) [unit]."""
        rows = self.evaluate(deviations, self.keys)
        count = deviations.shape[1]
        found = {chain.key: governing(chain, rows[chain.key]) for chain in self.chains}
        return {k: v if v.shape == (count,) else np.full(count, v) for k, v in found.items()}

    def pieces(self, deviations: Array, keys: Sequence[str]) -> dict[str, Array]:
        """Every piece of some chains, shape (pieces, n) [unit]."""
        rows, count = self.evaluate(deviations, keys), deviations.shape[1]
        out = {key: np.empty((len(rows[key]), count)) for key in keys}
        for key, stack in out.items():
            for index, row in enumerate(rows[key]):
                stack[index] = row
        return out

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of all chains."""
        return tuple(chain.key for chain in self.chains)

    def nominal(self) -> Array:
        """All deviations zero, shape (variables, 1)."""
        return np.zeros((len(self.variables), 1))

    def means(self) -> Array:
        """All deviations at their means, shape (variables, 1)."""
        return np.array([[variable.mean] for variable in self.variables])


def governing(chain: Chain, rows: Rows) -> Array:
    """Of the pieces of a chain, the value with the least room at each point; shape (n,)."""
    if len(rows) == 1:
        return np.asarray(rows[0])
    if math.isinf(chain.high):
        return np.asarray(reduce(np.minimum, rows))
    if math.isinf(chain.low):
        return np.asarray(reduce(np.maximum, rows))
    stack = np.array(np.broadcast_arrays(*rows))
    best = np.argmin(chain.room(stack), axis=0)
    return np.asarray(np.take_along_axis(stack, best[None], axis=0)[0])
