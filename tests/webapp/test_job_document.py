"""A job as one document: valid by its published schema, the same after a journey, refused in words when broken.

The jsonschema library is the independent reader of the schema.
"""

import copy
import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from functools import reduce
from io import BytesIO
from typing import Any
from zipfile import ZipFile

import pytest
from fastapi.testclient import TestClient
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator, FormatChecker
from sqlmodel import Session, select

from conftest import NOW, page_of
from demo_file import filled
from domain.job import Client, Job, Matters
from domain.money import Money
from domain.part import TaskKind
from domain.task import Clock, End, OwnLink, TaskRecord
from webapp.job_document import ADDRESS, json_schema, read, to_text
from webapp.job_document.shape import to_plain
from webapp.store import job_document as store
from webapp.store.database import Database
from webapp.store.estimate import load_facts
from webapp.store.job import add_job, load_job, search_jobs
from webapp.store.job_document import Taken
from webapp.store.option import load_options
from webapp.store.order import load_orders
from webapp.store.piece import add_piece, load_pieces
from webapp.store.price import add_price, load_price_book
from webapp.store.quote import load_quotes
from webapp.store.shop import load_changed_practice, load_terms, load_version, save_practice, save_terms
from webapp.store.tables import JobRow
from webapp.store.task import add_own_task, load_links, load_records, save_link

EVERYTHING = Taken(prices=True, practice=True, operations=True, terms=True)
HABIT = Fraction(1, 5)
ALL = {"prices": "yes", "practice": "yes", "operations": "yes", "terms": "yes"}
Plain = dict[str, Any]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """The invented demo shop, with a habit changed, so that a document has something of everything."""
    database = Database(filled(tmp_path_factory.mktemp("demo") / "demo.sqlite"), at=NOW)
    with database.write("Habit changed", at=NOW) as db:
        save_practice(db, "hardwood_add_on", HABIT, version=0)
    yield database
    database.close()


@pytest.fixture(scope="module")
def exported(demo: Database) -> dict[str, str]:
    """The text of every demo job, by the job's name."""
    with demo.read() as db:
        jobs = search_jobs(db)
        return {job.name: to_text(store.load_job_document(db, job.id, at=NOW)) for job in jobs}


@pytest.fixture(scope="module")
def pantry(exported: dict[str, str]) -> str:
    return exported["Butler's pantry"]


def database(client: TestClient) -> Database:
    found: Database = client.app.state.database  # type: ignore[attr-defined]
    return found


def bring_in(client: TestClient, text: str, **ticks: str) -> str:
    """Bring a job in and return the address of its page."""
    reply = client.post("/import/confirm", data={"text": text, **ticks})
    assert reply.status_code == 303, reply.text
    return reply.headers["location"].partition("?")[0]


def again(client: TestClient, address: str) -> Plain:
    found: Plain = client.get(f"{address}/job.json").json()
    return found


def but(document: Plain, *names: str) -> Plain:
    return {name: value for name, value in document.items() if name not in names}


def jobs_of(client: TestClient) -> list[str]:
    with database(client).read() as db:
        return [job.name for job in search_jobs(db)]


# The document and its schema


def test_the_published_schema_is_a_valid_schema_and_every_job_is_valid_by_it(
    client: TestClient, exported: dict[str, str]
) -> None:
    reply = client.get(ADDRESS)
    assert reply.headers["content-type"].startswith("application/schema+json")
    schema = reply.json()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema, format_checker=FormatChecker())
    assert len(exported) == 5
    for name, text in exported.items():
        assert [error.message for error in validator.iter_errors(json.loads(text))] == [], name


def test_the_schema_refuses_what_reading_refuses(pantry: str) -> None:
    validator = Draft202012Validator(json_schema())
    for change in (
        lambda plain: plain.update(more=1),
        lambda plain: plain.update(version=2),
        lambda plain: plain["pieces"][0].update(kind="boat"),
        lambda plain: plain["pieces"][0]["choices"]["length"].update(inches=25.5),
        lambda plain: plain["orders"][0]["lines"][0]["package_price"].update(cents="7.85"),
        lambda plain: plain["job"].pop("client"),
    ):
        plain = json.loads(pantry)
        change(plain)
        assert not validator.is_valid(plain)
        assert read(json.dumps(plain))[0] is None


def test_a_job_file_says_what_it_is_and_is_named_by_us(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": 'Pa"ntry\\ \u202eÄ', "client_name": "A. Invented"})
    reply = client.get("/jobs/1/job.json")
    assert reply.headers["content-disposition"] == 'attachment; filename="job-1.json"'
    document = reply.json()
    assert (document["format"], document["version"], document["schema"]) == ("benchday-job", 1, "/schema/job.json")
    assert document["exported_at"] == "2026-06-01T14:00:00Z"
    assert document["job"]["name"] == 'Pa"ntry\\ \u202eÄ'
    assert client.get("/jobs/9/job.json").status_code == 404


def test_a_document_holds_everything_of_the_job_with_exact_values_as_text(pantry: str) -> None:
    plain = json.loads(pantry)
    for part in ("runs", "pieces", "options", "costs", "tasks", "orders", "quotes"):
        assert plain[part], part
    assert plain["leans_on"]["prices"]
    assert plain["leans_on"]["operations"]
    assert plain["leans_on"]["practice"] == {"hardwood_add_on": "1/5"}
    assert plain["leans_on"]["terms"]["shop_rate"] == {"cents": 6800}
    assert "." not in "".join(str(number) for number in numbers_of(plain))
    assert [piece["id"] for piece in plain["pieces"]] == list(range(1, len(plain["pieces"]) + 1))


def numbers_of(plain: Any) -> Iterator[float]:
    if isinstance(plain, dict | list):
        for each in plain.values() if isinstance(plain, dict) else plain:
            yield from numbers_of(each)
    elif isinstance(plain, int | float):
        yield plain


# There and back


def test_every_job_comes_back_equal_into_an_empty_shop(client: TestClient, exported: dict[str, str]) -> None:
    for text in exported.values():
        before, after = json.loads(text), again(client, bring_in(client, text, **ALL))
        for part in before:
            if part != "exported_at":
                assert after[part] == before[part], part


def test_a_job_alone_in_an_empty_shop_leans_on_the_same(client: TestClient, pantry: str) -> None:
    before, after = json.loads(pantry), again(client, bring_in(client, pantry, **ALL))
    assert but(after, "exported_at") == but(before, "exported_at")


def test_what_was_said_of_tasks_and_links_comes_back_but_not_to_whom_a_task_was_given(client: TestClient) -> None:
    pinned = datetime(2026, 6, 4, 14, tzinfo=UTC)
    with database(client).write("Planned", at=NOW) as db:
        client_of = Client(0, "A. Invented")
        job_id = add_job(db, Job(0, "Shelf", client_of, matters=Matters.MOST), at=NOW)
        own = TaskRecord("", own=True, name="Fetch", kind=TaskKind.OTHER, minutes=60, best=30, worst=120,
                         pinned_at=pinned, who=(7,))  # fmt: skip
        keys = [add_own_task(db, job_id, own) for _ in range(2)]
        link = OwnLink(*keys, timedelta(hours=1), timedelta(hours=9), Clock.ATTENDED, End.START, End.FINISH)
        save_link(db, job_id, link)
    text = client.get("/jobs/1/job.json").text
    assert "who" not in json.loads(text)["tasks"][0]
    address = bring_in(client, text)
    assert but(again(client, address), "exported_at") == but(json.loads(text), "exported_at")
    with database(client).read() as db:
        assert load_records(db, [2])[2] == tuple(replace(own, key=key, who=()) for key in keys)
        assert load_links(db, [2])[2] == (link,)
        assert load_job(db, 2).matters is Matters.MOST


@pytest.mark.parametrize(("best", "worst"), [(-1, 5), (9, 5)])
def test_a_best_time_that_cannot_be_is_refused(pantry: str, best: int, worst: int) -> None:
    plain = json.loads(pantry)
    plain["tasks"][0].update(best=best, worst=worst)
    assert "the worst no shorter" in " ".join(problem.words for problem in read(json.dumps(plain))[1])


def test_it_costs_the_same_there(client: TestClient, demo: Database, pantry: str) -> None:
    bring_in(client, pantry, **ALL)
    name = json.loads(pantry)["job"]["name"]
    with demo.read() as db:
        ours = load_facts(db, next(job.id for job in search_jobs(db) if job.name == name), NOW).estimate()
    with database(client).read() as db:
        theirs = load_facts(db, 1, NOW).estimate()
    assert theirs.total.value == ours.total.value
    assert theirs.problems == ours.problems


def test_numbers_inside_lead_to_the_new_ids(client: TestClient, pantry: str) -> None:
    client.post("/jobs/new", data={"name": "Other", "client_name": "B. Invented"})
    plain = json.loads(pantry)
    with database(client).write("Shift the ids", at=NOW) as db:
        document = read(pantry)[0]
        assert document is not None
        store.add_job_document(db, document, taken=Taken(), at=NOW)
        (first, *_) = load_pieces(db, 2)
        add_piece(db, 1, first)
    address = bring_in(client, pantry, **ALL)
    job_id = int(address.rpartition("/")[2])
    with database(client).read() as db:
        pieces = load_pieces(db, job_id)
        ids = {piece.id for piece in pieces}
        keys = [record.key for record in load_records(db, [job_id])[job_id]]
        lines = [line.piece_id for each in load_quotes(db, job_id) for line in each.quote.lines if line.piece_id]
        order_ids = {order.id for order in load_orders(db, job_id)}
    assert ids.isdisjoint({piece["id"] for piece in plain["pieces"]})
    assert {piece.belongs_to for piece in pieces if piece.belongs_to} <= ids
    of_pieces = [int(key[1:].partition(".")[0]) for key in keys if key[:1] == "p" and key[1].isdigit()]
    assert of_pieces
    assert set(of_pieces) <= ids
    assert lines
    assert set(lines) <= ids
    assert {int(key.split(":")[1].partition(".")[0]) for key in keys if key.startswith("delivery:")} <= order_ids


def test_into_the_shop_it_came_from_only_the_order_numbers_change(demo: Database, pantry: str) -> None:
    document = read(pantry)[0]
    assert document is not None
    before = to_plain(document)
    with trying(demo) as db:
        new = store.new_here(db, document)
        job_id = store.add_job_document(db, document, taken=EVERYTHING, at=NOW)
        after = to_plain(store.load_job_document(db, job_id, at=NOW))
    assert (new.prices, new.practice, new.operations, new.terms) == ((), {}, {}, None)
    assert set(new.orders) == {order.number for order in document.orders}
    assert [order["number"] for order in after["orders"]] == [f"{order['number']}-B" for order in before["orders"]]
    for plain in (before, after):
        for order in plain["orders"]:
            order["number"] = ""
    assert after == before


class Rollback(Exception):
    """Raised to leave a shared shop as it was."""


@contextmanager
def trying(database: Database) -> Iterator[Session]:
    """Give a writing session whose changes are taken back."""
    with suppress(Rollback), database.write("Tried", at=NOW) as db:
        yield db
        db.flush()
        raise Rollback


def test_pieces_gone_since_leave_no_loose_ends_in_the_document(client: TestClient, pantry: str) -> None:
    address = bring_in(client, pantry, **ALL)
    client.post(f"{address}/pieces/1/remove")
    document, problems = read(client.get(f"{address}/job.json").text)
    assert problems == []
    assert document is not None
    assert len(document.pieces) < len(json.loads(pantry)["pieces"])
    assert len(document.tasks) < len(json.loads(pantry)["tasks"])


# Looking first, then bringing in


def test_a_file_is_looked_at_before_anything_is_saved(client: TestClient, pantry: str) -> None:
    page = page_of(client.get("/import"))
    assert page.css_first("input[type=file]").attributes["name"] == "file"
    reply = client.post("/import", files={"file": ("job.json", pantry.encode(), "application/json")})
    assert reply.status_code == 200
    page = page_of(reply)
    plain = json.loads(pantry)
    assert plain["job"]["name"] in page.css_first("h1").text()
    assert plain["quotes"][0]["quote"]["number"] in page.text()
    assert f"Add {len(plain['leans_on']['prices'])} prices" in page.css_first("label[for=prices]").text()
    assert "checked" in page.css_first("#prices").attributes  # an empty shop has nothing of its own
    assert "Hardwood bought above net" in page.text()
    assert jobs_of(client) == []
    carried = page.css_first("textarea[name=text]").text()
    assert read(carried)[0] == read(pantry)[0]


def test_prices_and_habits_come_only_when_ticked_and_never_over_our_own(client: TestClient, pantry: str) -> None:
    plain = json.loads(pantry)
    document = read(pantry)[0]
    assert document is not None
    first = document.leans_on.prices[0]
    with database(client).write("Ours", at=NOW) as db:
        add_price(db, replace(first, id=0, package_price=Money(1)))
        save_practice(db, "hardwood_add_on", HABIT * 2, version=0)
    bring_in(client, pantry)
    with database(client).read() as db:
        assert len(load_price_book(db).prices) == 1
    page = page_of(client.post("/import", data={"text": pantry}))
    assert f"Add {len(plain['leans_on']['prices']) - 1} prices" in page.css_first("label[for=prices]").text()
    assert "checked" not in page.css_first("#prices").attributes
    assert "Different here" in page.text()
    bring_in(client, pantry, **ALL)
    with database(client).read() as db:
        prices = load_price_book(db).prices
        assert len(prices) == len(plain["leans_on"]["prices"])
        assert next(price for price in prices if price.id == 1).package_price == Money(1)
        assert load_changed_practice(db) == {"hardwood_add_on": HABIT * 2}


def test_terms_of_another_shop_stay_with_the_job(client: TestClient, pantry: str) -> None:
    with database(client).write("Terms of ours", at=NOW) as db:
        save_terms(db, replace(load_terms(db), shop_rate=Money(5000)), version=load_version(db))
    address = bring_in(client, pantry, **ALL)
    assert again(client, address)["job"]["terms"]["shop_rate"] == {"cents": 6800}
    assert again(client, bring_in(client, pantry))["job"]["terms"] is None


def test_a_double_press_brings_in_one_job(client: TestClient, pantry: str) -> None:
    first, second = (client.post("/import/confirm", data={"text": pantry, "form_key": "one"}) for _ in range(2))
    assert first.status_code == second.status_code == 303
    assert first.headers["location"].startswith(second.headers["location"])
    assert len(jobs_of(client)) == 1


def test_a_job_without_quotes_is_taken_back_in_one_step(client: TestClient, exported: dict[str, str]) -> None:
    enquiry = next(text for text in exported.values() if json.loads(text)["quotes"] == [])
    before = len(jobs_of(client))
    address = bring_in(client, enquiry)
    assert "brought in from a file" in client.get("/history").text
    undo = page_of(client.get("/history")).css_first("form").attributes["action"] or ""
    assert client.post(undo, data={"back": "/"}).status_code == 303
    assert client.get(address).status_code == 404
    assert len(jobs_of(client)) == before


def test_a_job_with_quotes_is_removed_instead(client: TestClient, pantry: str) -> None:
    address = bring_in(client, pantry)
    page = client.post("/import", data={"text": pantry}).text
    assert "cannot be undone" in page
    assert "-B" not in page
    assert client.post(f"{address}/remove").status_code == 303
    assert jobs_of(client) == []


def test_what_goes_wrong_in_the_middle_leaves_nothing(
    client: TestClient, pantry: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(db: Session, *_: object) -> None:
        assert db.exec(select(JobRow)).first()
        raise RuntimeError("a fault on purpose")

    monkeypatch.setattr("webapp.store.job_document.add._add_quotes", fails)
    with pytest.raises(RuntimeError):
        client.post("/import/confirm", data={"text": pantry, **ALL})
    assert jobs_of(client) == []
    with database(client).read() as db:
        assert load_price_book(db).prices == ()


# What is no job file, or a broken one


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing in it"),
        ("   ", "nothing in it"),
        ("hello", "not JSON: line 1, column 1"),
        ('{"format": "benchday-job",', "not JSON: line 1"),
        ("[1, 2]", "$ is not an object"),
        ("{}", "$.format is missing"),
        ('{"format": "other"}', "$.format is “other”".replace("“other”", '"other"')),
        ('{"format": "benchday-job", "version": 2}', "comes from a newer Benchday"),
        ('{"format": "benchday-job", "version": true}', "$.version is true"),
        ('{"format": "benchday-job", "version": 1}', "$.exported_at is missing"),
        ("[" * 100_000, "nested too deeply"),
        ('{"format": "benchday-job", "version": 1, "job": ' + '{"a":' * 60 + "1" + "}" * 60 + "}", "nested too deeply"),
        ('{"format": "benchday-job", "version": 1, "version": 1}', "“version” stands twice"),
        ('{"format": "benchday-job", "version": 1, "job": NaN}', "$.job is NaN"),
        ('{"format": "benchday-job", "version": 1, "job": 1' + "0" * 5000 + "}", "too large"),
        ('{"format": "benchday-job", "version": 1, "job": "\\ud800"}', "$.job holds half of a sign"),
        ('{"format": "benchday-job", "version": 1, "job": {"na\\u0000me": 1}}', "a name with a sign"),
    ],
)
def test_what_is_no_job_file_is_refused_in_words(text: str, said: str) -> None:
    document, problems = read(text)
    assert document is None
    assert said in problems[0].words


@pytest.mark.parametrize("text", ["hello", '{"format": "benchday-job", "version": 2}', "é\u0085<script>"])
def test_what_was_pasted_stands_there_again(client: TestClient, text: str) -> None:
    for address in ("/import", "/import/confirm"):
        reply = client.post(address, data={"text": text})
        assert reply.status_code == 422
        page = page_of(reply)
        assert page.css_first("#problems li").text()
        assert page.css_first("textarea#text").text() == text
    assert jobs_of(client) == []


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00", "not text in UTF-8"),
        ("Zürgelbaum".encode("latin-1"), "not text in UTF-8"),
        (b"PK\x03\x04", "not JSON"),
        (b" " * 5_000_001, "has 5.0 MB"),
    ],
)
def test_a_file_of_another_kind_or_size_is_refused_in_words(client: TestClient, content: bytes, said: str) -> None:
    reply = client.post("/import", files={"file": ("x.json", content, "application/json")})
    assert reply.status_code == 422
    assert said in page_of(reply).css_first("#problems").text()


def test_a_body_beyond_all_reason_is_refused_before_it_is_read(client: TestClient) -> None:
    reply = client.post("/import", files={"file": ("x.json", b" " * 20_000_000, "application/json")})
    assert reply.status_code == 413
    assert "<h1>" in reply.text


def test_a_mark_in_front_that_says_utf_8_is_read_over(client: TestClient, pantry: str) -> None:
    reply = client.post("/import", files={"file": ("x.json", b"\xef\xbb\xbf" + pantry.encode(), "text/plain")})
    assert reply.status_code == 200


def put(*path: str | int, to: Any) -> Callable[[Plain], None]:
    """Return what sets the value at a path."""

    def change(plain: Plain) -> None:
        reduce(lambda node, step: node[step], path[:-1], plain)[path[-1]] = to  # type: ignore[arg-type, return-value]

    return change


A_FILLER = {"kind": "filler", "name": "Filler", "choices": {}}
LENGTH = ("pieces", 0, "choices", "length", "inches")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (put(*LENGTH, to=25.5), '$.pieces[0].choices.length.inches is the number 25.5'),
        (put(*LENGTH, to=25), "$.pieces[0].choices.length.inches is the number 25. Exact values are text"),
        (put(*LENGTH, to=True), "$.pieces[0].choices.length.inches is true"),
        (put(*LENGTH, to="1/0"), "an exact number as text"),
        (put(*LENGTH, to="a lot"), 'is "a lot"; it must be an exact number'),
        (put(*LENGTH, to="1e999999999"), "an exponent that is too large"),
        (put(*LENGTH, to="1" * 40), "too many digits"),
        (put(*LENGTH, to="157480"), "$.pieces[0].choices.length cannot be"),
        (put(*LENGTH, to="-5"), "$.pieces[0].choices.length cannot be"),
        (put("pieces", 0, "kind", to="boat"), "$.pieces[0] is boat".replace("boat", '"boat"')),
        (put("pieces", 0, "quantity", to=0), "$.pieces[0].quantity cannot be"),
        (put("pieces", 0, "quantity", to="1"), "$.pieces[0].quantity is \"1\"; it must be a whole number"),
        (put("pieces", 0, "name", to="  "), "$.pieces[0].name is empty"),
        (put("pieces", 0, "name", to="x" * 300), "300 characters long"),
        (put("pieces", 0, "wings", to=2), "$.pieces[0].wings is not known here"),
        (put("pieces", 1, "id", to=1), "$.pieces says “1” twice"),
        (put("pieces", 1, "belongs_to", to=99), "names piece 99"),
        (put("pieces", 1, "belongs_to", to=2), "leads back to the piece itself"),
        (put("job", "name", to="a\0b"), "$.job.name holds a NUL"),
        (put("job", "state", to="asleep"), '$.job.state is "asleep", not one of'),
        (put("job", "promised_on", to="2026-02-30"), "$.job.promised_on is \"2026-02-30\"; it must be a day"),
        (put("job", "promised_on", to="9999-12-31"), "in the year 9999"),
        (put("job", "client", to=None), "$.job.client is null; it must be an object"),
        (put("exported_at", to="2026-06-01T14:00:00"), "without a time zone"),
        (put("costs", 0, "amount", "cents", to=-5), "$.costs[0] cannot be"),
        (put("costs", 0, "amount", "cents", to=1.5), "$.costs[0].amount.cents is the number 1.5"),
        (put("options", 0, "changes", to=[{"other_wood": 3}]), "$.options[0].changes[0].other_wood is 3"),
        (put("options", 0, "changes", to=[{"left_out": 77}]), "names piece 77"),
        (put("tasks", 0, "key", to="p99.mill"), "“p99.mill”"),
        (put("tasks", 0, "minutes", to=-1), "$.tasks[0] cannot be"),
        (put("links", to=[{"before": "own.1", "after": "own.1"}]), "$.links[0] cannot be"),
        (put("links", to=[{"before": "a", "after": "b", "at_least": "-P1D"}]), "$.links[0].at_least"),
        (put("orders", 0, "lead_time", to="PT90M"), "whole days"),
        (put("orders", 0, "lines", 0, "packages", to="0"), "$.orders[0].lines[0] cannot be"),
        (put("orders", 0, "lines", to=[]), "at least one line"),
        (put("orders", 0, "lines", 0, "material", "kind", to="cheese"), "not one of"),
        (put("quotes", 0, "quote", "total", "cents", to=1), "$.quotes[0].quote cannot be: quote"),
        (put("quotes", 0, "replaces", to=9), "names earlier quote 9"),
        (put("leans_on", "practice", to={"kerf_of_a_moon": "1"}), "is no habit"),
        (put("leans_on", "practice", to={"hardwood_add_on": "900"}), "it must be from"),
        (put("leans_on", "operations", to={"fly": {"setup": "1", "each": "1"}}), "is no operation"),
        (put("leans_on", "prices", 0, "package_quantity", to="0"), "$.leans_on.prices[0] cannot be"),
        (put("runs", 0, "back", "inches", to="99999"), "$.runs[0].back cannot be"),
        (put("runs", 0, "left", to="sky"), "$.runs[0].left"),
        (put("pieces", to=[A_FILLER | {"id": n} for n in range(1001)]), "1,001 entries"),
    ],
)  # fmt: skip
def test_every_fault_is_named_with_its_path(pantry: str, change: Callable[[Plain], None], said: str) -> None:
    plain = json.loads(pantry)
    change(plain)
    document, problems = read(json.dumps(plain))
    assert document is None
    assert said in " ".join(problem.words for problem in problems)


def test_a_number_with_a_point_reaches_no_store(client: TestClient, pantry: str) -> None:
    plain = json.loads(pantry)
    put(*LENGTH, to=25.5)(plain)
    reply = client.post("/import/confirm", data={"text": json.dumps(plain), **ALL})
    assert reply.status_code == 422
    said = page_of(reply).css_first("#problems").text()
    assert "$.pieces[0].choices.length.inches is the number 25.5" in said
    assert 'Write it as text: "25.5"' in said
    assert jobs_of(client) == []


def test_many_faults_are_counted_not_listed(pantry: str) -> None:
    plain = json.loads(pantry)
    for piece in plain["pieces"]:
        piece |= {"quantity": 0, "name": ""}
    _, problems = read(json.dumps(plain))
    assert len(problems) == 13
    assert problems[-1].words.startswith("And ")


def paths_of(plain: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    yield path
    if isinstance(plain, dict | list):
        for step, each in plain.items() if isinstance(plain, dict) else enumerate(plain):
            yield from paths_of(each, (*path, step))


ODD = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8), st.just([]), st.just({}),
    st.sampled_from(["1/3", "-7", "2026-06-04", "2026-06-01T14:00:00Z", "P5D", "p1.mill", "1e9999999", "\0", "9" * 30]),
)  # fmt: skip


@settings(max_examples=100)
@given(data=st.data())
def test_whatever_is_changed_in_a_document_it_is_read_whole_or_refused_in_words(
    demo: Database, pantry: str, data: st.DataObject
) -> None:
    plain = copy.deepcopy(json.loads(pantry))
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(list(paths_of(plain))[1:]))
        if data.draw(st.booleans()):
            put(*path, to=data.draw(ODD))(plain)
        else:
            del reduce(lambda node, step: node[step], path[:-1], plain)[path[-1]]  # type: ignore[arg-type]
    document, problems = read(json.dumps(plain))
    assert (document is None) == bool(problems)
    if document is None:
        assert all(problem.words for problem in problems)
        return
    with trying(demo) as db:
        job_id = store.add_job_document(db, document, taken=EVERYTHING, at=NOW)
        pieces, options = load_pieces(db, job_id), load_options(db, job_id)
    assert len(pieces) == len(document.pieces)
    assert len(options) == len(document.options)


# Everything at once


def test_everything_goes_into_one_zip_that_holds_what_the_pages_hold(client: TestClient, pantry: str) -> None:
    address = bring_in(client, pantry, **ALL)
    client.post("/jobs/new", data={"name": "../../Other", "client_name": "B. Invented"})
    assert page_of(client.get("/backups")).css_first('a[href="/export.zip"]')
    reply = client.get("/export.zip")
    assert reply.headers["content-disposition"] == 'attachment; filename="benchday-2026-06-01.zip"'
    with ZipFile(BytesIO(reply.content)) as found:
        assert found.testzip() is None
        assert set(found.namelist()) == {"prices.csv", "jobs/job-1.json", "jobs/job-2.json", "benchday.sqlite"}
        assert json.loads(found.read("jobs/job-1.json")) == again(client, address)
        assert found.read("prices.csv") == client.get("/prices.csv").content
        data = found.read("benchday.sqlite")
    with closing(sqlite3.connect(":memory:")) as opened:
        opened.deserialize(data)
        assert opened.execute("SELECT count(*) FROM job").fetchone() == (2,)
