"""The demo shop and the forms on its pages, as a person finds them."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from urllib.parse import unquote

from fastapi.testclient import TestClient
from selectolax.lexbor import LexborNode

from conftest import DESK, Clock, page_of
from demo_file import filled
from webapp.app import create_app
from webapp.settings import Settings
from webapp.store.database import Database


@dataclass(frozen=True)
class Form:
    """A form that posts. page: where it is; action: where it posts to; fields: as it would be sent untouched."""

    page: str
    action: str
    fields: dict[str, str]


@dataclass
class Demo:
    """The demo shop, in which most addresses name something."""

    client: TestClient
    database: Database

    @cached_property
    def forms(self) -> list[Form]:
        """One form of each kind, as its page had it when first asked."""
        return list(every_form(self.client))

    def as_it_is_now(self, form: Form) -> dict[str, str]:
        """Return the fields of a form on its page as it is now, those known before when it is not there any more."""
        found = page_of(self.client.get(form.page)).css(f'form[method=post][action="{form.action}"]')
        return fields_of(found[0]) if found else form.fields


@contextmanager
def demo_shop(folder: Path) -> Iterator[Demo]:
    settings = Settings(folder=folder, demo=True, now=Clock())
    filled(settings.file)
    app = create_app(settings)
    with TestClient(
        app, base_url="http://127.0.0.1", client=DESK, follow_redirects=False, raise_server_exceptions=False
    ) as client:
        yield Demo(client, app.state.database)


def every_form(client: TestClient) -> Iterator[Form]:
    """Follow links from the start and return a posting form of each kind found."""
    waiting, seen = ["/"], set()
    while waiting:
        path = waiting.pop(0)
        page = page_of(client.get(path))
        for form in page.css("form[method=post]"):
            action = form.attributes.get("action") or path
            if (kind := kind_of(action)) not in seen:
                seen.add(kind)
                yield Form(path, action, fields_of(form))
        for link in page.css("a[href^='/']"):
            address = (link.attributes["href"] or "").partition("#")[0]
            if (kind := f"page {kind_of(address)}") not in seen:
                seen.add(kind)
                waiting.append(address)


def fields_of(form: LexborNode) -> dict[str, str]:
    """Return what a browser would send of a form that nobody touched."""
    fields = {}
    for node in form.css("[name]"):
        name, kind = node.attributes["name"] or "", node.attributes.get("type")
        if kind not in ("checkbox", "radio") or "checked" in node.attributes:
            fields[name] = value_of(node)
    return fields


def value_of(field: LexborNode) -> str:
    chosen = field.css_first("option[selected]") or field.css_first("option") or field
    return chosen.attributes.get("value") or (field.text() if field.tag == "textarea" else "")


def kind_of(address: str) -> str:
    """Return an address without what tells one thing from another of its kind."""
    return re.sub(
        r"/working/.*|(?<=/handbook/)\w+/.*|(?<=/practice/).*|(?<=/operations/).*|\d+|\?.*", "", unquote(address)
    )
