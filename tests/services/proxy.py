"""A network with faults: stands between the phone and the server and breaks what it is told to
break.

It speaks plain HTTP/1.1 on localhost, so that the browser's service worker goes through it too. It
changes nothing in a request or reply that it lets through, but for the one file that a test says
belongs to a newer build, and it knows nothing about what they mean.
"""

import http.client
import socket
import struct
import threading
import time
from collections import deque
from dataclasses import dataclass
from enum import StrEnum
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import TracebackType
from typing import Self
from urllib.parse import urlsplit

HOP_BY_HOP = {"connection", "keep-alive", "transfer-encoding", "content-length", "date", "server"}
CONDITIONS = {"if-none-match", "if-modified-since"}
PORTAL_PAGE = b"<!doctype html><title>Welcome</title><p>Accept the terms to use this network.</p>"


class Fault(StrEnum):
    CUT_REQUEST = "the connection breaks half-way through the request"
    DROP_REPLY = "the server answers, and the answer is lost"
    DUPLICATE = "the request arrives twice; the phone sees the second answer"
    HANG = "nothing comes back"
    HANG_AFTER = "the server answers, and the connection then says nothing"
    HTML = "a sign-in page of the network answers instead, with 200"


@dataclass(frozen=True)
class Seen:
    """One request that reached the proxy."""

    method: str
    path: str
    fault: Fault | None


@dataclass
class _Plan:
    path: str
    fault: Fault
    times: int


@dataclass(frozen=True)
class _Reply:
    status: int
    headers: list[tuple[str, str]]
    body: bytes


class FaultingProxy:
    """`with FaultingProxy("http://127.0.0.1:8000") as proxy`; the phone gets `proxy.url`."""

    def __init__(self, upstream: str) -> None:
        parts = urlsplit(upstream)
        assert parts.hostname and parts.port, upstream
        self.upstream = (parts.hostname, parts.port)
        self.seen: deque[Seen] = deque(maxlen=10_000)
        self._offline = threading.Event()
        self._released = threading.Event()
        self._plans: list[_Plan] = []
        self._tails: dict[str, bytes] = {}
        self._lock = threading.Lock()
        self._server = _Listener(self)
        self._thread = threading.Thread(target=self._server.serve_forever, args=[0.02], daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._released.set()
        self._server.shutdown()
        self._server.server_close()

    @property
    def url(self) -> str:
        return f"http://localhost:{self._server.server_address[1]}"

    def break_next(self, path: str, fault: Fault, times: int = 1) -> None:
        """The next `times` requests whose path begins with `path` meet the fault."""
        with self._lock:
            self._plans.append(_Plan(path, fault, times))

    def break_from_now(self, path: str, fault: Fault, times: int = 1) -> None:
        """As `break_next`, in the place of all that was planned, with no gap between."""
        with self._lock:
            self._plans = [_Plan(path, fault, times)]

    def release_a_new_build(self, path: str, tail: bytes) -> None:
        """From now on this file of the app ends differently, as after an update of the server."""
        self._tails[path] = tail

    def tail_of(self, path: str) -> bytes:
        return self._tails.get(path, b"")

    def go_offline(self) -> None:
        """Every connection is reset, those already open included."""
        self._offline.set()

    def go_online(self) -> None:
        """The network is whole again: planned faults are forgotten and what hangs is let go."""
        with self._lock:
            self._plans.clear()
        self._released.set()
        self._released = threading.Event()
        self._offline.clear()

    def count(self, path: str) -> int:
        """How many requests for this path reached the proxy."""
        return sum(seen.path.startswith(path) for seen in list(self.seen))

    def wait_for(self, path: str, fault: Fault) -> None:
        """Until a request has met the fault."""
        deadline = time.monotonic() + 30
        while not any(s.path.startswith(path) and s.fault is fault for s in list(self.seen)):
            assert time.monotonic() < deadline, f"no {path} that met {fault!r}"
            time.sleep(0.02)

    @property
    def is_offline(self) -> bool:
        return self._offline.is_set()

    def fault_for(self, method: str, path: str) -> Fault | None:
        with self._lock:
            plan = next((p for p in self._plans if path.startswith(p.path) and p.times > 0), None)
            if plan is not None:
                plan.times -= 1
        fault = plan.fault if plan else None
        self.seen.append(Seen(method, path, fault))
        return fault

    def wait_for_release(self) -> None:
        self._released.wait(timeout=600)


class _Listener(ThreadingHTTPServer):
    daemon_threads = True

    def __init__(self, proxy: FaultingProxy) -> None:
        self.proxy = proxy
        super().__init__(("127.0.0.1", 0), _Connection)

    def handle_error(self, request: object, client_address: object) -> None:
        """A connection that breaks is what this proxy is for; there is nothing to report."""


class _Connection(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    # Head and body are two writes: the second would wait 40 ms for the word that the first is in.
    disable_nagle_algorithm = True
    server: _Listener

    def handle_one_request(self) -> None:
        if self.server.proxy.is_offline:
            self._reset()
            return
        super().handle_one_request()

    def pass_on(self) -> None:
        proxy = self.server.proxy
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        if proxy.is_offline:
            self._reset()
            return
        fault = proxy.fault_for(self.command, self.path)
        try:
            self._meet(fault, body)
        except (OSError, http.client.HTTPException):
            self._reset()

    do_GET = pass_on  # noqa: N815 - the name is the parent's
    do_HEAD = pass_on  # noqa: N815 - the name is the parent's
    do_POST = pass_on  # noqa: N815 - the name is the parent's
    do_PUT = pass_on  # noqa: N815 - the name is the parent's
    do_PATCH = pass_on  # noqa: N815 - the name is the parent's
    do_DELETE = pass_on  # noqa: N815 - the name is the parent's
    do_OPTIONS = pass_on  # noqa: N815 - the name is the parent's

    def _meet(self, fault: Fault | None, body: bytes) -> None:
        if fault is Fault.HTML:
            self._send(_Reply(200, [("Content-Type", "text/html; charset=utf-8")], PORTAL_PAGE))
        elif fault in {Fault.HANG, Fault.HANG_AFTER}:
            if fault is Fault.HANG_AFTER:
                self._ask(body)
            self.server.proxy.wait_for_release()
            self._reset()
        elif fault is Fault.CUT_REQUEST:
            self._ask(body, keep=len(body) // 2)
            self._reset()
        elif fault is Fault.DROP_REPLY:
            self._ask(body)
            self._reset()
        else:
            if fault is Fault.DUPLICATE:
                self._ask(body)
            reply = self._ask(body)
            assert reply is not None
            self._send(reply)

    def _ask(self, body: bytes, keep: int | None = None) -> _Reply | None:
        """Asks the server. With `keep`, sends that much of the body and hangs up."""
        upstream = http.client.HTTPConnection(*self.server.proxy.upstream, timeout=120)
        try:
            upstream.putrequest(self.command, self.path, skip_host=True, skip_accept_encoding=True)
            tail = self.server.proxy.tail_of(self.path)
            # A file of a newer build is never "not modified".
            dropped = {"connection", "keep-alive"} | (CONDITIONS if tail else set())
            for name, value in self.headers.items():
                if name.lower() not in dropped:
                    upstream.putheader(name, value)
            upstream.putheader("Connection", "close")
            upstream.endheaders(body if keep is None else body[:keep])
            if keep is not None:
                return None
            answer = upstream.getresponse()
            return _Reply(answer.status, answer.getheaders(), answer.read() + tail)
        finally:
            upstream.close()

    def _send(self, reply: _Reply) -> None:
        self.send_response_only(reply.status)
        for name, value in reply.headers:
            if name.lower() not in HOP_BY_HOP:
                self.send_header(name, value)
        if reply.status not in {204, 304}:
            self.send_header("Content-Length", str(len(reply.body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(reply.body)

    def _reset(self) -> None:
        """Ends the connection as a lost network does: no goodbye, no reply."""
        self.close_connection = True
        self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        self.connection.close()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the name is the parent's
        """Silent: `FaultingProxy.seen` is the log."""
