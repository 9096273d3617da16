"""Loads, the stresses they cause, and the torque to turn the plug: numbers, no judgement."""
