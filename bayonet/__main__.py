"""`python -m bayonet` is the command line."""

from __future__ import annotations

from bayonet.cli import main

if __name__ == "__main__":
    main(prog_name="bayonet")
