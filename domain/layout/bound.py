"""What no layout can beat: proven lower bounds of cost and of the number of boards."""

from fractions import Fraction

from domain.layout.shape import Bound, ToCut


def bound(to_cut: ToCut) -> Bound:
    """Return the least cost and the least number of boards of any layout of all the blanks that fit somewhere."""
    return Bound(Fraction(0), min(1, len(to_cut.blanks)), "something has to be cut from something")
