"""The search beside the pages: what it finds is kept at once, and nothing that happens meanwhile is lost by it."""

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from threading import enumerate as threads

import pytest
from fastapi.testclient import TestClient

from conftest import DESK, Clock, page_of
from domain.layout.shape import Layout, Progress
from domain.search import Search, SearchState, is_better, progress_words
from layout_shop import (
    OAK,
    PANELS,
    RAILS,
    WAIT,
    Led,
    add_job,
    database_of,
    lead,
    material_plan,
    plan_of,
    put,
    until,
    with_fewer_boards,
)
from webapp.app import create_app
from webapp.search import Searcher
from webapp.settings import Settings
from webapp.store.history import load_actions
from webapp.store.layout import load_layouts_of


def kept(client: TestClient, job_id: int = 1) -> dict[str, Layout]:
    with database_of(client).read() as db:
        return dict(load_layouts_of(db, [job_id])[job_id])


def state(searcher: Searcher, job_id: int = 1) -> SearchState:
    return searcher.of(job_id)[OAK.key].state


def is_searching() -> bool:
    return any(thread.name == "search" for thread in threads())


def test_the_best_is_kept_as_soon_as_it_is_found(client: TestClient) -> None:
    add_job(client, RAILS)
    led = Led()
    searcher = lead(client, led)
    (before,) = material_plan(client).rounds
    client.post("/jobs/1/layout/search")
    assert led.found.wait(WAIT)
    assert len(kept(client)[before.fingerprint].laid) == len(before.layout.laid) - 1
    assert not kept(client)[before.fingerprint].improved
    led.go_on.set()
    until(lambda: state(searcher) is SearchState.DONE)
    assert kept(client)[before.fingerprint].improved
    until(lambda: not is_searching())


def test_pages_are_answered_and_things_are_stored_while_it_searches(client: TestClient) -> None:
    add_job(client, RAILS)
    led = Led()
    lead(client, led)
    client.post("/jobs/1/layout/search")
    assert led.found.wait(WAIT)
    assert client.get("/jobs/1/take-off").status_code == 200
    assert client.post("/jobs/new", data={"name": "Other", "client_name": "B. Invented"}).status_code == 303
    page = page_of(client.get("/jobs/1/layout"))
    words = page.css_first("#search li").text()
    assert "searching, 40 %" in words
    boards = len(led.asked[0].laid)
    assert f"{boards - 1} boards, was {boards}" in words
    assert page.css_first("#search progress").attributes["value"] == "40"


def test_the_page_asks_again_each_second_only_while_it_searches(client: TestClient) -> None:
    add_job(client, RAILS)
    led = Led()
    searcher = lead(client, led)
    assert "hx-trigger" not in page_of(client.get("/jobs/1/layout")).css_first("#search").attributes
    client.post("/jobs/1/layout/search")
    assert led.found.wait(WAIT)
    asking = page_of(client.get("/jobs/1/layout")).css_first("#search")
    assert asking.attributes["hx-trigger"] == "every 1s"
    htmx = {"HX-Request": "true"}
    while_searching = page_of(client.get(asking.attributes["hx-get"] or "", headers=htmx))
    assert while_searching.css("#search[hx-get]")
    assert not while_searching.css("#materials")
    led.go_on.set()
    until(lambda: state(searcher) is SearchState.DONE)
    after = page_of(client.get("/jobs/1/layout/search", headers=htmx))
    assert after.css("#search")
    assert not after.css("#search[hx-get]")
    assert after.css("#materials")


def test_a_search_that_ends_while_its_page_is_made_is_told_with_what_it_found(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    add_job(client, RAILS)
    led = Led()
    searcher = lead(client, led)
    client.post("/jobs/1/layout/search")
    assert led.found.wait(WAIT)
    real = searcher.of

    def of(job_id: int) -> Mapping[str, Search]:
        led.go_on.set()
        until(lambda: real(job_id)[OAK.key].state is SearchState.DONE)
        return real(job_id)

    monkeypatch.setattr(searcher, "of", of)
    page = page_of(client.get("/jobs/1/layout"))
    assert "Nothing left to look for" in page.css_first("#search").text()
    assert not page.css("#search button")


def test_stopping_keeps_the_best_so_far_and_one_can_search_again(client: TestClient) -> None:
    add_job(client, RAILS)
    led = Led()
    searcher = lead(client, led)
    (before,) = material_plan(client).rounds
    client.post("/jobs/1/layout/search")
    assert led.found.wait(WAIT)
    assert client.post("/jobs/1/layout/search/stop").headers["location"] == "/jobs/1/layout#search"
    assert state(searcher) is SearchState.STOPPED
    until(lambda: not is_searching())
    assert len(material_plan(client).rounds[0].layout.laid) == len(before.layout.laid) - 1
    led.go_on.set()
    client.post("/jobs/1/layout/search")
    until(lambda: state(searcher) is SearchState.DONE)
    assert len(led.asked[1].laid) == len(before.layout.laid) - 1, "it goes on from the best"


def test_a_server_that_stops_meanwhile_loses_nothing_and_leaves_no_thread(tmp_path: object) -> None:
    settings = Settings(folder=tmp_path, now=Clock())  # type: ignore[arg-type]
    with TestClient(create_app(settings), base_url="http://127.0.0.1", client=DESK, follow_redirects=False) as client:
        add_job(client, RAILS)
        led = Led()
        lead(client, led)
        (before,) = material_plan(client).rounds
        client.post("/jobs/1/layout/search")
        assert led.found.wait(WAIT)
    assert not is_searching()
    with TestClient(create_app(settings), base_url="http://127.0.0.1", client=DESK, follow_redirects=False) as again:
        (after,) = material_plan(again).rounds
        assert after.fingerprint == before.fingerprint
        assert len(after.layout.laid) == len(before.layout.laid) - 1
        assert "Look for better layouts" in again.get("/jobs/1/layout").text


def test_a_job_that_is_removed_meanwhile_ends_its_search_quietly(client: TestClient) -> None:
    add_job(client, RAILS)
    led = Led()
    searcher = lead(client, led)
    client.post("/jobs/1/layout/search")
    assert led.found.wait(WAIT)
    with database_of(client).read() as db:
        done = [action.id for action in load_actions(db)]
    for action in done:
        client.post(f"/history/{action}/undo", data={"back": "/"})
    assert client.get("/jobs/1").status_code == 404
    led.go_on.set()
    until(lambda: state(searcher) is not SearchState.SEARCHING)
    until(lambda: not is_searching())
    assert state(searcher) in (SearchState.STOPPED, SearchState.DONE)


def test_parts_that_change_meanwhile_get_their_own_layout_and_the_found_one_its_own_question(
    client: TestClient,
) -> None:
    add_job(client, RAILS)
    led = Led()
    searcher = lead(client, led)
    (before,) = material_plan(client).rounds
    client.post("/jobs/1/layout/search")
    assert led.found.wait(WAIT)
    put(client, 1, "Cleat, 3, 3/4, 2, 19, White oak")
    led.go_on.set()
    until(lambda: state(searcher) is SearchState.DONE)
    (after,) = material_plan(client).rounds
    assert after.fingerprint != before.fingerprint
    assert not after.layout.improved
    assert sum(len(laid.places) for laid in after.layout.laid) == 7 + 5 + 3
    assert set(kept(client)) == {before.fingerprint}
    page = page_of(client.get("/jobs/1/layout")).css_first("#search").text()
    assert "searched through" not in page, "that was said of other parts"
    assert "Look for better layouts" in page


def breaks_off(start: Layout, *, stop: Callable[[], bool]) -> Iterator[Progress]:
    yield Progress(with_fewer_boards(start), Fraction(1, 2))
    raise RuntimeError("a solver that gave up")


def test_a_search_that_breaks_off_says_so_and_keeps_what_it_had(client: TestClient) -> None:
    add_job(client, RAILS)
    searcher = lead(client, breaks_off)
    boards = len(material_plan(client).rounds[0].layout.laid)
    client.post("/jobs/1/layout/search")
    until(lambda: state(searcher) is SearchState.FAILED)
    assert len(material_plan(client).rounds[0].layout.laid) == boards - 1
    assert "broke off, best so far kept" in client.get("/jobs/1/layout").text


def test_what_is_found_is_no_deed_of_anybody(client: TestClient) -> None:
    add_job(client, RAILS)
    led = Led()
    searcher = lead(client, led)
    with database_of(client).read() as db:
        before = load_actions(db)
    led.go_on.set()
    client.post("/jobs/1/layout/search")
    until(lambda: state(searcher) is SearchState.DONE)
    with database_of(client).read() as db:
        assert load_actions(db) == before


def test_materials_of_all_jobs_wait_their_turn_in_one_thread(client: TestClient) -> None:
    add_job(client, RAILS)
    add_job(client, RAILS.replace("41", "43"), "Larder")
    led = Led()
    searcher = lead(client, led)
    client.post("/jobs/1/layout/search")
    client.post("/jobs/2/layout/search")
    assert led.found.wait(WAIT)
    assert state(searcher, 2) is SearchState.WAITING
    assert sum(thread.name == "search" for thread in threads()) == 1
    led.go_on.set()
    until(lambda: state(searcher, 2) is SearchState.DONE)
    assert len(led.asked) == 2


def test_the_real_search_never_beats_the_bound_and_ends(client: TestClient) -> None:
    add_job(client, f"{RAILS}\n{PANELS}")
    before = plan_of(client)
    client.post("/jobs/1/layout/search")
    searcher: Searcher = client.app.state.searcher  # type: ignore[attr-defined]
    until(lambda: not any(one.is_under_way for one in searcher.of(1).values()))
    after = plan_of(client)
    assert all(one.is_improved for one in after.materials)
    for old, new in zip(before.materials, after.materials, strict=True):
        for was, each in zip(old.rounds, new.rounds, strict=True):
            assert each.layout.bound.cost <= each.layout.cost <= was.layout.cost
    assert "Nothing left to look for" in client.get("/jobs/1/layout").text


def test_a_worse_layout_never_takes_the_place_of_a_better_one(client: TestClient) -> None:
    add_job(client, RAILS)
    layout = material_plan(client).rounds[0].layout
    assert is_better(with_fewer_boards(layout), layout)
    assert not is_better(layout, with_fewer_boards(layout))
    assert not is_better(layout, layout)


def test_progress_is_said_against_what_it_began_with(client: TestClient) -> None:
    add_job(client, RAILS)
    layout = material_plan(client).rounds[0].layout
    many, least = len(layout.laid), max(layout.bound.count, 1)
    fewest = f"no layout needs fewer than {least} board{'s' if least > 1 else ''}"
    assert progress_words(layout, layout, OAK) == f"{many} boards; {fewest}"
    better = progress_words(with_fewer_boards(layout), layout, OAK)
    assert better.startswith(f"{many - 1} boards, was {many}, ")
    assert better.endswith(fewest)
