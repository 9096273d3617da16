"""How far to trust a fit: form, coverage, hidden and overlooked lugs, claims.

Correlated noise is part of the fit itself: `bayonet.scan.fit.correlation`.
"""

from __future__ import annotations

from bayonet.scan.uncertainty.claims import told
from bayonet.scan.uncertainty.ends_and_leads import beside
from bayonet.scan.uncertainty.evenness import is_uneven
from bayonet.scan.uncertainty.hidden_lugs import completed

__all__ = [
    "beside",
    "completed",
    "is_uneven",
    "told",
]
