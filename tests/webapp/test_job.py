from datetime import timedelta

from fastapi.testclient import TestClient

from conftest import NOW, Clock, page_of

PANTRY = {"name": "Pantry", "client_name": "A. Invented", "promised_on": "2026-07-01"}


def test_an_empty_shop_says_how_to_start(client: TestClient) -> None:
    page = page_of(client.get("/"))
    assert "No jobs yet" in page.css_first(".empty").text()
    assert page.css_first(".empty a").attributes["href"] == "/jobs/new"


def test_a_job_is_added_found_and_shown(client: TestClient) -> None:
    added = client.post("/jobs/new", data=PANTRY)
    assert added.status_code == 303
    assert "Pantry" in page_of(client.get(added.headers["location"])).css_first("h1").text()
    assert "Pantry" in client.get("/", params={"words": "invented pantry"}).text
    assert "No job holds" in client.get("/", params={"words": "attic"}).text


def test_a_form_pressed_twice_counts_once(client: TestClient) -> None:
    first = client.post("/jobs/new", data=PANTRY | {"form_key": "one"})
    second = client.post("/jobs/new", data=PANTRY | {"form_key": "one"})
    assert second.status_code == 303
    assert first.headers["location"].startswith(second.headers["location"])
    assert client.get("/").text.count("A. Invented") == 1


def test_a_missing_name_and_a_day_that_is_none_are_said_with_what_was_typed_kept(client: TestClient) -> None:
    reply = client.post("/jobs/new", data={"name": "", "client_name": "B", "promised_on": "2026-02-30"})
    assert reply.status_code == 422
    page = page_of(reply)
    assert "2026-02-30" in page.css_first("#promised_on-problem").text()
    assert page.css_first("#name").attributes["aria-invalid"] == "true"
    assert page.css_first("#client_name").attributes["value"] == "B"


def test_the_second_of_two_tabs_is_told_and_sees_both(client: TestClient) -> None:
    client.post("/jobs/new", data=PANTRY)
    assert client.post("/jobs/1/edit", data=PANTRY | {"name": "Larder", "version": "1"}).status_code == 303
    reply = client.post("/jobs/1/edit", data=PANTRY | {"name": "Scullery", "version": "1"})
    assert reply.status_code == 409
    assert "Scullery" in reply.text
    assert "Larder" in reply.text
    again = {
        node.attributes["name"]: node.attributes.get("value") or node.text()
        for node in page_of(reply).css("form.actions [name]")
    }
    assert client.post("/jobs/1/edit", data=again).status_code == 303
    assert "Scullery" in client.get("/jobs/1").text


def test_a_removed_job_comes_back_by_undo(client: TestClient) -> None:
    client.post("/jobs/new", data=PANTRY)
    client.post("/jobs/1/remove")
    assert client.get("/jobs/1").status_code == 404
    action = page_of(client.get("/history")).css_first("form").attributes["action"]
    assert client.post(action, data={"back": "/"}).status_code == 303
    assert client.get("/jobs/1").status_code == 200


def test_undo_of_what_changed_since_is_refused_in_words(client: TestClient) -> None:
    client.post("/jobs/new", data=PANTRY)
    client.post("/jobs/1/edit", data=PANTRY | {"name": "Larder", "version": "1"})
    reply = client.post("/history/1/undo", data={})
    assert reply.status_code == 409
    assert "changed again since" in reply.text


def test_undo_leads_nowhere_else(client: TestClient) -> None:
    client.post("/jobs/new", data=PANTRY)
    reply = client.post("/history/1/undo", data={"back": "//elsewhere.example/"})
    assert reply.headers["location"].startswith("/history")


def test_undoing_an_added_job_from_its_own_page_leads_to_the_jobs(client: TestClient) -> None:
    client.post("/jobs/new", data=PANTRY)
    address = client.post("/history/1/undo", data={"back": "/jobs/1"}).headers["location"]
    for _ in range(2):  # up from the job that is gone, through an address that is none, to the list of jobs
        address = client.get(address).headers["location"]
    assert address.startswith("/?done=")
    assert client.get(address).status_code == 200
    assert client.get("/nothing?done=1").headers["location"] == "/?done=1"
    assert client.get("/nothing").status_code == 404
    for elsewhere in (
        "//elsewhere.example/x?done=1",
        "/%2F/elsewhere.example/x?done=1",
    ):
        assert client.get(f"http://127.0.0.1{elsewhere}").headers["location"] == "/?done=1"


def test_how_much_a_late_finish_hurts_is_as_usual_until_it_is_said(client: TestClient) -> None:
    client.post("/jobs/new", data=PANTRY)
    page = page_of(client.get("/jobs/1/edit"))
    assert page.css_first("#matters option[selected]").attributes["value"] == "as usual"
    assert client.post("/jobs/1/edit", data=PANTRY | {"matters": "most", "version": "1"}).status_code == 303
    assert "most of all" in client.get("/jobs/1").text
    reply = client.post("/jobs/1/edit", data=PANTRY | {"matters": "a lot", "version": "2"})
    assert reply.status_code == 422
    assert "is not one of: as usual, more, most" in page_of(reply).css_first("#matters-problem").text()


def test_a_promise_whose_day_is_over_is_allowed_and_said_until_the_job_is_built(
    client: TestClient, clock: Clock
) -> None:
    assert client.post("/jobs/new", data=PANTRY | {"promised_on": "2026-05-29"}).status_code == 303
    words = "Promised Fri 29 May, which is over: every plan is late now."
    for path in ("/jobs/1", "/jobs/1/edit"):
        assert words in page_of(client.get(path)).css_first("#promise-over").text()
    client.post("/jobs/1/edit", data=PANTRY | {"promised_on": "2026-06-01", "version": "1"})
    assert page_of(client.get("/jobs/1")).css_first("#promise-over") is None
    clock.at = NOW + timedelta(days=1)
    assert page_of(client.get("/jobs/1")).css_first("#promise-over") is not None
    built = PANTRY | {"promised_on": "2026-06-01", "state": "installed", "version": "2"}
    client.post("/jobs/1/edit", data=built)
    assert page_of(client.get("/jobs/1")).css_first("#promise-over") is None
