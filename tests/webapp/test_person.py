"""The people of the shop as pages: named, changed, away, ill, with hours of their own."""

from datetime import UTC, datetime, time

import pytest
from fastapi.testclient import TestClient

from conftest import NOW, Clock, page_of
from domain.person import Absence, Person, Skill
from plan_shop import reading, set_up
from webapp.store import person as store

ONE = {"name": "Sample One"}


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    """A shop in New York on Monday, 1 June 2026, 10:00, open Monday to Friday."""
    clock.at = NOW
    set_up(client)
    return client


def people_of(client: TestClient) -> tuple[Person, ...]:
    with reading(client) as db:
        return store.load_people(db)


def absences_of(client: TestClient) -> tuple[Absence, ...]:
    with reading(client) as db:
        return store.load_absences(db, NOW)


def words_of(client: TestClient, path: str = "/shop/people") -> str:
    return " ".join(page_of(client.get(path)).css_first("main").text().split())


def undo(client: TestClient) -> None:
    action = page_of(client.get("/history")).css_first("form").attributes["action"]
    assert client.post(action, data={"back": "/shop/people"}).status_code == 303


def test_while_nobody_is_named_the_page_says_that_hands_are_counted(shop: TestClient) -> None:
    assert "The plan counts 2 pairs of hands" in words_of(shop)
    assert "nobody named: 2 pairs of hands are counted" in words_of(shop, "/shop")


def test_somebody_is_named_changed_taken_off_and_brought_back(shop: TestClient) -> None:
    assert shop.post("/shop/people", data=ONE | {"skill_finishing": "yes"}).status_code == 303
    assert people_of(shop)[0].skills == {Skill.FINISHING}
    shop.post("/shop/people/1", data={"name": "Sample Uno", "helps_only": "yes", "version": "1"})
    changed = people_of(shop)[0]
    assert (changed.name, changed.skills, changed.helps_only) == ("Sample Uno", frozenset(), True)
    assert "Lends a hand, never works alone" in words_of(shop)
    shop.post("/shop/people/1/remove")
    assert people_of(shop) == ()
    undo(shop)
    assert people_of(shop)[0].name == "Sample Uno"


def test_a_name_is_needed_and_nobody_is_named_twice(shop: TestClient) -> None:
    reply = shop.post("/shop/people", data={"name": " ", "skill_bench": "yes"})
    assert reply.status_code == 422
    page = page_of(reply)
    assert "Name is empty" in page.css_first("#name-problem").text()
    assert "checked" in page.css_first("#skill_bench").attributes
    shop.post("/shop/people", data=ONE)
    reply = shop.post("/shop/people", data={"name": "sample one"})
    assert reply.status_code == 422
    assert "Add a letter" in reply.text


def test_a_tick_taken_away_stays_away_when_something_else_is_wrong(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE | {"skill_bench": "yes", "helps_only": "yes"})
    page = page_of(shop.post("/shop/people/1", data={"name": "", "version": "1"}))
    assert "checked" not in page.css_first("#skill_bench").attributes
    assert "checked" not in page.css_first("#helps_only").attributes


def test_the_second_of_two_tabs_is_told_what_the_first_one_ticked(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE)
    shop.post("/shop/people/1", data=ONE | {"skill_bench": "yes", "version": "1"})
    reply = shop.post("/shop/people/1", data=ONE | {"version": "1"})
    assert reply.status_code == 409
    assert [cell.text() for cell in page_of(reply).css_first("tbody tr").css("th, td")] == [
        "Bench work", "(empty)", "yes",
    ]  # fmt: skip


def test_what_nobody_does_alone_is_said(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE | {"skill_bench": "yes", "skill_machines": "yes", "skill_installing": "yes"})
    assert "Nobody here does finishing alone" in words_of(shop)
    shop.post("/shop/people", data={"name": "Sample Two", "helps_only": "yes"})
    assert "Nobody here does finishing alone" in words_of(shop)
    shop.post("/shop/people", data={"name": "Sample Three"})
    assert "Nobody here" not in words_of(shop)


def test_days_away_count_whole_or_from_noon_until_noon(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE)
    shop.post("/shop/people/1/away", data={"first": "2026-06-09", "last": "2026-06-11", "until_noon": "yes"})
    shop.post("/shop/people/1/away", data={"first": "2026-06-15", "from_noon": "yes", "why": "school"})
    # New York is 4 hours behind UTC in June, by the IANA time zone database.
    assert [(each.starts_at, each.ends_at) for each in absences_of(shop)] == [
        (datetime(2026, 6, 9, 4, tzinfo=UTC), datetime(2026, 6, 11, 16, tzinfo=UTC)),
        (datetime(2026, 6, 15, 16, tzinfo=UTC), datetime(2026, 6, 16, 4, tzinfo=UTC)),
    ]
    said = words_of(shop)
    assert "Tue 9 Jun to Thu 11 Jun until noon" in said
    assert "Mon 15 Jun from noon: school" in said


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"first": ""}, "first", "is empty"),
        ({"first": "2026-06-31"}, "first", "is not a day in the calendar"),
        ({"last": "2026-06-08"}, "last", "is before 2026-06-09"),
        ({"last": "2028-06-09"}, "last", "At most 400"),
        ({"from_noon": "yes", "until_noon": "yes"}, "until_noon", "is no time"),
    ],
)
def test_days_away_that_cannot_be_are_said_and_kept(
    shop: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    shop.post("/shop/people", data=ONE)
    reply = shop.post("/shop/people/1/away", data={"first": "2026-06-09", "why": "rest"} | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#why").attributes["value"] == "rest"
    assert absences_of(shop) == ()


def test_one_tap_says_ill_today_from_now_and_one_says_back(shop: TestClient, clock: Clock) -> None:
    shop.post("/shop/people", data=ONE)
    assert shop.post("/shop/people/1/ill", data={"day": "2026-06-01"}).status_code == 303
    (ill,) = absences_of(shop)
    assert (ill.starts_at, ill.ends_at, ill.why) == (NOW, datetime(2026, 6, 2, 4, tzinfo=UTC), "ill")
    assert "away now Mon 1 Jun from 10:00: ill" in words_of(shop)
    twice = shop.post("/shop/people/1/ill", data={"day": "2026-06-01"})
    assert twice.status_code == 422
    assert "Sample One is away then already" in twice.text
    clock.at = datetime(2026, 6, 1, 16, tzinfo=UTC)
    shop.post("/shop/people/away/1/back")
    assert absences_of(shop)[0].ends_at == clock.at
    assert "away now" not in words_of(shop)
    undo(shop)
    assert "away now" in words_of(shop)


def test_ill_tomorrow_is_the_next_day_the_shop_is_open(shop: TestClient, clock: Clock) -> None:
    shop.post("/shop/people", data=ONE)
    assert "Ill tomorrow" in words_of(shop)
    clock.at = datetime(2026, 6, 5, 14, tzinfo=UTC)  # a Friday
    page = page_of(shop.get("/shop/people"))
    days = [node.attributes["value"] for node in page.css(".person [name=day]")]
    assert days == ["2026-06-05", "2026-06-08"]
    assert "Ill on Mon" in words_of(shop)


def test_a_tap_on_a_page_left_open_since_yesterday_is_refused(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE)
    reply = shop.post("/shop/people/1/ill", data={"day": "2026-05-31"})
    assert reply.status_code == 422
    assert "2026-05-31 is over" in reply.text


def test_days_away_to_come_are_taken_back(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE)
    shop.post("/shop/people/1/away", data={"first": "2026-06-09"})
    shop.post("/shop/people/away/1/back")
    assert absences_of(shop) == ()
    undo(shop)
    assert len(absences_of(shop)) == 1


def test_own_hours_are_typed_as_those_of_the_shop_and_given_up_again(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE)
    shop.post(
        "/shop/people/1/hours", data={"day_0": "y", "day_2": "y", "starts": "09:00", "ends": "13:00", "version": "1"}
    )
    nine = ((time(9), time(13)),)
    assert people_of(shop)[0].weekly == (nine, (), nine, (), (), (), ())
    assert "Own hours, 8 h a week" in words_of(shop)
    overlapping = {"day_2": "y", "starts": "12:00", "ends": "15:00", "version": "2"}
    reply = shop.post("/shop/people/1/hours", data=overlapping)
    assert reply.status_code == 422
    assert "Wednesday is open already from 09:00 to 13:00" in reply.text
    assert shop.post("/shop/people/1/hours/1/remove", data={"version": "2"}).status_code == 303
    assert people_of(shop)[0].weekly == ((), (), nine, (), (), (), ())
    assert shop.post("/shop/people/1/hours/shop", data={"version": "2"}).status_code == 409
    shop.post("/shop/people/1/hours/shop", data={"version": "3"})
    assert people_of(shop)[0].weekly is None


def test_own_hours_can_begin_with_those_of_the_shop(shop: TestClient) -> None:
    shop.post("/shop/people", data=ONE)
    shop.post("/shop/people/1/hours/copy", data={"version": "1"})
    day = ((time(8), time(12)), (time(13), time(17)))
    assert people_of(shop)[0].weekly == (*(day,) * 5, (), ())
    assert "Monday" in words_of(shop, "/shop/people/1")


@pytest.mark.parametrize("path", ["/shop/people/9", "/shop/people/9/ill", "/shop/people/away/9/back"])
def test_nobody_of_that_number_is_not_found(shop: TestClient, path: str) -> None:
    reply = shop.post(path, data={"name": "X", "day": "2026-06-02"})
    assert reply.status_code == 404
