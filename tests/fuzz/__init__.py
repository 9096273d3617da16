"""Inputs broken on purpose; `run` tells how."""
