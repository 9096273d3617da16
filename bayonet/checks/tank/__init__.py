"""A grafted socket and what stands round it, judged from plain numbers.

Measuring them is in `bayonet.solids.graft` and `bayonet.surroundings`.
"""
