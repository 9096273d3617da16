"""What a chain asks of a pair, and the words all of them share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains import Chain
from bayonet.tolerance.fitting.assembly import Assembly

Quantity = Callable[[Assembly], list[NDArray[np.float64]]]

TOUCHES = "parts must not interfere: limits of the socket and spread of the plug"


@dataclass(frozen=True, kw_only=True)
class Requirement:
    """A chain, the function that gives its quantity, and the states it is judged in.

    ``states``: ``all`` of service, ``bench`` alone, ``seal`` for all under the greatest pressure,
    ``aged`` for those with the ring at the end of its life.
    """

    chain: Chain
    quantity: Quantity
    states: str = "all"
