"""A QR code (ISO/IEC 18004) as the outline of its dark squares, for a page to draw."""

from dataclasses import dataclass
from itertools import groupby

import segno

QUIET_ZONE = 4
"""Light squares that a reader needs around the code. Source: ISO/IEC 18004, quiet zone of a QR code symbol."""


@dataclass(frozen=True, slots=True)
class QrCode:
    """side: width and height, quiet zone included [squares]; path: SVG path data of the dark squares."""

    side: int
    path: str


def qr_code(text: str) -> QrCode:
    """Return the code of a text; a seventh of it may be dirty and it still reads (error level M)."""
    rows = tuple(segno.make_qr(text, error="m", boost_error=False).matrix)
    runs = []
    for y, row in enumerate(rows, QUIET_ZONE):
        x = QUIET_ZONE
        for is_dark, squares in groupby(row):
            width = len(list(squares))
            if is_dark:
                runs.append(f"M{x} {y}h{width}v1h-{width}z")
            x += width
    return QrCode(len(rows) + 2 * QUIET_ZONE, "".join(runs))
