"""QR codes (ISO/IEC 18004) as one vector path, with the white they need around them."""

from __future__ import annotations

from functools import lru_cache

from classpack.typeset.page_text import POINTS_PER_MM
from classpack.typeset.tagged_canvas import TaggedCanvas

SMALLEST_MODULE = 0.6 * POINTS_PER_MM
QUIET = 4  # modules of white on every side: ISO/IEC 18004, 5.3.8 (from memory)
LONGEST = 400


@lru_cache(maxsize=64)
def modules(text: str) -> tuple[int, str]:
    """Modules a side, and the page code of all dark ones in units of a module; runs in a row are merged.

    A fixed mask is allowed by the standard and saves trying all eight.
    """
    import qrcode  # here: it costs 10 ms, and not every pack has a code
    from qrcode.constants import ERROR_CORRECT_M

    code = qrcode.QRCode(error_correction=ERROR_CORRECT_M, border=0, mask_pattern=2)
    code.add_data(text.encode())
    code.make(fit=True)
    rows = code.modules
    side = len(rows)
    path: list[str] = []
    for number, row in enumerate(rows):
        start = -1
        for column, dark in enumerate([*row, False]):
            if dark and start < 0:
                start = column
            elif not dark and start >= 0:
                path.append(f"{start} {side - 1 - number} {column - start} 1 re")
                start = -1
    return side, " ".join(path) + " f"


def code_size(text: str, wanted: float) -> float:
    """Side of the dark square in points: ``wanted``, or more if a module would be under 0.6 mm."""
    return max(wanted, modules(text)[0] * SMALLEST_MODULE)


def draw_code(c: TaggedCanvas, text: str, x: float, y: float, side: float, colour: str) -> None:
    """Draws the code with its lower left corner at (x, y). The caller keeps the white and tags the figure."""
    count, path = modules(text)
    scale = side / count
    c.code(f"q {colour} rg {scale:.5f} 0 0 {scale:.5f} {x:.2f} {y:.2f} cm {path} Q")
