"""The yield of the shop's own jobs, by hand; invented jobs."""

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction

import pytest

from builders import USUAL, leaves
from domain.board_use import (
    BoardUse,
    by_wood,
    cut_from_rack,
    likely_used,
    own_yield,
    put_back,
    received,
    suggested_yield,
    yield_of,
)
from domain.figure import Figure
from domain.length import Length
from domain.lumber import GradeYield, gross
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.order import Order, OrderLine, Receipt
from domain.rack import RackPiece

OAK = Material(MaterialKind.LUMBER, "White oak", "8/4", "FAS")
THIN = replace(OAK, size="4/4")
COMMON = replace(OAK, grade="No. 1 Common")


def a_use(job_id: int, net: int, used: int, material: Material = OAK) -> BoardUse:
    return BoardUse(0, job_id, f"Job {job_id}", material, Fraction(net), Fraction(used))


def a_board(id: int, *, material: Material = OAK, cut_for: int | None = None, left_of: int | None = None) -> RackPiece:
    """Return a board of 6 in by 6 ft, 6 bf when it is 2 in thick."""
    return RackPiece(id, f"R{id}", material, Length.of(6), Length.of(72), cut_for=cut_for, offcut_of=left_of)


def value(figure: Figure | None) -> Fraction:
    assert figure is not None
    return figure.value


def test_the_suggested_yield_is_all_parts_over_all_boards_not_the_mean_of_the_jobs() -> None:
    uses = [a_use(1, 30, 40), a_use(2, 60, 100), a_use(3, 10, 10)]
    found = own_yield(uses, OAK)
    assert found is not None
    assert found.share.value == Fraction(30 + 60 + 10, 40 + 100 + 10)
    assert (found.jobs.value, found.lowest.value, found.highest.value) == (3, Fraction(6, 10), 1)
    assert found.words == "from 3 jobs, which gave 60 % to 100 %"
    assert not found.is_thin


def test_what_is_bought_by_the_suggested_yield_would_have_done_for_the_jobs_behind_it() -> None:
    uses = [a_use(1, 30, 40), a_use(2, 60, 100)]
    share = suggested_yield(uses, OAK)
    assert share is not None
    net = Figure("Net", Fraction(90), yield_of(uses[0]).came_from[0].unit, share.rule)
    assert gross(net, GradeYield(share)).value == 140


def test_thicknesses_of_a_wood_and_grade_count_together_and_one_job_once() -> None:
    uses = [a_use(1, 30, 40), a_use(1, 10, 40, THIN), a_use(2, 40, 80), a_use(3, 1, 1, COMMON)]
    found = own_yield(uses, THIN)
    assert found is not None
    assert found.jobs.value == 2
    assert found.share.value == Fraction(80, 160)
    assert found.is_thin
    assert "fewer than 3 jobs say little" in found.words


def test_a_single_job_says_so_and_none_says_nothing() -> None:
    found = own_yield([a_use(1, 30, 40)], OAK)
    assert found is not None
    assert found.words == "from 1 job; a single job says little of the next"
    assert own_yield([], OAK) is None
    assert suggested_yield([a_use(1, 1, 2, COMMON)], OAK) is None


def test_the_yield_opens_to_every_job_and_where_it_was_recorded() -> None:
    share = suggested_yield([a_use(1, 30, 40), a_use(2, 60, 100)], OAK)
    assert share is not None
    recorded = [leaf for leaf in leaves(share) if leaf.rule.where]
    assert {leaf.rule.where for leaf in recorded} == {"job:1:board-use", "job:2:board-use"}
    assert sum(leaf.value for leaf in recorded if leaf.label.endswith("in the parts")) == 30 + 60
    assert [one.label for one in share.came_from] == ["Jobs behind it", "Job 1", "Job 2"]
    assert share.rule.words.endswith("from 2 jobs, which gave 60 % to 75 %; fewer than 3 jobs say little")


def test_more_parts_than_boards_is_kept_as_a_fact_but_never_suggested() -> None:
    found = own_yield([a_use(1, 41, 40)], OAK)
    assert found is not None
    assert found.share.value == Fraction(41, 40)
    assert found.suggested.value == 1
    assert found.suggested.came_from == (found.share,)


@pytest.mark.parametrize(("net", "used"), [(0, 10), (-1, 10), (10, 4), (10, 0)])
def test_what_cannot_have_been_cut_is_no_use(net: int, used: int) -> None:
    with pytest.raises(ValueError, match="are not cut from"):
        a_use(1, net, used)


def test_what_came_with_orders_is_what_was_received_of_that_very_wood() -> None:
    at = datetime(2026, 6, 1, tzinfo=UTC)
    in_part = (Receipt(Fraction(40), at),)
    line = OrderLine(0, OAK, "", "board foot", Fraction(1), Fraction(50), Money(9_80), receipts=in_part)
    others = (replace(line, material=THIN), replace(line, receipts=()))
    order = Order(3, 1, "P-1", "Yard", (line, *others), ordered_at=at)
    came = received([order, replace(order, id=4)], OAK)
    assert value(came) == 40 + 40
    assert received([order], COMMON) is None


def test_what_was_cut_is_boards_taken_less_offcuts_put_back() -> None:
    rack = [a_board(1, cut_for=7), a_board(2, cut_for=7), a_board(3, left_of=7), a_board(4, cut_for=8)]
    taken, back = cut_from_rack(rack, 7, USUAL), put_back(rack, 7, USUAL)
    assert (value(taken), value(back)) == (12, 6)
    used = likely_used(taken, back)
    assert value(used) == 12 - 6
    assert used is not None
    assert used.came_from == (taken, back)


def test_what_cannot_be_told_is_not_guessed() -> None:
    taken = cut_from_rack([a_board(1, cut_for=7)], 7, USUAL)
    assert likely_used(None, taken) is None
    assert likely_used(taken, taken) is None
    assert likely_used(taken, None) is taken
    assert cut_from_rack([], 7, USUAL) is None


def test_a_board_counts_for_one_wood_of_a_job_that_of_its_own_grade_first() -> None:
    rack = [a_board(1), a_board(2, material=COMMON), a_board(3, material=THIN)]
    found = by_wood(rack, [COMMON, OAK])
    assert [piece.id for piece in found[OAK]] == [1]
    assert [piece.id for piece in found[COMMON]] == [2]
    assert [piece.id for piece in by_wood(rack, [COMMON])[COMMON]] == [1, 2]
