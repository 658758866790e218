"""Refuses a write that another web site started, and says in headers what a page of ours may do.

The request check is that of Go 1.25's http.CrossOriginProtection: Sec-Fetch-Site where the browser sends it, else
Origin against Host; a client that sends neither is no browser and carries nobody's page.
"""

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from webapp.errors import alone

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


def is_same_site(method: str, headers: Headers) -> bool:
    """Whether this request may change something."""
    if method in SAFE_METHODS:
        return True
    if site := headers.get("sec-fetch-site"):
        return site in ("same-origin", "none")
    if not (origin := headers.get("origin")):
        return True
    try:
        host = urlsplit(origin).netloc
    except ValueError:
        return False
    return host != "" and host == headers.get("host")


class SameSite:
    """ASGI middleware: the check above, and the headers on every reply."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-cache")
                headers.add_vary_header("HX-Request")
            await send(message)

        if is_same_site(scope["method"], Headers(scope=scope)):
            await self.app(scope, receive, send_with_headers)
        else:
            words = "Another web site asked for this change. Open Benchday itself and do it there."
            refusal = alone(403, "Nothing was changed", words)
            await refusal(scope, receive, send_with_headers)
