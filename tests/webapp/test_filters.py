"""How values read on a page."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import cast

import pytest
from jinja2.runtime import Context

from domain.figure import Unit, typed
from domain.shop import Shop
from webapp.filters import amount, day, when


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        ("105.31", Unit.POUND, "105 lb"),
        ("3.14", Unit.POUND, "3.1 lb"),
        ("86.49", Unit.DAY, "86.5 days"),
        ("2.15", Unit.DAY, "2.2 days"),
        ("1", Unit.DAY, "1 day"),
        ("-1", Unit.SHEET, "−1 sheet"),
        ("-2", Unit.SHEET, "−2 sheets"),
        ("4.575", Unit.MINUTE, "4 min 35 s"),
        ("0", Unit.MINUTE, "0 min"),
        ("52.4", Unit.MINUTE, "52 min"),
        ("0.27", Unit.GALLON, "0.27 gal"),
        ("0.0129", Unit.GALLON, "1.65 fl oz"),  # a US gallon is 128 fl oz by definition (NIST Handbook 44, appendix C)
        ("0", Unit.GALLON, "0 gal"),
    ],
)
def test_an_amount_reads_as_near_as_a_maker_needs_it(value: str, unit: Unit, text: str) -> None:
    context = cast(Context, {"shop": Shop()})
    assert amount(context, typed("It", Fraction(value), unit)) == text


def test_an_instant_is_read_by_the_shops_clock_and_calendar() -> None:
    # Two in the morning of 9 June in UTC is ten in the evening of 8 June in New York (tz database).
    shop = Shop(zone="America/New_York")
    context = cast(Context, {"shop": shop, "zone": shop.tz, "now": datetime(2026, 6, 8, 14, 0, tzinfo=UTC)})
    evening = datetime(2026, 6, 9, 2, 0, tzinfo=UTC)
    assert day(context, evening) == "Mon 8 Jun 2026"
    assert when(context, evening) == "22:00"
    assert when(context, evening + timedelta(days=3)) == "Thu 22:00"
    assert when(context, evening - timedelta(days=3)) == "Fri 5 Jun 22:00"
