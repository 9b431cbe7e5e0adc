"""How an event becomes bytes, and comes back."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.core.catalogue import Catalogue, Kit, Scope
from kiosk.core.events import EVENTS, CheckYes, CountShort, Event, Found, Paused, PlaceMoved
from kiosk.core.events.shipped import Shipped
from kiosk.core.place import Place
from kiosk.core.vocabulary import Check
from kiosk.store import codec
from kiosk.store.codec import CodecFault, decode, encode, from_bytes, to_bytes
from tests.store.examples import EXAMPLES, TRAY


@pytest.fixture(autouse=True, scope="module")
def plain_decimals() -> Iterator[None]:
    """Measures as the catalogue holds them: finite, of ordinary size."""
    st.register_type_strategy(Decimal, st.decimals(allow_nan=False, allow_infinity=False, min_value=0, max_value=9999))
    yield
    st.register_type_strategy(Decimal, st.decimals())


@pytest.mark.parametrize("kind", [kind for _, kind, _ in EVENTS.values()], ids=list(EVENTS))
@settings(max_examples=8)
@given(data=st.data())
def test_every_event_comes_back_as_it_was_written(kind: type[Event], data: st.DataObject) -> None:
    event: Event = data.draw(st.from_type(kind))
    name, version, body = encode(event)
    back = decode(name, version, body)
    assert back == event
    assert encode(back) == (name, version, body)


def test_a_body_has_one_way_to_be_written() -> None:
    event = CheckYes(took_ms=6400, key="bore.swab", piece="Ä3#1")
    body = '{"asked_twice":false,"end":"","key":"bore.swab","piece":"Ä3#1","took_ms":6400,"tool":""}'
    assert encode(event) == ("check_yes", 1, body.encode())


def test_sets_are_written_sorted_and_measures_as_text_without_an_exponent() -> None:
    body = to_bytes(TRAY)
    assert b'"features":["curved","stepped"]' in body
    assert b'"inside_mm":"3.20"' in body
    assert b'"reach_mm":"1000"' in to_bytes(
        Scope(id="SC-1", od_mm=Decimal("0.9"), reach_mm=Decimal("1E+3"), bends=True)
    )


def test_an_enum_in_a_field_of_plain_text_is_kept_as_its_word() -> None:
    assert encode(Paused(reason=Check.SWAB))[2] == b'{"reason":"swab"}'


@dataclass(frozen=True, slots=True, kw_only=True)
class _Later:
    """A record to which a field with a default was added."""

    piece: str
    shade: str = "unknown"
    marks: dict[str, int] = field(default_factory=dict)


def test_a_field_added_later_with_a_default_reads_old_bodies() -> None:
    assert from_bytes(_Later, b'{"piece":"A3#1"}') == _Later(piece="A3#1")


def test_a_field_that_nobody_here_knows_is_passed_over() -> None:
    assert from_bytes(_Later, b'{"piece":"A3#1","smell":"none","shade":"brown"}') == _Later(piece="A3#1", shade="brown")


@pytest.mark.parametrize(
    ("name", "body", "says"),
    [
        ("count_short", b'{"line":"L","want":6}', "count_short.have: missing"),
        ("count_short", b'{"line":"L","want":6,"have":"5"}', "count_short.have: int expected"),
        ("count_short", b'{"line":"L","want":6,"have":true}', "count_short.have: int expected"),
        ("count_short", b'{"line":7,"want":6,"have":5}', "count_short.line: str expected"),
        ("count_short", b'{"line":"L","want":6,"have":5.0}', "a number with a point"),
        ("count_short", b'{"line":"L","want":6,"have":NaN}', "a number with a point"),
        ("count_short", b"[]", "count_short: dict expected"),
        ("count_short", b'{"line":', "not JSON"),
        ("count_short", b'{"line":"\xff"}', "not JSON in UTF-8"),
        ("count_ok", b'{"again":1}', "count_ok.again: bool expected"),
        ("place_moved", b'{"n":1,"place":{"at_mm":"4"}}', "place_moved.place.at_mm: int expected"),
        ("item_back", b'{"ticket":"T","pieces":["a",1],"findings":[],"bench":""}', "item_back.pieces[1]: str"),
        ("tray_unknown", b"{}", "does not know this event"),
    ],
)  # fmt: skip
def test_a_body_that_is_wrong_is_refused_by_the_name_of_its_field(name: str, body: bytes, says: str) -> None:
    with pytest.raises(CodecFault) as caught:
        decode(name, 1, body)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (b'"curved"', b'"bent"', "tray_opened.tray.items[0].lumens[0].features[0]: Feature (curved,"),
        (b'"3.20"', b'"3.2e0"', "tray_opened.tray.items[0].lumens[0].inside_mm: decimal as text"),
        (b'"3.20"', b"3", "tray_opened.tray.items[0].lumens[0].inside_mm: decimal as text"),
        (b'"both ends"', b'"any end"', "plan_shown.plans[0].checks[1].ends: 'one end' or 'both ends' or 'part'"),
        (b'["air","no pressure in the IFU"]', b'["air"]', "plan_shown.plans[0].lumens[0].left_out[0]: 2 values"),
    ],
)
def test_a_fault_deep_in_a_record_is_named_by_its_place(old: bytes, new: bytes, says: str) -> None:
    written = [encode(event) for event in EXAMPLES]
    name, version, body = next(each for each in written if says.startswith(f"{each[0]}."))
    assert old in body
    with pytest.raises(CodecFault) as caught:
        decode(name, version, body.replace(old, new))
    assert str(caught.value).startswith(says)


@pytest.mark.parametrize(
    ("event", "says"),
    [
        (CountShort(line="L", want=6, have=5.0), "CountShort.have: int expected"),  # type: ignore[arg-type]
        (CountShort(line="L", want=6, have=True), "CountShort.have: int expected"),
        (CountShort(line=None, want=6, have=5), "CountShort.line: str expected"),  # type: ignore[arg-type]
        (PlaceMoved(n=1, place="tip"), "PlaceMoved.place: Place expected"),  # type: ignore[arg-type]
        (CountShort(line="\ud800", want=6, have=5), "UTF-8 can not hold"),
        (Found(n=1, piece="", key="", code="", group="", place=Place(at_mm=Decimal(4))), "Found.place.at_mm: int"),  # type: ignore[arg-type]
    ],
)  # fmt: skip
def test_an_event_that_could_not_be_read_back_is_not_written(event: Event, says: str) -> None:
    with pytest.raises(CodecFault) as caught:
        encode(event)
    assert says in str(caught.value)


@pytest.mark.parametrize("size", ["NaN", "Infinity", "-Infinity"])
def test_a_measure_that_is_no_number_is_not_written(size: str) -> None:
    with pytest.raises(CodecFault, match="Decimal expected"):
        to_bytes(Scope(id="SC-1", od_mm=Decimal(size), reach_mm=Decimal(1), bends=True))


def test_a_record_kept_by_code_comes_back_and_names_the_code_of_a_fault() -> None:
    catalogue = Catalogue(trays={"TR-0417": TRAY}, kit=Kit(air_station=True), version=3)
    body = to_bytes(catalogue)
    assert from_bytes(Catalogue, body) == catalogue
    with pytest.raises(CodecFault, match=r"Catalogue\.trays\['TR-0417'\]\.name: missing"):
        from_bytes(Catalogue, body.replace(b'"name":"Ortho', b'"title":"Ortho'))


@pytest.mark.parametrize("pairs", [b'[["a"]]', b'[["a",1],["a",2]]', b"[[1,1]]", b'{"a":1}', b'["a"]', b'[["a","1"]]'])
def test_pairs_that_are_none_or_doubled_are_refused(pairs: bytes) -> None:
    with pytest.raises(CodecFault, match=r"_Later\.marks"):
        from_bytes(_Later, b'{"piece":"A3#1","marks":' + pairs + b"}")


def test_a_dict_keeps_its_order() -> None:
    later = _Later(piece="A3#1", marks={"b10": 1, "b9": 2, "a": 3})
    assert list(from_bytes(_Later, to_bytes(later)).marks) == ["b10", "b9", "a"]


def test_a_type_that_has_no_way_to_be_kept_is_a_bug_and_says_so() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Odd:
        size: float

    with pytest.raises(TypeError, match="no way to keep"):
        to_bytes(Odd(size=1.0))


def test_an_old_version_is_led_up_to_the_one_of_today(monkeypatch: pytest.MonkeyPatch) -> None:
    def to_two(body: dict[str, Any]) -> dict[str, Any]:
        return {"cause": body["why"]}

    def to_three(body: dict[str, Any]) -> dict[str, Any]:
        return {"reason": body["cause"]}

    monkeypatch.setitem(EVENTS, "paused", Shipped(3, Paused, "info"))
    monkeypatch.setitem(codec.UPCASTERS, ("paused", 1), to_two)
    monkeypatch.setitem(codec.UPCASTERS, ("paused", 2), to_three)
    assert decode("paused", 1, b'{"why":"break"}') == Paused(reason="break")
    assert decode("paused", 2, b'{"cause":"break"}') == Paused(reason="break")
    assert decode("paused", 3, b'{"reason":"break"}') == Paused(reason="break")


def test_an_old_version_with_no_way_up_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(EVENTS, "paused", Shipped(2, Paused, "info"))
    with pytest.raises(CodecFault, match="nothing leads from version 1 to 2"):
        decode("paused", 1, b'{"reason":"break"}')


def test_a_version_newer_than_this_program_is_refused() -> None:
    with pytest.raises(CodecFault, match="version 2 needs a newer program"):
        decode("paused", 2, b'{"reason":"break"}')
