"""Pictures, one sheet a module.

Pages that hold them are in `bayonet.report.documents`.
"""
