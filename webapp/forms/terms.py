"""What was typed about money terms -> Terms, or problems. The shop's form and a job's are the same."""

from collections.abc import Mapping
from fractions import Fraction

from domain.money import Money
from domain.price import Margin, Markup, Profit
from domain.problem import Problem
from domain.take_off import WasteChoice, WasteMethod
from domain.terms import (
    ContingencyBase,
    OverheadBase,
    PaymentStage,
    TaxBase,
    Terms,
    stage_problems,
)
from domain.words import cut_short
from webapp.forms.field import Fields
from webapp.forms.number import share_as_typed

LABELS = {
    "shop_rate": "Shop rate",
    "overhead": "Overhead",
    "overhead_base": "Overhead is",
    "contingency": "Contingency",
    "contingency_base": "Contingency is a share of",
    "profit_kind": "Profit is",
    "profit": "Profit",
    "tax": "Sales tax",
    "tax_base": "Tax is charged on",
    "validity_days": "Quotes stay valid for",
    "round_to": "Round the price up to the next",
    "waste": "Extra lumber is",
    "waste_share": "Extra lumber",
}

OVERHEAD_BASES = (
    (OverheadBase.LABOUR_HOURS.value, "money for each labour hour"),
    (OverheadBase.LABOUR_COST.value, "percent of the labour cost"),
    (OverheadBase.DIRECT_COST.value, "percent of the direct cost"),
)
BASES = tuple((base.value, base.value) for base in OverheadBase)
CONTINGENCY_BASES = tuple((base.value, base.value) for base in ContingencyBase)
TAX_BASES = (
    (TaxBase.NOTHING.value, "nothing"),
    (TaxBase.MATERIALS.value, "materials and the costs marked as taxed, at what they cost"),
    (TaxBase.EVERYTHING.value, "the whole price, less the costs marked as not taxed"),
)
PROFIT_KINDS = (
    ("", "not said yet"),
    ("markup", "a markup: percent of the cost"),
    ("margin", "a margin: percent of the price"),
)
WASTE_METHODS = (
    (WasteMethod.ADD_ON.value, "added, % of the net"),
    (WasteMethod.WASTE_SHARE.value, "waste, % of what is bought"),
    (WasteMethod.GRADE_YIELD.value, "yield, % of what is bought"),
    (WasteMethod.OWN_YIELD.value, "the yield our own jobs had, wood by wood"),
    (WasteMethod.LAYOUT.value, "as laid out on real boards and sheets"),
)

MOST_STAGES = 6

ALL_LABELS = LABELS | {
    f"stage_{place}_{name}": f"Payment {place + 1}, {words}"
    for place in range(MOST_STAGES)
    for name, words in (("name", "name"), ("share", "share"), ("before", "before the start"))
}
"""Of every field, for showing two versions side by side."""


def fill(terms: Terms) -> dict[str, str]:
    """Return the terms as the form shows them; what nobody has said is blank."""
    return {
        "shop_rate": terms.shop_rate.plain() if terms.shop_rate is not None else "",
        "overhead": _overhead_as_typed(terms),
        "overhead_base": terms.overhead_base.value,
        "contingency": share_as_typed(terms.contingency),
        "contingency_base": terms.contingency_base.value,
        "profit_kind": _kind_of(terms.profit),
        "profit": share_as_typed(_share_of(terms.profit)),
        "tax": share_as_typed(terms.tax),
        "tax_base": terms.tax_base.value,
        "validity_days": str(terms.validity_days),
        "round_to": terms.round_to.plain() if terms.round_to else "",
        "waste": terms.waste.method.value,
        "waste_share": share_as_typed(terms.waste.share),
        **_stages_as_typed(terms),
    }


def typed_again(posted: Mapping[str, str]) -> dict[str, str]:
    """Return posted fields as the form shows them again, none of them missing."""
    blank = dict.fromkeys(fill(Terms()), "")
    return blank | {name: text for name, text in posted.items() if name in blank}


def read(posted: Mapping[str, str]) -> tuple[Terms | None, list[Problem]]:
    """Return the terms as typed, or None and every problem."""
    fields = Fields(posted)
    shop_rate = fields.money("shop_rate", LABELS["shop_rate"], needed=False)
    overhead_base = fields.choice("overhead_base", LABELS["overhead_base"], OverheadBase)
    overhead = _overhead(fields, overhead_base)
    contingency = fields.share("contingency", LABELS["contingency"])
    contingency_base = fields.choice("contingency_base", LABELS["contingency_base"], ContingencyBase)
    profit = _profit(fields)
    tax = fields.share("tax", LABELS["tax"])
    tax_base = fields.choice("tax_base", LABELS["tax_base"], TaxBase)
    validity_days = fields.whole("validity_days", LABELS["validity_days"], least=1, most=3_650)
    round_to = _round_to(fields)
    waste = _waste(fields)
    stages = _stages(fields)
    if (
        fields.problems or overhead_base is None or contingency is None or contingency_base is None or tax is None
        or tax_base is None or validity_days is None or waste is None
    ):  # fmt: skip
        return None, fields.problems
    terms = Terms(
        shop_rate=shop_rate, overhead=overhead, overhead_base=overhead_base, contingency=contingency,
        contingency_base=contingency_base, profit=profit, tax=tax, tax_base=tax_base, stages=stages,
        validity_days=validity_days, round_to=round_to, waste=waste,
    )  # fmt: skip
    return terms, []


def _overhead_as_typed(terms: Terms) -> str:
    if terms.overhead is None:
        return ""
    if terms.overhead_base is OverheadBase.LABOUR_HOURS:
        return Money.of(terms.overhead).plain()
    return share_as_typed(terms.overhead)


def _overhead(fields: Fields, base: OverheadBase | None) -> Fraction | None:
    """Return the overhead as typed: dollars for each labour hour, or a share of its base."""
    if base is OverheadBase.LABOUR_HOURS:
        rate = fields.money("overhead", LABELS["overhead"], needed=False)
        return None if rate is None else rate.dollars
    return fields.share("overhead", LABELS["overhead"], needed=False, most=1_000)


def _kind_of(profit: Profit | None) -> str:
    return "" if profit is None else "markup" if isinstance(profit, Markup) else "margin"


def _share_of(profit: Profit | None) -> Fraction | None:
    return profit.of_cost if isinstance(profit, Markup) else profit.of_price if profit else None


def _profit(fields: Fields) -> Profit | None:
    kind = fields.raw("profit_kind")
    if kind not in dict(PROFIT_KINDS):
        fields.problem("profit_kind", f"Profit is “{cut_short(kind)}”. Choose a markup or a margin.")
    elif not kind:
        if fields.raw("profit"):
            words = f"Profit “{cut_short(fields.raw('profit'))}” is a share of what? Choose a markup or a margin."
            fields.problem("profit_kind", words)
    elif kind == "markup":
        share = fields.share("profit", LABELS["profit"], most=1_000)
        return None if share is None else Markup(share)
    else:
        share = fields.share("profit", LABELS["profit"], most=99)
        return None if share is None else Margin(share)
    return None


def _round_to(fields: Fields) -> Money | None:
    step = fields.money("round_to", LABELS["round_to"], needed=False)
    if step is not None and step.cents < 1:
        fields.problem("round_to", "Rounding goes up to the next 0.01 at least. Leave it empty to keep the cents.")
    return step


def _waste(fields: Fields) -> WasteChoice | None:
    method = fields.choice("waste", LABELS["waste"], WasteMethod)
    least, most = (1, 100) if method is WasteMethod.GRADE_YIELD else (0, 99)
    if method is WasteMethod.ADD_ON:
        most = 500
    share = fields.share("waste_share", LABELS["waste_share"], needed=False, least=least, most=most)
    return None if method is None else WasteChoice(method, share)


def _stages_as_typed(terms: Terms) -> dict[str, str]:
    typed: dict[str, str] = {}
    for place in range(MOST_STAGES):
        stage = terms.stages[place] if place < len(terms.stages) else None
        typed[f"stage_{place}_name"] = stage.name if stage else ""
        typed[f"stage_{place}_share"] = share_as_typed(stage.share) if stage else ""
        typed[f"stage_{place}_before"] = "yes" if stage and stage.before_start else ""
    return typed


def _stages(fields: Fields) -> tuple[PaymentStage, ...]:
    """Return the payment stages typed; a line left blank is none."""
    found, before = [], len(fields.problems)
    for place in range(MOST_STAGES):
        name = fields.text(f"stage_{place}_name", f"Payment {place + 1}")
        if not name and not fields.raw(f"stage_{place}_share"):
            continue
        share = fields.share(f"stage_{place}_share", f"Share of payment {place + 1}")
        if share is not None:
            found.append(PaymentStage(name, share, fields.tick(f"stage_{place}_before")))
    if len(fields.problems) == before:
        fields.problems += stage_problems(found)
    return tuple(found)


YEAR_LABELS = {"year_overhead": "Overhead in a year", "year_base": "Shared over", "year_amount": "Of that in a year"}


def read_year(query: Mapping[str, str]) -> tuple[tuple[Money, OverheadBase, Fraction] | None, list[Problem]]:
    """Return a year's overhead, its base and how much of that there was; None when nothing was asked, or problems."""
    if not any(query.get(name) for name in ("year_overhead", "year_amount")):
        return None, []
    fields = Fields(query)
    overhead = fields.money("year_overhead", YEAR_LABELS["year_overhead"])
    base = fields.choice("year_base", YEAR_LABELS["year_base"], OverheadBase)
    typed = {"year_amount": query.get("year_amount", "").replace(",", "")}
    amount = Fields(typed, problems=fields.problems).number(
        "year_amount", YEAR_LABELS["year_amount"], least=Fraction(1, 100), most=10**12
    )
    if fields.problems or overhead is None or base is None or amount is None:
        return None, fields.problems
    return (overhead, base, amount), []
