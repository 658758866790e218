"""Today: what runs, what can start and fits, what is late; starting, finishing and taking back with one tap."""

import re
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlsplit

import pytest
from fastapi.testclient import TestClient
from selectolax.lexbor import LexborHTMLParser, LexborNode

from conftest import Clock, page_of
from domain.figure import Figure
from domain.job import JobState
from domain.person import Person, Skill
from domain.task import TaskRecord
from plan_shop import (
    FILM,
    HTMX,
    NOW,
    a_job,
    done,
    form_of,
    price_of_lumber,
    reading,
    record,
    recorded,
    row_of,
    set_up,
    shop_time,
    writing,
)
from webapp.store import history
from webapp.store.person import add_person
from webapp.store.plan import load_plan_facts
from webapp.working import SHOP_PAGES, find


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    clock.at = NOW
    set_up(client)
    return client


def today(client: TestClient) -> LexborHTMLParser:
    return page_of(client.get("/today"))


def words(node: LexborNode | None) -> str:
    assert node is not None
    return " ".join(node.text().split())


def section(page: LexborHTMLParser, heading: str) -> LexborNode | None:
    """Return the section under a heading's id, None when the page has none."""
    return next((one for one in page.css("section") if one.css_first(f"h2#{heading}")), None)


def names(node: LexborNode | None) -> list[str]:
    return [link.text() for link in node.css(".what a")] if node else []


def startable(page: LexborHTMLParser | LexborNode) -> list[str]:
    """Return the tasks that a tap would start, in the order of the page."""
    labels = [button.attributes.get("aria-label") or "" for button in page.css("#today-lists button[id^=start-]")]
    return [label.removeprefix("Start: ") for label in labels]


def tap(client: TestClient, action: str, key: str, job_id: int = 1) -> dict[str, str]:
    """Return the fields of a tap as today's page has them."""
    return form_of(client, "/today", f"/jobs/{job_id}/plan/{action}", key)


def glued(client: TestClient, *, at: str = "2026-06-01 10:41") -> None:
    """Have the first top glued up at a time, so that it is in clamps for 3 h."""
    done(client, 1, "p1.mill", "p1.joint", at=shop_time("2026-06-01 09:48"))
    record(client, 1, "p1.glue-up-1", started_at=shop_time("2026-06-01 09:48"), finished_at=shop_time(at))


def test_a_day_without_jobs_says_where_to_begin(shop: TestClient) -> None:
    a_job(shop, state=JobState.ENQUIRY)
    page = today(shop)
    assert words(page.css_first(".empty h2")) == "No job is at work"
    assert page.css_first('.empty a[href="/"]')


def test_without_shop_hours_today_asks_for_them(client: TestClient) -> None:
    a_job(client)
    assert today(client).css_first('.warning a[href="/shop/hours"]')


def test_a_day_on_which_nothing_can_start_says_what_comes_next(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    glued(shop)
    clock.at = shop_time("2026-06-01 12:00")
    record(shop, 1, "job.install_day", not_before=shop_time("2026-07-01 08:00"))
    said = words(section(today(shop), "can-start"))
    assert "Nothing can start. Next: Bar top: clamps off and scrape (Invented bar) from 13:45." in said


def test_when_nothing_is_left_today_sends_to_the_jobs(shop: TestClient) -> None:
    job_id = a_job(shop)
    with reading(shop) as db:
        keys = [task.part for task in load_plan_facts(db, NOW).jobs[job_id].tasks]
    done(shop, job_id, *keys, at=NOW - timedelta(days=40))
    assert "Nothing is left to do with hands." in words(section(today(shop), "can-start"))


def test_what_can_start_says_how_long_why_and_what_care_it_needs(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 10))
    page = today(shop)
    assert "8 h of shop time until closing time 17:00." in words(section(page, "can-start"))
    slip = page.css_first("#turn-1")
    assert names(slip) == ["Bar top: mill boards"]
    assert "1 h, until 09:00. It can wait until Fri 14:19; “Bar top: joint edges” waits for it." in words(slip)
    assert "Care: Kickback and blades, wood dust, noise." in words(slip)
    assert [button.text() for button in slip.css("button")] == ["Start", "Done already"]
    care = urlsplit(slip.css_first(".care a").attributes["href"] or "")
    full = page_of(shop.get(f"{care.path}?{care.query}")).css_first(f"#{care.fragment}")
    assert "riving knife" in words(full)


def test_figures_of_today_open(shop: TestClient) -> None:
    a_job(shop, tops=8)
    a_job(shop, "Second")
    addresses = [link.attributes["href"] or "" for link in today(shop).css("a.figure")]
    assert len(addresses) == 9
    with reading(shop) as db:
        shown = SHOP_PAGES["today"](db, NOW)
    assert all(isinstance(find(shown, one.removeprefix("/working/today/")), Figure) for one in addresses)
    assert "How we got 1 h" in shop.get(addresses[-1]).text


def test_a_finished_clamp_three_hours_late_moves_the_plan_and_today_says_what_fits_before_the_next_timer(
    shop: TestClient, clock: Clock
) -> None:
    a_job(shop, promised_on=date(2026, 6, 4))
    a_job(shop, "Another bar", promised_on=date(2026, 7, 1))
    glued(shop)
    clock.at = shop_time("2026-06-01 11:00")
    page = today(shop)
    assert words(page.css_first(".timer .rings")) == "Clamps off 13:41 in 2 h 41 min"
    assert "1 h 41 min of shop time until bar top: in clamps: clamps off 13:41." in words(
        section(page, "can-start")
    ).replace("Bar", "bar")
    assert startable(page) == ["Bar top: mill boards"]
    assert row_of(shop, 1, "p1.unclamp-1")["Planned"] == "13:45 to 14:10"

    clock.at = shop_time("2026-06-01 16:45")
    fields = form_of(shop, "/jobs/1/plan/when?key=p1.clamp-1&back=/today", "/jobs/1/plan/when")
    late = {**fields, "finished_at": "2026-06-01T16:41"}
    assert shop.post("/jobs/1/plan/when", data=late).headers["location"].startswith("/today")
    assert recorded(shop, 1, "p1.clamp-1")[0].finished_at == shop_time("2026-06-01 16:41")
    assert row_of(shop, 1, "p1.unclamp-1")["Planned"] == "16:45 to tomorrow 08:10"
    page = today(shop)
    assert "15 min of shop time until closing time 17:00." in words(section(page, "can-start"))
    assert startable(page) == ["Bar top: clamps off and scrape", "Bar top: mill boards"]


def test_what_is_late_blocked_and_to_be_arranged_is_told_apart(shop: TestClient, clock: Clock) -> None:
    a_job(shop, promised_on=date(2026, 6, 2))
    with reading(shop) as db:
        lumber = load_plan_facts(db, NOW).jobs[1].needs.lines[0].material
    page = today(shop)
    assert names(section(page, "blocked")) == ["Bar top: joint edges"]
    assert "Waits for “Bar top: mill boards”." in words(section(page, "blocked"))
    assert "days after the promise of Tue 2 Jun." in words(section(page, "late"))
    assert "Should have begun by" in words(section(page, "late"))
    arrange = section(page, "to-arrange")
    assert names(arrange) == ["Day to install, agreed with the client"]
    price_of_lumber(shop, lumber.name, lumber.size, days=5)
    arrange = section(today(shop), "to-arrange")
    assert names(arrange)[0] == "Delivery from Invented yard"
    assert arrange is not None
    assert arrange.css_first('a[href="/jobs/1/order"]')


def test_a_coat_window_is_a_timer_until_it_opens_and_until_it_closes(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    done(shop, 1, f"{FILM}.coat-1", at=NOW)
    timers = [words(one) for one in today(shop).css(".timer .rings")]
    assert "Second coat of waterborne polyurethane from 12:00 until 20:00 in 4 h" in timers
    clock.at = NOW + timedelta(hours=5)
    timers = [words(one) for one in today(shop).css(".timer .rings")]
    assert "Second coat of waterborne polyurethane until 20:00 in 7 h" in timers


def test_one_tap_starts_one_finishes_and_one_takes_back(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    clock.at = NOW + timedelta(minutes=5, seconds=40)
    reply = shop.post("/jobs/1/plan/start", data=tap(shop, "start", "p1.mill"))
    assert reply.status_code == 303
    assert reply.headers["location"].startswith("/today?done=")
    page = page_of(shop.get(reply.headers["location"]))
    assert words(page.css_first("#done span")) == "“Bar top: mill boards” started 08:05."
    assert "Since 08:05, until 09:05 as planned." in words(page.css_first(".hands-on"))
    clock.at = NOW + timedelta(minutes=50)
    shop.post("/jobs/1/plan/finish", data=tap(shop, "finish", "p1.mill"))
    said = recorded(shop, 1, "p1.mill")[0]
    assert said == TaskRecord(
        "p1.mill", started_at=shop_time("2026-06-01 08:05"), finished_at=shop_time("2026-06-01 08:50")
    )
    page = today(shop)
    assert startable(page) == ["Bar top: joint edges"]
    assert "Finished 08:50." in words(section(page, "done-today"))
    shop.post("/jobs/1/plan/take-back", data=tap(shop, "take-back", "p1.mill"))
    assert recorded(shop, 1, "p1.mill")[0] == TaskRecord("p1.mill", started_at=said.started_at)
    shop.post("/jobs/1/plan/take-back", data=tap(shop, "take-back", "p1.mill"))
    assert recorded(shop, 1, "p1.mill")[0] == TaskRecord("p1.mill")
    with reading(shop) as db:
        said_in_history = [action.words for action in history.load_actions(db, job_id=1)]
    assert said_in_history[:2] == [
        "“Bar top: mill boards” not started after all",
        "“Bar top: mill boards” not finished after all",
    ]


def test_undo_in_the_status_line_takes_a_finish_back(shop: TestClient) -> None:
    a_job(shop)
    reply = shop.post("/jobs/1/plan/finish", data=tap(shop, "finish", "p1.mill"))
    undo = page_of(shop.get(reply.headers["location"])).css_first("#done form").attributes["action"]
    shop.post(undo or "", data={})
    assert startable(today(shop)) == ["Bar top: mill boards"]


def test_a_double_tap_counts_once(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    fields = tap(shop, "start", "p1.mill")
    first = shop.post("/jobs/1/plan/start", data=fields)
    clock.at = NOW + timedelta(minutes=3)
    second = shop.post("/jobs/1/plan/start", data=fields)
    assert (first.status_code, second.status_code) == (303, 303)
    assert urlsplit(first.headers["location"]).path == second.headers["location"] == "/today"
    assert shop.post("/jobs/1/plan/start", data=fields, headers=HTMX).status_code == 204
    assert recorded(shop, 1, "p1.mill") == (TaskRecord("p1.mill", started_at=NOW), 1)


@pytest.mark.parametrize("headers", [{}, HTMX], ids=["plain", "htmx"])
def test_the_second_of_two_phones_is_told_and_nothing_is_overwritten(
    shop: TestClient, clock: Clock, headers: dict[str, str]
) -> None:
    a_job(shop)
    first, second = tap(shop, "finish", "p1.mill"), tap(shop, "finish", "p1.mill")
    shop.post("/jobs/1/plan/finish", data=first)
    clock.at = NOW + timedelta(hours=2)
    reply = shop.post("/jobs/1/plan/finish", data=second, headers=headers)
    assert reply.status_code == 409
    assert "“Bar top: mill boards” was changed elsewhere meanwhile" in reply.text
    assert recorded(shop, 1, "p1.mill")[0].finished_at == NOW


def test_a_tap_from_a_tasks_own_page_is_told_there(shop: TestClient) -> None:
    a_job(shop)
    fields = form_of(shop, "/jobs/1/plan/task?key=p1.mill", "/jobs/1/plan/finish")
    record(shop, 1, "p1.mill", finished_at=NOW)
    reply = shop.post("/jobs/1/plan/finish", data=fields)
    assert reply.status_code == 409
    assert "changed elsewhere meanwhile" in words(page_of(reply).css_first("#problems"))


@pytest.mark.parametrize("headers", [{}, HTMX], ids=["plain", "htmx"])
def test_nothing_is_finished_before_it_was_started(shop: TestClient, clock: Clock, headers: dict[str, str]) -> None:
    a_job(shop)
    record(shop, 1, "p1.mill", started_at=NOW + timedelta(hours=1))
    fields = tap(shop, "finish", "p1.mill")
    reply = shop.post("/jobs/1/plan/finish", data=fields, headers=headers)
    assert reply.status_code == 422
    assert "is still to come: it is 08:00 now." in words(page_of(reply).css_first("#today-lists [role=alert]"))
    assert recorded(shop, 1, "p1.mill")[0].finished_at is None


def test_a_tap_on_a_task_of_another_job_is_refused(shop: TestClient) -> None:
    a_job(shop)
    a_job(shop, "Another bar")
    fields = tap(shop, "start", "p1.mill")
    for action in ("start", "finish", "take-back"):
        assert shop.post(f"/jobs/2/plan/{action}", data={**fields, "form_key": action}).status_code == 404
    assert shop.post("/jobs/1/plan/start", data={**fields, "key": "p9.mill", "form_key": "x"}).status_code == 404


def partials(text: str) -> list[str]:
    return re.findall(r'<hx-partial hx-target="#([^"]+)"', text)


def test_every_fragment_that_comes_back_has_its_place_on_the_page(shop: TestClient) -> None:
    a_job(shop)
    page = today(shop)
    reply = shop.post("/jobs/1/plan/start", data=tap(shop, "start", "p1.mill"), headers=HTMX)
    targets = partials(reply.text)
    assert targets == ["today-lists", "done"]
    assert all(page.css_first(f"#{target}") for target in targets)
    form = page.css_first('form[action="/jobs/1/plan/start"]')
    assert form.attributes["hx-post"] == form.attributes["action"]
    assert (form.attributes["method"], form.attributes["hx-swap"]) == ("post", "none")
    assert form.attributes["hx-disable"] == "find button"


def test_the_keyboard_goes_on_where_the_work_does(shop: TestClient) -> None:
    a_job(shop)
    started = page_of(shop.post("/jobs/1/plan/start", data=tap(shop, "start", "p1.mill"), headers=HTMX))
    assert [one.id for one in started.css("[autofocus]")] == ["finish-1-p1.mill"]
    finished = page_of(shop.post("/jobs/1/plan/finish", data=tap(shop, "finish", "p1.mill"), headers=HTMX))
    assert [one.id for one in finished.css("[autofocus]")] == ["next"]
    assert not today(shop).css("[autofocus]")


def test_a_page_left_open_asks_for_its_lists_without_a_filter(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    lists = today(shop).css_first("#today-lists")
    assert (lists.attributes["hx-trigger"], lists.attributes["hx-swap"]) == ("every 60s, stale", "outerMorph")
    clock.at = NOW + timedelta(minutes=90)
    polled = page_of(shop.get(lists.attributes["hx-get"] or "", headers=HTMX))
    assert polled.css_first("header") is None
    assert "As of 09:30." in words(polled.css_first("#today-lists"))
    assert "6 h 30 min of shop time until closing time 17:00." in words(polled.css_first("#today-lists"))


def test_ids_are_used_once_and_every_button_says_which_task(shop: TestClient) -> None:
    a_job(shop, tops=3)
    a_job(shop, "Another bar")
    glued(shop)
    page = today(shop)
    ids = [one.id for one in page.css("[id]")]
    assert len(ids) == len(set(ids))
    labels = [button.attributes.get("aria-label") or "" for button in page.css("#today-lists button")]
    assert all(": " in label for label in labels)
    assert not page.css("[style]")


def test_at_night_today_says_when_the_shop_opens(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    clock.at = shop_time("2026-06-06 20:00")
    assert words(today(shop).css_first("#next")) == "Next, when the shop opens Mon 08:00"


def test_a_wait_can_be_over_before_its_time_and_a_delivery_cannot_be_ended_here(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    glued(shop)
    clock.at = shop_time("2026-06-01 13:00")
    shop.post("/jobs/1/plan/finish", data=tap(shop, "finish", "p1.clamp-1"))
    assert recorded(shop, 1, "p1.clamp-1")[0].finished_at == shop_time("2026-06-01 13:00")
    assert "Bar top: clamps off and scrape" in startable(today(shop))


def test_a_job_that_cannot_be_planned_does_not_stop_the_others(shop: TestClient) -> None:
    a_job(shop)
    a_job(shop, "Far off")
    record(shop, 2, "p2.mill", not_before=shop_time("2199-12-20 08:00"))
    page = today(shop)
    assert startable(page) == ["Bar top: mill boards"]
    assert "Far off cannot be planned. That leads outside the years 1900 to 2200." in words(page.css_first(".warning"))
    assert "That leads outside" in page_of(shop.get("/jobs/2/plan")).text()
    assert shop.get("/jobs/1/plan").status_code == 200


def test_closed_jobs_are_not_planned_however_many_there_are(shop: TestClient) -> None:
    a_job(shop)
    app: Any = shop.app
    with app.state.database.write("Many", at=NOW) as db:
        from webapp.store.job import copy_job, set_state

        for number in range(50):
            set_state(db, copy_job(db, 1, name=f"Old {number}", at=NOW), JobState.CLOSED)
    with reading(shop) as db:
        assert list(load_plan_facts(db, NOW).jobs) == [1]
    assert startable(today(shop)) == ["Bar top: mill boards"]


def people(client: TestClient) -> None:
    """Name two people: Ada, who does all but finishing, and Bo, who finishes."""
    with writing(client) as db:
        add_person(db, Person(0, "Ada", frozenset({Skill.MACHINES, Skill.BENCH, Skill.INSTALLING})))
        add_person(db, Person(0, "Bo", frozenset({Skill.FINISHING})))


def test_everybody_who_is_named_has_a_turn_and_an_address_to_keep(shop: TestClient) -> None:
    people(shop)
    a_job(shop)
    page = today(shop)
    assert [words(one) for one in page.css(".turn h3")] == ["Ada", "Bo"]
    assert [one.attributes["href"] for one in page.css(".whose a")] == ["/today", "/today?person=1", "/today?person=2"]
    ada = page_of(shop.get("/today?person=1"))
    assert words(ada.css_first("h1")) == "Today: Ada"
    assert startable(ada) == ["Bar top: mill boards"]
    assert ada.css_first("#today-lists").attributes["hx-get"] == "/today/lists?person=1"
    assert "Today: Bo" in shop.get("/today?person=2").text
    assert startable(page_of(shop.get("/today?person=2"))) == []


@pytest.mark.parametrize("person", ["7", "x", "-1", "9" * 30])
def test_a_kept_address_of_somebody_who_left_shows_the_whole_shop_and_says_so(shop: TestClient, person: str) -> None:
    people(shop)
    a_job(shop)
    page = page_of(shop.get(f"/today?person={person}"))
    assert "not in the shop any more" in words(page.css_first("#today-lists [role=alert]"))
    assert len(page.css(".turn")) == 2


def test_what_is_started_in_somebodys_turn_is_theirs_and_the_lists_that_come_back_are_theirs(shop: TestClient) -> None:
    people(shop)
    a_job(shop)
    fields = form_of(shop, "/today?person=1", "/jobs/1/plan/start", "p1.mill")
    assert (fields["who"], fields["back"]) == ("1", "/today?person=1")
    reply = page_of(shop.post("/jobs/1/plan/start", data=fields, headers=HTMX))
    assert recorded(shop, 1, "p1.mill")[0].who == (1,)
    assert len(reply.css(".turn")) == 1
    assert "Since 08:00, until 09:00 as planned." in words(reply.css_first("#turn-1"))


def test_who_a_task_was_given_to_stays_whoever_starts_it(shop: TestClient) -> None:
    people(shop)
    a_job(shop)
    record(shop, 1, "p1.mill", who=(1,))
    fields = form_of(shop, "/today", "/jobs/1/plan/start", "p1.mill")
    shop.post("/jobs/1/plan/start", data={**fields, "who": "2 x 99999999999"})
    assert recorded(shop, 1, "p1.mill")[0].who == (1,)


def test_a_coat_whose_window_would_close_at_the_weekend_is_not_to_be_started(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    clock.at = shop_time("2026-06-05 14:00")
    with reading(shop) as db:
        tasks = load_plan_facts(db, clock.at).jobs[1].tasks
    before = [task.part for task in tasks if task.part.startswith("p1.")]
    done(shop, 1, *before, at=shop_time("2026-06-05 11:00"))
    page = today(shop)
    assert names(section(page, "leave"))[0] == "First coat of waterborne polyurethane"
    assert "and nobody works then" in words(section(page, "leave"))
    assert "First coat of waterborne polyurethane" not in startable(page)


def test_what_would_win_a_late_job_back_is_tried_when_somebody_asks(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 2))
    a_job(shop, "In time")
    link = section(today(shop), "late").css_first('a[href="/today/late/1"]')  # type: ignore[union-attr]
    assert words(link) == "What would win it back"
    page = page_of(shop.get("/today/late/1"))
    assert "after the promise of Tue 2 Jun" in words(page.css_first("p.late"))
    assert "is not late as it is planned now" in shop.get("/today/late/2").text
    assert shop.get("/today/late/77").status_code == 404


def test_a_timer_carries_the_instant_it_rings_at_and_the_page_the_servers_own_time(
    shop: TestClient, clock: Clock
) -> None:
    a_job(shop)
    glued(shop)
    clock.at = shop_time("2026-06-01 11:00")
    page = today(shop)
    assert page.css_first("#today-lists").attributes["data-now"] == "2026-06-01T15:00:00+00:00"
    timer = page.css_first(".timer").attributes
    assert (timer["data-rings"], timer["data-soon"]) == ("2026-06-01T17:41:00+00:00", "")
    assert timer["data-words"] == "Clamps off 13:41: Bar top: in clamps"


def test_an_open_window_warns_an_hour_before_it_closes(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    done(shop, 1, f"{FILM}.coat-1", at=NOW)
    clock.at = NOW + timedelta(hours=5)
    timer = today(shop).css_first(".timer[data-soon^='2026']").attributes
    assert (timer["data-soon"], timer["data-rings"]) == ("2026-06-01T23:00:00+00:00", "2026-06-02T00:00:00+00:00")
