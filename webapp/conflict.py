"""Two people saved the same thing: the second is told, sees both, and chooses."""

from collections.abc import Mapping

from fastapi import Request, Response

from webapp.render import page
from webapp.store.rows import ChangedMeanwhile


def conflict(
    request: Request,
    changed: ChangedMeanwhile,
    *,
    labels: Mapping[str, str],
    stored: Mapping[str, str],
    theirs: str,
) -> Response:
    """Return status 409 with what was typed beside what is stored.

    labels: field name -> its label; stored: field name -> text as the form would show it;
    theirs: the page that shows what was saved.
    """
    posted = dict(request.state.posted)
    return page(
        request,
        "changed_meanwhile",
        status=409,
        version=changed.version,
        posted=posted,
        differences=differences(posted, labels, stored),
        theirs=theirs,
    )


def differences(
    posted: Mapping[str, str], labels: Mapping[str, str], stored: Mapping[str, str]
) -> tuple[tuple[str, str, str], ...]:
    """Return the label, what was typed and what is stored of every field where the two differ."""
    return tuple(
        (label, posted.get(name, ""), stored.get(name, ""))
        for name, label in labels.items()
        if posted.get(name, "").replace("\r\n", "\n").strip() != stored.get(name, "").strip()
    )
