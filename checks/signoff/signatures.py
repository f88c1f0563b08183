"""Keys and signatures: Ed25519 (RFC 8032) over the canonical form of a statement.

A signer creates a key once and keeps its private part in a file, as PKCS #8 encrypted with a passphrase (PEM, RFC
7468). The asset owner enrols the public part. The program never stores a private key.
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
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_der_public_key,
    load_pem_private_key,
    load_pem_public_key,
)

from checks.signoff import key_files
from checks.text.canonical import canonical

SHORTEST = 12
"""Shortest passphrase [characters]."""
LONGEST = 1_000
"""Longest passphrase [bytes]; openssl takes 1,023."""
LARGEST_FILE = 10_000
OLDER = (
    "The passphrase of this key file is protected by an older derivation, which makes it easier to guess from a stolen file. "
    "The key stays valid; create a new key when convenient, and have it enrolled"
)


class KeyRefused(ValueError):
    """A key, passphrase or key file that cannot be used."""

    def __init__(self, problem: str, remedy: str) -> None:
        super().__init__(f"{problem}; {remedy}")


@dataclass(frozen=True, slots=True)
class NewKey:
    """A new key: its id, the public part to enrol, and the encrypted file for the signer (PEM)."""

    id: str
    public: str
    file: bytes


def make(passphrase: str) -> NewKey:
    """Create a key; raises KeyRefused for a passphrase that is too short."""
    if len(passphrase) < SHORTEST:
        raise KeyRefused(
            f"the passphrase has {len(passphrase)} characters",
            f"take at least {SHORTEST}: a few words that you remember",
        )
    if len(passphrase.encode()) > LONGEST:
        raise KeyRefused(f"the passphrase has {len(passphrase.encode()):,} bytes", f"take at most {LONGEST:,}")
    private = Ed25519PrivateKey.generate()
    plain = private.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    file = key_files.locked(plain, passphrase.encode())
    public = public_text(private.public_key())
    return NewKey(key_id(public), public, file)


def public_text(key: Ed25519PublicKey) -> str:
    """A public key as base64 of its SubjectPublicKeyInfo (DER, RFC 8410)."""
    return b64encode(key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)).decode()


def key_id(public: str) -> str:
    """Id of a public key: the first 16 hexadecimal digits of the SHA-256 of its DER form."""
    return sha256(b64decode(public)).hexdigest()[:16]


def read_public(text: str) -> str:
    """A public key from typed text, PEM or base64; raises KeyRefused."""
    raw = text.strip().encode()
    try:
        if raw.startswith(b"-----"):
            key = load_pem_public_key(raw)
        else:
            key = load_der_public_key(b64decode(raw, validate=True))
    except (ValueError, UnsupportedAlgorithm) as error:
        raise KeyRefused("this is no public key", "enter the public line shown when the key was created") from error
    if not isinstance(key, Ed25519PublicKey):
        raise KeyRefused("this is a public key of another kind", "only Ed25519 keys sign here")
    return public_text(key)


def unlock(file: bytes, passphrase: str) -> Ed25519PrivateKey:
    """The private key of a signer's file; raises KeyRefused for another kind of file or a wrong passphrase."""
    if len(file) > LARGEST_FILE:
        raise KeyRefused("this file is too large for a key", "choose your key file")
    if not passphrase:
        raise KeyRefused("no passphrase was given", "type the passphrase of this key")
    if len(passphrase.encode()) > LONGEST:
        raise KeyRefused("this passphrase is longer than that of any key made here", f"type at most {LONGEST} bytes")
    try:
        key_files.check(file)
        key = load_pem_private_key(file, passphrase.encode())
    except key_files.TooCostly as error:
        raise KeyRefused(
            "this key file asks for more time or memory than any key needs",
            "choose the file that was made with your key",
        ) from error
    except TypeError as error:
        raise KeyRefused("this key file is not encrypted", "create a key here: a passphrase is required") from error
    except (ValueError, UnsupportedAlgorithm) as error:
        reason = "the passphrase does not open this file, or it is no key file"
        raise KeyRefused(reason, "try again; nothing was signed") from error
    if not isinstance(key, Ed25519PrivateKey):
        raise KeyRefused("this is a key of another kind", "only Ed25519 keys sign here")
    return key


def without_passphrase(file: bytes) -> Ed25519PrivateKey:
    """The private key of a file without a passphrase, which only an installation has; raises KeyRefused."""
    try:
        key = load_pem_private_key(file, None)
    except (TypeError, ValueError, UnsupportedAlgorithm) as error:
        reason = "this is no key file without a passphrase"
        raise KeyRefused(reason, "make one with: openssl genpkey -algorithm ed25519 -out KEYFILE") from error
    if not isinstance(key, Ed25519PrivateKey):
        raise KeyRefused("this is a key of another kind", "only Ed25519 keys sign here")
    return key


def hint(file: bytes) -> str:
    """What to say about a key file that was unlocked; empty where nothing is to be said."""
    return OLDER if key_files.is_older(file) else ""


def sign(private: Ed25519PrivateKey, statement: Mapping[str, Any]) -> str:
    """Signature over the canonical form of a statement, base64."""
    return b64encode(private.sign(canonical(dict(statement)))).decode()


def holds(public: str, statement: Mapping[str, Any], signature: str) -> bool:
    """Whether a signature is by this key and over exactly this statement."""
    try:
        key = load_der_public_key(b64decode(public, validate=True))
        if not isinstance(key, Ed25519PublicKey):
            return False
        key.verify(b64decode(signature, validate=True), canonical(dict(statement)))
    except (InvalidSignature, NotBase64, ValueError, UnsupportedAlgorithm):
        return False
    return True
