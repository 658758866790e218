"""A write started by another web site is refused; one of our own pages, or of a program, is not.

The rules are those of http.CrossOriginProtection in Go 1.25's standard library.
Source: its documentation, https://pkg.go.dev/net/http#CrossOriginProtection
"""

import pytest
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st
from starlette.datastructures import Headers

from origins import ORIGINS
from webapp.same_site import is_same_site

HOSTS = ("127.0.0.1:8000", "localhost:8000", "localhost", "[::1]:8000", "192.168.1.20:8000", "10.0.0.5")

SITES = {  # what Sec-Fetch-Site says -> whether a write may happen; None: it decides nothing, Origin does
    "same-origin": True,
    "none": True,
    "same-site": False,
    "cross-site": False,
    "anything else": False,
    "": None,
    None: None,
}


@given(
    method=st.sampled_from(["GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE", "post", "ODD"]),
    site=st.sampled_from(list(SITES)),
    origin=st.sampled_from(list(ORIGINS)),
    host=st.sampled_from(HOSTS),
)
def test_the_truth_table(method: str, site: str | None, origin: str | None, host: str) -> None:
    sent = {"host": host}
    if site is not None:
        sent["sec-fetch-site"] = site
    if origin is not None:
        sent["origin"] = origin.format(host)
    verdict = ORIGINS[origin] if SITES[site] is None else SITES[site]
    assert is_same_site(method, Headers(sent)) == (method in ("GET", "HEAD", "OPTIONS") or verdict)


@given(st.text(st.characters(codec="latin-1"), max_size=40))
def test_no_other_origin_passes_or_makes_it_stumble(origin: str) -> None:
    headers = Headers({"host": "127.0.0.1:8000", "origin": origin})
    if "//127.0.0.1:8000" not in origin and origin:
        assert not is_same_site("POST", headers)


@pytest.mark.parametrize(
    "foreign", [{"sec-fetch-site": "cross-site"}, {"origin": "http://evil.example"}, {"origin": "null"}]
)
def test_a_foreign_write_changes_nothing_and_gets_a_page(client: TestClient, foreign: dict[str, str]) -> None:
    reply = client.post("/jobs/new", data={"name": "Planted", "client_name": "Mallory"}, headers=foreign)
    assert reply.status_code == 403
    assert "Another web site asked for this change" in reply.text
    assert "Content-Security-Policy" in reply.headers
    assert "Planted" not in client.get("/").text


def test_a_link_from_another_site_opens_a_page(client: TestClient) -> None:
    assert client.get("/", headers={"sec-fetch-site": "cross-site"}).status_code == 200


def test_our_own_form_and_a_program_without_a_browser_may_write(client: TestClient) -> None:
    for own in ({"sec-fetch-site": "same-origin"}, {"origin": "http://127.0.0.1"}, {}):
        reply = client.post("/jobs/new", data={"name": "Pantry", "client_name": "A"}, headers=own)
        assert reply.status_code == 303
