"""How long a task may take: at best, usually, at worst; and what follows for the mean and the variance (PERT).

Source of the formulas: Malcolm, Roseboom, Clark, Fazar, Application of a Technique for Research and Development Program
Evaluation, Operations Research 7 (1959) 646-669.
"""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Spread:
    """Three durations in one unit; best ≤ usual ≤ worst. source: who says so, for a person.

    Raises ValueError when they are not in this order, or below zero.
    """

    best: Fraction
    usual: Fraction
    worst: Fraction
    source: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.best <= self.usual <= self.worst:
            raise ValueError(f"best ≤ usual ≤ worst is asked, not {self.best}, {self.usual}, {self.worst}")

    @property
    def mean(self) -> Fraction:
        """Return (best + 4 × usual + worst) ÷ 6."""
        return (self.best + 4 * self.usual + self.worst) / 6

    @property
    def variance(self) -> Fraction:
        """Return ((worst − best) ÷ 6)²."""
        return ((self.worst - self.best) / 6) ** 2

    @property
    def shape(self) -> tuple[Fraction, Fraction]:
        """Return both shape parameters of the beta distribution on best to worst whose mean is that of PERT.

        Both 1 (every duration as likely as another) where best and worst are the same.
        """
        width = self.worst - self.best
        if not width:
            return Fraction(1), Fraction(1)
        return 1 + 4 * (self.usual - self.best) / width, 1 + 4 * (self.worst - self.usual) / width

    def times(self, usual: Fraction) -> "Spread":
        """Return the same spread, in shares, around another usual duration. Raises ZeroDivisionError for 0."""
        return Spread(self.best / self.usual * usual, usual, self.worst / self.usual * usual, self.source)
