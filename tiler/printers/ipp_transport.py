"""One IPP request over HTTP or HTTPS to one printer, bounded in time and size (RFC 8010, 4).

Nothing is followed: no redirect, no proxy, no name beyond the one the user gave.
"""

from __future__ import annotations

import contextlib
import http.client
import re
import socket
import ssl
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlsplit

from tiler.errors import PrinterError, UsageError

PORT = 631
"""Of ipp: and ipps: (RFC 3510, RFC 7472)."""

PATIENCE = 8.0
"""Seconds for one answer."""

LARGEST_ANSWER = 8_000_000
"""Bytes; a printer with a long list of media sends a few hundred kilobytes."""

_HOST = re.compile(r"[A-Za-z0-9._:%-]{1,253}")
_PATH = re.compile(r"/[!-~]{0,1000}")


@dataclass(frozen=True)
class Address:
    """Where a printer is."""

    secure: bool
    """True for ``ipps:``."""
    host: str
    port: int
    path: str

    @property
    def uri(self) -> str:
        """The address as the protocol carries it."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"{'ipps' if self.secure else 'ipp'}://{host}:{self.port}{self.path}"


def parse_address(text: str) -> Address:
    """Take an ``ipp:`` or ``ipps:`` address apart; port 631 and ``/ipp/print`` unless it says otherwise.

    Raises:
        UsageError: It is none.

    >>> parse_address("ipp://printer.local").uri
    'ipp://printer.local:631/ipp/print'
    """
    problem = UsageError(
        f"'{text[:100]}' is not the address of a printer", "write it as in ipp://192.168.1.20/ipp/print"
    )
    try:
        parts = urlsplit(text.strip())
        port = parts.port or PORT
    except ValueError:
        raise problem from None
    path = parts.path if parts.path not in ("", "/") else "/ipp/print"  # IPP Everywhere, PWG 5100.14, 4.2
    host = parts.hostname or ""
    good = parts.scheme in ("ipp", "ipps") and _HOST.fullmatch(host) and _PATH.fullmatch(path)
    if not good or parts.username is not None or parts.query or parts.fragment:
        raise problem
    return Address(parts.scheme == "ipps", host, port, path)


def ask(address: Address, request: bytes, any_certificate: bool = False) -> bytes:
    """Send one IPP message and return the answer's octets.

    Args:
        address: The printer.
        request: The message.
        any_certificate: True accepts a certificate that nobody vouches for, as most printers have.

    Raises:
        PrinterError: Nobody answers, in time, in IPP or at all.
    """
    deadline = time.monotonic() + PATIENCE
    connection = _connection(address, any_certificate)
    try:
        connection.connect()
        with _ending_at(deadline, connection.sock):
            connection.request("POST", address.path, request, {"Content-Type": "application/ipp"})
            with connection.getresponse() as answer:
                body = _body(answer, address)
        if time.monotonic() >= deadline:
            raise _too_slow(address)
    except ssl.SSLCertVerificationError:
        raise PrinterError(
            f"nobody vouches for the certificate of {address.uri}",
            "if this is your own printer on a network you trust, allow any certificate",
        ) from None
    except (OSError, http.client.HTTPException) as error:
        if isinstance(error, TimeoutError) or time.monotonic() >= deadline:
            raise _too_slow(address) from None
        reason = getattr(error, "strerror", None) or type(error).__name__
        raise PrinterError(
            f"{address.uri} cannot be reached ({reason})", "check the address and that the printer is on"
        ) from None
    finally:
        connection.close()
    if answer.status != http.client.OK:
        raise PrinterError(f"{address.uri} answers with HTTP status {answer.status}", _remedy(answer.status))
    return body


def _connection(address: Address, any_certificate: bool) -> http.client.HTTPConnection:
    if not address.secure:
        return http.client.HTTPConnection(address.host, address.port, timeout=PATIENCE)
    context = ssl.create_default_context()
    if any_certificate:
        context.check_hostname = False
        context.verify_mode = ssl.CERT_NONE
    return http.client.HTTPSConnection(address.host, address.port, timeout=PATIENCE, context=context)


@contextlib.contextmanager
def _ending_at(deadline: float, line: socket.socket) -> Iterator[None]:
    """Hang up at the deadline, whatever is still to come: a socket's timeout counts from octet to octet."""

    def hang_up() -> None:
        with contextlib.suppress(OSError):
            line.shutdown(socket.SHUT_RDWR)

    timer = threading.Timer(max(0.0, deadline - time.monotonic()), hang_up)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def _body(answer: http.client.HTTPResponse, address: Address) -> bytes:
    """The answer, if it is not without end."""
    body = answer.read(LARGEST_ANSWER + 1)
    if len(body) > LARGEST_ANSWER:
        raise PrinterError(f"{address.uri} sends an answer without end", "check that it is a printer")
    if answer.length:  # octets that were announced and did not come
        raise http.client.IncompleteRead(body)
    return body


def _too_slow(address: Address) -> PrinterError:
    return PrinterError(
        f"{address.uri} did not answer within {PATIENCE:g} seconds", "wake the printer and try again"
    )


def _remedy(status: int) -> str:
    if status in (401, 403):
        return "it wants a password: type its margins by hand with --margins"
    if status == 426:
        return "it wants a secure connection: write ipps:// instead of ipp://"
    return "check the path of the address; most printers use /ipp/print"
