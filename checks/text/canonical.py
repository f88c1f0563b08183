"""Canonical JSON (RFC 8785), the input to hashes and signatures."""

from __future__ import annotations

from typing import Any

import rfc8785


def canonical(value: Any) -> bytes:
    """Canonical form of JSON data (RFC 8785), UTF-8."""
    return rfc8785.dumps(value)
