"""Where a rule is set: the symbolic address of a figure's rule as a link into the app."""

import re
from urllib.parse import quote

_PAGES = {
    "practice": "/shop/practice#{0}",
    "operation": "/shop/operations#{0}",
    "shop": "/shop#{0}",
    "terms": "/shop/terms#{0}",
    "stock": "/stock",
    "rack": "/rack/{0}",
    "price": "/prices/{0}",
    "cost": "/costs/{0}",
    "piece": "/pieces/{0}#{1}",
    "order": "/orders/{0}",
    "person": "/shop/people/{0}",
    "handbook": "/handbook/{0}",
    "job": "/jobs/{0}/{1}#{2}",
}


def link(where: str) -> str:
    """Return the address of the page that sets it, empty when nothing does.

    where: for instance `practice:kerf`, `piece:7:length`, `job:3:terms`; `material:KEY` leads to typing its price.
    """
    kind, _, rest = where.partition(":")
    parts = rest.split(":") if rest else []
    if kind == "material" and rest:
        return f"/prices/new?material={quote(rest)}"
    if kind == "handbook" and len(parts) > 1:
        return f"/handbook/{parts[0]}#{anchor(':'.join(parts[1:]))}"
    if kind == "shop" and parts[:1] == ["terms"]:
        kind, parts = "terms", parts[1:]
    if where == "shop:hours":
        return "/shop/hours"
    if kind not in _PAGES or not (parts or kind in ("terms", "stock")):
        return ""
    return _PAGES[kind].format(*parts, "", "").rstrip("#")


def anchor(name: str) -> str:
    """Return the id of a handbook entry on its page: `hickory-shagbark`."""
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")


def own_path(path: str, otherwise: str) -> str:
    """Return the path when it is one of ours: no address from a form or a query leads elsewhere."""
    return path if path.startswith("/") and not path.startswith(("//", "/\\")) else otherwise
