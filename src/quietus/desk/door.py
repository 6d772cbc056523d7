"""Who may come in, and what every answer tells the browser to keep to itself.

The printed address carries a token that works once. Whoever opens it first gets a cookie, and only the holder of that
cookie gets anything at all. A page of another site can send the browser here, but it can't read the answer, its forms
lack the form token, and a host name that it points at this machine is turned away.
"""

import hmac
import secrets
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = "Content-Security-Policy"
_NO_SCRIPT = (
    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
WITH_SCRIPT = f"{_NO_SCRIPT}; script-src 'self'"
"""Of a page that has a script: one that lies in `static`, never one that stands on the page."""
HEADERS = {
    POLICY: _NO_SCRIPT,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "X-Robots-Tag": "noindex",
}
"""Stand on every answer. Pages but one have no script at all, so none is allowed there."""

_SECRET_BYTES = 32


class Door:
    """The secrets of one run of the desk, all of them random and gone when it ends.

    Args:
        port: the port it listens on, at 127.0.0.1.

    Attributes:
        form_token: what a form has to send along.
        hosts: the host names it answers to.
    """

    def __init__(self, port: int) -> None:
        self._port = port
        self._token = secrets.token_urlsafe(_SECRET_BYTES)
        self._cookie = secrets.token_urlsafe(_SECRET_BYTES)
        self._names = secrets.token_bytes(_SECRET_BYTES)
        self._spent = False
        self.form_token = secrets.token_urlsafe(_SECRET_BYTES)
        names = ("127.0.0.1", "localhost")
        self.hosts = frozenset([f"{name}:{port}" for name in names] + ([*names] if port == 80 else []))

    @property
    def address(self) -> str:
        """The address to open, with the token that works once."""
        return f"http://127.0.0.1:{self._port}/?token={self._token}"

    @property
    def cookie_name(self) -> str:
        """Cookies don't know ports: two desks on one machine need two names."""
        return f"quietus-desk-{self._port}"

    def trade(self, token: str) -> str | None:
        """The cookie's value for the token, the first time; afterwards None."""
        if self._spent or not _same(token, self._token):
            return None
        self._spent = True
        return self._cookie

    def admits(self, cookie: str) -> bool:
        """True for the cookie's value."""
        return _same(cookie, self._cookie)

    def fits_form(self, token: str) -> bool:
        """True for the form token."""
        return _same(token, self.form_token)

    def alias(self, slug: str) -> str:
        """What stands for a short name in addresses, which the browser writes into its history."""
        return hmac.digest(self._names, slug.encode(), "sha256").hex()[:24]


def _same(left: str, right: str) -> bool:
    return hmac.compare_digest(left.encode(errors="surrogatepass"), right.encode())


def guarded(app: ASGIApp, door: Door) -> ASGIApp:
    """`app` behind the door: strangers get one plain sentence, and every answer carries `HEADERS`."""

    async def guard(scope: Scope, receive: Receive, send: Send) -> None:
        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                scripted = headers.get(POLICY) == WITH_SCRIPT
                headers.update(HEADERS | ({POLICY: WITH_SCRIPT} if scripted else {}))
            await send(message)

        answer = _turned_away(scope, door) if scope["type"] == "http" else None
        await (answer or app)(scope, receive, send_with_headers)

    return guard


def _turned_away(scope: Scope, door: Door) -> Response | None:
    """What a stranger gets; None for the holder of the cookie."""
    headers = Headers(scope=scope)
    if headers.getlist("host") != [headers.get("host", "")] or headers.get("host", "").lower() not in door.hosts:
        return _stop("This page answers only to the address that quietus printed.")
    tokens = parse_qs(scope["query_string"].decode("latin-1")).get("token", [])
    known = door.admits(_cookie(headers.get("cookie", ""), door.cookie_name))
    if tokens and scope["method"] == "GET" and scope["path"] == "/":
        return _let_in(door, tokens[0], known=known)
    return None if known else _stop("Open the address that `quietus desk` printed, in the browser that opened it.")


def _let_in(door: Door, token: str, *, known: bool) -> Response:
    cookie = None if known else door.trade(token)
    if not known and cookie is None:
        return _stop("This address was opened before, or is wrong: end `quietus desk` with Ctrl-C and start it again.")
    answer = RedirectResponse("/", status_code=303)
    if cookie:
        answer.set_cookie(door.cookie_name, cookie, path="/", httponly=True, samesite="strict")
    return answer


def _cookie(header: str, name: str) -> str:
    try:
        morsel = SimpleCookie(header).get(name)
    except CookieError:
        return ""
    return morsel.value if morsel else ""


def _stop(sentence: str) -> Response:
    return PlainTextResponse(sentence + "\n", status_code=403)
