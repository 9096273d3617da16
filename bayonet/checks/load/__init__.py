"""Does it hold the pressure, and can a hand turn it?

Stresses and torques themselves are in `bayonet.strength`.
"""
