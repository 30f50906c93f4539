"""A secure line (TLS) before a server of the tests' own, with certificates of their own.

The server that comes as a wheel knows no TLS. The relay answers as one that does, and passes on
what comes over the secure line.
"""

import select
import socket
import ssl
import struct
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

_ASKS_FOR_TLS: Final = struct.pack("!ii", 8, 80877103)
"""What a client asks first.

Source: PostgreSQL's manual, "Frontend/Backend Protocol", "SSL Session Encryption".
"""

_PIECE: Final = 65_536


@dataclass(frozen=True)
class Authority:
    """Who signs certificates: its own one, as a file that a client names as `sslrootcert`."""

    certificate: Path
    own: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def authority(folder: Path, name: str) -> Authority:
    """Make somebody who signs certificates."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = _named(name)
    basics = x509.BasicConstraints(ca=True, path_length=None)
    own = (
        _begun(subject, subject, key, days=30)
        .add_extension(basics, critical=True)
        .sign(key, hashes.SHA256())
    )
    file = folder / f"{name}.crt"
    file.write_bytes(own.public_bytes(serialization.Encoding.PEM))
    return Authority(file, own, key)


def shown_for(who: Authority, folder: Path, host: str, *, days: int = 30) -> ssl.SSLContext:
    """Return what a server shows that has a certificate for a host, valid until so many days."""
    key = ec.generate_private_key(ec.SECP256R1())
    of_host = x509.SubjectAlternativeName([x509.DNSName(host)])
    signed = (
        _begun(_named(host), who.own.subject, key, days=days)
        .add_extension(of_host, critical=False)
        .sign(who.key, hashes.SHA256())
    )
    file = folder / f"{host}-{days}.pem"
    pem, open_key = serialization.Encoding.PEM, serialization.NoEncryption()
    private = key.private_bytes(pem, serialization.PrivateFormat.PKCS8, open_key)
    file.write_bytes(private + signed.public_bytes(pem))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(file)
    return context


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _begun(
    subject: x509.Name, signer: x509.Name, key: ec.EllipticCurvePrivateKey, *, days: int
) -> x509.CertificateBuilder:
    now = datetime.now(UTC)
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(signer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=60))
        .not_valid_after(now + timedelta(days=days))
    )


@contextmanager
def secure_line(server_port: int, shown: ssl.SSLContext) -> Iterator[tuple[int, list[str]]]:
    """Stand before a server; yield the port, and how each line was secured (the version of TLS)."""
    versions: list[str] = []
    with closing(socket.create_server(("127.0.0.1", 0))) as door:

        def let_in() -> None:
            with suppress(OSError):  # of the door, which is closed at the end
                while True:
                    client = door.accept()[0]
                    threading.Thread(
                        target=_pass_on, args=(client, server_port, shown, versions), daemon=True
                    ).start()

        guard = threading.Thread(target=let_in, daemon=True)
        guard.start()
        yield door.getsockname()[1], versions
        door.shutdown(socket.SHUT_RDWR)
        guard.join(10)


def _pass_on(
    client: socket.socket, server_port: int, shown: ssl.SSLContext, versions: list[str]
) -> None:
    # A client that does not like the certificate hangs up; one that asks for no TLS is not let in.
    with suppress(OSError), client:
        if client.recv(len(_ASKS_FOR_TLS), socket.MSG_WAITALL) != _ASKS_FOR_TLS:
            return
        client.sendall(b"S")
        with (
            shown.wrap_socket(client, server_side=True) as secure,
            socket.create_connection(("127.0.0.1", server_port)) as server,
        ):
            versions.append(secure.version() or "")
            _both_ways(secure, server)


def _both_ways(secure: ssl.SSLSocket, server: socket.socket) -> None:
    while True:
        # What is decrypted already is seen by no `select`.
        ready = [secure] if secure.pending() else select.select([secure, server], [], [])[0]
        for one in ready:
            piece = one.recv(_PIECE)
            if not piece:
                return
            (server if one is secure else secure).sendall(piece)
