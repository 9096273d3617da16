"""Linear elastic finite elements on own meshes, by scikit-fem: a body of revolution, and a block.

Quadratic elements. Nothing of `bayonet` is used here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from skfem import (
    Basis,
    BilinearForm,
    ElementHex2,
    ElementQuad2,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshHex,
    MeshQuad,
    condense,
    solve,
)
from skfem.helpers import ddot, eye, grad, sym_grad, trace

Array = NDArray[np.float64]
Where = Callable[[Array], Any]


def lame(modulus: float, poisson: float) -> tuple[float, float]:
    """Lame's constants."""
    return (
        modulus * poisson / ((1.0 + poisson) * (1.0 - 2.0 * poisson)),
        modulus / 2.0 / (1.0 + poisson),
    )


@dataclass(frozen=True)
class Revolved:
    """Displacements of a body of revolution in (r, z)."""

    basis: Basis
    moved: Array
    modulus: float
    poisson: float

    def at(self, r: float, z: float) -> Array:
        """Displacement (r, z) at a point."""
        return np.asarray(self.basis.probes(np.array([[r], [z]])) @ self.moved)

    def stress(self, r: Array, z: Array) -> Array:
        """Stresses (rr, zz, hoop, rz) at points, shape (4, n)."""
        first, second = lame(self.modulus, self.poisson)
        cells = self.basis.mesh.element_finder()(r, z)
        local = self.basis.mapping.invF(np.array([r, z])[:, :, None], tind=cells)
        fields = [self.basis.elem.gbasis(self.basis.mapping, local, i, tind=cells)[0]
                  for i in range(self.basis.Nbfun)]  # fmt: skip
        values = self.moved[self.basis.element_dofs[:, cells]]
        u = sum(v[None, :, None] * np.asarray(f) for v, f in zip(values, fields, strict=True))[
            ..., 0
        ]
        g = sum(v[None, None, :, None] * f.grad for v, f in zip(values, fields, strict=True))
        g = g[..., 0]
        rr, zz, hoop = g[0, 0], g[1, 1], u[0] / r
        sum_of = first * (rr + zz + hoop)
        return np.array([sum_of + 2 * second * rr, sum_of + 2 * second * zz,
                         sum_of + 2 * second * hoop, second * (g[0, 1] + g[1, 0])])  # fmt: skip


def revolved(
    mesh: MeshQuad,
    *,
    modulus: float,
    poisson: float,
    loaded: Where,
    traction: tuple[float, float],
    held_axially: Where,
) -> Revolved:
    """Solve a body of revolution under a traction on some edges, held axially on others."""
    first, second = lame(modulus, poisson)
    element = ElementVector(ElementQuad2())
    basis = Basis(mesh, element, intorder=6)

    def strains(u: Any, r: Any) -> tuple[Any, Any, Any, Any]:
        g = grad(u)
        return g[0, 0], g[1, 1], u[0] / r, g[0, 1] + g[1, 0]

    @BilinearForm
    def stiffness(u: Any, v: Any, w: Any) -> Any:
        r = w.x[0]
        a, b = strains(u, r), strains(v, r)
        spread = first * (a[0] + a[1] + a[2]) * (b[0] + b[1] + b[2])
        return r * (
            spread + 2 * second * (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) + second * a[3] * b[3]
        )

    @LinearForm
    def load(v: Any, w: Any) -> Any:
        return w.x[0] * (traction[0] * v[0] + traction[1] * v[1])

    facets = FacetBasis(mesh, element, facets=mesh.facets_satisfying(loaded), intorder=6)
    held = basis.get_dofs(held_axially).all("u^2")
    moved = solve(*condense(stiffness.assemble(basis), load.assemble(facets), D=held))
    return Revolved(basis, np.asarray(moved), modulus, poisson)


def block(
    mesh: MeshHex, *, modulus: float, poisson: float, loaded: Where, pressure: float, held: Where
) -> tuple[Basis, Array, float]:
    """Solve a block clamped on some faces under a pressure along z on others.

    Returns basis, displacements, and the mean z displacement of the loaded faces.
    """
    first, second = lame(modulus, poisson)
    element = ElementVector(ElementHex2())
    basis = Basis(mesh, element, intorder=4)

    @BilinearForm
    def stiffness(u: Any, v: Any, _: Any) -> Any:
        strain = sym_grad(u)
        stress = first * eye(trace(strain), 3) + 2 * second * strain
        return ddot(stress, sym_grad(v))

    @LinearForm
    def load(v: Any, _: Any) -> Any:
        return pressure * v[2]

    @LinearForm
    def mean(v: Any, _: Any) -> Any:
        return v[2]

    facets = FacetBasis(mesh, element, facets=mesh.facets_satisfying(loaded), intorder=4)
    clamped = basis.get_dofs(held).all()
    moved = solve(*condense(stiffness.assemble(basis), load.assemble(facets), D=clamped))
    weights = mean.assemble(facets)
    return basis, np.asarray(moved), float(weights @ moved / weights.sum())


def linearised(stress: Array, along: Array) -> tuple[float, float]:
    """Membrane and bending part of a stress along a straight line through a section.

    ASME VIII-2 annex 5-A, stress integration (from memory).
    """
    length = along[-1] - along[0]
    middle = (along[0] + along[-1]) / 2.0
    membrane = np.trapezoid(stress, along) / length
    bending = 6.0 / length**2 * np.trapezoid(stress * (middle - along), along)
    return float(membrane), float(abs(bending))
