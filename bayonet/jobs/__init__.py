"""The jobs a person asks for, each from input to files: design, graft, surroundings, faces.

Words, options and exit codes are in `bayonet.commands`.
"""
