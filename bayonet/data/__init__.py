"""Data files that ship with the package."""
