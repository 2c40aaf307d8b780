"""The built-in dialects, loaded once."""

from __future__ import annotations

import pytest

from propsoff.dialects.catalogue import catalogue
from propsoff.dialects.model import Dialect


@pytest.fixture(scope="session")
def dialects() -> dict[str, Dialect]:
    """The built-in dialects by id."""
    return {dialect.id: dialect for dialect in catalogue().dialects}
