"""Keys and signatures: Ed25519 (RFC 8032) over the canonical form of what is stated.

A signer makes a key once and keeps its private part in a file of their own, as PKCS #8 encrypted under a passphrase
(PEM, RFC 7468). The public part is enrolled by the owner. The program never stores a private key.
"""

from __future__ import annotations

from base64 import b64decode, b64encode
from binascii import Error as NotBase64
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    PrivateFormat,
    PublicFormat,
    load_der_public_key,
    load_pem_private_key,
    load_pem_public_key,
)

from checks.text.canonical import canonical

SHORTEST = 12
"""Shortest passphrase [characters]."""
LARGEST_FILE = 10_000


class KeyRefused(ValueError):
    """A key, its passphrase or its file that cannot be used."""

    def __init__(self, found: str, do: str) -> None:
        super().__init__(f"{found}; {do}")


@dataclass(frozen=True, slots=True)
class NewKey:
    """A key just made: its name, the public part to enrol, and the encrypted file for the signer (PEM)."""

    id: str
    public: str
    file: bytes


def make(passphrase: str) -> NewKey:
    """Make a key; raises KeyRefused where the passphrase is too short."""
    if len(passphrase) < SHORTEST:
        raise KeyRefused(
            f"the passphrase has {len(passphrase)} characters",
            f"take at least {SHORTEST}: a few words that you remember",
        )
    private = Ed25519PrivateKey.generate()
    lock = BestAvailableEncryption(passphrase.encode())
    file = private.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, lock)
    public = public_text(private.public_key())
    return NewKey(key_id(public), public, file)


def public_text(key: Ed25519PublicKey) -> str:
    """A public key as base64 of its SubjectPublicKeyInfo (DER, RFC 8410)."""
    return b64encode(key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)).decode()


def key_id(public: str) -> str:
    """Name of a public key: the first 16 hexadecimal digits of the SHA-256 of its DER form."""
    return sha256(b64decode(public)).hexdigest()[:16]


def read_public(text: str) -> str:
    """A public key as somebody hands it in, PEM or base64; raises KeyRefused."""
    raw = text.strip().encode()
    try:
        if raw.startswith(b"-----"):
            found = load_pem_public_key(raw)
        else:
            found = load_der_public_key(b64decode(raw, validate=True))
    except (ValueError, UnsupportedAlgorithm) as error:
        raise KeyRefused("this is no public key", "enter the public line shown when the key was created") from error
    if not isinstance(found, Ed25519PublicKey):
        raise KeyRefused("this is a public key of another kind", "only Ed25519 keys sign here")
    return public_text(found)


def unlock(file: bytes, passphrase: str) -> Ed25519PrivateKey:
    """The private key of a signer's file; raises KeyRefused for another file or a wrong passphrase."""
    if len(file) > LARGEST_FILE:
        raise KeyRefused("this file is too large for a key", "choose your key file")
    if not passphrase:
        raise KeyRefused("no passphrase was given", "type the passphrase of this key")
    try:
        found = load_pem_private_key(file, passphrase.encode())
    except TypeError as error:
        raise KeyRefused("this key file is not encrypted", "create a key here: a passphrase is required") from error
    except (ValueError, UnsupportedAlgorithm) as error:
        what = "the passphrase does not open this file, or it is no key file"
        raise KeyRefused(what, "try again; nothing was signed") from error
    if not isinstance(found, Ed25519PrivateKey):
        raise KeyRefused("this is a key of another kind", "only Ed25519 keys sign here")
    return found


def sign(private: Ed25519PrivateKey, statement: Mapping[str, Any]) -> str:
    """Signature over the canonical form of a statement, base64."""
    return b64encode(private.sign(canonical(dict(statement)))).decode()


def holds(public: str, statement: Mapping[str, Any], signature: str) -> bool:
    """Whether a signature is that of this key over exactly this statement."""
    try:
        key = load_der_public_key(b64decode(public, validate=True))
        if not isinstance(key, Ed25519PublicKey):
            return False
        key.verify(b64decode(signature, validate=True), canonical(dict(statement)))
    except (InvalidSignature, NotBase64, ValueError, UnsupportedAlgorithm):
        return False
    return True
