"""The page's server: loopback only, one token, no foreign host or origin, small requests."""

from __future__ import annotations

import hmac
import json
import secrets
import tomllib
from collections.abc import Iterator
from html import escape
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bayonet.designfile import edited
from bayonet.errors import BayonetError, DesignError, ExportError
from bayonet.live import work
from bayonet.live.form import as_value, fields_of
from bayonet.live.session import Session
from bayonet.live.worker import Job
from bayonet.parts import loads
from bayonet.report.page import PAGE_SCRIPTS, assets

MOST_TEXT_BYTES = 1_000_000
MOST_SCAN_BYTES = 200_000_000
_EYE_CHORD_MM = 0.06


class Guard:
    """Refuses what does not come from this machine's own page."""

    def __init__(self, app: ASGIApp, *, session: Session, port: int) -> None:
        self._app, self._token = app, session.token
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or say why not."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        why = self._why_not(request)
        if why:
            await Response(why, status_code=403)(scope, receive, send)
            return
        most = MOST_SCAN_BYTES if request.url.path == "/scan" else MOST_TEXT_BYTES
        length = request.headers.get("content-length", "0")
        if not length.isdigit() or int(length) > most:
            await Response("too large", status_code=413)(scope, receive, send)
            return
        await self._app(scope, _limited(receive, most), _with_policy(scope, send))

    def _why_not(self, request: Request) -> str:
        if request.headers.get("host") not in self._hosts:
            return "another host"
        origin = request.headers.get("origin")
        if origin is not None and origin.removeprefix("http://") not in self._hosts:
            return "another origin"
        told = request.headers.get("x-token") or request.query_params.get("token") or ""
        return "" if hmac.compare_digest(told.encode(), self._token.encode()) else "no token"


def _limited(receive: Receive, most: int) -> Receive:
    """A body told in pieces ends where it becomes too long."""
    seen = 0

    async def get() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most:
            return {"type": "http.disconnect"}
        return message

    return get


def _with_policy(scope: Scope, send: Send) -> Send:
    nonce = secrets.token_urlsafe(16)
    scope["nonce"] = nonce
    policy = (
        f"default-src 'none'; script-src 'nonce-{nonce}'; style-src 'nonce-{nonce}'"
        " 'unsafe-hashes'; connect-src 'self'; img-src 'self' data: blob:; base-uri 'none';"
        " form-action 'none'; frame-ancestors 'none'"
    )
    told = (
        ("content-security-policy", policy), ("referrer-policy", "no-referrer"),
        ("x-content-type-options", "nosniff"), ("cache-control", "no-store"),
        ("cross-origin-resource-policy", "same-origin"),
    )  # fmt: skip

    async def put(message: Message) -> None:
        if message["type"] == "http.response.start":
            more = [(name.encode(), value.encode()) for name, value in told]
            message["headers"] = [*message["headers"], *more]
        await send(message)

    return put


def application(session: Session, *, port: int) -> Starlette:
    """The server of one session.

    Parameters
    ----------
    session : Session
    port : int
        It is reached at, for the guard.

    Returns
    -------
    starlette.applications.Starlette
    """
    server = _Server(session)
    routes = [
        Route("/", server.page),
        Route("/start", server.start),
        Route("/judge", server.judge, methods=["POST"]),
        Route("/solids", server.solids, methods=["POST"]),
        Route("/why", server.why, methods=["POST"]),
        Route("/save", server.save, methods=["POST"]),
        Route("/make", server.make, methods=["POST"]),
        Route("/scan", server.scan, methods=["POST"]),
        Route("/files/{name}", server.file),
    ]
    guard = Middleware(Guard, session=session, port=port)
    return Starlette(routes=routes, middleware=[guard])


class _Server:
    def __init__(self, session: Session) -> None:
        self._session = session

    async def page(self, request: Request) -> Response:
        nonce = request.scope["nonce"]
        scripts = "\n".join(
            f'<script nonce="{nonce}">{text}</script>'
            for text in (*(assets(name) for name in PAGE_SCRIPTS), _own("live.js"))
        )
        style = f'<style nonce="{nonce}">{assets("style.css")}{_own("live.css")}</style>'
        text = _own("live.html").replace("{name}", escape(self._session.file.name))
        text = text.replace("{folder}", escape(str(self._session.folder)))
        text = text.replace("{style}", style).replace("{scripts}", scripts)
        return Response(text, media_type="text/html")

    async def start(self, request: Request) -> Response:  # noqa: ARG002
        session = self._session
        return JSONResponse({"text": session.text(), "sum": session.sum_on_disk()})

    async def judge(self, request: Request) -> Response:
        asked = await _asked(request)
        page, number = str(asked.get("page", "")), int(asked.get("number", 0))
        self._session.asks(page, number)
        return _lines(self._judged(asked, page, number))

    def _judged(self, asked: dict[str, Any], page: str, number: int) -> Iterator[dict[str, Any]]:
        text = asked["text"]
        try:
            text = _set(text, asked.get("set", []))
            yield {"step": "text", "text": text, "tables": fields_of(text)}
            loads(text, file=self._session.file.name)
        except (BayonetError, tomllib.TOMLDecodeError) as error:
            yield {"step": "problems", "problems": _problems(error)}
            return
        yield from self._done(work.judging, text, wanted=lambda: self._session.wants(page, number))

    def _done(self, job: Job, *arguments: Any, kernel: bool = False, wanted: Any = None) -> Any:
        """Messages of a job; what goes wrong is the last of them."""
        worker = self._session.kernel if kernel else self._session.thinking
        try:
            yield from worker.stream(job, *arguments, wanted=wanted or (lambda: True))
        except BayonetError as error:
            yield {"step": "problems", "problems": work.problems_of(error)}
        except KeyError as error:
            yield {"step": "problems", "problems": _problems(error)}

    async def solids(self, request: Request) -> Response:
        asked = await _asked(request)
        page, number = f"{asked.get('page', '')} solids", int(asked.get("number", 0))
        self._session.asks(page, number)
        return _lines(
            self._done(
                work.building, asked["text"], _EYE_CHORD_MM, kernel=True,
                wanted=lambda: self._session.wants(page, number),
            )
        )  # fmt: skip

    async def why(self, request: Request) -> Response:
        asked = await _asked(request)
        return _lines(self._done(work.explaining, asked["text"], str(asked["code"])))

    async def save(self, request: Request) -> Response:
        asked = await _asked(request)
        try:
            loads(asked["text"], file=self._session.file.name)
            told = self._session.save(asked["text"], seen=str(asked.get("sum", "")))
        except BayonetError as error:
            return JSONResponse({"problems": work.problems_of(error)}, status_code=409)
        return JSONResponse({"sum": told, "file": self._session.file.name})

    async def make(self, request: Request) -> Response:
        asked = await _asked(request)
        name, folder = self._session.file.name, str(self._session.folder)
        return _lines(self._done(work.making, asked["text"], name, folder, kernel=True))

    async def scan(self, request: Request) -> Response:
        name = request.query_params.get("name", "scan.stl")
        data = await request.body()
        return _lines(self._done(work.scanning, data, name, kernel=True))

    async def file(self, request: Request) -> Response:
        name = request.path_params["name"]
        there = {one.name: one for one in self._session.folder.glob("*") if one.is_file()}
        if name not in there:
            return Response("no such file", status_code=404)
        return FileResponse(there[name], filename=name)


def _own(name: str) -> str:
    return (files("bayonet.live") / "data" / name).read_text("utf-8")


async def _asked(request: Request) -> dict[str, Any]:
    found = json.loads(await request.body())
    if not isinstance(found, dict) or not isinstance(found.get("text"), str):
        raise ExportError("no request of the page")
    return found


def _set(text: str, changes: list[Any]) -> str:
    """A text with the fields set that a person typed, or that an advice names."""
    for path, value in changes:
        text = edited(text, {str(path): as_value(value) if isinstance(value, str) else value})
    return text


def _problems(error: Exception) -> list[dict[str, Any]]:
    if isinstance(error, DesignError):
        return work.problems_of(error)
    return [{"field": "", "rule": str(error), "value": "", "example": "", "line": None}]


def _lines(messages: Iterator[dict[str, Any]]) -> StreamingResponse:
    """Messages as lines of JSON, sent as they come."""
    rows = (json.dumps(one, ensure_ascii=False, allow_nan=False) + "\n" for one in messages)
    return StreamingResponse(rows, media_type="application/x-ndjson")
