"""Values with something beside them: a comment, a range, what a number means, quotes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.measures import measure

_QUOTED = re.compile(r'"([^"]*)"')
_FRAMED = re.compile(r"([\[<({])\s*([^\[\]<>(){}]+?)\s*([\])>}])(?:\s+(\S{1,12}))?")
_NOTED = re.compile(r"(.*?\S)(\s+(?:#|//|--|<-)\s*)(\S.*)")
_BRACKETED = re.compile(r"([^(\[{<]*?[^(\[{<\s])(\s*[(\[{<]\s*)([^()\[\]{}<>]+?)(\s*[)\]}>])(.*)")
_APART = re.compile(
    r"([^,;|]*?[^,;|\s])(\s*[,;|]\s+|\s+)((?:default|def|range|min|max|was|of|factory|limits?|allowed)\b.*)",
    re.IGNORECASE,
)
_MEANT = re.compile(r"([+-]?\w+)(\s*(?:=|->|:|-)\s*)([^\W\d].*)")


@dataclass(frozen=True, slots=True)
class Variant:
    """The part of a value that counts: its text, the form that takes it out as the field `value`, a unit beside it."""

    text: str
    form: str
    unit: str = ""


def variants_of(text: str) -> Iterator[Variant]:
    """The ways to take a value without what stands beside it."""
    text = text.strip()
    for variant in _all(text):
        try:
            fields = compile_template(variant.form).match(text)
        except TemplateError:
            continue
        if fields is not None and fields.get("value") == variant.text:
            yield variant


def _all(text: str) -> Iterator[Variant]:
    if (quoted := _QUOTED.fullmatch(text)) is not None:
        yield Variant(quoted[1], "{value:quoted}")
    if (framed := _FRAMED.fullmatch(text)) is not None:
        unit = framed[4] or ""
        form = f"{escaped(framed[1])}{{value:words}}{escaped(framed[3])}" + (f" {escaped(unit)}" if unit else "")
        yield Variant(framed[2], form, unit if measure(unit) else "")
    if (noted := _NOTED.fullmatch(text)) is not None:
        yield _before(noted[1], noted[2], noted[3])
    if (apart := _APART.fullmatch(text)) is not None:
        yield _before(apart[1], apart[2], "")
    if (bracketed := _BRACKETED.fullmatch(text)) is not None and not _goes_on(bracketed[5]):
        yield _before(bracketed[1], bracketed[2], bracketed[3])
        if not bracketed[5].strip():
            form = "{_:words}" + escaped(bracketed[2]) + "{value:words}" + escaped(bracketed[4])
            yield Variant(bracketed[3], form)
    if (meant := _MEANT.fullmatch(text)) is not None:
        yield Variant(meant[3], "{_:word}" + escaped(meant[2]) + "{value:rest}")


def _before(value: str, mark: str, beside: str) -> Variant:
    kind = "words" if " " in value else "word"
    first = beside.split()[0] if beside.split() else ""
    unit = next((said for said in (beside, first) if said and measure(said) is not None), "")
    spaced = " " if mark[:1].isspace() else ""
    return Variant(value, f"{{value:{kind}}}{spaced}{escaped(mark.strip())}{{_:rest}}", unit)


def _goes_on(rest: str) -> bool:
    """Whether words stand behind a bracket: then it is part of a name, and no remark."""
    return rest[:1].isspace() and rest.strip()[:1].isalpha()
