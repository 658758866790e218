"""The only code that touches templates: whole pages, and fragments for htmx."""

import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit

from fastapi import Request
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse

from webapp import desk, filters, links
from webapp.places import STATIC, TEMPLATES
from webapp.store import history, shop
from webapp.store.form_key import new_key

_ID = re.compile(r"<[a-z-]+\b[^>]*?\sid=\"([^\"]+)\"")


def environment() -> Environment:
    env = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters.update(filters.FILTERS)
    env.globals.update(new_key=new_key, link=links.link, static=_static)
    return env


def page(
    request: Request, name: str, *, status: int = 200, headers: Mapping[str, str] | None = None, **values: Any
) -> HTMLResponse:
    """Return the page of a template, `take_off` for templates/take_off.html, with these values."""
    html = ENVIRONMENT.get_template(f"{name}.html").render(**_always(request), **values)
    return HTMLResponse(html, status_code=status, headers=dict(headers or {}))


Named = str | tuple[str, Mapping[str, Any]]
"""A fragment by its name, or by its name with values of its own, for one of several alike."""


def fragments(request: Request, noun: str, *names: Named, status: int = 200, **values: Any) -> HTMLResponse:
    """Return fragments of a page, templates/<noun>/<name>.html, each put in the place of the element with its id."""
    always = _always(request)
    named = [name if isinstance(name, tuple) else (name, {}) for name in names]
    parts = [_partial(f"{noun}/{name}.html", always, {**values, **own}) for name, own in named]
    return HTMLResponse("\n".join([*parts, _partial("shared/done.html", always, values)]), status_code=status)


def _partial(file: str, always: Mapping[str, Any], values: Mapping[str, Any]) -> str:
    html = ENVIRONMENT.get_template(file).render(**always, **values).strip()
    match = _ID.match(html)
    if not match:
        raise ValueError(f"the root element of {file} needs an id")
    return f'<hx-partial hx-target="#{match[1]}" hx-swap="outerHTML">{html}</hx-partial>'


def _always(request: Request) -> dict[str, Any]:
    """What every template may use: the request, the shop, the time, and what was just done."""
    with desk.reading(request) as db:
        ours = shop.load_shop(db)
        done = _done(request, db)
    return {
        "request": request,
        "path": _page_path(request),
        "shop": ours,
        "zone": ours.tz,
        "now": desk.now(request),
        "demo": request.app.state.settings.demo,
        "done": done,
    }


def _page_path(request: Request) -> str:
    """Return the path of the page a person looks at, also when htmx asks for pieces of it."""
    looked_at = urlsplit(request.headers.get("hx-current-url", "")).path if desk.is_htmx(request) else ""
    return looked_at or request.url.path


def _done(request: Request, db: Any) -> history.Action | None:
    """Return the action this page should tell of, named in the address after a write, or just done."""
    said = str(getattr(request.state, "action_id", None) or request.query_params.get("done", ""))
    if not (said.isascii() and said.isdigit() and len(said) < 12):
        return None
    return history.load_action(db, int(said))


def _static(name: str) -> Markup:
    """Return the address of a static file, changing with its content so that browsers notice."""
    changed = int((STATIC / name).stat().st_mtime)
    return Markup(f"/static/{name}?{changed}")


ENVIRONMENT = environment()
