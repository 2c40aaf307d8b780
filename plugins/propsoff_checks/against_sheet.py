"""One fact against the build sheet, in the words that the checks of numbers and names have in common."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from propsoff import Case, Expected, Finding
from propsoff_checks.words import cut


def figure(value: object, unit: str = "") -> str:
    """A value with its unit, as people write it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    told = f"{value:g}" if isinstance(value, float) and abs(value) < 1e6 else cut(str(value))
    return f"{told} {unit}" if unit else told or "(empty)"


def against_sheet(
    case: Case,
    fact: str,
    what: str,
    *,
    code: str,
    unit: str = "",
    why: str | None = None,
    steps: Sequence[str] = (),
    explains: Sequence[str] = (),
    fits: Callable[[Expected, object], bool] = Expected.allows,
    words: tuple[str, str] = ("no", "yes"),
) -> list[Finding]:
    """What is to say where the sheet names this fact: nothing when it is as expected, `unread` when it was not read.

    `what` names the fact for people; `fits` judges in place of a plain comparison; `words` are said of a fact that is
    false, and of one that is true.
    """
    expected, found = case.sheet.expected(fact), case.craft.value(fact)
    if expected is None:
        return []
    if found is None:
        return [case.unread(fact)]
    if fits(expected, found):
        return []
    wanted = _said(expected.only if expected.only is not None else str(expected), unit, words)
    actual = _said(found, unit, words)
    return [
        case.fail(
            f"{what} is {actual}, where it should be {wanted}",
            code=code,
            facts=(fact,),
            expected=wanted,
            actual=actual,
            why=why,
            settings=[(fact, expected.only)] if expected.only is not None else (),
            steps=steps,
            explains=explains,
        )
    ]


def _said(value: object, unit: str, words: tuple[str, str]) -> str:
    return words[value] if isinstance(value, bool) else figure(value, unit)


def by_sheet(case: Case, fact: str) -> bool:
    """Whether the sheet names this fact and it is as expected: then custom has nothing to say about it."""
    expected = case.sheet.expected(fact)
    return expected is not None and expected.allows(case.craft.value(fact))


def garbled(case: Case, *facts: str) -> list[str]:
    """Those of these facts that the board stated in a way that nobody could read."""
    wrong = {problem.fact for problem in case.craft.problems}
    return [fact for fact in facts if fact in wrong and case.craft.value(fact) is None]
