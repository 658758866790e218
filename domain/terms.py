"""The terms of a job: what an hour costs, what is laid on top, what is taxed, and when the client pays."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from domain.money import NOTHING, Money
from domain.price import Margin, Markup, Profit
from domain.problem import Problem
from domain.take_off import USUAL_WASTE, WasteChoice


class OverheadBase(Enum):
    """What the overhead rate is a share of; the value is what the database holds and what a person reads."""

    DIRECT_COST = "direct cost"
    LABOUR_COST = "labour cost"
    LABOUR_HOURS = "labour hours"  # the rate is then dollars per hour [$/h]


class ContingencyBase(Enum):
    """What the contingency is a share of."""

    DIRECT_COST = "direct cost"
    DIRECT_COST_AND_OVERHEAD = "direct cost and overhead"


class TaxBase(Enum):
    """What sales tax is charged on; a cost line says for itself whether it is taxed."""

    MATERIALS = "materials"  # and the costs marked as taxed, both at what they cost
    EVERYTHING = "everything"  # the price before tax, less the costs marked as not taxed with their profit
    NOTHING = "nothing"


class CostKind(Enum):
    """What a cost that is neither material nor labour is for."""

    SUBCONTRACT = "subcontract"
    DELIVERY = "delivery"
    TRAVEL = "travel"
    ALLOWANCE = "allowance"  # held for something not yet chosen, and adjusted to what it then costs
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class CostLine:
    """A direct cost typed as an amount. marked_up: the shop's profit is laid on it; else it passes at cost.

    on_quote: the client reads it as a line of its own; an allowance always is one.
    Raises ValueError for a negative amount.
    """

    id: int
    kind: CostKind
    description: str
    amount: Money
    taxed: bool = False
    marked_up: bool = True
    on_quote: bool = False
    version: int = 1

    def __post_init__(self) -> None:
        if self.amount < NOTHING:
            raise ValueError(f"a cost is at least 0, not {self.amount.plain()}")

    @property
    def is_own_line(self) -> bool:
        return self.on_quote or self.kind is CostKind.ALLOWANCE

    @property
    def where(self) -> str:
        return f"cost:{self.id}"


@dataclass(frozen=True, slots=True)
class PaymentStage:
    """A share of the total and when it is due. before_start: part of the deposit."""

    name: str
    share: Fraction
    before_start: bool = False


USUAL_STAGES = (
    PaymentStage("Deposit, before materials are ordered", Fraction(1, 2), before_start=True),
    PaymentStage("On delivery", Fraction(2, 5)),
    PaymentStage("On completion", Fraction(1, 10)),
)
"""Source: common practice, no source."""

DEPOSIT_CAUTION = "Many states limit the deposit a home-improvement contract may ask for. Check yours."
"""Source: from memory; your state's law says it."""


def stage_problems(stages: Sequence[PaymentStage]) -> tuple[Problem, ...]:
    """Return what is wrong with payment stages: unnamed, not above zero, or not adding up to 100 %."""
    words = ["A payment stage needs a name, such as Deposit." for stage in stages if not stage.name]
    for stage in stages:
        if stage.share <= 0:
            words.append(f"“{stage.name}” asks for {percent(stage.share)}. Ask for more, or remove the stage.")
    together = sum((stage.share for stage in stages), Fraction(0))
    if together != 1:
        words.append(f"The payment stages add up to {percent(together)}. Make it 100 %.")
    return tuple(Problem("stages", text) for text in words)


def percent(share: Fraction) -> str:
    """Return a share as a person types it, to the nearest hundredth of a percent: `12.5 %`."""
    return f"{float(round(share * 100, 2)):g} %"


def otherwise_said(profit: Profit | None) -> str:
    """Return a profit as the other of its two names, which are easily taken for each other."""
    match profit:
        case Markup(of_cost):
            same = profit.as_margin()
            return f"A markup of {percent(of_cost)} on the cost is a margin of {percent(same.of_price)} of the price."
        case Margin(of_price):
            markup = profit.as_markup()
            return f"A margin of {percent(of_price)} of the price is a markup of {percent(markup.of_cost)} on the cost."
        case _:
            return ""


@dataclass(frozen=True, slots=True)
class Terms:
    """The terms of one job; a new job starts with the shop's.

    shop_rate: per attended hour and person [$/h]; overhead: share of its base, or dollars per labour hour;
    None in shop_rate, overhead or profit: not said yet, which the estimate reports and never takes for zero.
    validity_days: how long a quote stands, 30 by common practice, no source;
    round_to: the price before tax goes up to the next multiple of it, None leaves the cents;
    waste: how lumber beyond the net quantity is reckoned; where: the address of the form that sets all this.
    Raises ValueError for a negative amount or share, and for stages that stage_problems() finds fault with.
    """

    shop_rate: Money | None = None
    overhead: Fraction | None = None
    overhead_base: OverheadBase = OverheadBase.LABOUR_HOURS
    contingency: Fraction = Fraction(0)
    contingency_base: ContingencyBase = ContingencyBase.DIRECT_COST
    profit: Profit | None = None
    tax: Fraction = Fraction(0)
    tax_base: TaxBase = TaxBase.NOTHING
    stages: tuple[PaymentStage, ...] = USUAL_STAGES
    validity_days: int = 30
    round_to: Money | None = None
    waste: WasteChoice = USUAL_WASTE
    where: str = "shop:terms"
    version: int = 1

    def __post_init__(self) -> None:
        shares = (self.overhead or Fraction(0), self.contingency, self.tax)
        if min(shares) < 0 or (self.shop_rate or NOTHING) < NOTHING:
            raise ValueError(f"rates and shares are at least 0: {shares}, {self.shop_rate}")
        if (self.round_to and self.round_to < Money(1)) or self.validity_days < 1:
            raise ValueError(f"at least a cent and a day: {self.round_to}, {self.validity_days}")
        if problems := stage_problems(self.stages):
            raise ValueError(problems[0].words)

    @property
    def deposit(self) -> Fraction:
        """Return the share of the total that is due before the work starts."""
        return sum((stage.share for stage in self.stages if stage.before_start), Fraction(0))

    @property
    def missing(self) -> tuple[Problem, ...]:
        """Return a problem for each rate that nobody has said yet."""
        asked = (
            ("shop_rate", self.shop_rate, "No shop rate yet. Say what one person costs an hour, such as 65."),
            ("overhead", self.overhead, "No overhead yet. Say a rate; 0 if the shop rate holds it."),
            ("profit", self.profit, "No profit yet. Say a markup on cost or a margin of the price."),
        )
        return tuple(Problem(field, words) for field, value, words in asked if value is None)
