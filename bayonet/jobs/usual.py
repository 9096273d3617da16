"""What jobs take where a person says nothing; light to load, for the words of commands."""

from __future__ import annotations

from typing import Literal

USUAL_CHORD_MM = 0.01
"""Greatest distance between mesh and exact surface [mm]."""

Paper = Literal["a4", "letter"]
"""Of the tolerance report."""
