"""`throughlight look`: regions with their color difference, and a call that is wrong in one line."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kiosk.cli import main
from kiosk.cli.looking import AN_AID
from kiosk.sight.rendered import Scene, still
from kiosk.sight.rendered_wall import Soil

BARE = Scene(seed=11, wall_seed=4, width=640, height=360)
SOILED = replace(BARE, soil=(Soil(angle_deg=80.0, depth_mm=9.0, across_mm=1.2),))


def saved(path: Path, scene: Scene) -> Path:
    Image.fromarray(still(scene).picture).save(path)
    return path


def test_a_red_mark_is_told_with_its_difference_and_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The renderer says where the soil lies: the strongest region's middle is on it."""
    made = still(SOILED)
    Image.fromarray(made.picture).save(tmp_path / "still.png")
    assert main(["look", str(tmp_path / "still.png"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    first = told["regions"][0]
    x, y = np.mean(first["outline"], axis=0)
    assert made.soil[round(float(y)), round(float(x))]
    assert first["most"] > 10
    assert told["note"] == AN_AID
    assert "clean" not in json.dumps(told)


def test_against_the_known_look_the_turn_between_both_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    known = saved(tmp_path / "known.png", BARE)
    today = saved(tmp_path / "today.png", replace(SOILED, seed=12, roll_deg=20.0))
    assert main(["look", str(today), "--known", str(known), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert abs(abs(told["against"]["turn_deg"]) - 20) < 1
    assert told["regions"]


def test_the_text_says_that_a_person_decides_and_the_outlines_are_drawn(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    today, drawn = saved(tmp_path / "today.png", SOILED), tmp_path / "drawn.png"
    assert main(["look", str(today), "--outlines", str(drawn)]) == 0
    assert capsys.readouterr().out.rstrip().endswith(AN_AID)
    with Image.open(drawn) as marked, Image.open(today) as bare:
        assert np.any(np.asarray(marked) != np.asarray(bare))


def test_a_picture_without_a_tube_is_no_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Image.new("RGB", (320, 180), (90, 90, 90)).save(tmp_path / "gray.png")
    assert main(["look", str(tmp_path / "gray.png"), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["regions"] is None


@pytest.mark.parametrize("what", ["gone", "text", "cut", "size"])
def test_a_call_that_is_wrong_ends_with_2_and_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], what: str
) -> None:
    path, known = tmp_path / "still.png", saved(tmp_path / "known.png", replace(BARE, width=320, height=180))
    call = ["look", str(path)]
    if what == "text":
        path.write_text("no picture")
    elif what == "cut":
        path.write_bytes(saved(tmp_path / "whole.png", BARE).read_bytes()[:20_000])
    elif what == "size":
        saved(path, BARE)
        call += ["--known", str(known)]
    assert main(call) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 1
    assert str(tmp_path) in said.err


@pytest.mark.parametrize("over", ["today.png", "known.png", "./here/../today.png", "link.png", "hard.png"])
def test_the_outlines_are_never_written_over_a_picture_that_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], over: str
) -> None:
    today, known = saved(tmp_path / "today.png", SOILED), saved(tmp_path / "known.png", BARE)
    (tmp_path / "here").mkdir()
    (tmp_path / "link.png").symlink_to(today)
    (tmp_path / "hard.png").hardlink_to(known)
    before = today.read_bytes(), known.read_bytes()
    assert main(["look", str(today), "--known", str(known), "--outlines", str(tmp_path / over)]) != 0
    assert "name another file" in capsys.readouterr().err
    assert (today.read_bytes(), known.read_bytes()) == before
