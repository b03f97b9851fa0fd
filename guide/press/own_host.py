"""Whose requests the preview answers: those of a browser that was sent to it by name, from no page but its own.

The preview shows what is not published yet, numbers of cars seen included. Any page that an editor has open in the same
browser can make it ask for addresses of this computer, and a name of somebody else's may lead here ("DNS rebinding").
So a request has to name this computer itself as its host (RFC 9110, 7.2: the name that the browser was given), and one
that another site's page made is refused unless it opens the preview in a window of its own (W3C, "Fetch Metadata
Request Headers"; WHATWG Fetch, "Origin"). A browser too old to say so is kept from using the answer by the policies
that go with it. Websockets, which know no such policy, have to be opened by a page of the preview (RFC 6455, 10.2).
"""

from __future__ import annotations

from collections.abc import Mapping

from tornado import web

__all__ = ["HOSTS", "OwnHost", "answers"]

HOSTS = ("127.0.0.1", "localhost")
_SECURITY = {
    "Cross-Origin-Resource-Policy": "same-origin",
    "Content-Security-Policy": "frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
}


def answers(headers: Mapping[str, str], port: int) -> bool:
    """Tell whether a request with these headers (names in small letters) is answered at a port of this computer."""
    own = {f"{host}:{port}" for host in HOSTS} | ({*HOSTS} if port == 80 else set())
    if headers.get("host", "").lower() not in own:
        return False
    origin = headers.get("origin")
    if origin is not None:
        return origin.lower() in {f"http://{host}" for host in own}
    if headers.get("sec-fetch-site", "none") in ("none", "same-origin"):
        return True
    return headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"


class OwnHost(web.RequestHandler):
    """Refuses, before all else, what is not asked of the preview by its own name or is asked by another site."""

    def set_default_headers(self) -> None:
        for name, value in _SECURITY.items():
            self.set_header(name, value)

    def prepare(self) -> None:
        headers = {name.lower(): value for name, value in self.request.headers.items()}
        if not answers(headers, int(self.application.settings["port"])):
            raise web.HTTPError(421)  # RFC 9110, 15.5.20: misdirected request
