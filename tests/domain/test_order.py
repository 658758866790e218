"""What to order, from whom, what has come, what is late, and what the plan waits for."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.delivery import deliveries
from domain.figure import typed
from domain.left_over import left_over
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.number import next_number, revised_number
from domain.order import (
    Order,
    OrderLine,
    OrderState,
    Receipt,
    done_at,
    due_at,
    is_late,
    late_words,
    receipt_problems,
    receive,
    received,
)
from domain.price import PriceBook
from domain.shortage import in_words, order_by_words, short_of, to_order
from domain.stock import StockItem, in_stock
from domain.take_off import PartRef, TakeOffLine
from money_builders import GLUE, MAPLE, PLYWOOD, PULL, a_price, needs

ZONE = ZoneInfo("America/New_York")
MONDAY = datetime(2026, 3, 2, 14, 0, tzinfo=UTC)
BOOK = PriceBook((
    a_price(1, MAPLE, "1", "9.40", supplier="Hill Yard", whole=False, days=10),
    a_price(2, PLYWOOD, "1", "88.00", supplier="Hill Yard", days=3),
    a_price(3, GLUE, "16", "7.85"),
))  # fmt: skip


def a_line(packages: str = "3", *receipts: str, id: int = 1, material=GLUE, holds: str = "16") -> OrderLine:
    came = tuple(Receipt(Fraction(count), MONDAY + timedelta(days=n)) for n, count in enumerate(receipts))
    return OrderLine(id, material, "PVA glue", "bottle", Fraction(holds), Fraction(packages), Money(785), receipts=came)


def an_order(*lines: OrderLine, ordered_at: datetime | None = MONDAY, job_id: int = 3, **change) -> Order:
    order = Order(4, job_id, "P2026-004", "Mill Street Supply", lines, ordered_at, timedelta(days=3))
    return replace(order, **change)


# What to order


def test_what_is_needed_less_stock_less_orders_is_bought_in_whole_packages_per_supplier():
    needed = [needs(MAPLE, "40", 1), needs(PLYWOOD, "3", 1), needs(GLUE, "50", 1)]
    stock = [StockItem(1, MAPLE, Fraction("7.5")), StockItem(2, PLYWOOD, Fraction(9))]
    found = to_order(needed, stock, [an_order(a_line("1"))], BOOK, job_id=3, order_by={MAPLE.key: date(2026, 3, 9)})
    assert [each.supplier for each in found.suppliers] == ["Hill Yard", "Mill Street Supply"]
    boards, glue = (each.lines[0] for each in found.suppliers)
    assert boards.packages.count == Fraction("32.5")
    assert boards.order_by == found.suppliers[0].order_by == date(2026, 3, 9)
    assert glue.packages.count == 3  # 50 fl oz less a bottle of 16 on order: 34, in bottles of 16
    assert found.suppliers[1].total == Money(3 * 785)
    assert found.suppliers[0].lead_time == timedelta(days=10)
    assert not found.problems


def test_what_is_lacking_opens_to_need_stock_and_orders():
    short = short_of(needs(GLUE, "50", 1), [StockItem(1, GLUE, Fraction(4))], [an_order(a_line("2"))], job_id=3)
    assert short.value == 50 - 4 - 2 * 16
    assert [part.value for part in short.came_from] == [50, 4, 32]


def test_a_received_line_still_counts_as_ordered_so_nothing_is_bought_twice():
    needed = [needs(GLUE, "48", 1)]
    for order in (an_order(a_line("3")), an_order(a_line("3", "3"))):
        assert to_order(needed, [], [order], BOOK, job_id=3).suppliers == ()


def test_orders_and_stock_of_another_job_do_not_count():
    needed = [needs(GLUE, "48", 1)]
    stock = [StockItem(1, GLUE, Fraction(48), set_aside_for=8), StockItem(2, GLUE, Fraction(16), set_aside_for=3)]
    (found,) = to_order(needed, stock, [an_order(a_line("3"), job_id=8)], BOOK, job_id=3).suppliers
    assert found.lines[0].packages.count == 2
    assert in_stock(stock, GLUE, job_id=8) == 48


def test_a_material_nobody_sells_is_named():
    found = to_order([needs(PULL, "4", 1)], [], [], BOOK, job_id=3)
    assert found.suppliers == ()
    assert [problem.field for problem in found.problems] == [f"material:{PULL.key}"]
    assert to_order([needs(PULL, "4", 1)], [StockItem(1, PULL, Fraction(4))], [], BOOK, job_id=3).problems == ()


def test_part_references_are_written_once_by_piece():
    refs = (PartRef(1, "Top A", "1"), PartRef(2, "Base B"), PartRef(1, "Top A", "2"), PartRef(1, "Top A", "1"))
    assert in_words(refs) == "Top A 1, 2; Base B"


@given(
    st.fractions(0, 200, max_denominator=16),
    st.fractions(0, 200, max_denominator=16),
    st.lists(st.integers(1, 9), max_size=3),
)
def test_stock_orders_and_purchase_together_always_cover_the_need(needed, stocked, ordered):
    figure = typed("Glue", needed, GLUE.unit)
    stock, order = [StockItem(1, GLUE, stocked)], an_order(*(a_line(str(count)) for count in ordered))
    found = to_order([TakeOffLine(GLUE, figure, figure, ())], stock, [order], BOOK, job_id=3)
    bought = sum(line.packages.holds for each in found.suppliers for line in each.lines)
    covered = stocked + 16 * sum(ordered)
    assert covered + bought >= needed
    assert bought == 0 or covered + bought - 16 < needed


# What has come


def test_a_line_is_received_in_parts_until_nothing_is_outstanding():
    line = receive(a_line("3"), Fraction(2), at=MONDAY, note="one bottle leaks")
    assert (line.received, line.outstanding) == (2, 1)
    assert line.receipts[0].note == "one bottle leaks"
    line = receive(line, Fraction(1), at=MONDAY + timedelta(days=1))
    assert line.outstanding == 0
    assert an_order(line).arrived_at == MONDAY + timedelta(days=1)


def test_an_order_has_arrived_only_when_its_last_line_has():
    order = an_order(a_line("3", "3"), a_line("1", id=2))
    assert order.arrived_at is None
    assert [line.id for line in order.outstanding] == [2]
    assert order.total == Money(4 * 785)


def test_more_than_is_outstanding_or_nothing_is_refused_with_what_would_work():
    line = a_line("3", "2")
    assert receipt_problems(line, Fraction(1)) == ()
    assert "Only 1" in receipt_problems(line, Fraction(2))[0].words
    assert "more than 0" in receipt_problems(line, Fraction(0))[0].words
    with pytest.raises(ValueError, match="Only 1"):
        receive(line, Fraction(2), at=MONDAY)


# What is late


def test_an_order_is_late_once_the_expected_day_is_past_noon():
    order = an_order(a_line(), expected_on=date(2026, 3, 5))
    noon = datetime(2026, 3, 5, 12, 0, tzinfo=ZONE)
    assert due_at(order, zone=ZONE) == noon
    assert not is_late(order, noon, zone=ZONE)
    assert is_late(order, noon + timedelta(minutes=1), zone=ZONE)


def test_without_a_day_the_lead_time_runs_day_and_night_across_the_clock_change():
    """Clocks in New York go forward on Sunday 8 March 2026, so three days are 72 hours, not 73."""
    friday = datetime(2026, 3, 6, 9, 0, tzinfo=ZONE)
    due = due_at(an_order(a_line(), ordered_at=friday), zone=ZONE)
    assert due == datetime(2026, 3, 9, 10, 0, tzinfo=ZONE)


def test_what_was_never_sent_or_has_all_come_is_not_late():
    later = MONDAY + timedelta(days=300)
    assert not is_late(an_order(a_line(), ordered_at=None), later, zone=ZONE)
    assert not is_late(an_order(a_line("3", "3")), later, zone=ZONE)


# What the plan waits for


def test_the_plan_waits_for_every_order_and_for_every_supplier_still_to_be_asked():
    orders = [an_order(a_line(), expected_on=date(2026, 3, 5))]
    unordered = to_order([needs(MAPLE, "40", 1), needs(PLYWOOD, "3", 1)], [], orders, BOOK, job_id=3).suppliers
    sent, to_come = deliveries(orders, unordered, zone=ZONE)
    assert (sent.key, sent.ordered_at, sent.arrived_at) == ("delivery:4", MONDAY, None)
    assert sent.expected_at == datetime(2026, 3, 5, 12, 0, tzinfo=ZONE)
    assert sent.materials == {GLUE.key}
    assert (to_come.key, to_come.lead_time, to_come.ordered_at) == ("supplier:Hill Yard", timedelta(days=10), None)
    assert to_come.materials == {MAPLE.key, PLYWOOD.key}


def test_what_has_come_of_a_part_delivery_holds_nobody_up():
    order = an_order(a_line("3", "3"), a_line("2", id=2, material=PLYWOOD, holds="1"))
    (part,) = deliveries([order], (), zone=ZONE)
    assert part.materials == {PLYWOOD.key}
    assert part.arrived_at is None
    (whole,) = deliveries([an_order(a_line("3", "1", "2"))], (), zone=ZONE)
    assert whole.arrived_at == MONDAY + timedelta(days=1)


def test_boards_lie_in_the_shop_from_when_the_last_of_them_came():
    came = MONDAY + timedelta(days=1)
    boards = a_line("3", "1", "2", material=MAPLE, holds="1")
    order = an_order(boards, a_line("2", id=2, material=PLYWOOD, holds="1"))
    (part,) = deliveries([order], (), zone=ZONE)
    assert (part.materials, part.lumber, part.lumber_at) == ({PLYWOOD.key}, {MAPLE.key}, came)
    (some,) = deliveries([an_order(a_line("3", "1", material=MAPLE, holds="1"))], (), zone=ZONE)
    assert (some.lumber, some.lumber_at) == (frozenset(), None), "some of them are still to come"
    (none,) = deliveries([an_order(a_line("3", "3"))], (), zone=ZONE)
    assert none.lumber_at is None


# Numbers


def test_numbers_run_on_within_the_year_and_revisions_take_the_next_letter():
    taken = ["2025-121", "2026-013", "2026-013-B", "2026-002", "P2026-040", "draft"]
    assert next_number(taken, date(2026, 3, 2)) == "2026-014"
    assert next_number(taken, date(2027, 1, 1)) == "2027-001"
    assert next_number(taken, date(2026, 3, 2), prefix="P") == "P2026-041"
    assert revised_number("2026-002", taken) == "2026-002-B"
    assert revised_number("2026-013", taken) == "2026-013-C"
    assert revised_number("2026-013-Z", taken) == "2026-013-AA"
    with pytest.raises(ValueError, match="not a number"):
        revised_number("draft", taken)


# In a supplier's words, and what is left


@pytest.mark.parametrize(
    ("material", "words"),
    [
        (MAPLE, "8/4 FAS Hard maple"),
        (PLYWOOD, "3/4 in maple plywood"),
        (GLUE, "Yellow PVA"),
        (PULL, "Bar pull, 5 in"),
        (Material(MaterialKind.ABRASIVE, "sanding disc", "120"), "Sanding disc, 120 grit"),
        (Material(MaterialKind.FASTENER, "wood screw", "#8 x 1 1/4"), "#8 x 1 1/4 wood screw"),
        (Material(MaterialKind.EDGE_STRIP, "maple edge strip", "7/8"), "7/8 in maple edge strip"),
        (Material(MaterialKind.HARDWARE, "hinge"), "Hinge"),
    ],
)
def test_a_material_is_asked_for_as_the_trade_says_it(material, words):
    assert material.trade_words == words


def test_boards_are_asked_for_in_tenths_of_a_board_foot_rounded_up():
    (found,) = to_order([needs(MAPLE, "40", 1)], [], [], BOOK, job_id=3).suppliers
    assert found.lines[0].packages.count == 40
    odd = typed("Maple", 40 + Fraction(1, 96), MAPLE.unit)
    (found,) = to_order([TakeOffLine(MAPLE, odd, odd, ())], [], [], BOOK, job_id=3).suppliers
    assert found.lines[0].packages.count == Fraction("40.1")
    again = an_order(a_line("40.1", material=MAPLE, holds="1"))
    assert to_order([TakeOffLine(MAPLE, odd, odd, ())], [], [again], BOOK, job_id=3).suppliers == ()


def test_what_came_beyond_the_need_is_left_over_and_crumbs_are_not():
    orders = [an_order(a_line("3", "3"), a_line("40.1", "40.1", id=2, material=MAPLE, holds="1"), a_line("2", id=3))]
    (left,) = left_over([needs(GLUE, "30", 1), needs(MAPLE, "40.05", 1)], orders, job_id=3)
    assert (left.material, left.quantity.value) == (GLUE, 3 * 16 - 30)
    assert [part.value for part in left.quantity.came_from] == [48, 30]


def test_an_order_goes_from_written_to_here():
    order = an_order(a_line("3"), ordered_at=None)
    assert (order.state, order.is_open) == (OrderState.WRITTEN, True)
    assert replace(order, ordered_at=MONDAY).state is OrderState.ORDERED
    part = received(order, {1: Fraction(1)}, at=MONDAY)
    assert (part.state, part.ordered_at) == (OrderState.PARTLY, MONDAY)
    whole = received(part, {1: Fraction(2)}, at=MONDAY - timedelta(hours=3))
    assert (whole.state, whole.is_open, whole.arrived_at) == (OrderState.HERE, False, MONDAY)


def test_late_is_said_with_the_day_and_who_said_it():
    order = an_order(a_line(), expected_on=date(2026, 3, 5))
    later = datetime(2026, 3, 6, 9, 0, tzinfo=ZONE)
    assert late_words(order, later, zone=ZONE) == "Late: due Thu 5 Mar, the supplier said"
    assert late_words(replace(order, expected_on=None), later, zone=ZONE) == "Late: due Thu 5 Mar, by its lead time"
    assert late_words(order, MONDAY, zone=ZONE) == ""


def test_an_order_of_which_nobody_said_when_it_comes_is_not_called_late():
    order = replace(an_order(a_line()), lead_time=timedelta(0))
    assert due_at(order, zone=ZONE) is None
    assert late_words(order, MONDAY + timedelta(days=90), zone=ZONE) == ""


def test_what_was_done_on_a_day_gone_by_was_done_at_noon_there():
    assert done_at(date(2026, 3, 2), MONDAY, zone=ZONE) == MONDAY
    assert done_at(date(2026, 2, 27), MONDAY, zone=ZONE) == datetime(2026, 2, 27, 12, tzinfo=ZONE)


def test_the_latest_day_to_order_reads_as_what_to_do():
    today = date(2026, 3, 2)
    assert order_by_words(date(2026, 3, 4), today) == "Order by Wed 4 Mar, so that nothing waits."
    assert order_by_words(today, today) == "Order today, so that nothing waits."
    assert order_by_words(date(2026, 2, 27), today).startswith("The latest day to order was Fri 27 Feb:")
