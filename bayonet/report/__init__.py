"""Rendering: `data`, `terminal`, `sheets` (pictures), `documents` (pages). Computes nothing."""
