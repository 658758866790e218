"""A phone gets in when the desk lets it in, and nothing before and after; what it typed is not lost by that."""

import logging
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import APIRouter, FastAPI
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st

from conftest import DESK, NOW, Clock, page_of
from demo_file import filled
from domain.person import Person
from origins import ORIGINS
from store_builders import ask, migrated
from webapp import trouble
from webapp.app import create_app
from webapp.device import OPEN_FILES, is_loopback
from webapp.pairing import TRIES, VALID
from webapp.routes import ROUTERS
from webapp.settings import Settings
from webapp.store.person import add_person

LAN = "192.168.1.20"
BENCH, VAN = ("192.168.1.31", 40_000), ("192.168.1.32", 40_000)
PANTRY = {"name": "Pantry", "client_name": "A. Invented", "notes": "typed with care"}
COOKIE = "benchday_phone"
HTMX = {"HX-Request": "true"}


def a_phone(app: FastAPI, peer: tuple[str, int] = BENCH) -> TestClient:
    """Return a browser on another machine; it keeps its cookies as a browser does."""
    return TestClient(app, base_url=f"http://{LAN}", client=peer, follow_redirects=False)


@pytest.fixture
def app(tmp_path: Path, clock: Clock) -> FastAPI:
    settings = Settings(folder=tmp_path, now=clock, lan=(LAN,))
    migrated(settings.file)
    return create_app(settings)


@pytest.fixture
def at_desk(app: FastAPI) -> Iterator[TestClient]:
    with TestClient(app, base_url="http://127.0.0.1", client=DESK, follow_redirects=False) as desk:
        yield desk


def shown(app: FastAPI, at_desk: TestClient) -> tuple[str, str]:
    """Press “Let a phone in” and return the secret in the QR code and the digits that the desk shows."""
    assert at_desk.post("/shop/devices/invite").status_code == 303
    page = page_of(at_desk.get("/shop/devices"))
    assert page.css_first("svg.qr path.dark") is not None
    return app.state.pairing.standing(app.state.settings.now()).secret, page.css_first("#code").text()


def let_in(app: FastAPI, at_desk: TestClient, phone: TestClient, name: str = "Bench") -> None:
    secret, _ = shown(app, at_desk)
    reply = phone.post("/pair", data={"secret": secret, "name": name})
    assert (reply.status_code, reply.headers["location"]) == (303, "/phone")


def heading(reply: object) -> str:
    return page_of(reply).css_first("h1").text()


def is_asked_to_pair(reply: object) -> bool:
    return heading(reply) == "Let this phone in" and reply.status_code == 403  # type: ignore[attr-defined]


# Before


def every_address(router: APIRouter) -> Iterator[str]:
    """Return an address of every route there is that can be looked at."""
    for route in router.routes:
        if isinstance(route, APIRoute):
            if "GET" in route.methods:
                yield re.sub(r"\{[^}]*\}", "1", route.path)
        else:
            yield from every_address(route.original_router)  # type: ignore[attr-defined]


def test_a_phone_that_is_not_known_sees_nothing_of_any_page(tmp_path: Path) -> None:
    odd = ["/nowhere", "/static/app.js", "/static/css/today.css", "/static/css/../app.js", "//evil.example", "/pair/"]
    addresses = [*(path for router in ROUTERS for path in every_address(router)), *odd]
    assert len(addresses) > 80
    settings = Settings(folder=tmp_path, demo=True, now=Clock(), lan=(LAN,))
    filled(settings.file)
    app = create_app(settings)
    with TestClient(app, base_url="http://127.0.0.1", client=DESK) as at_desk:
        jobs = [cell.text().strip() for cell in page_of(at_desk.get("/")).css("th[scope=row]")]
        assert len(jobs) > 3
        phone = a_phone(app)
        for path in addresses:
            reply = phone.get(f"{path}?done=1&feed=1&key=1")
            assert heading(reply) == "Let this phone in", path
            assert reply.status_code == (200 if path == "/pair" else 403), path
            assert not [name for name in jobs if name in page_of(reply).text()], path
            assert "set-cookie" not in reply.headers
            assert 'href="//' not in reply.text


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "OPTIONS", "HEAD", "ODD"])
def test_it_can_send_nothing_by_any_method(app: FastAPI, at_desk: TestClient, method: str) -> None:
    phone = a_phone(app)
    for path in ("/jobs/new", "/backups", "/shop/devices/invite", "/history/1/undo", "/nowhere", "/pair/first"):
        assert phone.request(method, path, params={"done": "1"}).status_code == 403
    assert app.state.pairing.standing(NOW) is None
    assert "No jobs yet" in at_desk.get("/").text


def test_it_gets_the_few_files_that_the_pairing_page_itself_names(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    page = page_of(phone.get("/today"))
    named = {link.attributes["href"].partition("?")[0] for link in page.css("link")}  # type: ignore[union-attr]
    assert named == OPEN_FILES
    assert {phone.get(name).status_code for name in named} == {200}
    assert page.css("script") == []


def test_no_header_makes_a_phone_the_desk(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    for name in ("X-Forwarded-For", "Forwarded", "X-Real-IP", "X-Client-IP", "X-Forwarded-Host", "Via"):
        assert is_asked_to_pair(
            phone.get("/today", headers={name: "for=127.0.0.1" if name == "Forwarded" else "127.0.0.1"})
        )
    for host in ("127.0.0.1", "localhost", "[::1]"):
        assert is_asked_to_pair(phone.get("/shop/devices", headers={"host": host}))
    for host in ("evil.example", f"{LAN}.evil.example", "192.168.1.21", "0.0.0.0", f"{LAN}:80/static/icon.svg?"):
        assert phone.get("/today", headers={"host": host}).status_code == 400


@pytest.mark.parametrize(
    ("peer", "is_here"),
    [("127.0.0.1", True), ("127.8.0.9", True), ("::1", True), ("192.168.1.20", False), ("0.0.0.0", False),
     ("::ffff:192.168.1.20", False), ("fe80::1", False), ("localhost", False), ("127.0.0.1.evil.example", False),
     ("", False)],
)  # fmt: skip
def test_this_machine_is_known_by_its_address_alone(peer: str, is_here: bool) -> None:
    assert is_loopback({"client": (peer, 1)}) == is_here


def test_a_peer_without_an_address_is_not_this_machine() -> None:
    assert not is_loopback({"client": None})
    assert not is_loopback({})


@given(st.text(max_size=80))
def test_no_made_up_address_is_this_machine(peer: str) -> None:
    assert not is_loopback({"client": (peer, 1)}) or peer.startswith("127.") or "::1" in peer or ":1" in peer


# Letting in


def test_the_square_lets_one_phone_in_and_its_cookie_is_for_this_site_only(app: FastAPI, at_desk: TestClient) -> None:
    secret, _ = shown(app, at_desk)
    phone, other = a_phone(app), a_phone(app, VAN)
    page = page_of(phone.get("/pair", params={"secret": secret}))
    assert page.css_first("input[name=code]") is None
    reply = phone.post("/pair", data={"secret": secret, "name": "Bench"})
    said = reply.headers["set-cookie"]
    name, _, rest = said.partition("=")
    value, *attributes = rest.split("; ")
    assert name == COOKIE
    assert set(attributes) == {"HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=31536000"}
    assert len(value) == 22  # 16 bytes, six bits a letter
    assert phone.get("/today").status_code == 200
    assert "This phone is “Bench”" in phone.get("/phone").text
    assert other.post("/pair", data={"secret": secret}).status_code == 422
    assert is_asked_to_pair(other.get("/today"))
    assert "used up" in other.get("/pair", params={"secret": secret}).text


@pytest.mark.parametrize("space", [" ", "", "-", "  "])
def test_the_code_lets_a_phone_in_however_it_is_spaced(app: FastAPI, at_desk: TestClient, space: str) -> None:
    _, code = shown(app, at_desk)
    assert re.fullmatch(r"\d{4} \d{4}", code)
    phone = a_phone(app)
    assert phone.post("/pair", data={"code": f" {code.replace(' ', space)} "}).status_code == 303
    assert phone.get("/").status_code == 200


def test_a_code_is_over_after_ten_minutes(app: FastAPI, at_desk: TestClient, clock: Clock) -> None:
    secret, code = shown(app, at_desk)
    clock.at = NOW + VALID
    phone = a_phone(app)
    assert phone.post("/pair", data={"secret": secret}).status_code == 422
    reply = phone.post("/pair", data={"code": code})
    assert reply.status_code == 422
    assert "older than ten minutes" in reply.text
    assert page_of(at_desk.get("/shop/devices")).css_first("svg") is None


def test_five_wrong_codes_of_whichever_phones_end_a_code_and_the_next_one_works(
    app: FastAPI, at_desk: TestClient
) -> None:
    _, code = shown(app, at_desk)
    digits = code.replace(" ", "")
    wrong = f"{(int(digits) + 1) % 10**8:08}"
    for number in range(TRIES):
        phone = a_phone(app, (f"192.168.1.{40 + number}", 1))
        reply = phone.post("/pair", data={"code": wrong})
        assert reply.status_code == 422
        assert ("this code is off" in reply.text) == (number == TRIES - 1)
    late = a_phone(app)
    assert "this code is off" in late.post("/pair", data={"code": digits}).text
    assert "typed wrongly five times" in at_desk.get("/shop/devices").text
    _, code = shown(app, at_desk)
    assert late.post("/pair", data={"code": code}).status_code == 303


@pytest.mark.parametrize("typed", ["", "1234", "123456789", "abcdefgh", "１２３４５６７８", "1234 567"])
def test_what_cannot_be_a_code_costs_no_try(app: FastAPI, at_desk: TestClient, typed: str) -> None:
    shown(app, at_desk)
    reply = a_phone(app).post("/pair", data={"code": typed})
    assert reply.status_code == 422
    assert page_of(reply).css_first("#code-problem") is not None
    assert app.state.pairing.standing(NOW).wrong_tries == 0


def test_without_an_invitation_no_code_works_and_a_new_one_ends_the_old(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    assert phone.post("/pair", data={"code": "00000000"}).status_code == 422
    old, _ = shown(app, at_desk)
    new, _ = shown(app, at_desk)
    assert old != new
    assert phone.post("/pair", data={"secret": old}).status_code == 422
    at_desk.post("/shop/devices/stop")
    assert phone.post("/pair", data={"secret": new}).status_code == 422


def test_the_same_press_twice_gives_the_same_phone_once(app: FastAPI, at_desk: TestClient, tmp_path: Path) -> None:
    secret, _ = shown(app, at_desk)
    phone = a_phone(app)
    form_key = page_of(phone.get("/pair")).css_first("input[name=form_key]").attributes["value"]
    pressed = {"secret": secret, "name": "Bench", "form_key": form_key}
    cookies = {phone.post("/pair", data=pressed).headers["set-cookie"]}
    phone.cookies.clear()
    cookies.add(phone.post("/pair", data=pressed).headers["set-cookie"])
    assert len(cookies) == 1
    assert ask(tmp_path / "benchday.sqlite", "SELECT name FROM device") == [("Bench",)]


def test_the_desk_and_a_phone_that_is_in_need_no_pairing_page(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    for path in ("/pair", "/pair/first"):
        assert phone.get(path).headers["location"] == "/phone"
        assert at_desk.get(path).headers["location"] == "/phone"
        assert at_desk.post(path).headers["location"] == "/phone"
    assert at_desk.get("/phone").headers["location"] == "/shop/devices"


# What is typed is not lost


def test_what_a_forgotten_phone_typed_waits_until_it_is_let_in_again(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    typed = {**PANTRY, "notes": "two\nlines & <b>", "tick": ["a", "b"], "form_key": "once"}
    reply = phone.post("/jobs/new?done=1", data=typed)
    assert is_asked_to_pair(reply)
    assert "No jobs yet" in at_desk.get("/").text
    _, code = shown(app, at_desk)
    form = page_of(reply).css_first("form[action='/pair']")
    fields: dict[str, list[str]] = {}
    for field in form.css("input"):
        fields.setdefault(field.attributes["name"] or "", []).append(field.attributes.get("value") or "")
    wrong = phone.post("/pair", data=fields | {"code": "1"})
    assert wrong.text.count("kept:") == len(typed) + 1
    reply = phone.post("/pair", data=fields | {"code": code})
    assert (reply.status_code, heading(reply)) == (200, "This phone is let in")
    again = page_of(reply).css_first("form")
    assert again.attributes["action"] == "/jobs/new"
    sent: dict[str, list[str]] = {}
    for field in again.css("input"):
        sent.setdefault(field.attributes["name"] or "", []).append(field.attributes["value"] or "")
    assert sent == {name: text if isinstance(text, list) else [text] for name, text in typed.items()}
    assert phone.post("/jobs/new", data=sent).status_code == 303
    assert "Pantry" in at_desk.get("/").text


def test_after_pairing_the_page_that_was_asked_for_opens(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    then = page_of(phone.get("/jobs/1/plan?x=1")).css_first("input[name=then]").attributes["value"]
    secret, _ = shown(app, at_desk)
    assert phone.post("/pair", data={"secret": secret, "then": then}).headers["location"] == "/jobs/1/plan?x=1"


@pytest.mark.parametrize("then", ["//evil.example", "https://evil.example", "/\\evil.example", ""])
def test_pairing_leads_to_no_other_site(app: FastAPI, at_desk: TestClient, then: str) -> None:
    secret, _ = shown(app, at_desk)
    assert a_phone(app).post("/pair", data={"secret": secret, "then": then}).headers["location"] == "/phone"


def test_a_page_that_htmx_is_changing_stays_with_what_is_typed_on_it(app: FastAPI, at_desk: TestClient) -> None:
    reply = a_phone(app).post("/jobs/1/edit", data=PANTRY, headers=HTMX)
    assert reply.status_code == 403
    assert reply.headers["HX-Reswap"] == "none"
    assert page_of(reply).css_first("#done a").attributes["href"] == "/pair"


def test_too_much_or_odd_from_a_stranger_is_refused_without_a_word_of_the_shop(
    app: FastAPI, at_desk: TestClient
) -> None:
    at_desk.post("/jobs/new", data=PANTRY)
    phone = a_phone(app)
    for path in ("/jobs/1/edit", "/pair"):
        reply = phone.post(path, params={"done": "1"}, data={"notes": "x" * 2_500_000})
        assert reply.status_code == 413
        assert "Pantry" not in reply.text
        assert page_of(reply).css("nav") == []
    many = phone.post("/pair?done=1", data={f"f{number}": "" for number in range(2000)})
    assert many.status_code == 400
    assert "Pantry" not in many.text


# What a phone may do, and until when


def test_a_phone_does_the_work_of_the_bench_and_the_desk_decides(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    assert phone.post("/jobs/new", data=PANTRY).status_code == 303
    for path in ("/", "/today", "/jobs/1", "/jobs/1/take-off", "/history", "/static/app.js", "/health"):
        assert phone.get(path).status_code == 200, path
    for path in ("/backups", "/backups/x.sqlite", "/export.zip", "/import", "/shop/devices/waiting"):
        reply = phone.get(path)
        assert (reply.status_code, heading(reply)) == (403, "Only at the desk"), path
    for path in ("/backups", "/backups/x/restore", "/import", "/shop/devices/invite", "/shop/devices/1/forget",
                 "/shop/devices/1/name", "/shop/devices"):  # fmt: skip
        assert phone.post(path, data={"form_key": "k"}).status_code == 403, path
    assert phone.get("/shop/devices").headers["location"] == "/phone"
    assert "Bench" in at_desk.get("/shop/devices").text


def test_a_forgotten_phone_gets_nothing_from_its_next_tap_on_until_the_desk_lets_it_in_again(
    app: FastAPI, at_desk: TestClient
) -> None:
    phone, other = a_phone(app), a_phone(app, VAN)
    let_in(app, at_desk, phone)
    let_in(app, at_desk, other, "Van")
    assert at_desk.post("/shop/devices/1/forget").status_code == 303
    assert is_asked_to_pair(phone.get("/today"))
    assert is_asked_to_pair(phone.post("/jobs/new", data=PANTRY))
    assert other.get("/today").status_code == 200
    at_desk.post("/shop/devices/1/again")
    assert phone.get("/today").status_code == 200


def test_a_restart_keeps_the_phones_and_ends_the_invitation(tmp_path: Path, clock: Clock) -> None:
    settings = Settings(folder=tmp_path, now=clock, lan=(LAN,))
    app = create_app(settings)
    phone = a_phone(app)
    with TestClient(app, base_url="http://127.0.0.1", client=DESK, follow_redirects=False) as at_desk:
        let_in(app, at_desk, phone)
        secret, _ = shown(app, at_desk)
    app = create_app(settings)
    after = a_phone(app)
    after.cookies = phone.cookies
    with TestClient(app, base_url="http://127.0.0.1", client=DESK):
        assert after.get("/today").status_code == 200
        assert a_phone(app, VAN).post("/pair", data={"secret": secret}).status_code == 422


def test_a_cookie_that_is_not_just_what_was_given_opens_nothing(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    token = phone.cookies[COOKIE]
    (stored,) = ask(app.state.database.path, "SELECT token FROM device")[0]
    for odd in ("", token[:-1], token + "x", token.swapcase(), str(stored), "x" * 5000, "é", "' OR 1=1 --"):
        stranger = a_phone(app)
        assert is_asked_to_pair(stranger.get("/today", headers={"cookie": f"{COOKIE}={odd}".encode()})), odd
    assert is_asked_to_pair(a_phone(app).get("/today", headers={"cookie": f"benchday_demo_phone={token}"}))


def test_that_a_phone_is_in_use_is_noted_once_an_hour_with_its_cookie_and_never_in_the_history(
    app: FastAPI, at_desk: TestClient, clock: Clock
) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    token = phone.cookies[COOKIE]
    seen = []
    for minutes in (1, 59, 60, 61, 119, 120):
        clock.at = NOW.replace(hour=14 + minutes // 60, minute=minutes % 60)
        reply = phone.get("/today")
        seen.append("set-cookie" in reply.headers)
        (told,) = ask(app.state.database.path, "SELECT seen_at FROM device")[0]
        assert str(told).startswith(f"{clock.at:%Y-%m-%d %H:%M}") == seen[-1] or minutes == 0
    assert seen == [False, False, True, False, False, True]
    assert phone.cookies[COOKIE] == token
    assert ask(app.state.database.path, "SELECT count(*) FROM action") == [(0,)]


def test_a_clock_that_was_set_back_notes_a_phone_again(app: FastAPI, at_desk: TestClient, clock: Clock) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    clock.at = NOW.replace(hour=9)
    assert "set-cookie" in phone.get("/today").headers
    assert "set-cookie" not in phone.get("/today").headers


@pytest.mark.parametrize("origin", list(ORIGINS))
def test_a_write_that_another_site_started_is_refused_on_plain_http_too(
    app: FastAPI, at_desk: TestClient, origin: str | None
) -> None:
    """A page that came over plain http has no Sec-Fetch-Site, so Origin decides."""
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    for host in (LAN, f"{LAN}:8000"):
        headers = {"host": host} | ({} if origin is None else {"origin": origin.format(host)})
        assert phone.post("/jobs/new", data=PANTRY, headers=headers).status_code == (303 if ORIGINS[origin] else 403)


# Calendars


def test_a_calendar_address_of_a_phone_opens_calendars_only_and_stops_with_the_phone(
    app: FastAPI, at_desk: TestClient
) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    address = page_of(phone.get("/phone")).css_first(".feed").text()
    assert address.startswith(f"http://{LAN}/plan.ics?feed=")
    query = address.partition("?")[2]
    calendar = a_phone(app)  # a calendar program has no cookie
    in_browser, subscribed = phone.get("/plan.ics"), calendar.get(f"/plan.ics?{query}")
    assert subscribed.status_code == in_browser.status_code != 403
    assert calendar.get("/jobs/7/plan.ics?" + query).status_code == 404
    for path in ("/", "/today", "/jobs/1", "/plan.ics.html", "/shop/devices", "/export.zip"):
        assert is_asked_to_pair(calendar.get(f"{path}?{query}")), path
    assert is_asked_to_pair(calendar.post(f"/plan.ics?{query}"))
    for other in ("feed=", f"{query}0", query[:-1], f"feed={phone.cookies[COOKIE]}", f"key={query[5:]}", "feed=é"):
        assert is_asked_to_pair(calendar.get(f"/plan.ics?{other}")), other
    at_desk.post("/shop/devices/1/forget")
    assert is_asked_to_pair(calendar.get(f"/plan.ics?{query}"))


def test_each_person_has_a_calendar_of_their_own_to_subscribe_to(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone)
    with app.state.database.write("Person added", at=NOW) as db:
        person_id = add_person(db, Person(0, "Robin"))
    feeds = [feed.text() for feed in page_of(phone.get("/phone")).css(".feed")]
    assert len(feeds) == 2
    assert f"http://{LAN}/people/{person_id}/plan.ics?feed=" in feeds[1]
    subscribe = [link.attributes["href"] for link in page_of(phone.get("/phone")).css("a[href^='webcal:']")]
    assert subscribe == [address.replace("http:", "webcal:") for address in feeds]


def test_a_calendar_key_is_a_phones_own_and_leads_back_to_nothing(app: FastAPI, at_desk: TestClient) -> None:
    keys = set()
    for peer in (BENCH, VAN):
        phone = a_phone(app, peer)
        let_in(app, at_desk, phone)
        key = page_of(phone.get("/phone")).css_first(".feed").text().partition("feed=")[2]
        assert len(key) * 4 == 128
        assert key not in str(ask(app.state.database.path, "SELECT * FROM device"))
        keys.add(key)
    assert len(keys) == 2


# At the desk


def test_phones_are_named_at_the_desk(app: FastAPI, at_desk: TestClient) -> None:
    phone = a_phone(app)
    let_in(app, at_desk, phone, "")
    assert "This phone is “Phone”" in phone.get("/phone").text
    assert at_desk.post("/shop/devices/1/name", data={"name-1": "Bench <b>"}).status_code == 303
    assert "This phone is “Bench <b>”" in page_of(phone.get("/phone")).css_first("h1").text()
    wrong = at_desk.post("/shop/devices/1/name", data={"name-1": " "})
    assert wrong.status_code == 422
    assert page_of(wrong).css_first("#name-1-problem") is not None
    assert at_desk.post("/shop/devices/9/name", data={"name-9": "x"}).status_code == 404
    assert at_desk.post("/shop/devices/9/forget").status_code == 404
    assert at_desk.post("/shop/devices/9/again").status_code == 404


def test_the_desk_sees_the_phone_come(app: FastAPI, at_desk: TestClient) -> None:
    waiting = page_of(at_desk.get("/shop/devices/waiting"))
    assert "over" in waiting.css_first("#waiting").text()
    secret, _ = shown(app, at_desk)
    waiting = page_of(at_desk.get("/shop/devices/waiting")).css_first("#waiting")
    assert waiting.attributes["hx-trigger"] == "every 3s"
    a_phone(app).post("/pair", data={"secret": secret, "name": "Bench"})
    waiting = page_of(at_desk.get("/shop/devices/waiting")).css_first("#waiting")
    assert "“Bench” is let in" in waiting.text()
    assert "hx-trigger" not in waiting.attributes
    assert "within the last hour" in at_desk.get("/shop/devices").text


def test_when_phones_are_off_the_page_says_how_to_start_and_shows_no_code(client: TestClient) -> None:
    assert client.post("/shop/devices/invite").status_code == 303
    page = page_of(client.get("/shop/devices"))
    assert "--lan" in page.css_first("main").text()
    assert page.css_first("svg") is None
    assert page.css_first("#code") is None


def test_with_phones_off_another_machine_gets_nothing_all_the_same(client: TestClient) -> None:
    phone = TestClient(client.app, base_url="http://127.0.0.1", client=BENCH)
    assert is_asked_to_pair(phone.get("/today"))


def test_no_secret_reaches_the_log_or_the_file(
    app: FastAPI, at_desk: TestClient, caplog: pytest.LogCaptureFixture, tmp_path: Path
) -> None:
    with caplog.at_level(logging.DEBUG):
        secret, code = shown(app, at_desk)
        phone = a_phone(app)
        phone.get("/pair", params={"secret": secret})
        phone.post("/pair", data={"code": "12345678"})
        phone.post("/pair", data={"secret": secret})
        phone.get("/today")
    token = phone.cookies[COOKIE]
    written = "".join(record.getMessage() for record in caplog.records if not record.name.startswith("httpx"))
    stored = "".join(file.read_bytes().decode("latin-1") for file in tmp_path.glob("benchday.sqlite*"))
    for hidden in (secret, code, code.replace(" ", ""), token):
        assert hidden not in written
        assert hidden not in stored
        assert hidden not in repr(app.state.pairing.standing(NOW))


def test_damaged_data_is_told_and_restored_at_the_desk_only(tmp_path: Path) -> None:
    app = trouble.create_app(Settings(folder=tmp_path, lan=(LAN,)), "damaged", restored=lambda: None)
    phone = TestClient(app, base_url=f"http://{LAN}", client=BENCH)
    for path in ("/", "/static/app.js", "/health"):
        reply = phone.get(path)
        assert (reply.status_code, heading(reply)) == (403, "Go to the desk")
    assert phone.post("/restore-in-trouble", data={"name": "x"}).status_code == 403
    assert TestClient(app, base_url="http://127.0.0.1", client=DESK).get("/").status_code == 503
