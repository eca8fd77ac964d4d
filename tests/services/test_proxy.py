"""The proxy does to a request exactly what it says: seen from the phone's end and from the
server's.
"""

import http.client
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from tests.services.proxy import Fault, FaultingProxy

BODY = b'{"commands": [1, 2, 3, 4, 5, 6, 7, 8]}'


class Server(ThreadingHTTPServer):
    """Counts what arrives whole and what arrives cut."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.whole: list[bytes] = []
        self.cut: list[bytes] = []
        self.arrived = threading.Semaphore(0)


class Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: Server

    def do_POST(self) -> None:
        length = int(self.headers["Content-Length"])
        body = self.rfile.read(length)
        (self.server.whole if len(body) == length else self.server.cut).append(body)
        self.server.arrived.release()
        if len(body) < length:
            self.close_connection = True
            return
        answer = b"answer %d" % len(self.server.whole)
        self.send_response(200)
        self.send_header("Content-Length", str(len(answer)))
        self.send_header("X-Token", self.headers["X-Token"])
        self.end_headers()
        self.wfile.write(answer)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the parent's name
        """Silent."""


@pytest.fixture
def server() -> Iterator[Server]:
    with Server() as running:
        threading.Thread(target=running.serve_forever, args=[0.02], daemon=True).start()
        yield running
        running.shutdown()


@pytest.fixture
def proxy(server: Server) -> Iterator[FaultingProxy]:
    with FaultingProxy(f"http://127.0.0.1:{server.server_address[1]}") as running:
        yield running


def post(proxy: FaultingProxy, path: str = "/api/push", timeout: float = 10) -> bytes:
    connection = http.client.HTTPConnection(proxy.url.removeprefix("http://"), timeout=timeout)
    try:
        connection.request("POST", path, body=BODY, headers={"X-Token": "t"})
        reply = connection.getresponse()
        assert reply.status == 200
        return reply.read()
    finally:
        connection.close()


def test_lets_a_whole_request_and_its_answer_through(proxy: FaultingProxy, server: Server) -> None:
    assert post(proxy) == b"answer 1"
    assert server.whole == [BODY]


def test_keeps_a_connection_open_for_the_next_request(proxy: FaultingProxy) -> None:
    connection = http.client.HTTPConnection(proxy.url.removeprefix("http://"), timeout=10)
    for number in (1, 2):
        connection.request("POST", "/api/push", body=BODY, headers={"X-Token": "t"})
        reply = connection.getresponse()
        assert reply.getheader("X-Token") == "t"
        assert reply.read() == b"answer %d" % number
    connection.close()


def test_cuts_a_request_in_the_middle(proxy: FaultingProxy, server: Server) -> None:
    proxy.break_next("/api/push", Fault.CUT_REQUEST)
    with pytest.raises(OSError):
        post(proxy)
    assert server.arrived.acquire(timeout=10)
    assert server.whole == []
    assert server.cut == [BODY[: len(BODY) // 2]]


def test_loses_the_answer_after_the_server_took_the_request(
    proxy: FaultingProxy, server: Server
) -> None:
    proxy.break_next("/api/push", Fault.DROP_REPLY)
    with pytest.raises(OSError):
        post(proxy)
    assert server.whole == [BODY]
    assert post(proxy) == b"answer 2"


def test_sends_a_request_twice(proxy: FaultingProxy, server: Server) -> None:
    proxy.break_next("/api/push", Fault.DUPLICATE)
    assert post(proxy) == b"answer 2"
    assert server.whole == [BODY, BODY]
    assert proxy.count("/api/push") == 1


def test_hangs_without_reaching_the_server(proxy: FaultingProxy, server: Server) -> None:
    proxy.break_next("/api/push", Fault.HANG)
    with pytest.raises(TimeoutError):
        post(proxy, timeout=0.3)
    assert server.whole == []


def test_answers_with_a_page_of_the_network(proxy: FaultingProxy, server: Server) -> None:
    proxy.break_next("/api/push", Fault.HTML)
    assert b"Accept the terms" in post(proxy)
    assert server.whole == []


def test_goes_offline_also_for_an_open_connection(proxy: FaultingProxy, server: Server) -> None:
    connection = http.client.HTTPConnection(proxy.url.removeprefix("http://"), timeout=10)
    connection.request("POST", "/api/push", body=BODY, headers={"X-Token": "t"})
    connection.getresponse().read()
    proxy.go_offline()
    with pytest.raises((OSError, http.client.HTTPException)):
        connection.request("POST", "/api/push", body=BODY, headers={"X-Token": "t"})
        connection.getresponse()
    with pytest.raises(OSError):
        post(proxy)
    assert server.whole == [BODY]
    proxy.go_online()
    assert post(proxy) == b"answer 2"


def test_breaks_only_the_path_and_the_number_of_requests_asked_for(proxy: FaultingProxy) -> None:
    proxy.break_next("/api/pull", Fault.DROP_REPLY, times=2)
    post(proxy, "/api/push")
    for _ in range(2):
        with pytest.raises(OSError):
            post(proxy, "/api/pull")
    post(proxy, "/api/pull")
    assert [seen.fault for seen in proxy.seen] == [None, Fault.DROP_REPLY, Fault.DROP_REPLY, None]


def test_resets_where_the_server_is_down(server: Server) -> None:
    server.shutdown()
    server.server_close()
    with (
        FaultingProxy(f"http://127.0.0.1:{server.server_address[1]}") as proxy,
        pytest.raises(OSError),
    ):
        post(proxy)
