"""Whatever is typed into whatever page, the answer is a page: no address and no form ends in a fault."""

import re
from collections.abc import Iterable, Iterator

from fastapi import APIRouter
from fastapi.routing import APIRoute
from hypothesis import given, settings
from hypothesis import strategies as st

from demo_forms import Demo
from webapp.places import TEMPLATES
from webapp.routes import ROUTERS

EXAMPLES = 150
ANY = st.integers(0, 10**6)
PAGES = "\n".join(file.read_text() for file in TEMPLATES.rglob("*.html"))
FIELDS = sorted(set(re.findall(r'(?:name=|text\(|area\(|choose\(|tick\()"([a-z_]+)"', PAGES)))
ODD_TEXTS = ("", "0", "-1", "1e999", "٣", "½", "NaN", "1/0", "9" * 400, "8' 6", "\0", "\r\n", "<b>", "2026-02-30", "on")
ODD = st.one_of(st.sampled_from(ODD_TEXTS), st.integers(-(10**20), 10**20).map(str), st.text(max_size=30))


@settings(max_examples=EXAMPLES)
@given(data=st.data())
def test_no_address_with_anything_typed_ends_in_a_fault(demo: Demo, data: st.DataObject) -> None:
    """Every route there is, with odd numbers in the address and odd text in fields that some page has."""
    route = data.draw(st.sampled_from([one for one in routes(ROUTERS) if not one.path.startswith("/backups/")]))
    number = st.sampled_from(["1", "2", "3", "4", "5", "0", "-1", "99999999999999999999", "x"])
    path = re.sub(r"\{[^}]*\}", lambda _: data.draw(number), route.path)
    fields = data.draw(st.dictionaries(st.sampled_from(FIELDS), ODD, max_size=8))
    posts = "POST" in (route.methods or ())
    reply = demo.client.post(path, data=fields) if posts else demo.client.get(path, params=fields)
    assert reply.status_code < 500, f"{route.methods} {path} {fields}\n{reply.text}"


@settings(max_examples=EXAMPLES)
@given(
    which=ANY, typed=st.lists(st.tuples(ANY, ODD), max_size=3), left_out=st.lists(ANY, max_size=1), htmx=st.booleans()
)
def test_no_form_with_a_few_odd_fields_ends_in_a_fault(
    demo: Demo, which: int, typed: list[tuple[int, str]], left_out: list[int], htmx: bool
) -> None:
    """Every form of the demo as a person would find it, some fields typed over or left out, with htmx or without."""
    form = demo.forms[which % len(demo.forms)]
    action, fields = form.action, demo.as_it_is_now(form) | {"form_key": ""}
    for number, text in typed:
        fields[sorted(fields)[number % len(fields)]] = text
    for number in left_out:
        del fields[sorted(fields)[number % len(fields)]]
    reply = demo.client.post(action, data=fields, headers={"HX-Request": "true"} if htmx else {})
    assert reply.status_code < 500, f"{action} {fields} {htmx}\n{reply.text}"
    if reply.status_code == 303:
        after = demo.client.get(reply.headers["location"], follow_redirects=True)
        assert after.status_code in (200, 404), f"{action} {fields}, then {reply.headers['location']}"


def routes(routers: Iterable[APIRouter]) -> Iterator[APIRoute]:
    for router in routers:
        for route in router.routes:
            if isinstance(route, APIRoute):
                yield route
            elif nested := getattr(route, "original_router", None):
                yield from routes([nested])
