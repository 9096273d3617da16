"""The caution every printed output carries."""

from __future__ import annotations

PRINTED_CAUTION = "For trying the fit only. Do not pressurise a printed part: it can burst."
PRINTED_CAUTION_SHORT = "fit only, do not pressurise"
