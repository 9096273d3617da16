"""What the kernel throws becomes an error of the package, with what was being done.

The kernel's exceptions share no Python class: `StdFail_NotDone` is no `Standard_Failure` here. They
are known by the module they come from.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import ParamSpec, TypeVar

from bayonet.errors import KernelError

P = ParamSpec("P")
R = TypeVar("R")

_KERNEL = "OCP"
_EMPTY = "Null TopoDS_Shape object"  # cadquery's ValueError where the kernel returned nothing


def is_kernels(error: Exception) -> bool:
    """Whether an exception is the kernel's, or says that it returned nothing."""
    return type(error).__module__.split(".")[0] == _KERNEL or str(error) == _EMPTY


def guarded(doing: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """For a function other rooms call: kernel exceptions leave it as `KernelError`.

    Parameters
    ----------
    doing : str
        What the function does, as in "building the socket".

    Raises
    ------
    KernelError
        By the function made, in place of any exception of the kernel. All others pass.
    """

    def around(function: Callable[P, R]) -> Callable[P, R]:
        @functools.wraps(function)
        def call(*args: P.args, **kwargs: P.kwargs) -> R:
            try:
                return function(*args, **kwargs)
            except Exception as error:
                if not is_kernels(error):
                    raise
                words = f"{type(error).__name__} {error}".strip()
                raise KernelError(f"{doing}: the CAD kernel gave up ({words})") from error

        return call

    return around
