from collections.abc import Mapping
from fractions import Fraction

from fastapi.testclient import TestClient

from conftest import page_of
from domain.figure import Figure, Rule, Unit
from domain.operation import OPERATIONS, STARTING_SOURCE, OperationTime, minutes
from domain.part import Work
from webapp.store import shop as store

HTMX = {"HX-Request": "true"}
MILL = {"mill-setup": "20", "mill-each": "7.5", "mill-crew": "1", "version": "0"}


def times_of(client: TestClient) -> Mapping[str, OperationTime]:
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        return store.load_operation_times(db)


def test_an_empty_shop_has_said_nothing(client: TestClient) -> None:
    page = page_of(client.get("/shop/operations"))
    assert times_of(client) == {}
    assert f"0 of {len(OPERATIONS)}" in page.css_first("#said").text()
    assert {row.attributes["id"] for row in page.css(".operation")} == set(OPERATIONS)
    assert page.css_first("#mill-setup").attributes["value"] == ""


def test_starting_values_fill_only_what_is_blank_and_are_called_ours(client: TestClient) -> None:
    client.post("/shop/operations/mill", data=MILL | {"mill-setup": "18", "mill-each": ""})
    assert "without a source" in client.get("/shop/operations").text
    client.post("/shop/operations/starting")
    times = times_of(client)
    assert times["mill"] == OperationTime(Fraction(18), OPERATIONS["mill"].starting_each, 1)
    assert times["glue-up"] == OperationTime(Fraction(15), Fraction(1), 2)
    assert all(times[key].is_said for key in OPERATIONS)
    page = page_of(client.get("/shop/operations"))
    assert (
        f"{len(OPERATIONS) - 1} of the times are our starting values, without a source"
        in page.css_first("#said").text()
    )
    assert "not timed yet" in page.css_first("#glue-up-state").text()
    assert "not timed yet" not in page.css_first("#mill-state").text()
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    assert client.post(undo, data={"back": "/"}).status_code == 303
    assert set(times_of(client)) == {"mill"}
    assert times_of(client)["mill"].each is None


def test_a_time_is_saved_in_place(client: TestClient) -> None:
    reply = client.post("/shop/operations/mill", data=MILL, headers=HTMX)
    assert reply.status_code == 200
    targets = [partial.attributes["hx-target"] for partial in page_of(reply).css("hx-partial")]
    assert targets == ["#mill-state", "#mill-hidden", "#said", "#done"]
    page = page_of(client.get("/shop/operations"))
    assert all(page.css_first(target) for target in targets)
    assert times_of(client)["mill"] == OperationTime(Fraction(20), Fraction(15, 2), 1)


def test_what_is_half_said_is_named(client: TestClient) -> None:
    reply = client.post("/shop/operations/mill", data=MILL | {"mill-each": ""})
    assert reply.headers["location"].endswith("#mill")
    assert "Not said yet: minutes per board" in page_of(client.get("/shop/operations")).css_first("#mill-state").text()


def test_a_time_that_is_none_is_refused_and_kept(client: TestClient) -> None:
    typed = MILL | {"mill-each": "1,5", "mill-crew": "0"}
    plain = client.post("/shop/operations/mill", data=typed)
    assert plain.status_code == 422
    page = page_of(plain)
    assert page.css_first("#mill-each").attributes["value"] == "1,5"
    assert page.css_first("#mill-crew").attributes["aria-invalid"] == "true"
    quick = client.post("/shop/operations/mill", data=typed, headers=HTMX)
    assert quick.status_code == 422
    assert "“1,5” is not a number" in page_of(quick).css_first("#mill-state").text()
    assert times_of(client) == {}


def test_the_second_of_two_tabs_is_told_in_both_ways(client: TestClient) -> None:
    client.post("/shop/operations/mill", data=MILL)
    assert client.post("/shop/operations/mill", data=MILL | {"mill-setup": "9"}).status_code == 409
    quick = client.post("/shop/operations/mill", data=MILL | {"mill-setup": "9"}, headers=HTMX)
    assert quick.status_code == 409
    keep = {node.attributes["name"]: node.attributes["value"] for node in page_of(quick).css("#mill-state [name]")}
    assert client.post("/shop/operations/mill", data=keep).status_code == 303
    assert times_of(client)["mill"].setup == 9


def test_an_unknown_operation_is_not_there(client: TestClient) -> None:
    assert client.post("/shop/operations/juggle", data={}).status_code == 404


def test_a_figure_made_with_a_starting_value_says_so() -> None:
    quantity = Figure("Boards", Fraction(4), Unit.EACH, Rule("counted"))
    ours = minutes([Work("mill", quantity)], {"mill": OperationTime(Fraction(20), Fraction(8))})
    theirs = minutes([Work("mill", quantity)], {"mill": OperationTime(Fraction(20), Fraction(9))})
    assert STARTING_SOURCE in {figure.rule.source for figure in ours.walk()}
    assert "shop practice" in {figure.rule.source for figure in theirs.walk()}
