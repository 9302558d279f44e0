"""A stage for IPP tests: an encoder of its own, a server in this process, and the real ``ippeveprinter``.

All of it speaks to 127.0.0.1 only.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import socket
import ssl
import struct
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from ipaddress import ip_address
from pathlib import Path

EVERYWHERE = shutil.which("ippeveprinter") or shutil.which("ippeveprinter", path="/usr/sbin")
DBUS = shutil.which("dbus-daemon")


def attribute(tag: int, name: str, value: bytes) -> bytes:
    """One attribute as RFC 8010, 3.1.4 lays it out."""
    key = name.encode()
    return struct.pack(">BH", tag, len(key)) + key + struct.pack(">H", len(value)) + value


def keyword(name: str, value: str) -> bytes:
    return attribute(0x44, name, value.encode())


def integer(value: int) -> bytes:
    return struct.pack(">i", value)


def member(name: str, tag: int, value: bytes) -> bytes:
    """A member of a collection (RFC 8010, 3.1.6)."""
    return attribute(0x4A, "", name.encode()) + attribute(tag, "", value)


def collection(name: str, *members: bytes) -> bytes:
    return attribute(0x34, name, b"") + b"".join(members) + attribute(0x37, "", b"")


def media_size(x: int | None, y: int, ranged: bool = False) -> bytes:
    inner = member("y-dimension", 0x21, integer(y))
    if ranged:
        inner += member("x-dimension", 0x33, struct.pack(">ii", 7600, 21600))
    elif x is not None:
        inner += member("x-dimension", 0x21, integer(x))
    return attribute(0x4A, "", b"media-size") + collection("", inner)


def media_col(
    name: str, x: int, y: int, margins: tuple[int, int, int, int] | None, *more: bytes, ranged: bool = False
) -> bytes:
    """A media collection; margins top, right, bottom, left in 1/100 mm."""
    members = [media_size(x, y, ranged)]
    if margins is not None:
        for edge, value in zip(("top", "right", "bottom", "left"), margins, strict=True):
            members.append(member(f"media-{edge}-margin", 0x21, integer(value)))
    return collection(name, *members, *more)


def answer(*attributes: bytes, status: int = 0) -> bytes:
    """A response with one group of printer attributes."""
    head = struct.pack(">BBHI", 2, 0, status, 1)
    operation = b"\x01" + attribute(0x47, "attributes-charset", b"utf-8")
    return head + operation + b"\x04" + b"".join(attributes) + b"\x03"


@dataclass
class FakePrinter:
    """A server that answers every request with the same octets and remembers what it was asked."""

    body: bytes
    status: int = 200
    chunked: bool = False
    drip: float = 0.0
    """Seconds between single octets of the body."""
    cut: int | None = None
    """Octets after which it hangs up."""
    choose: Callable[[bytes], bytes] | None = None
    """Picks the body by the request."""
    sent: int = 0
    """Octets of the body that were let out drip by drip."""
    asked: list[bytes] = field(default_factory=list)
    paths: list[str] = field(default_factory=list)

    @contextlib.contextmanager
    def open(self, certificate: Path | None = None) -> Iterator[int]:
        """Run on a free port of 127.0.0.1 and yield it."""
        server = ThreadingHTTPServer(("127.0.0.1", 0), _handler(self))
        server.daemon_threads = True
        if certificate is not None:
            context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            context.load_cert_chain(certificate)
            server.socket = context.wrap_socket(server.socket, server_side=True)
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
        thread.start()
        try:
            yield server.server_address[1]
        finally:
            server.shutdown()
            server.server_close()
            thread.join()


def _handler(printer: FakePrinter) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_POST(self) -> None:
            request = self.rfile.read(int(self.headers["Content-Length"]))
            printer.asked.append(request)
            printer.paths.append(self.path)
            body = printer.choose(request) if printer.choose else printer.body
            self.send_response(printer.status)
            self.send_header("Content-Type", "application/ipp")
            self.send_header("Connection", "close")
            if printer.chunked:
                self.send_header("Transfer-Encoding", "chunked")
                body = b"".join(b"%x\r\n%s\r\n" % (len(p), p) for p in (body[:7], body[7:])) + b"0\r\n\r\n"
            else:
                self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self._send(body[: printer.cut])

        def _send(self, body: bytes) -> None:
            with contextlib.suppress(OSError):
                if not printer.drip:
                    self.wfile.write(body)
                    return
                for octet in body:
                    self.wfile.write(bytes([octet]))
                    printer.sent += 1
                    time.sleep(printer.drip)

        def log_message(self, format: str, *args: object) -> None:
            """Quiet."""

    return Handler


def self_signed(folder: Path) -> Path:
    """A certificate for 127.0.0.1 that nobody vouches for, with its key, as printers make them."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "127.0.0.1")])
    now = datetime.now(UTC)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ip_address("127.0.0.1"))]), False)
        .sign(key, hashes.SHA256())
    )
    plain = serialization.NoEncryption()
    pem = serialization.Encoding.PEM
    path = folder / "printer.pem"
    path.write_bytes(
        key.private_bytes(pem, serialization.PrivateFormat.PKCS8, plain) + certificate.public_bytes(pem)
    )
    return path


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextlib.contextmanager
def everywhere_printer(folder: Path) -> Iterator[tuple[str, Path]]:
    """The real ``ippeveprinter`` on a free port: its address and the folder in which it keeps the jobs.

    It wants a D-Bus system bus even when it announces nothing, so it gets a private one.
    """
    assert EVERYWHERE is not None
    assert DBUS is not None
    bus = folder / "bus"
    (folder / "bus.conf").write_text(
        "<!DOCTYPE busconfig PUBLIC '-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN' "
        "'http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd'>"
        f"<busconfig><type>system</type><listen>unix:path={bus}</listen>"
        "<policy context='default'><allow send_destination='*' eavesdrop='true'/><allow eavesdrop='true'/>"
        "<allow own='*'/><allow user='*'/></policy></busconfig>"
    )
    spool = folder / "spool"
    spool.mkdir()
    port = free_port()
    with contextlib.ExitStack() as stack:
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        daemon = [DBUS, f"--config-file={folder / 'bus.conf'}", "--nofork"]
        stack.callback(_stop, subprocess.Popen(daemon, **quiet))  # type: ignore[call-overload]
        _wait(bus.exists)
        program = [EVERYWHERE, "-n", "localhost", "-p", str(port), "-r", "off", "-2", "-s", "10,10", "-k"]
        program += ["-d", str(spool), "-f", "application/pdf", "Lab Printer"]
        environment = {**os.environ, "DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={bus}"}
        stack.callback(_stop, subprocess.Popen(program, env=environment, **quiet))  # type: ignore[call-overload]
        _wait(lambda: _listens(port))
        yield f"ipp://localhost:{port}/ipp/print", spool


def _stop(process: subprocess.Popen[bytes]) -> None:
    process.terminate()
    try:
        process.wait(5)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def _listens(port: int) -> bool:
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 0.2):
        return True
    return False


def _wait(ready: Callable[[], bool]) -> None:
    for _ in range(200):
        if ready():
            return
        time.sleep(0.05)
    raise AssertionError("a program of the stage did not start within 10 seconds")
