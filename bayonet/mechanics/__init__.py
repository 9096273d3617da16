"""Formulas of the trade, one function a quantity, vectorised, with their sources."""
