"""The plan of a job as a page, on paper, and everything a maker changes about its tasks."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient
from selectolax.lexbor import LexborHTMLParser

from conftest import Clock, page_of
from domain.figure import Figure
from domain.hours import usual_week
from domain.job import JobState
from domain.operation import starting_times
from domain.plan.kept import kept_plan
from domain.task import OwnLink
from plan_shop import (
    FILM,
    NOW,
    a_job,
    done,
    form_of,
    links,
    price_of_lumber,
    reading,
    record,
    recorded,
    row_of,
    set_up,
    shop_time,
    writing,
)
from webapp.store import shop as shop_store
from webapp.store.kept_plan import keep_plan
from webapp.store.plan import PlanFacts, load_plan_facts
from webapp.working import PAGES, find


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    clock.at = NOW
    set_up(client)
    return client


def plan_of(client: TestClient, job_id: int = 1) -> LexborHTMLParser:
    return page_of(client.get(f"/jobs/{job_id}/plan"))


def words_of(page: LexborHTMLParser) -> str:
    return " ".join(page.css_first("main").text().split())


def task_address(key: str, job_id: int = 1) -> str:
    return f"/jobs/{job_id}/plan/task?key={quote(key)}"


def own(client: TestClient, name: str = "Fetch the sink template", **typed: str) -> str:
    """Add a task of the maker's through its form and return its key."""
    fields = form_of(client, "/jobs/1/plan/new", "/jobs/1/plan/new")
    reply = client.post("/jobs/1/plan/new", data={**fields, "name": name, "takes": "45 min", **typed})
    assert reply.status_code == 303, reply.text
    found = re.search(r"key=([^&]+)", reply.headers["location"])
    assert found
    return found[1]


def test_the_finish_comes_first_against_the_promise_and_what_limits_it(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 10))
    page = plan_of(shop)
    assert page.css_first("#finish").text() == "Ready Fri 5 Jun, 5 days before the promise of Wed 10 Jun."
    assert "The date hangs on Bar top: mill boards: Can start now." in words_of(page)
    chain = [item.css_first("a").text() for item in page.css(".chain li")]
    assert chain[:2] == ["Bar top: mill boards", "Bar top: joint edges"]
    assert chain[-1] == "Walk through and hand over"


def test_a_late_job_says_so_in_words(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 2))
    assert "3 days after the promise of Tue 2 Jun." in plan_of(shop).css_first("#finish.late").text()
    # By its links alone, from Thursday 13:57 back to Tuesday 16:15, in shop hours; a coat's window makes it a day more.
    slips = row_of(shop, 1, "job.hand_over")["Can slip"]
    assert "−13 h 42 min by its links until the promise is lost" in slips


def test_a_job_nobody_ordered_is_planned_as_if_it_began_now(shop: TestClient) -> None:
    a_job(shop, state=JobState.ENQUIRY)
    assert "Nobody has ordered this yet (enquiry)" in words_of(plan_of(shop))


def test_the_list_says_when_how_long_and_why(shop: TestClient) -> None:
    a_job(shop)
    row = row_of(shop, 1, "p1.flatten")
    assert row["name"] == "Bar top: flatten the panel waiting ● sets the date"
    assert row["Takes"] == "1 h 14 min 1 person"
    assert row["Planned"] == "tomorrow 10:45 to 12:00"
    assert row["Why then"].startswith("Waits until “Bar top: glue cures” is finished tomorrow 10:45: glue cures")
    clamps = row_of(shop, 1, "p1.clamp-1")
    assert (clamps["Takes"], clamps["Planned"]) == ("3 h by itself", "10:45 to 13:45")


def test_every_figure_of_the_plan_opens_down_to_its_source(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 10))
    addresses = {link.attributes["href"] or "" for link in plan_of(shop).css("a.figure")}
    assert len(addresses) > 40
    with reading(shop) as db:
        shown = PAGES["plan"](db, 1, NOW)
    for address in addresses:
        assert isinstance(find(shown, address.removeprefix("/jobs/1/working/plan/")), Figure), address
    takes = page_of(shop.get("/jobs/1/working/plan/rows.0.takes"))
    assert "setting up once + minutes per board × quantity" in takes.css_first("main").text()
    assert "Source: typed" in takes.css_first("main").text()
    assert takes.css_first('a[href="/shop/operations#mill"]')
    slips = shop.get("/jobs/1/working/plan/rows.0.total_float").text
    assert "with which the promise still holds" in slips
    assert "critical path method" in slips


def test_without_shop_hours_the_plan_asks_for_them(client: TestClient, clock: Clock) -> None:
    clock.at = NOW
    a_job(client)
    page = plan_of(client)
    assert "no working hours" in words_of(page)
    assert page.css_first('.warning a[href="/shop/hours"]')
    assert row_of(client, 1, "p1.mill")["Planned"] == "not planned"
    assert client.get("/jobs/1/plan/print").status_code == 200
    assert client.get(task_address("p1.mill")).status_code == 200
    assert client.get("/jobs/1/plan.ics").status_code == 409


def test_operations_nobody_has_timed_are_named(client: TestClient, clock: Clock) -> None:
    clock.at = NOW
    with writing(client) as db:
        shop_store.add_hours(db, usual_week())
        times = starting_times()
        shop_store.add_starting_times(db, {key: time for key, time in times.items() if key not in ("mill", "sand")})
    a_job(client)
    warning = next(one for one in plan_of(client).css(".warning") if "operations" in one.text())
    assert "Nobody has said how long 2 operations take" in warning.text()
    links_of = [link.attributes["href"] for link in warning.css("li a")]
    assert links_of == ["/shop/operations#mill", "/shop/operations#sand"]


def test_a_job_without_pieces_says_what_to_do(shop: TestClient) -> None:
    a_job(shop, tops=0)
    page = plan_of(shop)
    assert page.css_first(".empty h2").text() == "Nothing to plan yet"
    assert page.css_first('.empty a[href="/jobs/1/pieces"]')
    assert shop.get("/jobs/1/plan/print").status_code == 200


def test_there_is_no_plan_of_a_job_that_is_not_there(shop: TestClient) -> None:
    for end in ("", "/print", "/task?key=x", "/new", "/when?key=x"):
        assert shop.get(f"/jobs/9/plan{end}").status_code == 404
    for end in ("/task", "/new", "/drop", "/bring-back", "/remove", "/move", "/link", "/unlink", "/hold", "/when"):
        assert shop.post(f"/jobs/9/plan{end}", data={"key": "p1.mill"}).status_code == 404, end


def test_a_window_that_will_be_missed_is_explained_by_what_cannot_be_had_together(shop: TestClient) -> None:
    a_job(shop)
    missed = next(one for one in plan_of(shop).css(".warning") if "Second coat" in one.text())
    words = " ".join(missed.text().split())
    assert "“Third coat of waterborne polyurethane” must follow “Second coat of waterborne polyurethane”" in words
    assert "nobody works from Wed 17:00 to Thu 08:00" in words
    assert row_of(shop, 1, f"{FILM}.coat-3")["Planned"] == "Thu 08:00 to 09:05"


def test_a_task_is_held_back_until_a_time_and_that_time_must_be_one(shop: TestClient) -> None:
    a_job(shop)
    said = {"key": f"{FILM}.coat-1", "not_before": "2026-06-04T09:00", "form_key": "a"}
    assert shop.post("/jobs/1/plan/hold", data=said).status_code == 303
    assert recorded(shop, 1, f"{FILM}.coat-1")[0].not_before == shop_time("2026-06-04 09:00")
    assert row_of(shop, 1, f"{FILM}.coat-1")["Planned"].startswith("Thu 09:00")
    assert shop.post("/jobs/1/plan/hold", data={**said, "form_key": "x", "not_before": ""}).status_code == 422


def test_more_clamps_than_there_are_is_said_and_the_rest_is_planned(client: TestClient, clock: Clock) -> None:
    clock.at = NOW
    set_up(client, hands=3, clamps=12)
    a_job(client)
    page = words_of(plan_of(client))
    assert "“Bar top: glue-up” (Invented bar) needs 27 clamps; there are 12." in page
    assert row_of(client, 1, "p1.glue-up-1")["Planned"] == "09:50 to 10:45"


def test_jobs_share_the_shop_so_one_waits_for_the_hands_of_the_other(client: TestClient, clock: Clock) -> None:
    clock.at = NOW
    set_up(client, hands=1)
    first, second = a_job(client, "First"), a_job(client, "Second")
    mills = [row_of(client, job_id, f"p{job_id}.mill") for job_id in (first, second)]
    assert sorted(row["Planned"] == "08:00 to 09:00" for row in mills) == [False, True]
    later = next(row for row in mills if row["Planned"] != "08:00 to 09:00")
    assert later["Why then"].startswith("The only pair of hands is on")


def test_only_open_jobs_and_the_one_looked_at_are_planned(shop: TestClient) -> None:
    ids = [a_job(shop, state=state) for state in JobState]
    with reading(shop) as db:
        known = load_plan_facts(db, NOW)
        assert sorted(known.jobs) == [job_id for job_id, state in zip(ids, JobState, strict=True) if state.is_open]
        assert sorted(load_plan_facts(db, NOW, job_id=ids[0]).jobs) == sorted([ids[0], *known.jobs])


def test_facts_kept_in_memory_are_dropped_when_one_of_them_changes(shop: TestClient) -> None:
    a_job(shop)
    with reading(shop) as db:
        first, again = (load_plan_facts(db, NOW).jobs[1] for _ in range(2))
    assert again is first
    record(shop, 1, "p1.mill", minutes=300)
    with reading(shop) as db:
        changed = load_plan_facts(db, NOW).jobs[1]
    assert changed.tasks[0].duration == timedelta(hours=5)


def test_one_plan_is_made_for_all_pages_of_a_minute_until_something_is_written(shop: TestClient, clock: Clock) -> None:
    a_job(shop)

    def known() -> PlanFacts:
        with reading(shop) as db:
            return load_plan_facts(db, clock.at)

    first = known()
    assert known() is first
    assert known().plan()[0] is first.plan()[0]
    clock.at += timedelta(minutes=1)
    assert known() is not first
    before = known()
    record(shop, 1, "p1.mill", minutes=300)
    assert known() is not before
    with writing(shop) as db:
        assert load_plan_facts(db, clock.at) is not load_plan_facts(db, clock.at), "what is not written is not kept"


def test_a_plan_that_is_kept_is_followed_and_told_by_its_facts(shop: TestClient) -> None:
    a_job(shop)
    with reading(shop) as db:
        known = load_plan_facts(db, NOW)
    plan = known.plan()[0]
    assert plan is not None
    kept = kept_plan(plan, facts=known.fingerprint)
    with writing(shop) as db:
        keep_plan(db, kept, at=NOW)
    with reading(shop) as db:
        again = load_plan_facts(db, NOW + timedelta(minutes=1))
    assert again.kept == kept
    assert again.fingerprint == known.fingerprint


def test_a_coat_whose_window_has_closed_gets_a_scuffing_as_time_passes(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    done(shop, 1, f"{FILM}.coat-1", at=NOW)
    assert all(row.id != f"{FILM}.scuff-2" for row in plan_of(shop).css("tr"))
    clock.at = NOW + timedelta(days=2)
    assert row_of(shop, 1, f"{FILM}.scuff-2")["name"].startswith("Scuff before the second coat")


def test_a_glue_up_finished_three_hours_late_moves_everything_after_it(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    done(shop, 1, "p1.mill", "p1.joint", at=shop_time("2026-06-01 09:48"))
    before = {key: row_of(shop, 1, key)["Planned"] for key in ("p1.clamp-1", "p1.flatten")}
    assert before == {"p1.clamp-1": "10:45 to 13:45", "p1.flatten": "tomorrow 10:45 to 12:00"}
    clock.at = shop_time("2026-06-01 13:41")
    record(shop, 1, "p1.glue-up-1", started_at=shop_time("2026-06-01 09:48"), finished_at=clock.at)
    after = {key: row_of(shop, 1, key)["Planned"] for key in before}
    assert after == {"p1.clamp-1": "13:41 to 16:41", "p1.flatten": "tomorrow 13:45 to 15:00"}


def test_the_week_the_clocks_change_reads_right_in_the_shops_zone(shop: TestClient, clock: Clock) -> None:
    # The clocks go back in New York on Sunday 1 November 2026 at 02:00 (tz database).
    clock.at = datetime(2026, 10, 30, 20, 0, tzinfo=UTC)
    a_job(shop)
    done(shop, 1, "p1.mill", "p1.joint", at=shop_time("2026-10-30 14:00"))
    record(shop, 1, "p1.glue-up-1", started_at=shop_time("2026-10-30 15:00"), finished_at=shop_time("2026-10-30 16:00"))
    cure = row_of(shop, 1, "p1.cure-1")
    assert cure["Planned"] == "16:00 to tomorrow 16:00"
    clock.at = datetime(2026, 10, 31, 20, 0, tzinfo=UTC)
    done(shop, 1, "p1.unclamp-1", at=shop_time("2026-10-30 16:30"))
    record(shop, 1, "p1.glue-up-1", finished_at=shop_time("2026-10-31 16:00"))
    assert row_of(shop, 1, "p1.cure-1")["Planned"] == "16:00 to tomorrow 15:00"
    assert row_of(shop, 1, "p1.flatten")["Planned"] == "Mon 08:00 to 09:15"


def test_a_task_of_the_makers_is_added_changed_and_removed(shop: TestClient) -> None:
    a_job(shop)
    key = own(shop, kind="in clamps", takes="2 h 30 min")
    assert row_of(shop, 1, key)["Takes"] == "2 h 30 min by itself"
    fields = form_of(shop, task_address(key), "/jobs/1/plan/task")
    changed = {**fields, "kind": "other", "takes": "1:15", "crew": "2", "name": "Fetch both templates"}
    assert shop.post("/jobs/1/plan/task", data=changed).status_code == 303
    assert row_of(shop, 1, key)["Takes"] == "1 h 15 min 2 people"
    removed = shop.post("/jobs/1/plan/remove", data=form_of(shop, task_address(key), "/jobs/1/plan/remove"))
    assert removed.status_code == 303
    assert "Fetch both templates" not in words_of(plan_of(shop))
    undo = page_of(shop.get(removed.headers["location"])).css_first("#done form").attributes["action"]
    shop.post(undo or "", data={})
    assert "Fetch both templates" in words_of(plan_of(shop))


def test_a_removed_task_takes_its_links_along_and_its_key_is_not_used_again(shop: TestClient) -> None:
    a_job(shop)
    key = own(shop)
    shop.post("/jobs/1/plan/link", data={"key": "p1.mill", "before": key})
    assert links(shop, 1) == (OwnLink(key, "p1.mill"),)
    shop.post("/jobs/1/plan/remove", data={"key": key})
    assert links(shop, 1) == ()
    assert own(shop) == "own.2" != key


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": ""}, "Task is empty"),
        ({"name": "x" * 300}, "Task is 300 characters long"),
        ({"takes": "soon"}, "“soon” is not a length of time. Try 45 min"),
        ({"takes": "-5"}, "“-5” is not a length of time"),
        ({"takes": "٤٥"}, "“٤٥” is not a length of time"),
        ({"takes": "2 days"}, "A day of hands-on work is as long as your shop hours"),
        ({"takes": "9000 h"}, "is longer than 500 h. Was it mistyped?"),
        ({"takes": "1/2 h"}, "“1/2 h” is not a length of time"),
        ({"crew": "0"}, "People at once “0” is out of range. It must be from 1 to 20."),
        ({"crew": "1.5"}, "“1.5” is not a whole number"),
        ({"kind": "flying"}, "“flying” is not one of"),
        ({"kind": "delivery"}, "Goods on order come from the order page"),
        ({"not_before": "2026-02-30T08:00"}, "“2026-02-30T08:00” is not a date and time"),
        ({"not_before": "2062-01-01T08:00"}, "is more than two years away"),
        ({"not_before": "2027-03-14T02:30"}, "the clocks went forward past it that day. Try 2027-03-14 03:30."),
    ],
)
def test_what_a_new_task_cannot_be_is_said_and_what_was_typed_stays(
    shop: TestClient, typed: dict[str, str], words: str
) -> None:
    a_job(shop)
    fields = {"name": "Fetch the template", "kind": "other", "takes": "45", "crew": "1", "not_before": "", **typed}
    reply = shop.post("/jobs/1/plan/new", data=fields)
    page = page_of(reply)
    assert reply.status_code == 422
    assert words in page.css_first("#problems").text()
    for name, text in fields.items():
        if name != "kind":
            assert page.css_first(f"#{name}").attributes["value"] == text
    assert "Fetch" not in words_of(plan_of(shop))


def test_a_wait_may_be_said_in_days(shop: TestClient) -> None:
    a_job(shop)
    assert row_of(shop, 1, own(shop, kind="drying", takes="1.5 days"))["Takes"] == "36 h by itself"


def test_time_and_name_of_a_task_are_changed_and_are_as_usual_again_when_empty(shop: TestClient) -> None:
    a_job(shop)
    fields = form_of(shop, task_address("p1.mill"), "/jobs/1/plan/task")
    assert (fields["name"], fields["takes"]) == ("", "")
    shop.post("/jobs/1/plan/task", data={**fields, "name": "Mill the maple", "takes": "3 h", "crew": "2"})
    assert row_of(shop, 1, "p1.mill")["name"].startswith("Mill the maple")
    assert row_of(shop, 1, "p1.mill")["Takes"] == "3 h 2 people"
    again = form_of(shop, task_address("p1.mill"), "/jobs/1/plan/task")
    assert (again["name"], again["takes"], again["version"]) == ("Mill the maple", "3 h", "1")
    shop.post("/jobs/1/plan/task", data={**again, "name": "", "takes": "", "crew": ""})
    assert row_of(shop, 1, "p1.mill")["name"].startswith("Bar top: mill boards")
    assert row_of(shop, 1, "p1.mill")["Takes"] == "1 h 1 person"


def test_the_second_of_two_tabs_is_told_and_shown_both(shop: TestClient) -> None:
    a_job(shop)
    first, second = (form_of(shop, task_address("p1.mill"), "/jobs/1/plan/task") for _ in range(2))
    assert shop.post("/jobs/1/plan/task", data={**first, "takes": "2 h"}).status_code == 303
    reply = shop.post("/jobs/1/plan/task", data={**second, "takes": "4 h"})
    assert reply.status_code == 409
    row = next(row for row in page_of(reply).css("tbody tr") if "How long" in row.text())
    assert [cell.text() for cell in row.css("td")] == ["4 h", "2 h"]
    keep = {area.attributes["name"]: area.text() for area in page_of(reply).css("textarea")}
    hidden = {one.attributes["name"]: one.attributes["value"] for one in page_of(reply).css("main input")}
    assert shop.post("/jobs/1/plan/task", data={**keep, **hidden}).status_code == 303
    assert recorded(shop, 1, "p1.mill")[0].minutes == 240


def test_a_mistake_keeps_the_version_the_person_saw(shop: TestClient) -> None:
    a_job(shop)
    fields = form_of(shop, task_address("p1.mill"), "/jobs/1/plan/task")
    record(shop, 1, "p1.mill", minutes=30)
    wrong = page_of(shop.post("/jobs/1/plan/task", data={**fields, "takes": "soon"}))
    form = wrong.css_first("#change")
    assert form.css_first('input[name="version"]').attributes["value"] == fields["version"] == "0"
    assert form.css_first("#takes").attributes["value"] == "soon"
    assert "autofocus" not in wrong.html


def test_a_dropped_task_passes_on_what_it_waited_for_and_comes_back(shop: TestClient) -> None:
    a_job(shop)
    shop.post("/jobs/1/plan/drop", data=form_of(shop, task_address("p1.joint"), "/jobs/1/plan/drop"))
    page = plan_of(shop)
    assert [item.css_first("span").text() for item in page.css(".dropped li")] == ["Bar top: joint edges"]
    assert "Waits until “Bar top: mill boards” is finished" in row_of(shop, 1, "p1.glue-up-1")["Why then"]
    assert shop.get(task_address("p1.joint")).status_code == 404
    shop.post("/jobs/1/plan/bring-back", data=form_of(shop, "/jobs/1/plan", "/jobs/1/plan/bring-back"))
    assert "“Bar top: joint edges”" in row_of(shop, 1, "p1.glue-up-1")["Why then"]


def order_of(client: TestClient) -> list[str]:
    return [row.id or "" for row in plan_of(client).css(".tasks tbody tr")]


def test_tasks_move_up_and_down_the_list(shop: TestClient) -> None:
    a_job(shop)
    before = order_of(shop)
    shop.post("/jobs/1/plan/move", data={"key": before[2], "by": "-1"})
    assert order_of(shop)[:3] == [before[0], before[2], before[1]]
    shop.post("/jobs/1/plan/move", data={"key": before[2], "by": "1"})
    assert order_of(shop) == before
    shop.post("/jobs/1/plan/move", data={"key": before[0], "by": "-1"})
    shop.post("/jobs/1/plan/move", data={"key": before[-1], "by": "1"})
    assert order_of(shop) == before
    assert shop.post("/jobs/1/plan/move", data={"key": "p99.mill", "by": "1"}).status_code == 404


def test_tasks_at_one_place_can_be_moved_too(shop: TestClient) -> None:
    a_job(shop)
    record(shop, 1, "p1.joint", position=100)
    before = order_of(shop)
    shop.post("/jobs/1/plan/move", data={"key": before[0], "by": "1"})
    assert order_of(shop) == [before[1], before[0], *before[2:]]


def test_a_task_waits_for_another_at_least_and_at_most_so_long(shop: TestClient) -> None:
    a_job(shop)
    fields = form_of(shop, task_address("p1.sand"), "/jobs/1/plan/link")
    reply = shop.post(
        "/jobs/1/plan/link",
        data={**fields, "before": "p1.unclamp-1", "at_least": "2 days", "at_most": "80 h"},
    )
    assert reply.status_code == 303
    assert links(shop, 1) == (OwnLink("p1.unclamp-1", "p1.sand", timedelta(days=2), timedelta(hours=80)),)
    assert row_of(shop, 1, "p1.sand")["Planned"] == "Wed 14:10 to 16:20"
    waits = page_of(shop.get(task_address("p1.sand"))).css_first("#waits")
    assert "then at least 2 days and at most 3 days 8 h: you said so" in " ".join(waits.text().split())
    shop.post("/jobs/1/plan/link", data={**fields, "form_key": "b", "before": "p1.unclamp-1", "at_least": "1 h"})
    assert links(shop, 1) == (OwnLink("p1.unclamp-1", "p1.sand", timedelta(hours=1)),)
    shop.post("/jobs/1/plan/unlink", data=form_of(shop, task_address("p1.sand"), "/jobs/1/plan/unlink"))
    assert links(shop, 1) == ()


def test_tasks_that_would_wait_for_each_other_are_named_and_nothing_typed_is_lost(shop: TestClient) -> None:
    a_job(shop)
    reply = shop.post("/jobs/1/plan/link", data={"key": "p1.mill", "before": "p1.glue-up-1", "at_least": "12 h"})
    page = page_of(reply)
    assert reply.status_code == 422
    assert "“Bar top: mill boards” → “Bar top: joint edges” → “Bar top: glue-up” → “Bar top: mill boards”" in (
        page.css_first("#problems").text()
    )
    assert page.css_first("#before option[selected]").attributes["value"] == "p1.glue-up-1"
    assert page.css_first("#at_least").attributes["value"] == "12 h"
    assert links(shop, 1) == ()
    itself = shop.post("/jobs/1/plan/link", data={"key": "p1.mill", "before": "p1.mill"})
    assert itself.status_code == 422


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"before": ""}, "Choose the task that it waits for."),
        ({"at_least": "a while"}, "“a while” is not a length of time. Try 45 min, 6 h, 1:30 or 3 days."),
        ({"at_least": "2 h", "at_most": "1 h"}, "At most “1 h” is less than at least “2 h”"),
        ({"at_least": "9999 days"}, "is longer than 400 days"),
    ],
)
def test_what_a_link_cannot_be_is_said(shop: TestClient, typed: dict[str, str], words: str) -> None:
    a_job(shop)
    fields = {"key": "p1.sand", "before": "p1.mill", "at_least": "", "at_most": "", **typed}
    reply = shop.post("/jobs/1/plan/link", data=fields)
    assert reply.status_code == 422
    assert words in page_of(reply).css_first("#problems").text()
    for name in ("at_least", "at_most"):
        assert page_of(reply).css_first(f"#{name}").attributes["value"] == fields[name]


def test_tasks_of_another_job_are_refused(shop: TestClient) -> None:
    a_job(shop)
    a_job(shop, "Another bar")
    assert row_of(shop, 2, "p2.mill")
    for end in ("task", "drop", "move", "hold", "when"):
        reply = shop.post(f"/jobs/2/plan/{end}", data={"key": "p1.mill", "by": "1", "not_before": "2026-06-02T08:00"})
        assert reply.status_code == 404, end
    assert shop.post("/jobs/2/plan/link", data={"key": "p2.mill", "before": "p1.mill"}).status_code == 404
    assert shop.post("/jobs/2/plan/link", data={"key": "p1.mill", "before": "p2.mill"}).status_code == 404
    assert shop.post("/jobs/2/plan/unlink", data={"key": "p2.mill", "before": "p1.mill"}).status_code == 404
    assert shop.get("/jobs/2/plan/task?key=p1.mill").status_code == 404
    assert recorded(shop, 2, "p1.mill")[1] == 0


def test_a_link_to_a_piece_that_was_removed_is_left_out_named_and_can_be_taken_away(shop: TestClient) -> None:
    a_job(shop, tops=2)
    shop.post("/jobs/1/plan/link", data={"key": "p2.mill", "before": "p1.sand"})
    shop.post("/jobs/1/pieces/1/remove", data={})
    page = plan_of(shop)
    assert "A link of “Bar top 2: mill boards” leads to a task that is gone." in page.css_first(".lost-link").text()
    shop.post("/jobs/1/plan/unlink", data=form_of(shop, "/jobs/1/plan", "/jobs/1/plan/unlink"))
    assert plan_of(shop).css_first(".lost-link") is None


def test_goods_to_be_ordered_hold_the_work_and_lead_to_the_order_page(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 7, 1))
    with reading(shop) as db:
        lumber = load_plan_facts(db, NOW).jobs[1].needs.lines[0].material
    price_of_lumber(shop, lumber.name, lumber.size, days=5)
    delivery = row_of(shop, 1, "supplier:Invented yard.delivery")
    assert delivery["Takes"] == "5 days by itself"
    assert "Not ordered yet." in delivery["Why then"]
    assert row_of(shop, 1, "p1.mill")["Planned"].startswith("Tue 16 Jun 08:00")  # 5 days and 10 to get used to the shop
    page = page_of(shop.get(task_address("supplier:Invented yard.delivery")))
    assert page.css_first('main a[href="/jobs/1/order"]')
    assert page.css_first("#change") is None
    assert shop.post("/jobs/1/plan/start", data={"key": "supplier:Invented yard.delivery"}).status_code == 404


def test_cautions_stand_where_the_work_is_planned_and_printed(shop: TestClient) -> None:
    a_job(shop)
    with reading(shop) as db:
        heaviest = load_plan_facts(db, NOW).jobs[1].needs.heaviest
    assert heaviest is not None
    assert heaviest.weight is not None
    load = f"Lifting {round(heaviest.weight.value)} lb"
    for address in ("/jobs/1/plan", "/jobs/1/plan/print"):
        words = page_of(shop.get(address)).text()
        for title in ("Kickback and blades", "Wood dust", load, "Water, gas and electric", "Labels, safety"):
            assert title in words, (address, title)
    coat = page_of(shop.get(task_address(f"{FILM}.coat-1"))).css_first("#cautions").text()
    assert "Food contact" in coat
    assert "Kickback" not in coat


def test_the_paper_plan_has_chart_list_and_boxes_to_tick(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 10))
    done(shop, 1, "p1.mill", at=NOW)
    page = page_of(shop.get("/jobs/1/plan/print"))
    assert page.css_first(".finish-words").text().startswith("Ready Fri 5 Jun")
    assert len(page.css("svg[role=img]")) == 2  # 17 tasks to do, 16 to a sheet
    ids = [one.id for one in page.css("[id]")]
    assert len(ids) == len(set(ids))
    assert len(page.css(".tick-box")) == 17
    assert [" ".join(one.text().split()) for one in page.css(".done-on-paper li")] == [
        "✓ Bar top: mill boards Fri 29 May 16:00 to 08:00"
    ]
    assert not page.css("[style]")


def test_the_chart_has_words_for_who_cannot_see_it_and_marks_by_more_than_colour(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 10))
    page = plan_of(shop)
    chart = page.css_first(".chart-box svg")
    assert (chart.attributes["aria-label"] or "").startswith("A chart of 18 tasks, ")
    names = [name.text() for name in chart.css("text.name")]
    assert names[0] == "● Bar top: mill boards"
    assert "Full cure of waterborne polyurethane" in names
    assert len(chart.css(".attended")) > len(chart.css("g")) / 2
    assert chart.css_first(".now-words").text() == "now 08:00"
    assert chart.css_first(".promise-words").text().strip("→ ") == "promised Wed 10 Jun"
    assert not page.css("[style]")


def test_nothing_typed_can_add_markup_to_the_page(shop: TestClient) -> None:
    a_job(shop)
    key = own(shop, name='<b id=evil>Cut & "glue"</b>')
    for address in ("/jobs/1/plan", "/jobs/1/plan/print", task_address(key), "/today"):
        page: Any = page_of(shop.get(address))
        assert page.css_first("#evil") is None
        assert '<b id=evil>Cut & "glue"</b>' in page.text(), address


def test_times_are_recorded_and_corrected_on_a_page_of_their_own(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    clock.at = shop_time("2026-06-01 11:20") + timedelta(seconds=31)
    fields = form_of(shop, "/jobs/1/plan/when?key=p1.mill&back=/today", "/jobs/1/plan/when")
    assert fields["back"] == "/today"
    times = {"started_at": "2026-06-01T08:05", "finished_at": "2026-06-01T11:20"}
    reply = shop.post("/jobs/1/plan/when", data={**fields, **times})
    assert (reply.status_code, reply.headers["location"].partition("?")[0]) == (303, "/today")
    said, version = recorded(shop, 1, "p1.mill")
    assert (said.started_at, said.finished_at) == (shop_time("2026-06-01 08:05"), shop_time("2026-06-01 11:20"))
    again = form_of(shop, "/jobs/1/plan/when?key=p1.mill", "/jobs/1/plan/when")
    assert (again["started_at"], again["finished_at"]) == (times["started_at"], times["finished_at"])
    shop.post("/jobs/1/plan/when", data={**again, "finished_at": ""})
    assert recorded(shop, 1, "p1.mill") == (type(said)("p1.mill", started_at=said.started_at), version + 1)


@pytest.mark.parametrize(
    ("times", "words"),
    [
        ({"started_at": "2026-06-01T13:00"}, "Started 13:00 is still to come: it is 12:00 now. Give a time gone by."),
        ({"finished_at": "2026-06-02T07:00"}, "Finished tomorrow 07:00 is still to come"),
        (
            {"started_at": "2026-06-01T11:00", "finished_at": "2026-06-01T10:00"},
            "Finished 10:00 comes before started 11:00. Change one of them.",
        ),
        ({"started_at": "yesterday"}, "Started “yesterday” is not a date and time. Try 2026-06-04 14:20."),
        ({"started_at": "2026-03-08T02:30"}, "was no time in America/New_York: the clocks went forward past it"),
        ({"finished_at": "2026-06-01T09:00Z"}, "is not a date and time"),
    ],
)
def test_times_that_cannot_be_are_refused_and_stay_as_typed(
    shop: TestClient, clock: Clock, times: dict[str, str], words: str
) -> None:
    a_job(shop)
    clock.at = shop_time("2026-06-01 12:00")
    fields = form_of(shop, "/jobs/1/plan/when?key=p1.mill", "/jobs/1/plan/when")
    reply = shop.post("/jobs/1/plan/when", data={**fields, **times})
    assert reply.status_code == 422
    assert words in page_of(reply).css_first("#problems").text()
    for name, text in times.items():
        assert page_of(reply).css_first(f"#{name}").attributes["value"] == text
    assert recorded(shop, 1, "p1.mill")[1] == 0


def test_a_time_that_comes_twice_is_the_first_and_saving_again_does_not_move_it(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    clock.at = datetime(2026, 11, 1, 12, 0, tzinfo=UTC)
    shop.post("/jobs/1/plan/when", data={"key": "p1.mill", "started_at": "2026-11-01T01:30"})
    assert recorded(shop, 1, "p1.mill")[0].started_at == datetime(2026, 11, 1, 5, 30, tzinfo=UTC)
    record(shop, 1, "p1.mill", started_at=datetime(2026, 11, 1, 6, 30, tzinfo=UTC))
    fields = form_of(shop, "/jobs/1/plan/when?key=p1.mill", "/jobs/1/plan/when")
    shop.post("/jobs/1/plan/when", data=fields)
    assert recorded(shop, 1, "p1.mill")[0].started_at == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)


def test_two_tabs_recording_times_are_told(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    clock.at = shop_time("2026-06-01 12:00")
    first, second = (form_of(shop, "/jobs/1/plan/when?key=p1.mill", "/jobs/1/plan/when") for _ in range(2))
    shop.post("/jobs/1/plan/when", data={**first, "started_at": "2026-06-01T08:00"})
    reply = shop.post("/jobs/1/plan/when", data={**second, "started_at": "2026-06-01T09:00"})
    assert reply.status_code == 409
    row = page_of(reply).css_first("tbody tr")
    assert [cell.text() for cell in row.css("td")] == ["2026-06-01T09:00", "2026-06-01T08:00"]


def test_the_way_back_from_recording_times_stays_here(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    fields = {"key": "p1.mill", "started_at": "2026-06-01T07:30", "back": "//elsewhere.example/x"}
    assert shop.post("/jobs/1/plan/when", data=fields).headers["location"].startswith("/jobs/1/plan/task?key=p1.mill")


def test_undo_of_a_first_record_leaves_the_task_free_to_be_recorded_again(shop: TestClient) -> None:
    a_job(shop)
    for _ in range(2):
        fields = form_of(shop, task_address("p1.mill"), "/jobs/1/plan/start")
        reply = shop.post("/jobs/1/plan/start", data=fields)
        assert recorded(shop, 1, "p1.mill")[0].started_at == NOW
        undo = page_of(shop.get(reply.headers["location"])).css_first("#done form").attributes["action"]
        shop.post(undo or "", data={})
        assert recorded(shop, 1, "p1.mill")[0].started_at is None


def test_a_task_says_which_job_s_date_it_sets(shop: TestClient) -> None:
    """One pair of hands: the second job's finish hangs on the first one's work, the first one's own on less of it."""
    with writing(shop) as db:
        old = shop_store.load_shop(db)
        shop_store.save_shop(db, replace(old, hands=1), version=shop_store.load_version(db))
    a_job(shop, "First bar", promised_on=date(2026, 6, 12))
    a_job(shop, "Second bar", promised_on=date(2026, 6, 26))
    with reading(shop) as db:
        plan, _ = load_plan_facts(db, NOW).plan()
    assert plan is not None
    for job_id, name in ((1, "Second bar"), (2, "First bar")):
        page = page_of(shop.get(f"/jobs/{job_id}/plan"))
        own, others = (plan.jobs[number].chain for number in (job_id, 3 - job_id))
        for each in plan.of_job(job_id):
            row = page.css_first(f'tr[id="{each.task.part}"]').text()
            assert ("● sets the date" in row) == (each.key in own), each.key
            assert (f"sets the date of {name}" in row) == (each.key in others), each.key
    assert any(plan.tasks[key].task.job_id == 1 for key in plan.jobs[2].chain)


def test_far_off_tasks_stand_on_paper_in_one_line_each(shop: TestClient) -> None:
    a_job(shop, tops=3)
    with writing(shop) as db:
        old = shop_store.load_shop(db)
        shop_store.save_shop(db, replace(old, hands=1, clamps=30), version=shop_store.load_version(db))
    paper, screen = page_of(shop.get("/jobs/1/plan/print")), page_of(shop.get("/jobs/1/plan"))
    far = [row.text() for row in paper.css(".far tbody th")]
    assert far
    assert len(far) == len(screen.css("details table.tasks tbody tr"))
    assert not paper.css(".far .soft")
