"""From the options of a dialect file to decoders.

`DECODERS` is where a further decoder is added: a name, and a function from its options and the fact's specification.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction

from propsoff.craft.names import FactSpec
from propsoff.dialects import decode, decode_lists
from propsoff.dialects.build_bits import bit_of, bits_of, index_of, integer_of
from propsoff.dialects.decode import Decoder
from propsoff.dialects.section import Section, nearest
from propsoff.dialects.units import Scale, known_units, scale

_AXES = {"A": "A", "E": "E", "T": "T", "R": "R"}
_MOST_REST = 32


class Decoders:
    """Makes the decoder that a section's `as` asks for. `named` are the file's own decoders by name."""

    def __init__(self, named: Mapping[str, Section]) -> None:
        self._named = named
        self._used: set[str] = set()

    def of(self, section: Section, spec: FactSpec, key: str = "as") -> Decoder:
        """The decoder of a section: its own options after a decoder's name, or one of the file's.

        Raises DialectError.
        """
        name = section.text(key) if section.has(key) else _default(section, spec)
        if name in self._named:
            self._used.add(name)
            options = self._named[name].copy()
            found = self._made(options, options.text("as"), spec, "as")
            options.finish()
            return found
        return self._made(section, name, spec, key)

    def item_of(self, section: Section, spec: FactSpec) -> Decoder:
        """The decoder of the items of a list, from its key `each`: a name, or a table with options.

        Raises DialectError.
        """
        item = FactSpec(spec.name, spec.doc, spec.unit, spec.type, spec.choices, many=False)
        if isinstance(section.raw("each"), dict):
            options = section.section("each")
            found = self.of(options, item)
            options.finish()
            return found
        return self.of(section, item, "each")

    def unused(self) -> Section | None:
        """One of the file's decoders that no word uses, or None."""
        return next((section for name, section in self._named.items() if name not in self._used), None)

    def _made(self, section: Section, name: str, spec: FactSpec, key: str) -> Decoder:
        make = DECODERS.get(name)
        if make is None:
            section.fail(f"no such decoder: {name!r}", key, nearest(name, [*DECODERS, *self._named]))
        if spec.many and name not in ("list", "bits"):
            wanted = "the decoder must be 'list' or 'bits'"
            section.fail(f"{spec.name} is a list: {wanted}, not {name!r}", key if section.has(key) else None)
        return make(self, section, spec)


def _default(section: Section, spec: FactSpec) -> str:
    """The decoder that a fact has when the file names none."""
    if spec.many:
        return "list"
    if spec.choices:
        section.fail(f'{spec.name} takes fixed words: write as = "choice" and the words', hint=", ".join(spec.choices))
    return {str: "text", int: "number", float: "number", bool: "yes-no"}[spec.type]


def _for_types(section: Section, spec: FactSpec, decoder: str, *types: type) -> None:
    if spec.type not in types or spec.choices:
        kind = f"one of {', '.join(spec.choices)}" if spec.choices else f"of type {spec.type.__name__}"
        section.fail(
            f"{spec.name} is {kind}: decoder {decoder!r} does not give that", "as" if section.has("as") else None
        )


def _text(_: Decoders, section: Section, spec: FactSpec) -> Decoder:
    _for_types(section, spec, "text", str)
    return decode.Text(section.truth("lower", False), section.text_or("before", ""))


def _integer(_: Decoders, section: Section, spec: FactSpec) -> Decoder:
    _for_types(section, spec, "integer", int)
    return integer_of(section)


def _number(_: Decoders, section: Section, spec: FactSpec) -> Decoder:
    _for_types(section, spec, "number", int, float)
    suffix = section.text_or("suffix", "")
    return decode.Number(
        whole=spec.type is int,
        suffix=suffix,
        scale=_scale(section, spec, suffix),
        decimals=section.whole("decimals", 0, most=9),
        board_whole=section.truth("whole", False),
        comma=section.truth("comma", False),
    )


def _scale(section: Section, spec: FactSpec, suffix: str) -> Scale:
    if section.has("factor"):
        if section.has("unit"):
            section.fail("either 'unit' or 'factor', not both", "factor")
        factor = section.number("factor", Decimal(1))
        if factor <= 0:
            section.fail("a factor is greater than 0", "factor")
        return Scale(Fraction(factor))
    unit = section.text_or("unit", suffix if suffix in known_units() and spec.unit else "")
    if not unit:
        return Scale()
    if unit not in known_units():
        section.fail(f"no such unit: {unit!r}", "unit", nearest(unit, known_units()))
    found = scale(unit, spec.unit)
    if found is None:
        key = "unit" if section.has("unit") else "suffix"
        section.fail(f"{unit!r} cannot become {spec.unit or 'a number without unit'}, the unit of {spec.name}", key)
    return found


def _yes_no(_: Decoders, section: Section, spec: FactSpec) -> Decoder:
    _for_types(section, spec, "yes-no", bool)
    yes, no = section.texts("yes", ["true"]), section.texts("no", ["false"])
    if not yes or not no:
        section.fail("at least one word each for 'yes' and 'no'", "no" if yes else "yes")
    if both := set(yes) & set(no):
        section.fail(f"{min(both)!r} cannot mean both yes and no", "no")
    return decode.YesNo(yes, no)


def _choice(_: Decoders, section: Section, spec: FactSpec) -> Decoder:
    if spec.type is not str:
        _for_types(section, spec, "choice", str)
    words = section.section("words")
    taken: dict[str, str] = {}
    for word in words.names():
        taken[word] = words.text(word)
        if spec.choices and taken[word] not in spec.choices:
            words.fail(f"{spec.name} cannot be {taken[word]!r}", word, nearest(taken[word], spec.choices))
    keep = section.text_or("others", "problem")
    if keep not in ("problem", "keep"):
        section.fail("expected 'problem' or 'keep'", "others")
    if keep == "keep" and spec.choices:
        section.fail(f"{spec.name} takes fixed words only: others cannot be kept", "others")
    if not taken and keep != "keep":
        section.fail("at least one word is needed", "words")
    return decode.Choice(taken, keep == "keep")


def _axis_names(section: Section, key: str, *, single: bool) -> Mapping[str, str]:
    names = section.section(key, required=not single)
    taken = {name: names.text(name) for name in names.names()} or _AXES
    if sorted(taken.values()) != ["A", "E", "R", "T"]:
        section.fail("each of A, E, T and R needs one name", key)
    wrong = next((name for name in taken if any(char.isdigit() for char in name) or (single and len(name) != 1)), None)
    if wrong is not None:
        section.fail("one letter each" if single else "a name has no digits", key)
    return taken


def _letters(_: Decoders, section: Section, spec: FactSpec) -> Decoder:
    _for_types(section, spec, "letters", str)
    names = _axis_names(section, "letters", single=True)
    separator = _between_axes(section, section.text_or("separator", ""))
    return decode_lists.Letters(names, separator, section.whole("rest", 0, most=_MOST_REST))


def _axes(_: Decoders, section: Section, spec: FactSpec) -> Decoder:
    _for_types(section, spec, "axes", str)
    names = _axis_names(section, "names", single=False)
    separator = _between_axes(section, _separator(section))
    return decode_lists.Axes(names, separator, section.whole("rest", 0, most=_MOST_REST))


def _between_axes(section: Section, separator: str) -> str:
    if any(char.isalnum() for char in separator):
        section.fail("a separator of axes has no letters and no digits", "separator")
    return separator


def _separator(section: Section) -> str:
    separator = section.text_or("separator", ",")
    if not separator:
        section.fail("a separator is at least one character; a blank stands for any run of blanks", "separator")
    return separator


def _list(decoders: Decoders, section: Section, spec: FactSpec) -> Decoder:
    if not spec.many:
        section.fail(f"{spec.name} is no list", "as" if section.has("as") else None)
    empty = section.texts("empty", [])
    wrong = next((item for item in empty if spec.choices and item not in spec.choices), None)
    if wrong is not None:
        section.fail(f"{spec.name} cannot be {wrong!r}", "empty", nearest(wrong, spec.choices))
    return decode_lists.ListOf(
        decoders.item_of(section, spec),
        _separator(section),
        empty,
        section.text_or("empty_said", ""),
        section.text_or("behind", ""),
    )


DECODERS: Mapping[str, Callable[[Decoders, Section, FactSpec], Decoder]] = {
    "text": _text,
    "integer": _integer,
    "number": _number,
    "yes-no": _yes_no,
    "choice": _choice,
    "letters": _letters,
    "axes": _axes,
    "list": _list,
    "bits": bits_of,
    "bit": bit_of,
    "index": index_of,
}
