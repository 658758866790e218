from fractions import Fraction

import pytest
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as some

from conftest import page_of
from domain.money import Money
from domain.price import Margin, Markup
from domain.take_off import WasteChoice, WasteMethod
from domain.terms import ContingencyBase, OverheadBase, PaymentStage, TaxBase, Terms
from webapp.forms import terms as forms
from webapp.store import shop, terms

TYPED = forms.fill(Terms()) | {"shop_rate": "65", "overhead": "12.50", "profit_kind": "margin", "profit": "20"}

SHARES = some.fractions(min_value=0, max_value=Fraction(99, 100), max_denominator=100)
TERMS = some.builds(
    Terms,
    shop_rate=some.none() | some.builds(Money, some.integers(0, 100_000)),
    overhead=some.none() | SHARES,
    overhead_base=some.sampled_from([OverheadBase.DIRECT_COST, OverheadBase.LABOUR_COST]),
    contingency=SHARES,
    contingency_base=some.sampled_from(ContingencyBase),
    profit=some.none() | some.builds(Markup, SHARES) | some.builds(Margin, SHARES),
    tax=SHARES,
    tax_base=some.sampled_from(TaxBase),
    stages=some.sampled_from(
        [Terms().stages, (PaymentStage("All", Fraction(1)),), (PaymentStage("A", Fraction(1, 3), before_start=True),
                                                              PaymentStage("B", Fraction(2, 3)))]
    ),
    validity_days=some.integers(1, 3650),
    round_to=some.none() | some.builds(Money, some.integers(1, 100_000)),
    waste=some.builds(WasteChoice, some.just(WasteMethod.ADD_ON), some.none() | SHARES),
)  # fmt: skip


@given(TERMS)
def test_terms_are_read_back_as_the_form_shows_them(wanted: Terms) -> None:
    assert forms.read(forms.fill(wanted)) == (wanted, [])


def test_terms_are_kept_and_new_jobs_follow_them(client: TestClient) -> None:
    assert client.post("/shop/terms", data=TYPED | {"version": "0"}).status_code == 303
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A"})
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        ours, theirs = shop.load_terms(db), terms.load_terms(db, 1)
    assert (ours.shop_rate, ours.overhead, ours.profit) == (Money(65_00), Fraction(25, 2), Margin(Fraction(1, 5)))
    assert theirs.profit == ours.profit
    assert (ours.where, theirs.where) == ("shop:terms", "job:1:terms")


def test_a_job_with_terms_of_its_own_stays_as_it_is(client: TestClient) -> None:
    client.post("/shop/terms", data=TYPED | {"version": "0"})
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A"})
    database = client.app.state.database  # type: ignore[attr-defined]
    with database.write("own terms", at=client.app.state.settings.now()) as db:  # type: ignore[attr-defined]
        own = terms.load_terms(db, 1)
        terms.save_terms(db, 1, own, version=own.version)
    client.post("/shop/terms", data=TYPED | {"shop_rate": "70", "version": "1"})
    with database.read() as db:
        assert terms.has_own_terms(db, 1)
        assert terms.load_terms(db, 1).shop_rate == Money(65_00)
        assert shop.load_terms(db).shop_rate == Money(70_00)


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"profit": "100"}, "profit", "is not a share from 0 to 99 %"),
        ({"profit_kind": "", "profit": "20"}, "profit_kind", "Choose a markup or a margin"),
        ({"shop_rate": "1,5"}, "shop_rate", "has a comma where cents go"),
        ({"overhead_base": "the moon"}, "overhead_base", "is not one of"),
        ({"stage_0_share": "60"}, "stages", "add up to 110 %"),
        ({"stage_0_name": ""}, "stages", "needs a name"),
        ({"validity_days": "0"}, "validity_days", "out of range"),
        ({"round_to": "0"}, "round_to", "Leave it empty to keep the cents"),
        ({"contingency": ""}, "contingency", "is empty"),
        ({"waste": "yield of the grade", "waste_share": "0"}, "waste_share", "is not a share from 1 to 100 %"),
    ],
)
def test_terms_that_cannot_be_are_said_and_kept(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    reply = client.post("/shop/terms", data=TYPED | typed | {"version": "0"})
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#stage_1_share").attributes["value"] == "40"


def test_nothing_is_taken_for_zero(client: TestClient) -> None:
    client.post("/shop/terms", data=forms.fill(Terms()) | {"version": "0"})
    warning = page_of(client.get("/shop/terms")).css_first(".warning").text()
    assert "No shop rate yet" in warning
    assert "No profit yet" in warning


def test_a_markup_is_said_as_the_margin_it_is(client: TestClient) -> None:
    # Source: contractor finance page: a markup of 20 % is a margin of 16.7 %, a margin of 20 % a markup of 25 %
    client.post("/shop/terms", data=TYPED | {"version": "0"})
    assert "a markup of 25 % on the cost" in page_of(client.get("/shop/terms")).css_first("#profit-help").text()
    client.post("/shop/terms", data=TYPED | {"profit_kind": "markup", "version": "1"})
    assert "a margin of 16.67 % of the price" in page_of(client.get("/shop/terms")).css_first("#profit-help").text()


def test_the_second_of_two_tabs_is_told(client: TestClient) -> None:
    client.post("/shop/terms", data=TYPED | {"version": "0"})
    client.post("/shop/terms", data=TYPED | {"shop_rate": "70", "version": "1"})
    reply = client.post("/shop/terms", data=TYPED | {"shop_rate": "75", "version": "1"})
    assert reply.status_code == 409
    assert [cell.text() for cell in page_of(reply).css("tbody th, tbody td")] == ["Shop rate", "75", "70.00"]


def test_a_years_books_give_an_overhead_rate(client: TestClient) -> None:
    # Source: contractor course page: overhead 300 000 on 2 000 000 is 15 %
    asked = {"year_overhead": "300,000", "year_base": "direct cost", "year_amount": "2,000,000"}
    page = page_of(client.get("/shop/terms", params=asked))
    assert page.css_first("#recovery .working-value").text() == "15 %"
    reply = client.get("/shop/terms", params=asked | {"year_amount": "0"})
    assert reply.status_code == 422
    assert page_of(reply).css_first("#year_amount").attributes["aria-invalid"] == "true"
