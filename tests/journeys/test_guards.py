"""What only a real browser shows: another site cannot write here, and a form pressed again counts once."""

from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

import httpx
import pytest
from playwright.sync_api import Browser, Page, Route, expect

from journeys.conftest import open_page
from server import Server, serving


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("guarded"), ready=True) as server:
        yield server


@contextmanager
def another_site(html: str) -> Iterator[str]:
    """Serve a page from another port of this machine: the same host, another origin."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(html.encode())

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def planting(address: str) -> str:
    return f"""<form method="post" action="{address}/jobs/new">
        <input name="name" value="Planted"><input name="client_name" value="Mallory"><button>Win</button></form>
        <iframe src="{address}/"></iframe>"""


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost"])
def test_a_page_of_another_site_can_neither_write_nor_frame(browser: Browser, shop: Server, host: str) -> None:
    with another_site(planting(shop.address)) as other:
        page = open_page(browser)
        page.goto(other.replace("127.0.0.1", host))
        framed = page.frames[1]
        assert "Benchday" not in framed.content()
        page.get_by_role("button", name="Win").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Nothing was changed")
        page.context.close()
    assert "Planted" not in httpx.get(shop.address).text


def test_three_quick_clicks_on_save_save_once(browser: Browser, shop: Server) -> None:
    page = new_job(browser, shop, "Pantry")
    page.get_by_role("button", name="Save").click(click_count=3, delay=1)
    expect(page.get_by_role("heading", level=1)).to_contain_text("Pantry")
    page.context.close()
    assert jobs_named(shop, "Pantry") == 1


def test_a_save_that_did_not_arrive_can_be_sent_again_and_counts_once(browser: Browser, shop: Server) -> None:
    """The reply is lost on the way (204 leaves the browser where it was); the person presses Save again."""
    page = new_job(browser, shop, "Larder")

    def lose_the_reply(route: Route) -> None:
        route.fetch(max_redirects=0)
        route.fulfill(status=204)

    page.route("**/jobs/new", lose_the_reply, times=1)
    with page.expect_response("**/jobs/new"):
        page.get_by_role("button", name="Save").click()
    assert jobs_named(shop, "Larder") == 1
    expect(page.get_by_label("Client", exact=True)).to_have_value("A. Invented")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Larder")
    page.context.close()
    assert jobs_named(shop, "Larder") == 1


def jobs_named(server: Server, name: str) -> int:
    return httpx.get(server.address, params={"words": name}).text.count('<th scope="row">')


def new_job(browser: Browser, server: Server, name: str) -> Page:
    page = open_page(browser)
    page.goto(f"{server.address}/jobs/new")
    page.get_by_label("Job", exact=True).fill(name)
    page.get_by_label("Client", exact=True).fill("A. Invented")
    return page
