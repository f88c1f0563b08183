"""Bounds of a key file, read before its passphrase is tried: a file of 300 bytes may ask for hours, or for all memory.

The file is PKCS #8 under a passphrase (EncryptedPrivateKeyInfo, RFC 5958) with PBES2 and PBKDF2 (RFC 8018) or scrypt (RFC 7914).
"""

from __future__ import annotations

from base64 import b64decode

from cryptography.hazmat import asn1
from cryptography.x509 import ObjectIdentifier

MOST_ITERATIONS = 5_000_000
"""Most iterations of PBKDF2: some seconds."""
MOST_MEMORY = 256 * 2**20
"""Most memory of scrypt, 128 N r [bytes]."""
MOST_WORK = 2**22
"""Most work of scrypt, N r p: some seconds."""
PLAIN, LOCKED = "PRIVATE KEY", "ENCRYPTED PRIVATE KEY"
"""Labels of PKCS #8 in a PEM file, without and with a passphrase (RFC 7468)."""
PBES2, PBKDF2, SCRYPT = "1.2.840.113549.1.5.13", "1.2.840.113549.1.5.12", "1.3.6.1.4.1.11591.4.11"


class NoKeyFile(ValueError):
    """A file that is not a single PKCS #8 key as written here or by openssl."""


class TooCostly(ValueError):
    """A key file whose passphrase would take too long to try, or too much memory."""


@asn1.sequence
class _Algorithm:
    algorithm: ObjectIdentifier
    parameters: asn1.TLV


@asn1.sequence
class _Hash:
    algorithm: ObjectIdentifier
    parameters: asn1.Null | None


@asn1.sequence
class _Locked:
    algorithm: _Algorithm
    data: bytes


@asn1.sequence
class _Pbes2:
    derivation: _Algorithm
    cipher: _Algorithm


@asn1.sequence
class _Pbkdf2:
    salt: bytes
    iterations: int
    length: int | None
    pseudorandom: _Hash | None


@asn1.sequence
class _Scrypt:
    salt: bytes
    n: int
    r: int
    p: int
    length: int | None


def check(file: bytes) -> None:
    """Check the form of a key file, and what trying its passphrase costs; raises NoKeyFile and TooCostly."""
    label, body = _block(file)
    if label == PLAIN:
        return
    try:
        locked = asn1.decode_der(_Locked, body).algorithm
        if locked.algorithm.dotted_string != PBES2:
            raise NoKeyFile
        derivation = locked.parameters.parse(_Pbes2).derivation
        name = derivation.algorithm.dotted_string
        if name == PBKDF2:
            costly = derivation.parameters.parse(_Pbkdf2).iterations > MOST_ITERATIONS
        elif name == SCRYPT:
            cost = derivation.parameters.parse(_Scrypt)
            costly = 128 * cost.n * cost.r > MOST_MEMORY or cost.n * cost.r * cost.p > MOST_WORK
        else:
            raise NoKeyFile
    except ValueError as error:
        raise NoKeyFile from error
    if costly:
        raise TooCostly


def _block(file: bytes) -> tuple[str, bytes]:
    """Label and content of the only block of a PEM file."""
    try:
        first, *lines, last = file.decode("ascii").strip().splitlines()
        label = first.strip().removeprefix("-----BEGIN ").removesuffix("-----")
        if label not in (PLAIN, LOCKED) or last.strip() != f"-----END {label}-----":
            raise NoKeyFile
        return label, b64decode("".join(line.strip() for line in lines), validate=True)
    except ValueError as error:
        raise NoKeyFile from error
