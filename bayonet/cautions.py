"""The caution every printed output carries."""

from __future__ import annotations

PRINTED_CAUTION = "For trying the fit only. Do not pressurise a printed part: it can burst."
PRINTED_CAUTION_SHORT = "fit only, do not pressurise"
PRINTED_HEADLINE = f"Fit {PRINTED_CAUTION_SHORT.removeprefix('fit ')}. A printed part can burst."
PRINTED_MARK = "FIT ONLY: do not pressurise"
