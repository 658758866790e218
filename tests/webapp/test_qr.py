"""What a camera reads is what the standard's own encoder drew, square by square, with room around it."""

import re

import segno

from webapp.qr import QUIET_ZONE, qr_code

PAIR = "http://192.168.1.20:8000/pair?secret=0123456789abcdefABCDEF"


def drawn(path: str, side: int) -> list[list[int]]:
    """Return the squares that SVG path data of rows fills."""
    squares = [[0] * side for _ in range(side)]
    for x, y, width, back in re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", path):
        assert width == back
        for column in range(int(x), int(x) + int(width)):
            squares[int(y)][column] += 1
    return squares


def test_the_outline_fills_the_squares_of_the_symbol_once_inside_a_quiet_zone() -> None:
    code = qr_code(PAIR)
    assert re.fullmatch(r"(?:M\d+ \d+h\d+v1h-\d+z)+", code.path)
    symbol = segno.make_qr(PAIR, error="m", boost_error=False)
    expected = [[int(dark) for dark in row] for row in symbol.matrix_iter(border=QUIET_ZONE)]
    assert drawn(code.path, code.side) == expected


def test_three_corners_hold_the_pattern_by_which_a_camera_finds_it() -> None:
    # Source: ISO/IEC 18004, finder pattern: 7 x 7 dark, 5 x 5 light, 3 x 3 dark, four light squares around the symbol
    code = qr_code(PAIR)
    squares = drawn(code.path, code.side)
    finder = [[1 if max(abs(x - 3), abs(y - 3)) != 2 else 0 for x in range(7)] for y in range(7)]
    far = code.side - 4 - 7
    for top, left in ((4, 4), (4, far), (far, 4)):
        assert [row[left : left + 7] for row in squares[top : top + 7]] == finder
    assert not any(map(any, squares[:4] + squares[-4:]))
