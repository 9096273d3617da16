"""Files other programs read: triangle meshes here, STEP by way of `bayonet.solids.step`."""
