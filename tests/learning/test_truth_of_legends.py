"""Rules by which some test consoles write: legends, packed numbers, documents. Nothing of the reader reads them."""

from __future__ import annotations

import csv
import json
import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.exam_consoles.thistlepin import Thistlepin
from tests_support.judging_consoles_a.jorvale import Jorvale
from tests_support.last_consoles import LAST
from tests_support.other_consoles.pellow import Pellow
from tests_support.other_consoles.stating import Said, StatingConsole
from tests_support.parting_consoles_b.merridine import Merridine
from tests_support.sealed_consoles_a.estermere import Estermere
from tests_support.sealed_consoles_a.vennick import Vennick
from tests_support.sealed_consoles_b.ferrimoor import Ferrimoor
from tests_support.sealed_consoles_b.osmerdyke import Osmerdyke
from tests_support.sealed_consoles_b.tyndray import Tyndray
from tests_support.sealed_consoles_c.ockerfen import Ockerfen
from tests_support.trial_consoles_b.fennick import Fennick
from tests_support.trial_consoles_b.kelderby import Kelderby
from tests_support.trial_consoles_c.pardoe import Pardoe
from tests_support.trial_consoles_c.wharram import Wharram
from tests_support.truths.packages import PACKAGES
from tests_support.truths.reading import reads
from tests_support.unseen_consoles.sarcelle import Sarcelle
from tests_support.unseen_consoles.wexcombe import Wexcombe
from tests_support.verdict_consoles_b.lantry import Lantry

_CODE = re.compile(r"(?<![\w-])(\d+) = ([\w ]+)")
_BIT = re.compile(r"bit (\d+) = ([\w ]+)")


def _elements(kind: type[StatingConsole], count: int) -> list[tuple[int, int, bool]]:
    """Column, row and whether it is shown, of each element of the coded truth; there are so many."""
    truth, rows = kind.truth.coded, [f"overlay.elements[{row}]" for row in range(count)]
    assert f"overlay.elements[{count}].name" not in truth
    return [(truth[f"{row}.column"], truth[f"{row}.row"], truth[f"{row}.shown"]) for row in rows]


def test_packed_places_follow_the_rules_that_only_the_source_tells() -> None:
    upper = [int(one, 16) for one in re.findall(r"^Case \w+ : (0x\w+)$", Sarcelle.pages["image"], re.MULTILINE)]
    assert upper
    assert [(0 if on else 0x8000) + 256 * row + column for column, row, on in _elements(Sarcelle, len(upper))] == upper
    items = [int(one) for one in re.findall(r"/item/\w+\t(\d+)$", Wexcombe.pages["tree"], re.MULTILINE)]
    assert items
    assert [64 * row + column for column, row, _ in _elements(Wexcombe, len(items))] == items
    assert all(shown for _, _, shown in _elements(Wexcombe, len(items)))
    [kind] = [kind for kind in LAST if "overlay.elements[0].name" in kind.coded]
    places = [int(one) for one in re.findall(r'"place":(\d+)', kind.pages["overlay"])]
    assert places
    assert [64 * row + column for column, row, _ in _elements(kind, len(places))] == places


def test_packed_ports_of_wexcombe_follow_the_rule_that_only_the_source_tells() -> None:
    bits, truth = {"unused": 0, "console": 1, "telemetry": 6, "video-control": 8}, Wexcombe.truth.coded
    packed = [int(one) for one in re.findall(r"/io/uart\d\t(\d+)$", Wexcombe.pages["tree"], re.MULTILINE)]
    assert packed
    assert [
        truth.get(f"ports[{row}].baud", 0) // 100 * 16 + bits[truth[f"ports[{row}].roles"][0]]
        for row in range(len(packed))
    ] == packed


def test_what_pellow_packs_follows_the_rule_that_only_the_source_tells() -> None:
    truth, page = Pellow.truth.coded, Pellow.pages["all"]
    items = [int(item) for item in re.findall(r"^item \w+ (\d+)$", page, re.MULTILINE)]
    assert items
    assert [4096 * shown + 64 * column + row for column, row, shown in _elements(Pellow, len(items))] == items
    bits = {"console": 1, "receiver": 2, "positioning": 8, "telemetry": 64, "unused": 0}
    masks = re.findall(r"^uart \d 0x([0-9A-F]{4}) ", page, re.MULTILINE)
    roles = [truth[f"ports[{row}].roles"] for row in range(len(masks))]
    assert masks
    assert [sum(bits[role] for role in each) for each in roles] == [int(mask, 16) for mask in masks]


def test_what_thistlepin_packs_follows_the_rule_that_only_the_source_tells() -> None:
    truth = Thistlepin.truth.coded
    view, lines, own = (json.loads(Thistlepin.pages[word])["data"] for word in ("view", "lines", "self"))
    for row, (name, packed) in enumerate(view["overlay"]["items"].items()):
        at = f"overlay.elements[{row}]"
        hidden = 0 if truth[f"{at}.shown"] else 32768
        assert truth[f"{at}.name"] == name
        assert hidden + 256 * truth[f"{at}.row"] + truth[f"{at}.column"] == packed
    bits = {"console": 1, "receiver": 2, "telemetry": 4, "positioning": 16, "overlay-link": 64, "unused": 0}
    for row, port in enumerate(lines["ports"].values()):
        assert sum(bits[role] for role in truth[f"ports[{row}].roles"]) == port["use"]
    blocks = {"no-receiver-link": 1, "usb-connected": 16}
    assert sum(blocks[one] for one in truth["arming.blocks"]) == own["arming"]["inhibit"]


def _number(one: Said) -> int:
    return int(one.texts[0].partition(" = ")[2])


def test_the_places_of_the_overlay_of_vennick_are_packed_as_the_legend_says() -> None:
    truth, rows = Vennick.truth.stated, 4
    assert f"overlay.elements[{rows}].name" not in truth
    for row in range(rows):
        at = f"overlay.elements[{row}]"
        one = Vennick.stated[f"{at}.name"]
        assert one.texts[1] == "# osd.place packed: bits 0-5 = column, bits 6-10 = row, bit 11 = visible"
        assert one.texts[0].startswith(f"osd.{truth[f'{at}.name'].replace('-', '_')}.place = ")
        packed = _number(one)
        assert packed & 0x3F == truth[f"{at}.column"]
        assert packed >> 6 & 0x1F == truth[f"{at}.row"]
        assert bool(packed >> 11 & 1) == truth[f"{at}.shown"]


def test_the_codes_masks_and_sums_of_vennick_mean_what_the_legends_say() -> None:
    seen = {"code": 0, "sum": 0, "mask": 0}
    for name, one in Vennick.stated.items():
        if len(one.texts) < 2 or "packed" in one.texts[1] or name.endswith(".id"):
            continue
        number, legend = _number(one), one.texts[1]
        if " mask: " in legend:
            seen["mask"] += 1
            words = [word for bit, word in _BIT.findall(legend) if number >> int(bit) & 1]
            if name.startswith("sensors."):
                assert (name.removeprefix("sensors.") in words) == (one.value == "found"), name
            else:
                assert tuple(word.replace(" ", "-") for word in words) == one.value
        elif " sum of: " in legend:
            seen["sum"] += 1
            parts = [word for code, word in _CODE.findall(legend) if number & int(code) or number == int(code) == 0]
            assert tuple({"gps": "positioning"}.get(part, part.replace(" ", "-")) for part in parts) == one.value, name
        else:
            seen["code"] += 1
            assert {int(code): word for code, word in _CODE.findall(legend)}[number] == one.value, name
    assert seen == {"code": 8, "sum": 5, "mask": 4}


def test_a_hexadecimal_choice_of_pardoe_has_the_meaning_that_the_legend_gives_it() -> None:
    checked = []
    for name, one in Pardoe.stated.items():
        key, code = one.texts[-1].split(" -> ")
        legend = next((text for text in one.texts if re.match(rf"# .*\b{key}\b.*: 0x", text)), None)
        if legend is None:
            continue
        meanings = {int(number, 16): word for number, word in re.findall(r"0x([\dA-F]+) ([^,]+)", legend)}
        flags = isinstance(one.value, tuple)
        meant = [word for bit, word in meanings.items() if (int(code, 16) & bit if flags else int(code, 16) == bit)]
        worded = [_worded(value) for value in (one.value if flags else (one.value,))]
        assert meant == worded or one.value == _plain(meant)
        checked.append(name)
    assert len(checked) == 18


def _worded(value: object) -> str:
    return str(value).replace("-", " ").replace("usb", "USB")


def _plain(meant: list[str]) -> object:
    """The one meaning of a choice, as the truth writes it."""
    return {"yes": True, "no": False, "on": True, "off": False}.get(meant[0], meant[0].casefold())


def test_a_flag_of_tyndray_has_the_meaning_that_the_remark_gives_it() -> None:
    checked = 0
    for name, one in Tyndray.stated.items():
        if isinstance(one.value, bool):
            shown, _, remark = one.texts[-1].casefold().partition(";")
            number = re.split("[=,]", shown.strip())[-1]
            legend = dict(re.findall(r"(\d) (\w+)", remark))
            if remark.endswith(", visible"):  # the last field of an element
                legend = {"1": "yes", "0": "no"}
            assert {"yes": True, "on": True, "no": False, "off": False}[legend[number]] is one.value, name
            checked += 1
    assert checked == 10


def test_every_line_of_tyndray_has_a_remark() -> None:
    for word, page in Tyndray.pages.items():
        for line in page.splitlines():
            assert re.fullmatch(r"[A-Z0-9]+ +; \S.*" if word == "HELP" else r"[A-Z0-9]+=\S.* +; \S.*", line), line


def test_the_value_beside_a_default_of_estermere_is_the_one_of_the_truth() -> None:
    [package] = [one for one in PACKAGES if one.name == "sealed_a"]
    seen = 0
    for name, one in Estermere.stated.items():
        cells = re.split(r" {2,}", one.texts[0])
        if len(cells) == 4 and "[" not in name and not name.startswith("sensors."):
            seen += 1
            assert reads(Said(one.value, one.word, ("  ".join(cells[:3]),)), package), f"{name}: {one.texts[0]!r}"
    assert seen == 32  # radio 13, display 4, transmitter 3, battery 5, motors 6, log 1


def test_a_factory_value_of_osmerdyke_is_not_the_present_one() -> None:
    found = re.findall(r": (\S+ \S+) \(factory (.+)\)$", "".join(Osmerdyke.pages.values()), re.MULTILINE)
    assert len(found) >= 5
    assert all(now != factory for now, factory in found)


def test_the_listings_end_with_the_count_of_their_lines() -> None:
    listing = Pellow.pages["all"].splitlines()
    assert listing[-1] == f"# {len(listing) - 2} lines"
    *lines, end = Wharram.pages["inventory"].splitlines()
    assert end == f"; end of inventory, {len(lines)} lines"


def test_the_rows_of_a_section_of_kelderby_are_as_long_as_its_header() -> None:
    for word in ("HELP", "SHEET", "LIVE", "LOADS"):
        for block in Kelderby.pages[word].strip().split("\n\n"):
            rows = [row for row in csv.reader(block.splitlines()) if not row[0].startswith("[")]
            assert len(rows) > 1
            assert {len(row) for row in rows} == {len(rows[0])}, f"{word}: {rows[0]}"


_REFUSED = "xyzzy"


@pytest.mark.parametrize(
    ("kind", "refused", "done"),
    [(Jorvale, None, None), (Merridine, "error", "result"), (Ferrimoor, "error", "done")],
    ids=lambda one: getattr(one, "name", ""),
)
def test_every_reply_is_one_json_object(kind: type[StatingConsole], refused: str | None, done: str | None) -> None:
    for text in (*kind.pages.values(), *([kind.banner] if kind is Ferrimoor else [])):
        assert isinstance(json.loads(text), dict)
    refusal = json.loads(kind.error.format(line=_REFUSED))
    assert isinstance(refusal, dict)
    assert refused is None or refused in refusal
    for harm in kind.harms.values():
        said = json.loads(harm.prints)
        assert isinstance(said, dict)
        assert done is None or done in said


def test_every_reply_of_fennick_is_json() -> None:
    for page in Fennick.pages.values():
        assert json.loads(page)
    assert json.loads(Fennick.error.format(line=_REFUSED))["line"] == _REFUSED


def test_every_reply_of_lantry_is_a_list_of_json_objects() -> None:
    for page in Lantry.pages.values():
        assert all(isinstance(row, dict) for row in json.loads(page))
    assert "error" in json.loads(Lantry.error.format(line=_REFUSED))[0]


def test_every_line_of_ockerfen_is_a_json_object() -> None:
    said = (*Ockerfen.pages.values(), Ockerfen.banner, *(harm.prints for harm in Ockerfen.harms.values()))
    for line in "\n".join((*said, Ockerfen.error.format(line=_REFUSED))).splitlines():
        assert not line or isinstance(json.loads(line), dict), line


def test_without_echo_the_answer_of_thistlepin_is_one_json_document() -> None:
    console = Thistlepin()
    with checks.awake(console) as typist:
        text = typist.enter("air")
    document = json.loads(text.removesuffix(console.prompt))
    assert document["data"]["channels"]["low"] == {"v": 1050, "u": "us"}


def test_every_member_of_merridine_that_says_a_fact_has_its_value() -> None:
    """The value is read from the document, apart from the texts that the console made itself."""
    for name, one in Merridine.stated.items():
        inner: Any = json.loads(Merridine.pages[one.word])
        if re.search(r"\[\d+\]", name):
            continue
        for key in re.findall(r'"(\w+)": ', " ".join(one.texts)):
            inner = inner[key]
        if isinstance(inner, (int, float)):
            assert inner == one.value, name
            assert isinstance(inner, bool) == isinstance(one.value, bool), name
        elif isinstance(inner, str):
            assert inner.casefold() == one.value.casefold(), name
        else:
            assert tuple(word.casefold().replace(" ", "-") for word in inner) == one.value, name


def test_every_member_of_ockerfen_that_says_a_fact_has_its_value() -> None:
    for name, one in Ockerfen.stated.items():
        [text] = one.texts
        values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
        assert all(_is_member(name, value, json.loads(text)) for value in values), f"{name}: {one.value!r} in {text}"


def _is_member(name: str, value: Any, record: dict[str, Any]) -> bool:
    leaf = name.rpartition(".")[2]
    if isinstance(value, bool):
        return record[{"shown": "visible"}.get(leaf, leaf)] is value
    if isinstance(value, str):
        said = json.dumps([one for key, one in record.items() if key != "type"]).casefold()
        words = ('"osd"',) if value == "overlay-link" else (f'"{value}"'.casefold(), f'"{value.replace("-", "_")}"')
        return any(word in said for word in words)
    numbers = {key: one for key, one in record.items() if isinstance(one, (int, float))}
    return any(abs(value - one * (0.001 if re.search("_m[vs]$", key) else 1)) < 1e-9 for key, one in numbers.items())
