"""What verifies the other side of a connection."""

from __future__ import annotations

import ssl
from pathlib import Path

from propsoff.exceptions import ConfigError


def tls_context(ca_file: Path | None) -> ssl.SSLContext:
    """A context that verifies certificate and name, by `ca_file` or what the system trusts. Raises ConfigError."""
    try:
        return ssl.create_default_context(cafile=ca_file)
    except OSError as error:  # ssl.SSLError is one
        raise ConfigError(f"the certificates cannot be read: {error.strerror or error}", source=ca_file) from None
