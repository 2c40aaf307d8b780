"""Signatures of web calls by the open specification "Standard Webhooks" (standard-webhooks, version 1.0.0).

The signed content is `id.timestamp.body`, HMAC-SHA256, in base64 after `v1,`; keys are written `whsec_` and base64.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
from collections.abc import Sequence
from pathlib import Path

from propsoff.exceptions import ConfigError
from propsoff.outgoing.keyfile import secret_lines

_PREFIX = "whsec_"
_LEAST, _MOST = 24, 64
"""Bytes of a key, by the specification."""


def keys_in(path: Path) -> list[bytes]:
    """The keys in a file, one a line; several while a key is being replaced. Raises ConfigError."""
    keys = []
    for number, line in enumerate(secret_lines(path), start=1):
        if not line.startswith(_PREFIX):
            raise ConfigError(f"line {number} does not begin with {_PREFIX}", source=path)
        try:
            key = base64.b64decode(line.removeprefix(_PREFIX), validate=True)
        except binascii.Error:
            raise ConfigError(f"line {number} is no base64 after {_PREFIX}", source=path) from None
        if not _LEAST <= len(key) <= _MOST:
            raise ConfigError(f"the key in line {number} has {len(key)} bytes, not {_LEAST} to {_MOST}", source=path)
        keys.append(key)
    return keys


def signed_headers(message: str, timestamp_s: int, body: bytes, keys: Sequence[bytes]) -> dict[str, str]:
    """The headers of one attempt. `message` is the id, the same at each attempt; `timestamp_s` is Unix time."""
    content = f"{message}.{timestamp_s}.".encode() + body
    signatures = [base64.b64encode(hmac.digest(key, content, hashlib.sha256)).decode() for key in keys]
    return {
        "webhook-id": message,
        "webhook-timestamp": str(timestamp_s),
        "webhook-signature": " ".join(f"v1,{signature}" for signature in signatures),
    }
