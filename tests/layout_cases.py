"""Small random things to cut, for tests of layouts; all invented."""

from fractions import Fraction

from hypothesis import strategies as st

from domain.layout.shape import Blank, Source, ToCut
from domain.length import Length


def sizes(least: int, most: int, *, parts: int = 8) -> st.SearchStrategy[Length]:
    """Return sizes of so many parts of an inch, and now and then of whole millimetres."""
    inches = st.integers(least * parts, most * parts).map(lambda number: Length.of(Fraction(number, parts)))
    return st.one_of(inches, inches, inches, st.integers(least * 26, most * 25).map(Length.mm))


@st.composite
def to_cuts(draw: st.DrawFn, *, plenty: bool = False, matches: bool = True) -> ToCut:
    """Return boards or sheets and blanks. plenty: the last source never runs out."""
    sources = []
    for at in range(draw(st.integers(1, 3))):
        count = None if plenty else draw(st.sampled_from([None, None, 0, 1, 2]))
        cost = Fraction(draw(st.integers(0 if count else 1, 9)), draw(st.sampled_from([1, 2, 3])))
        sources.append(Source(f"s{at}", draw(sizes(4, 14)), draw(sizes(10, 40)), cost, count))
    blanks = []
    for at in range(draw(st.integers(1, 6))):
        word = draw(st.sampled_from(["", "", "", "a", "b"])) if matches else ""
        blanks.append(
            Blank(
                f"b{at}",
                f"{at}",
                draw(sizes(1, 9)),
                draw(sizes(1, 30)),
                draw(st.integers(1, 4)),
                draw(st.booleans()),
                word,
            )
        )
    kerf = draw(st.sampled_from([Length.of(0), Length.of("1/8"), Length.mm(3)]))
    return ToCut(tuple(blanks), tuple(sources), kerf, (Length.of(2), Length.of(6)))
