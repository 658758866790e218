"""Where a rule is set: the symbolic address of a figure's rule as a link into the app."""

_PAGES = {
    "practice": "/shop/practice#{0}",
    "operation": "/shop/operations#{0}",
    "shop": "/shop#{0}",
    "price": "/prices/{0}",
    "piece": "/pieces/{0}#{1}",
    "run": "/runs/{0}#{1}",
    "handbook": "/handbook/{0}",
    "job": "/jobs/{0}/{1}#{2}",
}


def link(where: str) -> str:
    """Return the address of the page that sets it, empty when nothing does.

    where: for instance `practice:kerf`, `piece:7:length`, `job:3:terms`.
    """
    kind, *parts = where.split(":")
    if kind not in _PAGES or not parts:
        return ""
    return _PAGES[kind].format(*parts, "", "").rstrip("#")
