"""From one measured part to every part: dimension chains and what to change.

Verdicts are in `bayonet.checks.chains`.
"""
