"""Judgements of a design, as findings. Functions of dimensions; no geometry kernel."""
