"""A relay before a server: it counts the trips there and back, and can make the line a long one."""

import queue
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import partial

_GOODBYE = b"X\x00\x00\x00\x04"
"""What a client says last, and waits for no answer (PostgreSQL's manual, "Message Formats")."""

_CLIENT, _SERVER = "client", "server"


@dataclass
class Relay:
    """A relay that runs; `trips` are the trips there and back since it was last set to 0.

    Counted is what the wire shows: one for each connection that is made (TCP's own beginning), and
    one whenever the client sends anything after the server has spoken last, in whatever many
    statements. So what is asked of a certificate or a password is counted, too.
    """

    port: int
    trips: int = 0
    lock: threading.Lock = field(default_factory=threading.Lock)

    def add_trip(self) -> None:
        """Count a trip."""
        with self.lock:
            self.trips += 1

    def hear(self, speaker: str, spoke_last: list[str], data: bytes) -> None:
        """Count a trip where the client speaks after the server has spoken."""
        if not data or data == _GOODBYE:
            return
        if speaker == _CLIENT and spoke_last[0] == _SERVER:
            self.add_trip()
        spoke_last[0] = speaker


@contextmanager
def relayed(to_port: int, one_way_seconds: float = 0) -> Iterator[Relay]:
    """Relay connections on loopback to a server on loopback.

    Args:
        to_port: Of the server.
        one_way_seconds: How long whatever is sent is on its way.
    """
    lines: list[threading.Thread] = []
    with socket.create_server(("127.0.0.1", 0)) as door:
        relay = Relay(door.getsockname()[1])

        def let_in() -> None:
            with suppress(OSError):
                while True:
                    client, _ = door.accept()
                    relay.add_trip()
                    time.sleep(2 * one_way_seconds)
                    line = threading.Thread(
                        target=_join, args=(relay, client, to_port, one_way_seconds)
                    )
                    line.start()
                    lines.append(line)

        letting_in = threading.Thread(target=let_in)
        letting_in.start()
        try:
            yield relay
        finally:
            with suppress(OSError):
                door.shutdown(socket.SHUT_RDWR)
            for thread in (letting_in, *lines):
                thread.join()


def _join(relay: Relay, client: socket.socket, to_port: int, one_way_seconds: float) -> None:
    """Pass on what either says, until both are done."""
    spoke_last = [_SERVER]
    with client, socket.create_connection(("127.0.0.1", to_port)) as server:
        threads = []
        for source, target, speaker in ((client, server, _CLIENT), (server, client, _SERVER)):
            on_the_way = _OnTheWay(one_way_seconds)
            hear = partial(relay.hear, speaker, spoke_last)
            threads += [
                threading.Thread(target=_take, args=(source, hear, on_the_way)),
                threading.Thread(target=on_the_way.arrive, args=(target,)),
            ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()


class _OnTheWay:
    """What was sent in one direction and has not arrived."""

    def __init__(self, one_way_seconds: float) -> None:
        self._seconds = one_way_seconds
        self._sent: queue.SimpleQueue[tuple[float, bytes]] = queue.SimpleQueue()

    def put(self, data: bytes) -> None:
        """Send something; nothing is the end."""
        self._sent.put((time.monotonic() + self._seconds, data))

    def arrive(self, target: socket.socket) -> None:
        """Let everything arrive in its time."""
        data = b"."
        while data:
            due, data = self._sent.get()
            time.sleep(max(0.0, due - time.monotonic()))
            with suppress(OSError):
                if data:
                    target.sendall(data)
                else:
                    target.shutdown(socket.SHUT_WR)


def _take(source: socket.socket, hear: Callable[[bytes], None], on_the_way: _OnTheWay) -> None:
    data = b"."
    while data:
        try:
            data = source.recv(65536)
        except OSError:
            data = b""
        hear(data)
        on_the_way.put(data)
