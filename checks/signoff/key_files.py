"""Key files: how a new one is locked, and what trying the passphrase of any file costs, read before it is tried.

The file is PKCS #8 under a passphrase (EncryptedPrivateKeyInfo, RFC 5958) with PBES2 and PBKDF2 (RFC 8018) or scrypt (RFC 7914).
A file of 300 bytes may ask for hours, or for all memory. The library locks with 2,048 iterations and offers no other number, so
new files are locked here, in a form that any reader of PKCS #8 opens.
"""

from __future__ import annotations

from base64 import b64decode, b64encode
from secrets import token_bytes
from textwrap import wrap

from cryptography.hazmat import asn1
from cryptography.hazmat.primitives.ciphers import Cipher
from cryptography.hazmat.primitives.ciphers.algorithms import AES256
from cryptography.hazmat.primitives.ciphers.modes import CBC
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.pbkdf2 import PBKDF2HMAC
from cryptography.hazmat.primitives.padding import PKCS7
from cryptography.x509 import ObjectIdentifier

CURRENT = 600_000
"""Fewest iterations of PBKDF2-HMAC-SHA256 that are current: OWASP, Password Storage Cheat Sheet, 2023 (from memory)."""
ITERATIONS = CURRENT
"""Iterations for a new file: some tenths of a second."""
CURRENT_SCRYPT = 2**20
"""Least N r of scrypt that is current: N = 2**17, r = 8 (same source)."""
MOST_ITERATIONS = 5_000_000
"""Most iterations of PBKDF2: some seconds."""
MOST_MEMORY = 256 * 2**20
"""Most memory of scrypt, 128 N r [bytes]."""
MOST_WORK = 2**22
"""Most work of scrypt, N r p: some seconds."""
PLAIN, LOCKED = "PRIVATE KEY", "ENCRYPTED PRIVATE KEY"
"""Labels of PKCS #8 in a PEM file, without and with a passphrase (RFC 7468)."""
PBES2, PBKDF2, SCRYPT = "1.2.840.113549.1.5.13", "1.2.840.113549.1.5.12", "1.3.6.1.4.1.11591.4.11"
HMAC_SHA256, AES_256_CBC = "1.2.840.113549.2.9", "2.16.840.1.101.3.4.1.42"
"""Object identifiers of RFC 8018, RFC 7914 and of NIST (AES in CBC mode)."""


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


def locked(private: bytes, passphrase: bytes) -> bytes:
    """A key file (PEM) of a private key, given as PKCS #8 (DER), locked with PBKDF2-HMAC-SHA256 and AES-256-CBC."""
    salt, start = token_bytes(16), token_bytes(16)
    key = PBKDF2HMAC(SHA256(), 32, salt, ITERATIONS).derive(passphrase)
    padder, encryptor = PKCS7(128).padder(), Cipher(AES256(key), CBC(start)).encryptor()
    data = encryptor.update(padder.update(private) + padder.finalize()) + encryptor.finalize()
    pseudorandom = _Hash(algorithm=ObjectIdentifier(HMAC_SHA256), parameters=asn1.Null())
    derivation = _Pbkdf2(salt=salt, iterations=ITERATIONS, length=None, pseudorandom=pseudorandom)
    scheme = _Pbes2(derivation=_algorithm(PBKDF2, derivation), cipher=_algorithm(AES_256_CBC, start))
    body = asn1.encode_der(_Locked(algorithm=_algorithm(PBES2, scheme), data=data))
    lines = wrap(b64encode(body).decode(), 64)
    return "\n".join((f"-----BEGIN {LOCKED}-----", *lines, f"-----END {LOCKED}-----", "")).encode()


def _algorithm(name: str, parameters: object) -> _Algorithm:
    return _Algorithm(
        algorithm=ObjectIdentifier(name), parameters=asn1.decode_der(asn1.TLV, asn1.encode_der(parameters))
    )


def check(file: bytes) -> None:
    """Check the form of a key file, and what trying its passphrase costs; raises NoKeyFile and TooCostly."""
    derivation = _derivation(file)
    if isinstance(derivation, _Pbkdf2):
        costly = derivation.iterations > MOST_ITERATIONS
    elif isinstance(derivation, _Scrypt):
        work = derivation.n * derivation.r
        costly = 128 * work > MOST_MEMORY or work * derivation.p > MOST_WORK
    else:
        return
    if costly:
        raise TooCostly


def is_older(file: bytes) -> bool:
    """Whether the passphrase of a key file is easier to guess than that of a new one; raises NoKeyFile."""
    derivation = _derivation(file)
    if isinstance(derivation, _Pbkdf2):
        sha256 = derivation.pseudorandom is not None and derivation.pseudorandom.algorithm.dotted_string == HMAC_SHA256
        return not sha256 or derivation.iterations < CURRENT
    return isinstance(derivation, _Scrypt) and derivation.n * derivation.r < CURRENT_SCRYPT


def _derivation(file: bytes) -> _Pbkdf2 | _Scrypt | None:
    """The key derivation of a key file, None where it has no passphrase; raises NoKeyFile."""
    label, body = _block(file)
    if label == PLAIN:
        return None
    try:
        locked = asn1.decode_der(_Locked, body).algorithm
        if locked.algorithm.dotted_string != PBES2:
            raise NoKeyFile
        derivation = locked.parameters.parse(_Pbes2).derivation
        name = derivation.algorithm.dotted_string
        if name == PBKDF2:
            pbkdf2: _Pbkdf2 = derivation.parameters.parse(_Pbkdf2)
            return pbkdf2
        if name == SCRYPT:
            scrypt: _Scrypt = derivation.parameters.parse(_Scrypt)
            return scrypt
    except ValueError as error:
        raise NoKeyFile from error
    raise NoKeyFile


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
