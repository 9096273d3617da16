"""Does it seal, on the bench and in service, and does the ring get there whole?

Gland states are in `bayonet.tolerance`, limits in `bayonet.parts.seal_limits`.
"""
