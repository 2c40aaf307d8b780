"""The JSON Schema of a sheet: published as generated, and of one mind with the parser.

Judged by jsonschema, the reference implementation for Python, with formats checked (RFC 3339 dates).
"""

from __future__ import annotations

import copy
import datetime
import re
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.cli.demo_scenario import SHEETS
from propsoff.sheets.draft import draft_of
from propsoff.sheets.grammar import KINDS, faults_of, groups, sheet_shape
from propsoff.sheets.schema import published_schema, schema_text, sheet_schema
from propsoff_sim.catalogue import board_names
from tests_support.sheets import FULL, RICH, WRONG, read_craft

ROOT = Path(__file__).parents[2]
VALIDATOR = jsonschema.Draft202012Validator(sheet_schema(), format_checker=jsonschema.FormatChecker())


def as_json(value: Any, key: str = "") -> Any:
    """TOML as JSON: a day is a text there. Other dates and times have no likeness; null stands for them here."""
    if isinstance(value, dict):
        return {name: as_json(item, name) for name, item in value.items()}
    if isinstance(value, list):
        return [as_json(item) for item in value]
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat() if key == "until" else None
    return value


def valid(document: dict[str, Any]) -> bool:
    return bool(VALIDATOR.is_valid(as_json(document)))


def test_the_published_schema_is_the_one_that_the_parser_s_tables_say() -> None:
    file = ROOT / "daemon" / "propsoff" / "sheets" / "sheet.schema.json"
    assert file.read_text(encoding="utf-8") == schema_text()
    assert published_schema() == sheet_schema()
    jsonschema.Draft202012Validator.check_schema(published_schema())


def samples() -> list[str]:
    guide = (ROOT / "contrib" / "guide" / "sheets.md").read_text(encoding="utf-8")
    built_in = sorted((ROOT / "daemon" / "propsoff" / "sheets" / "builtin").glob("*.toml"))
    return [
        *SHEETS.values(),
        FULL,
        RICH,
        *(file.read_text(encoding="utf-8") for file in built_in),
        *re.findall(r"^```toml\n(.*?)^```", guide, re.MULTILINE | re.DOTALL),
        *(draft_of(read_craft(name), source=name) for name in board_names()),
    ]


SAMPLES = samples()


@pytest.mark.parametrize("text", SAMPLES)
def test_the_sheets_of_demo_guide_tests_and_drafts_are_valid(text: str) -> None:
    VALIDATOR.validate(as_json(tomllib.loads(text)))


REFUSED = [text for text, *_ in WRONG]


def test_what_the_parser_refuses_for_its_form_the_schema_refuses_too() -> None:
    by_form = 0
    for text in REFUSED:
        try:
            document = tomllib.loads(text)
        except ValueError:  # no TOML, or a number of too many digits for anybody
            continue
        wrong = list(faults_of(document))
        if "nan" in text or len(text) > 9000:  # numbers that JSON has not, or that Python cannot print for a message
            continue
        by_form += bool(wrong)
        assert valid(document) is not bool(wrong), text
    assert by_form > 60


ODD: st.SearchStrategy[Any] = st.one_of(
    st.sampled_from(
        [
            "any",
            "",
            " ",
            "AETR",
            "aetr 2 1",
            "AETT",
            "4.2.0",
            "serial",
            "53x20",
            "0x0",
            "yes",
            "a-b/c",
            "A b",
            "2026-12-31",
            "2026-13-31",
            True,
            False,
            0,
            1,
            1.0,
            -1,
            1.5,
            2**53,
            2**53 + 1,
            10**400,
            [],
            {},
            datetime.date(2026, 1, 1),
            datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC),
            datetime.time(1, 2),
            "x" * 201,
            "x" * 401,
        ]
    ),
    st.fixed_dictionaries(
        {},
        optional={
            key: st.sampled_from([0, 1, 5.5, -1, "1.2", "x", True, False, ""])
            for key in ("from", "to", "value", "tolerance", "pattern", "any", "unknown")
        },
    ),
)
VALUES = st.one_of(ODD, st.lists(ODD, max_size=3))
KEYS = sorted(sheet_shape().keys)


def paths_of(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    found = [path]
    if isinstance(value, dict | list):
        for key, item in value.items() if isinstance(value, dict) else enumerate(value):
            found += paths_of(item, (*path, key))
    return found


@st.composite
def changed_sheets(draw: st.DrawFn) -> dict[str, Any]:
    """The sheet that says everything, with some of it replaced, taken away or added to."""
    document: dict[str, Any] = copy.deepcopy(tomllib.loads(RICH))
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from([path for path in paths_of(document) if path]))
        here: Any = document
        for part in path[:-1]:
            here = here[part]
        match draw(st.sampled_from(["replace", "remove", "add", "add"])):
            case "replace":
                here[path[-1]] = draw(VALUES)
            case "remove":
                del here[path[-1]]
            case _ if isinstance(here, dict):
                group = path[0] if len(path) == 2 and path[0] in groups() else None
                names = [*groups()[str(group)], "grid", "nonsense"] if group else [*KEYS, "nonsense", "kind", "channel"]
                here[draw(st.sampled_from(names))] = draw(VALUES)
            case _:
                here.append(draw(VALUES))
    return document


@settings(max_examples=1500, deadline=None)
@given(changed_sheets())
def test_parser_and_schema_are_of_one_mind_about_every_form(document: dict[str, Any]) -> None:
    wrong = [(fault.path, fault.problem) for fault in faults_of(document)]
    said = [error.message[:200] for error in VALIDATOR.iter_errors(as_json(document))]
    assert bool(wrong) is bool(said), (wrong, said)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(groups())), st.data())
def test_every_fact_takes_and_refuses_the_same_values_in_both(group: str, data: st.DataObject) -> None:
    leaf = data.draw(st.sampled_from(sorted(groups()[group])))
    document = {"format": 1, "name": "x", group: {leaf: data.draw(VALUES)}}
    assert valid(document) is not any(True for _ in faults_of(document)), document


def test_every_kind_of_question_has_its_own_answers() -> None:
    answers: dict[str, tuple[Any, Any]] = {
        "yes-no": ("yes", "crsf"),
        "text": ({"pattern": "x*"}, {"from": "1"}),
        "version": ({"from": "1.2"}, {"from": "new"}),
        "choice": ("a", 5),
    }
    assert set(answers) == set(KINDS)
    for kind, (right, wrong) in answers.items():
        for answer, expected in ((right, True), (wrong, False)):
            question = {"id": "q", "ask": "?", "kind": kind, "expected": answer}
            document = {"format": 1, "name": "x", "questions": [question]}
            assert valid(document) is expected, (kind, answer)
            assert (not list(faults_of(document))) is expected
