"""One address for every kind of page, found by following links."""

import re
from collections.abc import Callable, Collection, Iterator
from typing import Any
from urllib.parse import urljoin, urlsplit

from selectolax.lexbor import LexborHTMLParser

Get = Callable[[str], Any]
"""Gets a path and returns a reply with status_code, headers and text."""


def kinds_of_page(get: Get, *starts: str, but: Collection[str] = ()) -> tuple[str, ...]:
    """Return a path per kind of page and of file that links lead to. but: paths that are left alone."""
    found: dict[str, str] = {}
    waiting = list(starts)
    while waiting:
        path = waiting.pop(0)
        kind = kind_of(path)
        if kind in found or path in but:
            continue
        reply = get(path)
        assert reply.status_code == 200, f"{path} answers {reply.status_code}"
        found[kind] = path
        if "text/html" in reply.headers["content-type"]:
            waiting += [link for link in _links(reply.text, path) if link not in waiting]
    return tuple(sorted(found.values()))


def kind_of(path: str) -> str:
    """Return a path without what tells pages of one kind apart, numbers and what is asked for: `/jobs/N/pieces`."""
    short = re.sub(r"/working/.*", "/working", path)
    return re.sub(r"=[^&]*", "=", re.sub(r"\d+", "N", short))


def _links(html: str, path: str) -> Iterator[str]:
    for anchor in LexborHTMLParser(html).css("a[href]"):
        parts = urlsplit(urljoin(path, anchor.attributes["href"] or ""))
        if not parts.scheme and not parts.netloc:
            yield parts.path + (f"?{parts.query}" if parts.query else "")
