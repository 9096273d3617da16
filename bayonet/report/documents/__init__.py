"""Pages: the tolerance report, load, scan; as HTML and PDF.

Pictures are in `bayonet.report.sheets`.
"""

from __future__ import annotations

from bayonet.report.documents.blocks import Picture

__all__ = [
    "Picture",
]
