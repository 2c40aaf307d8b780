"""What may be sent to a stranger."""

from __future__ import annotations

import pytest

from propsoff.console.budget import Budget
from propsoff.exceptions import BudgetError


def test_two_writes_and_thirty_two_bytes_are_the_most() -> None:
    budget = Budget()
    budget.spend(b"\r")
    budget.spend(b"x" * 31)
    assert (budget.writes, budget.bytes_sent) == (2, 32)
    with pytest.raises(BudgetError, match="32 in 2 writes were sent"):
        budget.spend(b"\r")
    assert (budget.writes, budget.bytes_sent) == (2, 32)


def test_a_third_write_is_refused_however_short() -> None:
    budget = Budget()
    budget.spend(b"\r")
    budget.spend(b"\r")
    with pytest.raises(BudgetError):
        budget.spend(b"\r")


def test_a_write_that_is_too_long_is_refused_whole() -> None:
    budget = Budget()
    with pytest.raises(BudgetError, match="33 more bytes"):
        budget.spend(b"x" * 33)
    assert (budget.writes, budget.bytes_sent) == (0, 0)
