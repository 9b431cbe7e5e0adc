"""The plan of items in a file, and what a scan means: JSON shapes, exit status, one clear line for a wrong call."""

import json
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from kiosk.codes.house import encode
from kiosk.codes.write import qr
from tests.cli.running import Run

EAR = (
    "- {id: A2, name: Ear suction 5 Fr, type: fine_suction, "
    "lumens: [{n: bore, id_mm: 1.2, len_mm: 150, open: both, f: [curved], air_kpa: 100}]}\n"
)
TWO = "- {id: A3, name: Ear suction 7 Fr, type: fine_suction, qty: 2, lumens: [{n: bore, id_mm: 1.8, len_mm: 150}]}\n"


def test_the_plan_of_a_fine_ear_suction_is_the_one_of_the_written_example(run: Run) -> None:
    """The example of the project's own contract; the limit of 1.08 mm is 0.9 of the bore, common practice."""
    Path("items.yaml").write_text(EAR)
    ran = run("plan", "items.yaml", "--json")
    assert (ran.status, ran.err) == (0, "")
    (piece,) = ran.json
    because = piece.pop("because")
    assert piece == {
        "piece": "A2",
        "name": "Ear suction 5 Fr",
        "plan": ["look", "bore.dry", "bore.swab", "bore.air"],
        "use": {"bore.swab": "1.2 mm"},
        "ends": {"bore.swab": "one end"},
        "not_seen": {"bore": "all"},
        "not_seen_mm": {"bore": 150.0},
        "seen_share": 0.0,
        "touched_share": 1.0,
        "hold": None,
    }
    assert because["bore.swab"] == "narrow (1.2 mm): swab, smallest head not thinner than the bore"
    scope = "left out: no scope at this bench fits (thinnest that bends is 1.9 mm, limit 1.08 mm)"
    assert because["bore.scope"] == scope
    assert set(piece["plan"]) <= set(because)


def test_each_of_two_pieces_has_its_own_plan_and_the_keys_stand_in_order(run: Run) -> None:
    Path("items.yaml").write_text(TWO)
    plans = run("plan", "items.yaml", "--json").json
    assert [plan["piece"] for plan in plans] == ["A3#1", "A3#2"]
    keys = "piece name plan use ends not_seen not_seen_mm seen_share touched_share hold because"
    assert [list(plan) for plan in plans] == [keys.split()] * 2


def test_a_plan_file_may_be_json(run: Run) -> None:
    Path("items.yaml").write_text(TWO)
    lumen = {"n": "bore", "id_mm": 1.8, "len_mm": 150}
    rows = [{"id": "A3", "name": "Ear suction 7 Fr", "type": "fine_suction", "qty": 2, "lumens": [lumen]}]
    Path("items.json").write_text(json.dumps(rows))
    assert run("plan", "items.json", "--json").json == run("plan", "items.yaml", "--json").json


def test_policy_and_kit_of_the_call_change_the_plan(run: Run) -> None:
    Path("items.yaml").write_text(TWO)
    Path("thin.yaml").write_text("scopes: [{id: SC-9, od_mm: 1.0, reach_mm: 400, bends: true}]\n")
    Path("strict.yaml").write_text("scope_fit_ratio: 0.5\n")
    plain = run("plan", "items.yaml", "--json").json[0]
    thin = run("plan", "items.yaml", "--kit", "thin.yaml", "--json").json[0]
    strict = run("plan", "items.yaml", "--kit", "thin.yaml", "--policy", "strict.yaml", "--json").json[0]
    assert plain["use"]["bore.scope"] == "SC-2"
    assert thin["use"]["bore.scope"] == "SC-9"
    assert "limit 0.9 mm" in strict["because"]["bore.scope"]  # half of 1.8 mm
    assert "bore.scope" not in strict["plan"]


def test_a_lumen_of_unknown_size_holds_its_piece_by_code(run: Run) -> None:
    Path("items.yaml").write_text(
        "- {id: M, name: Marrow needle, type: marrow_needle, lumens: [{n: bore, len_mm: 90}]}"
    )
    assert run("plan", "items.yaml", "--json").json[0]["hold"] == "unknown_lumen"


def test_a_plan_without_json_is_lines_to_read(run: Run) -> None:
    Path("items.yaml").write_text(EAR)
    ran = run("plan", "items.yaml")
    assert ran.status == 0
    assert ran.out.startswith("A2  Ear suction 5 Fr\n")
    assert "(bore.scope)  left out: no scope" in ran.out


BAD_ITEMS = {
    "- {id: A2\n  name: [x\n": "items.yaml line 2: ",
    "a: 1\n": "items.yaml: a plan file is a list of items",
    "": "items.yaml: a plan file is a list of items",
    "- {id: A2, type: y}\n": "items.yaml line 1: item A2: field name must be text, not None",
    "- {id: A1, name: One, type: y}\n\n- {id: A2, name: Two, typ: y}\n": "items.yaml line 3: item A2: field typ is not",
    "- id: A1\n  name: One\n  type: y\n  lumens:\n  - {n: bore, id_mm: 2}\n  - n: side\n    id_mm: wide\n": (
        "items.yaml line 7: item A1, lumen side: field id_mm must be a number, not 'wide'"
    ),
    "- id: A1\n  name: One\n  type: y\n  lumens:\n  - n: bore\n    bore_mm: 2\n": (
        "items.yaml line 6: item A1, lumen bore: field bore_mm is not known"
    ),
    "- {id: A1, name: One, type: y}\n- {id: A1, name: Two, type: y}\n": "item A1: field id stands twice",
}


@pytest.mark.parametrize(("text", "words"), BAD_ITEMS.items())
def test_a_bad_plan_file_is_told_by_file_line_and_field(run: Run, text: str, words: str) -> None:
    Path("items.yaml").write_text(text)
    assert words in run("plan", "items.yaml", "--json").complaint


BAD_POLICIES = {
    "look_time: ask\nlook_least_s: soon\n": "own.yaml line 2: policy key look_least_s: cannot use 'soon'",
    "\nlook_lest_s: 4\n": "own.yaml line 2: policy key look_lest_s: this tool does not know it",
    "set_weight_max_kg: heavy\n": "own.yaml line 1: policy key set_weight_max_kg: cannot use 'heavy'",
    "[4]\n": "own.yaml: is not a list of `key: value` lines",
    "look_time: [ask\n": "own.yaml line 2: ",
}


@pytest.mark.parametrize(("text", "words"), BAD_POLICIES.items())
def test_a_bad_policy_value_is_told_by_file_line_and_key(run: Run, text: str, words: str) -> None:
    Path("items.yaml").write_text(EAR)
    Path("own.yaml").write_text(text)
    assert words in run("plan", "items.yaml", "--policy", "own.yaml", "--json").complaint


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("scopes:\n- {id: SC-9}\n", "kit.yaml line 2: kit, scope SC-9: field od_mm must be a number"),
        ("scope: []\n", "kit.yaml line 1: kit: field scope is not known"),
        ("swabs:\n  heads_mm: [0]\n", "kit.yaml line 2: kit, swabs: field heads_mm must be above 0"),
    ],
)
def test_a_bad_kit_is_told_by_file_line_and_field(run: Run, text: str, words: str) -> None:
    Path("items.yaml").write_text(EAR)
    Path("kit.yaml").write_text(text)
    assert words in run("plan", "items.yaml", "--kit", "kit.yaml").complaint


@pytest.mark.parametrize("option", [(), ("--policy",), ("--kit",)])
def test_a_file_that_is_not_there_is_named(run: Run, option: tuple[str, ...]) -> None:
    Path("items.yaml").write_text(EAR)
    words = ("items.yaml", *option, "gone.yaml") if option else ("gone.yaml",)
    assert "gone.yaml: cannot be read" in run("plan", *words).complaint


def test_a_file_that_is_no_text_is_named(run: Run) -> None:
    Path("items.yaml").write_bytes(b"\xff\xfe")
    assert "items.yaml: is not text in UTF-8" in run("plan", "items.yaml").complaint


def test_a_tray_code_is_told_in_the_written_shape(run: Run) -> None:
    ran = run("code", "TR-0734", "--json")
    wanted: dict[str, object] = {
        "kind": "tray",
        "text": "TR-0734",
        "symbology": None,
        "gs1": {},
        "valid": True,
        "why": None,
    }
    assert (ran.status, ran.err, ran.json) == (0, "", wanted)
    assert list(ran.json) == list(wanted)


def test_a_gs1_code_is_told_by_its_identifiers(run: Run) -> None:
    """GTIN 09521101530001: the example of the GS1 General Specifications, its check digit worked by hand there."""
    ran = run("code", "--json", "]d201095211015300012112345")
    assert ran.status == 0
    assert ran.json["gs1"] == {"01": "09521101530001", "21": "12345"}
    assert ran.json["symbology"] == "]d2"


def test_a_wrong_check_digit_does_not_hold_and_says_why(run: Run) -> None:
    ran = run("code", "]d20109521101530002", "--json")
    assert (ran.status, ran.err) == (1, "")
    assert ran.json["valid"] is False
    assert ran.json["why"] == "The check digit of (01) does not fit. Scan it again."


def test_an_empty_code_does_not_hold(run: Run) -> None:
    ran = run("code", "")
    assert (ran.status, ran.out) == (1, "unknown:  (There is nothing in this code.)\n")


def test_a_text_file_is_no_picture(run: Run) -> None:
    Path("note.png").write_text("not a picture")
    assert run("code", "--image", "note.png", "--json").complaint == "throughlight: note.png: is not a picture"
    assert "gone.png: No such file" in run("code", "--image", "gone.png").complaint
    assert ".: Is a directory" in run("code", "--image", ".").complaint


def test_a_code_is_a_text_or_a_picture_and_not_both(run: Run) -> None:
    assert "give a text, or --image FILE" in run("code").complaint
    assert "give a text, or --image FILE" in run("code", "TR-0734", "--image", "a.png").complaint


def test_every_code_in_a_picture_is_told_in_a_list(run: Run) -> None:
    square, edge = 8, 4 * 8
    modules = qr(encode("TR-0734"))
    side = len(modules) * square + 2 * edge
    picture = Image.new("L", (side, side), 255)
    draw = ImageDraw.Draw(picture)
    for y, row in enumerate(modules):
        for x, dark in enumerate(row):
            if dark:
                corner = (edge + x * square, edge + y * square)
                draw.rectangle((*corner, corner[0] + square - 1, corner[1] + square - 1), fill=0)
    picture.save("label.png")
    ran = run("code", "--image", "label.png", "--json")
    assert ran.status == 0
    assert [(row["kind"], row["text"], row["valid"]) for row in ran.json] == [("tray", "TR-0734", True)]


def test_a_picture_without_a_code_gives_an_empty_list_and_does_not_hold(run: Run) -> None:
    Image.new("L", (64, 64), 255).save("white.png")
    ran = run("code", "--image", "white.png", "--json")
    assert (ran.status, ran.json) == (1, [])
    assert ran.err == "no code was found in the picture\n"
