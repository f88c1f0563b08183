"""The canonical form of JSON data (RFC 8785): what hashes and signatures are over."""

from __future__ import annotations

from typing import Any

import rfc8785


def canonical(value: Any) -> bytes:
    """The canonical form of JSON data after RFC 8785."""
    return rfc8785.dumps(value)
