"""`bayonet live`: a design in the browser, on this machine only; the same functions as the CLI.

The page and its guard are here; what is judged and built is asked of `bayonet.checks` and
`bayonet.jobs`, in processes of their own.
"""

from __future__ import annotations

from bayonet.live.running import run

__all__ = ["run"]
