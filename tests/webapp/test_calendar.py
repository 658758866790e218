"""The plan as a calendar file, read back by the icalendar library (an implementation of RFC 5545 that is not ours)."""

from datetime import UTC, datetime, timedelta

import pytest
from fastapi.testclient import TestClient
from icalendar import Calendar, Event

from conftest import Clock, page_of
from domain.part import TaskKind
from domain.today import todays_list
from plan_builders import MONDAY, a_plan, a_task, at, hours, wait
from plan_shop import FILM, HTMX, NOW, a_job, done, record, set_up, shop_time
from webapp.calendar_file import alarm_file, calendar_file, stamp

ODD = 'Sand, "wax"; then\npolish \\ buff – 2 × ½'


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    clock.at = NOW
    set_up(client)
    return client


def events(client: TestClient, address: str) -> dict[str, Event]:
    """Return the events of a calendar by what comes before the @ of their UIDs."""
    reply = client.get(address)
    assert reply.status_code == 200, reply.text
    calendar = Calendar.from_ical(reply.content)
    found = {str(event["uid"]).partition("@")[0]: event for event in calendar.walk("VEVENT")}
    assert len(found) == len(calendar.walk("VEVENT"))
    return found


def alarms(event: Event) -> list[tuple[str, timedelta, str]]:
    """Return the alarms of an event: from which end, how far, and their words."""
    return [
        (alarm["trigger"].params.get("RELATED", "START"), alarm["trigger"].dt, str(alarm["description"]))
        for alarm in event.walk("VALARM")
    ]


def test_a_task_is_an_event_at_its_time_in_utc(shop: TestClient) -> None:
    a_job(shop)
    found = events(shop, "/jobs/1/plan.ics")
    mill = found["1/p1.mill"]
    assert (mill["dtstart"].dt, mill["dtend"].dt) == (shop_time("2026-06-01 08:00"), shop_time("2026-06-01 09:00"))
    assert mill["dtstart"].to_ical() == b"20260601T120000Z"
    assert mill["dtstamp"].dt == NOW
    assert str(mill["summary"]) == "Bar top: mill boards (Invented bar)"
    assert [str(one) for one in mill["categories"].cats] == ["milling", "hands-on", "can start"]
    assert (str(mill["transp"]), str(mill["status"])) == ("OPAQUE", "TENTATIVE")
    glue_up = found["1/p1.glue-up-1"]
    assert "Waits for “Bar top: joint edges”." in str(glue_up["description"]).splitlines()
    assert "2 people, in shop hours." in str(glue_up["description"]).splitlines()


def test_a_moment_has_no_end(shop: TestClient) -> None:
    a_job(shop)
    assert "dtend" not in events(shop, "/jobs/1/plan.ics")["1/job.install_day"]


def test_clamps_ring_as_they_come_off_and_cure_as_it_ends(shop: TestClient) -> None:
    a_job(shop)
    found = events(shop, "/jobs/1/plan.ics")
    clamps = found["1/p1.clamp-1"]
    assert alarms(clamps) == [("END", timedelta(), "Clamps off: Bar top: in clamps")]
    assert clamps["dtend"].dt == shop_time("2026-06-01 13:45")  # on the grid of five minutes
    assert str(clamps["transp"]) == "TRANSPARENT"
    assert alarms(found["1/p1.cure-1"]) == [("END", timedelta(), "Cured: Bar top: glue cures")]
    assert alarms(found["1/p1.mill"]) == []


def test_a_window_rings_as_it_opens_and_before_it_closes(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    done(shop, 1, f"{FILM}.coat-1", at=NOW)
    key = f"window%3A1/{FILM}.coat-1%3A1/{FILM}.coat-2"
    window = events(shop, "/jobs/1/plan.ics")[key]
    assert (window["dtstart"].dt, window["dtend"].dt) == (NOW + timedelta(hours=4), NOW + timedelta(hours=12))
    name = "Second coat of waterborne polyurethane"
    assert alarms(window) == [
        ("START", timedelta(), f"{name}: the window opens"),
        ("END", timedelta(hours=-1), f"{name}: the window closes soon"),
    ]
    clock.at = NOW + timedelta(hours=5)
    assert alarms(events(shop, "/jobs/1/plan.ics")[key]) == [
        ("END", timedelta(hours=-1), f"{name}: the window closes soon")
    ]
    clock.at = NOW + timedelta(hours=13)
    assert key not in events(shop, "/jobs/1/plan.ics")


def test_identities_stay_when_the_plan_moves(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    before = events(shop, "/jobs/1/plan.ics")
    clock.at = NOW + timedelta(hours=5)
    record(shop, 1, "p1.mill", minutes=300, name="Mill slowly")
    after = events(shop, "/jobs/1/plan.ics")
    assert before.keys() == after.keys()
    assert str(after["1/p1.mill"]["uid"]) == str(before["1/p1.mill"]["uid"]) == "1/p1.mill@benchday"
    assert before["1/p1.joint"]["dtstart"].dt != after["1/p1.joint"]["dtstart"].dt


def test_all_open_plans_are_in_one_calendar(shop: TestClient) -> None:
    from domain.job import JobState

    a_job(shop, "First")
    a_job(shop, "Second")
    a_job(shop, "Asked for", state=JobState.ENQUIRY)
    uids = events(shop, "/plan.ics")
    assert {uid.partition("/")[0] for uid in uids if not uid.startswith("window")} == {"1", "2"}


def test_a_calendar_program_asks_again_and_is_told_when_nothing_changed(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    record(shop, 1, "job.install_day", not_before=shop_time("2026-06-15 08:00"))
    clock.at = evening = shop_time("2026-06-01 20:00")  # by day, what could start now moves with the clock
    first = shop.get("/jobs/1/plan.ics")
    assert first.headers["content-type"] == "text/calendar; charset=utf-8"
    assert first.headers["cache-control"] == "private, no-cache"
    tag = first.headers["etag"]
    clock.at = evening + timedelta(minutes=30)
    again = shop.get("/jobs/1/plan.ics", headers={"If-None-Match": tag})
    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
    record(shop, 1, "p1.mill", minutes=90)
    changed = shop.get("/jobs/1/plan.ics", headers={"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed.headers["etag"] != tag
    assert shop.head("/jobs/1/plan.ics").status_code == 200
    assert shop.get("/jobs/9/plan.ics").status_code == 404


def test_the_clocks_going_back_does_not_move_a_cure(shop: TestClient, clock: Clock) -> None:
    # The clocks go back in New York on Sunday 1 November 2026 at 02:00 (tz database).
    a_job(shop)
    clock.at = shop_time("2026-10-31 16:00")
    done(shop, 1, "p1.glue-up-1", at=clock.at)
    cure = events(shop, "/jobs/1/plan.ics")["1/p1.cure-1"]
    assert cure["dtend"].dt == shop_time("2026-11-01 15:00") == datetime(2026, 11, 1, 20, 0, tzinfo=UTC)


def test_commas_semicolons_quotes_and_lines_survive_and_lines_are_folded() -> None:
    # RFC 5545, 3.1: lines of at most 75 octets without the line break; 3.3.11: escapes in text.
    found = a_plan(a_task(ODD, 60), a_task("x" * 300, 30, kind=TaskKind.CLAMP))
    made = calendar_file(found, found.of_job(1), name=f"Plan of {ODD}", shop="benchday").to_ical()
    assert b"\\," in made
    assert b"\\;" in made
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))
    assert b"\n" not in made.replace(b"\r\n", b"")
    calendar = Calendar.from_ical(made)
    summaries = [str(event["summary"]) for event in calendar.walk("VEVENT")]
    assert summaries == [f"{ODD} (Job 1)", f"{'x' * 300} (Job 1)"]
    assert rb'X-WR-CALNAME:Plan of Sand\, "wax"\; then\npolish \\ buff' in made.replace(b"\r\n ", b"")


def test_a_calendar_holds_what_rfc_5545_asks_for() -> None:
    # RFC 5545, 3.6: PRODID and VERSION once; 3.6.1: UID and DTSTAMP once in an event; 3.6.6: what an alarm needs.
    found = a_plan(a_task("glue", 60), a_task("press", 180, "glue", kind=TaskKind.CLAMP))
    calendar = Calendar.from_ical(calendar_file(found, found.of_job(1), name="Plan", shop="benchday").to_ical())
    assert str(calendar["version"]) == "2.0"
    assert calendar["prodid"]
    for event in calendar.walk("VEVENT"):
        assert not isinstance(event["uid"], list)
        assert event["dtstamp"].dt == found.now
        assert event["dtend"].dt > event["dtstart"].dt
        for alarm in event.walk("VALARM"):
            assert str(alarm["action"]) == "DISPLAY"
            assert alarm["description"]
            assert alarm["trigger"].dt <= timedelta()


def test_the_stamp_forgets_when_the_file_was_made() -> None:
    tasks = (a_task("glue", 60, started_at=MONDAY), a_task("press", 180, "glue", kind=TaskKind.CLAMP))
    stamps = {
        stamp(calendar_file(found, found.of_job(1), name="Plan", shop="benchday").to_ical())
        for found in (a_plan(*tasks, now=MONDAY + timedelta(seconds=seconds)) for seconds in (1, 40))
    }
    assert len(stamps) == 1


def test_a_running_timer_has_an_alarm_of_its_own_for_the_phone(shop: TestClient, clock: Clock) -> None:
    a_job(shop)
    record(shop, 1, "p1.glue-up-1", started_at=NOW, finished_at=NOW + timedelta(hours=1))
    clock.at = NOW + timedelta(hours=2)
    timer = page_of(shop.get("/today")).css_first(".timer a.button")
    assert timer.attributes["href"] == "/jobs/1/plan/alarm.ics?key=p1.clamp-1"
    (event,) = events(shop, timer.attributes["href"] or "").values()
    assert event["dtstart"].dt == NOW + timedelta(hours=4)
    assert "dtend" not in event
    assert str(event["summary"]) == "Clamps off 12:00: Bar top: in clamps"
    assert alarms(event) == [("START", timedelta(), "Clamps off 12:00")]
    clock.at = NOW + timedelta(hours=5)
    assert shop.get("/jobs/1/plan/alarm.ics?key=p1.clamp-1").status_code == 404
    assert shop.get("/jobs/1/plan/alarm.ics?key=p1.mill").status_code == 404


def test_the_alarm_of_a_window_rings_as_it_opens_and_before_it_closes() -> None:
    second = a_task("Second coat", 40, wait("First coat", hours(4), hours(12)), kind=TaskKind.COAT)
    first = a_task("First coat", 40, kind=TaskKind.COAT, finished_at=at("2026-06-01 08:00"))
    for now, starts, ends, expected in (
        ("08:30", "12:00", "20:00", [("END", hours(-1)), ("START", hours(0))]),
        ("13:00", "20:00", None, [("START", hours(-1)), ("START", hours(0))]),
        ("19:30", "20:00", None, [("START", hours(0))]),
    ):
        found = a_plan(first, second, now=at(f"2026-06-01 {now}"))
        (timer,) = todays_list(found, found.now, found.calendar).timers
        (event,) = Calendar.from_ical(alarm_file(found, timer, shop="benchday").to_ical()).walk("VEVENT")
        assert event["dtstart"].dt == at(f"2026-06-01 {starts}")
        assert ("dtend" in event) == (ends is not None)
        if ends:
            assert event["dtend"].dt == at(f"2026-06-01 {ends}")
        assert [(end, how_far) for end, how_far, _ in alarms(event)] == expected


def test_a_subscriber_needs_no_cookie_and_gets_no_html(shop: TestClient) -> None:
    a_job(shop)
    reply = shop.get("/plan.ics", headers={"Accept": "text/calendar", **HTMX})
    assert "set-cookie" not in reply.headers
    assert reply.text.startswith("BEGIN:VCALENDAR")
