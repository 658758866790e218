"""What keeps the shop's data to the shop: hosts, headers, limits, no foreign markup, no script from anywhere."""

import ast
import hashlib
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from conftest import page_of
from webapp import render
from webapp.app import LARGEST_FORM
from webapp.places import STATIC, TEMPLATES
from webapp.same_site import HEADERS

ROOT = Path(__file__).parents[2]
PANTRY = {"name": "Pantry", "client_name": "A. Invented"}


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1", 200),
        ("127.0.0.1:8000", 200),
        ("localhost", 200),
        ("LOCALHOST:80", 200),
        ("[::1]:8000", 200),
        ("evil.example", 400),
        ("localhost.evil.example", 400),
        ("127.0.0.1.evil.example", 400),
        ("evil.example:8000", 400),
        ("127.0.0.1@evil.example", 400),
        ("0.0.0.0:8000", 400),
        ("192.168.1.20:8000", 400),
        ("", 400),
    ],
)
def test_only_names_of_this_machine_are_answered(client: TestClient, host: str, status: int) -> None:
    """Else a page of another site could have its name point here, and read."""
    assert client.get("/", headers={"host": host}).status_code == status


def replies(client: TestClient) -> Iterator[tuple[str, dict[str, str]]]:
    """Return the headers of a reply of every kind there is."""
    stamp = {"if-none-match": client.get("/static/app.js").headers["etag"]}
    asked = {
        "page": client.get("/"),
        "redirect": client.post("/jobs/new", data=PANTRY),
        "file": client.get("/static/app.js"),
        "not changed": client.get("/static/app.js", headers=stamp),
        "head": client.head("/static/app.js"),
        "health": client.get("/health"),
        "not there": client.get("/nowhere"),
        "no such file": client.get("/static/nowhere.js"),
        "not for that": client.delete("/"),
        "typed wrongly": client.post("/jobs/new", data={}),
        "changed meanwhile": client.post("/jobs/1/edit", data=PANTRY | {"version": "7"}),
        "foreign host": client.get("/", headers={"host": "evil.example"}),
        "foreign site": client.post("/jobs/new", headers={"origin": "http://evil.example"}),
        "too large": client.post("/jobs/new", data={"name": "x" * (LARGEST_FORM + 1)}),
        "fragment": client.post("/jobs/7/edit", data=PANTRY, headers={"HX-Request": "true"}),
        "pressed again": client.post("/backups", data={"form_key": "k"}),
    }  # fmt: skip
    for what, reply in asked.items():
        yield f"{what} {reply.status_code}", dict(reply.headers)


def test_every_kind_of_reply_carries_the_guarding_headers(client: TestClient) -> None:
    statuses = set()
    for what, headers in replies(client):
        for name, value in HEADERS.items():
            assert headers.get(name.lower()) == value, f"{what}: {name}"
        assert "HX-Request" in headers["vary"], what
        assert headers["cache-control"] == "no-cache", what
        assert "server" not in headers
        assert "set-cookie" not in headers
        statuses.add(what.split()[-1])
    assert {"200", "303", "304", "400", "403", "404", "405", "409", "413", "422"} <= statuses


def test_the_policy_allows_our_own_scripts_and_styles_only() -> None:
    policy = dict(part.split(" ", 1) for part in HEADERS["Content-Security-Policy"].split("; "))
    assert policy["script-src"] == policy["style-src"] == policy["default-src"] == policy["form-action"] == "'self'"
    assert policy["object-src"] == policy["base-uri"] == policy["frame-ancestors"] == "'none'"
    assert "unsafe" not in HEADERS["Content-Security-Policy"]


@pytest.mark.parametrize("path", ["/docs", "/redoc", "/openapi.json", "/docs/oauth2-redirect"])
def test_there_are_no_api_pages(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    "path",
    ["/static/../pyproject.toml", "/static/%2e%2e/pyproject.toml", "/static/..%2fpyproject.toml", "/static//etc/passwd",
     "/static/css/../../webapp/app.py", "/static/", "/static/css"],
)  # fmt: skip
def test_nothing_but_static_files_is_served_as_a_file(client: TestClient, path: str) -> None:
    reply = client.get(path)
    assert reply.status_code == 404
    assert "build-system" not in reply.text


def test_too_much_at_once_gets_a_page_and_saves_nothing(client: TestClient) -> None:
    reply = client.post("/jobs/new", data=PANTRY | {"notes": "x" * LARGEST_FORM})
    assert reply.status_code == 413
    page = page_of(reply)
    assert "smaller pieces" in page.css_first("main").text()
    assert page.css_first("nav") is not None
    assert "No jobs yet" in client.get("/").text


def test_too_much_is_noticed_without_its_length_being_said(client: TestClient) -> None:
    def chunks() -> Iterator[bytes]:
        yield b"name=Pantry&client_name=A&notes="
        for _ in range(LARGEST_FORM // 1000 + 1):
            yield b"x" * 1000

    reply = client.post("/jobs/new", content=chunks(), headers={"content-type": "application/x-www-form-urlencoded"})
    assert reply.status_code == 413
    assert "smaller pieces" in reply.text
    assert "No jobs yet" in client.get("/").text


def test_a_form_of_many_fields_below_the_limit_is_read(client: TestClient) -> None:
    long = {f"field {number}": "x" * 9_000 for number in range(200)}
    reply = client.post("/jobs/new", data=PANTRY | long | {"notes": "x" * 100_000})
    assert reply.status_code == 422
    assert "characters long" in reply.text


@pytest.mark.parametrize("odd", [{"notes": "x" * 1_500_000}, {f"f{number}": "" for number in range(2000)}])
def test_a_form_that_cannot_be_read_gets_a_page(client: TestClient, odd: dict[str, str]) -> None:
    reply = client.post("/jobs/new", data=PANTRY | odd)
    assert reply.status_code == 400
    assert "Nothing was changed" in page_of(reply).css_first("main").text()


MARKUP = st.one_of(
    st.sampled_from(
        [
            "<script>alert(1)</script>",
            '"><img src=x onerror=alert(1)>',
            "'><b>",
            "</textarea><script>1</script>",
            "</title><i>",
            "{{ 7 * 7 }}",
            "{% include 'base.html' %}",
            "<!--",
            "]]>",
            '" onfocus="alert(1)" autofocus="',
            "javascript:alert(1)",
            "&lt;b&gt;",
            "＜script＞",
            "<hx-partial hx-target='#main'>",
        ]
    ),
    st.text(alphabet="<>\"'&/=;-!{}% abonscript", min_size=1, max_size=40),
)


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(markup=MARKUP)
def test_markup_typed_anywhere_is_shown_as_text_and_adds_no_element(client: TestClient, markup: str) -> None:
    assert shapes(client, markup) == shapes(client, "a")


def shapes(client: TestClient, typed: str) -> list[tuple[int, Counter[str]]]:
    """Return how many elements and attributes of each name the pages have that show what was typed everywhere."""
    text = typed if typed.strip() else "a"
    fields = ("name", "client_name", "client_address", "client_phone", "site", "notes")
    filled = dict.fromkeys(fields, text) | {"client_email": text, "promised_on": text, "state": text}
    valid = filled | {"promised_on": "2026-07-01", "state": "enquiry", "client_email": text}
    job = client.post("/jobs/new", data=valid).headers["location"].partition("?")[0]
    assert client.post(f"{job}/edit", data=valid | {"version": "1", "notes": text * 2}).status_code == 303
    pages = [
        client.get(job),
        client.get(f"{job}/edit"),
        client.get("/", params={"words": text, "state": text}),
        client.get(f"/nowhere/{quote(text)}"),
        client.post("/jobs/new", data=filled),
        client.post(f"{job}/edit", data=valid | {"version": "1", "name": text + "b"}),
        client.post("/jobs/99999/edit", data=valid | {text: text}),
        client.post("/history/99999/undo", data={"back": text}),
    ]
    client.post(f"{job}/remove")
    return [(page.status_code, shape(page.text)) for page in pages]


def shape(html: str) -> Counter[str]:
    counted: Counter[str] = Counter()
    for node in page_of(type("Reply", (), {"text": html})).css("*"):
        if node.tag not in ("option", "dt", "dd"):
            counted[str(node.tag)] += 1
            counted.update(f"{node.tag} {name}" for name in node.attributes)
    return counted


def test_templates_escape_by_themselves() -> None:
    assert render.ENVIRONMENT.autoescape is True
    assert render.ENVIRONMENT.from_string("{{ x }}").render(x="<b>") == "&lt;b&gt;"


# What nobody may write into a page, a script or a style

BANNED_IN_PAGES = {
    "a style in an element": r"\sstyle\s*=",
    "a style in a page": r"<style\b",
    "a script in a page": r"<script(?![^>]*\ssrc=)",
    "a script after its source": r"<script[^>]*>\s*[^<\s]",
    "a handler in an element": r"\son[a-z]+\s*=",
    "a handler of htmx": r"hx-on\b",
    "a script in an attribute": r"\bjs:|javascript:",
    "unescaped text": r"\|\s*safe\b|autoescape\s+false|Markup\(",
    "a condition in a trigger": r"hx-trigger\s*=\s*[\"'][^\"']*\[",
    "a changed address bar": r"hx-(push-url|replace-url|boost)",
    "an address of elsewhere": r"(?:src|href|action|hx-[a-z]+)\s*=\s*[\"']?\s*(?:https?:)?//",
}
BANNED_IN_SCRIPTS = {
    "text run as a script": r"\beval\s*\(|new\s+Function|set(?:Timeout|Interval)\s*\(\s*[\"']",
    "markup from text": r"innerHTML|outerHTML\s*=|insertAdjacentHTML|document\.write",
    "an address of elsewhere": r"[\"'`](?:https?:)?//",
}
BANNED_IN_STYLES = {"an address of elsewhere": r"@import|url\(\s*[\"']?(?:https?:)?//", "a script": r"expression\s*\("}


def findings(files: list[Path], banned: dict[str, str]) -> list[str]:
    return [
        f"{file.name}: {what}: {found[0]!r}"
        for file in files
        for what, pattern in banned.items()
        for found in re.finditer(pattern, file.read_text(), re.IGNORECASE)
    ]


def own(pattern: str) -> list[Path]:
    return [file for file in STATIC.rglob(pattern) if "vendor" not in file.parts]


def test_no_page_holds_what_the_policy_forbids_or_an_address_of_elsewhere() -> None:
    pages = list(TEMPLATES.rglob("*.html"))
    assert len(pages) > 40
    assert findings(pages, BANNED_IN_PAGES) == []


def test_no_script_or_style_of_ours_does_either() -> None:
    assert own("*.js")
    assert own("*.css")
    assert findings(own("*.js"), BANNED_IN_SCRIPTS) == []
    assert findings(own("*.css"), BANNED_IN_STYLES) == []
    assert findings(own("*.svg"), BANNED_IN_PAGES | {"a script": "<script"}) == []


BAD = """
<p style="x">
<style>
<script>1</script>
<script src="/a.js">1
<a onclick="x">
<a hx-on:click="x">
<a href="javascript:x">
{{ x|safe }}
{{ x | safe }}
<a hx-trigger="click[x]">
<a hx-push-url="true">
<body hx-boost="true">
<img src="https://x.example/y">
<a href='//x.example'>
"""


@pytest.mark.parametrize("bad", BAD.split("\n")[1:-1])
def test_what_is_banned_would_be_found(tmp_path: Path, bad: str) -> None:
    page = tmp_path / "page.html"
    page.write_text(f"<p>good</p>\n{bad}")
    assert findings([page], BANNED_IN_PAGES)


def test_only_the_pages_code_and_the_filters_make_markup_of_text() -> None:
    users = {file.name for file in (ROOT / "webapp").rglob("*.py") if "markupsafe" in file.read_text()}
    assert users <= {"render.py", "filters.py"}


@pytest.mark.parametrize("folder", ["static/vendor", "tests/vendor"])
def test_vendored_files_are_those_whose_sums_are_written_down(folder: str) -> None:
    words = (ROOT / folder / "VENDORED.md").read_text()
    listed = dict(re.findall(r"^\| ([\w.-]+) \|.*\| ([0-9a-f]{64}) \|$", words, re.MULTILINE))
    present = {file.name for file in (ROOT / folder).iterdir()} - {"VENDORED.md"}
    assert listed.keys() == present
    for name, checksum in listed.items():
        assert hashlib.sha256((ROOT / folder / name).read_bytes()).hexdigest() == checksum, name


BUILT_SQL = {
    ("database.py", "PRAGMA {pragma}"),
}
"""The only SQL put together from parts, each from our own constants."""


def test_sql_is_never_put_together_from_what_somebody_typed() -> None:
    """Statements are SQLAlchemy's or constant text with bound values; ruff's S608 looks as well."""
    built = set()
    for file in [*(ROOT / "webapp").rglob("*.py"), *(ROOT / "domain").rglob("*.py")]:
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.Call) and node.args and _is_sql(node.func):
                first = node.args[0]
                if isinstance(first, ast.JoinedStr | ast.BinOp) or ".format(" in ast.unparse(first):
                    built.add((file.name, ast.unparse(first).removeprefix("f").strip("'\"")))
    assert built <= BUILT_SQL


def _is_sql(function: ast.expr) -> bool:
    """Whether this is a call that takes SQL as text; our forms have a method `text` as well."""
    if isinstance(function, ast.Name):
        return function.id == "text"
    return isinstance(function, ast.Attribute) and function.attr in ("exec_driver_sql", "execute", "executescript")
