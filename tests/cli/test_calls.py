"""The call itself, and what stands in a store: help, catalogue, summary, integrity, written shifts."""

import shlex
from pathlib import Path

import pytest

from kiosk import __version__
from kiosk.cli import EXAMPLES
from kiosk.core.past.counters import COUNTERS
from kiosk.places import RESOURCES
from kiosk.store.database import FILE, Store
from kiosk.store.log import Log
from tests.cli.running import ROOT, Run, in_a_process
from tests.store.shift import yes

DEMO = RESOURCES / "demo"
COMMANDS = ["play", "plan", "code", "catalogue", "summary", "verify", "backup", "restore"]
JOBS = ["load", "check", "save", "columns"]


def with_events(folder: Path, number: int = 3) -> None:
    with Store(folder) as store:
        Log(store).append([yes(n) for n in range(number)])


def test_the_version_is_told(run: Run) -> None:
    assert (run("--version").status, run("--version").out) == (0, f"{__version__}\n")


@pytest.mark.parametrize("words", [[], *([name] for name in COMMANDS), *(["catalogue", job] for job in JOBS)], ids=str)
def test_every_help_has_an_example(run: Run, words: list[str]) -> None:
    ran = run(*words, "--help")
    assert ran.status == 0
    assert f"Example: throughlight {' '.join(words)}".strip() in ran.out


@pytest.mark.parametrize("example", EXAMPLES.values())
def test_every_example_is_a_call_that_can_be_made(run: Run, example: str) -> None:
    """What it names need not be there, but its words are known: no example ends in a usage line."""
    tool, *words = shlex.split(example)
    assert tool == "throughlight"
    if "play" not in words:  # a play takes its time; its words are read in the test of plays
        assert "--help shows how" not in run(*words).err


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["--window", "abc"], "argument --window: abc will not do: give it as 1280x800"),
        (["--window", "0x0"], "argument --window: 0x0 will not do: give it as 1280x800"),
        (["--px-per-mm", "-3"], "argument --px-per-mm"),
        (["--bench", "0"], "argument --bench: 0 will not do: give 1 to 99"),
        (["--sight", "ftp://scope.example/a"], "argument --sight: ftp: streams come by http, https, rtsp, rtsps"),
        (["--sight", "gone.mp4"], "argument --sight: gone.mp4: there is no such file or folder"),
        (["--foot-key", "Return"], "argument --foot-key: Return: is not a key that a foot switch may type"),
        (["--foot-key", "F8"], "argument --foot-key: F8: is a key of the way by keys"),
        (["play", "--demo", "--window", "wide"], "argument --window: wide will not do"),
        (["play"], "play: name a scenario file, or --demo"),
        (["play", "gone.yaml"], "gone.yaml: cannot be read"),
        (["summary", "--shift", "day"], "the following arguments are required: --date"),
        (["summary", "--shift", "day", "--date", "soon"], "argument --date: soon will not do: give it as 2031-03-04"),
        (["summary", "--shift", "day", "--date", "2031-02-29"], "argument --date: 2031-02-29 will not do"),
        (["summary", "--shift", "day", "--date", "2031-03-04", "--store", "gone"], "gone: there is no store here"),
        (["verify", "--store", "gone", "--json"], "gone: there is no store here"),
        (["catalogue"], "the following arguments are required: WHAT"),
        (["catalogue", "check"], "the following arguments are required: FILE"),
        (["catalogue", "check", "gone.csv"], "gone.csv: "),
        (["catalogue", "save", "out", "--store", "gone"], "gone: there is no store here"),
        (["dance"], "invalid choice: 'dance'"),
        (["plan"], "the following arguments are required: FILE"),
    ],
)
def test_a_wrong_call_is_told_in_one_line(run: Run, words: list[str], line: str) -> None:
    assert line in run(*words).complaint


def test_asking_for_a_store_that_is_not_there_does_not_make_one(run: Run) -> None:
    assert run("verify", "--store", "gone").status == 2
    assert not Path("gone").exists()
    assert "data/throughlight/bench: there is no store here" in run("verify").complaint


def test_the_store_may_be_named_before_the_command_or_after_it(run: Run) -> None:
    with_events(Path("mine"))
    assert run("--store", "mine", "verify", "--json").json["events"] == 3
    assert run("verify", "--store", "mine", "--json").json["events"] == 3


def test_a_file_in_place_of_the_store_folder_is_told(run: Run) -> None:
    Path("mine").write_text("")
    assert "mine" in run("catalogue", "load", DEMO, "--store", "mine").complaint


def test_a_chain_that_holds_is_told_with_its_head(run: Run) -> None:
    with_events(Path("mine"))
    ran = run("verify", "--store", "mine", "--json")
    assert (ran.status, ran.err) == (0, "")
    assert list(ran.json) == [
        "bench", "events", "head", "first_bad", "origins", "signed_heads", "projections", "faults",
    ]  # fmt: skip
    assert (ran.json["bench"], ran.json["events"], ran.json["first_bad"]) == ("B1", 3, None)
    assert len(bytes.fromhex(ran.json["head"])) == 32
    assert "3 events, the chain holds" in run("verify", "--store", "mine").out


def test_an_event_that_was_changed_on_the_disk_does_not_hold(run: Run) -> None:
    with_events(Path("mine"))
    with Store(Path("mine")) as store:
        for (name,) in store.db.conn.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            store.db.conn.execute(f"DROP TRIGGER {name}")
        store.db.conn.execute("UPDATE event SET at_ms = at_ms + 1 WHERE seq = 2")
        store.db.conn.commit()
    ran = run("verify", "--store", "mine", "--json")
    assert (ran.status, ran.json["first_bad"]) == (1, 2)
    assert [fault["what"] for fault in ran.json["faults"]] == ["chain"]
    assert run("verify", "--store", "mine").out == "The log of B1 does not hold from event 2 on.\n"


def test_a_file_that_is_no_store_is_told(run: Run) -> None:
    Path("mine").mkdir()
    (Path("mine") / FILE).write_bytes(b"no database at all " * 500)
    assert run("verify", "--store", "mine", "--json").complaint


def test_the_demo_department_is_checked_loaded_saved_and_is_the_same(run: Run) -> None:
    checked = run("catalogue", "check", DEMO, "--json")
    assert (checked.status, checked.err, checked.json["faults"]) == (0, "", [])
    loaded = run("catalogue", "load", DEMO, "--store", "mine", "--json").json
    assert loaded == {**checked.json, "version": 1}
    assert run("catalogue", "load", DEMO, "--store", "mine", "--json").json["version"] == 2
    assert run("catalogue", "save", "--store", "mine", "out", "--json").json == checked.json
    assert run("catalogue", "check", "out", "--json").json == checked.json
    assert run("catalogue", "check", "out").out.startswith(f"{checked.json['trays']} trays, ")


FAULTY = {
    "trays.csv": "tray,name,weight_max_lb\nTR-1,Ear set,heavy\nTR-1,Other set,\n",
    "items.csv": "item,tray,name,type,qty\nA1,TR-9,Ear suction,fine_suction,none\n",
}


@pytest.mark.parametrize("what", ["check", "load"])
def test_each_fault_of_a_catalogue_is_a_line_that_names_file_row_and_column(run: Run, what: str) -> None:
    for name, text in FAULTY.items():
        Path(name).write_text(text)
    ran = run("catalogue", what, *FAULTY, "--store", "mine")
    assert (ran.status, ran.out) == (2, "")
    lines = ran.err.splitlines()
    for file, row, column in [
        ("trays", 2, "weight_max_lb"), ("trays", 3, "tray"), ("items", 2, "tray"), ("items", 2, "qty"),
        ("items", 2, "no row in lumens"),
    ]:  # fmt: skip
        assert [line for line in lines if file in line and f"row {row}" in line and column in line], (file, row, lines)
    assert len(lines) == len(set(lines)) == 5
    assert not Path("mine").exists()  # all or nothing
    told = run("catalogue", what, *FAULTY, "--json", "--store", "mine")
    assert [f"throughlight: {fault}" for fault in told.json["faults"]] == lines


def test_a_store_without_a_catalogue_saves_none(run: Run) -> None:
    with_events(Path("mine"))
    assert "this store holds no catalogue yet" in run("catalogue", "save", "out", "--store", "mine").complaint


def test_the_columns_are_told_as_a_table_or_as_json(run: Run) -> None:
    assert run("catalogue", "columns").out.startswith("### trays: ")
    told = run("catalogue", "columns", "--json").json
    assert told["lumens"][0].keys() == {"name", "needed", "meaning"}
    assert "### lumens: " in run("catalogue", "columns").out


def test_the_summary_of_a_shift_tells_every_counter(run: Run) -> None:
    with_events(Path("mine"))
    told = run("summary", "--shift", "day", "--date", "2031-03-04", "--store", "mine", "--json").json
    assert {name: told[name] for name in COUNTERS} == dict.fromkeys(COUNTERS, 0)
    assert told["shares"]["soil"] == {"n": 0, "of": 0}


def test_a_shift_the_policy_does_not_know_is_told_with_those_it_knows(run: Run) -> None:
    with_events(Path("mine"))
    call = ("summary", "--date", "2031-03-04", "--store", "mine", "--shift")
    assert "--shift dawn: the policy's shifts are day, late, night" in run(*call, "dawn").complaint
    Path("own.yaml").write_text("shifts: {dawn: ['04:00', '12:00'], dusk: ['12:00', '04:00']}\n")
    assert run(*call, "dawn", "--policy", "own.yaml").status == 0


def test_a_policy_that_the_kiosk_can_not_use_is_told_before_it_opens(run: Run) -> None:
    Path("own.yaml").write_text("look_time: ask\nlook_least_s: soon\n")
    assert "own.yaml line 2: policy key look_least_s" in run("--policy", "own.yaml").complaint


BAD_PLAYS = {
    "id: [X\n": "odd.yaml line 2: ",
    "- a\n": "odd.yaml: is not a scenario",
    "id: X\ngiven: {}\nwhen: []\n": "odd.yaml: has no `then`",
    "id: X\ngiven: {}\nwhen: [{do: fly}]\nthen: {}\n": "odd.yaml: action 1: `fly` can not be played yet",
    "id: X\ngiven: {}\nwhen: []\nthen: {}\n": "odd.yaml: given: ",
}


@pytest.mark.parametrize(("text", "line"), BAD_PLAYS.items())
def test_a_scenario_that_can_not_be_played_is_told_in_one_line(run: Run, qapp: object, text: str, line: str) -> None:
    Path("odd.yaml").write_text(text)
    assert line in run("play", "odd.yaml", "--out", "out", "--json").complaint


@pytest.mark.slow
def test_a_played_shift_is_told_in_the_written_shape_and_not_over_an_older_play(tmp_path: Path) -> None:
    words = ["play", str(ROOT / "tests/scenarios/S05.yaml"), "--out", "out", "--json"]
    ran = in_a_process(words, tmp_path)
    assert ran.status == 0, ran
    (played,) = ran.json
    assert {"scenario", "held", "checked", "missed", "papers", "pictures"} <= played.keys()
    assert (played["scenario"], played["held"], played["missed"], played["pictures"]) == ("S05", True, [], [])
    assert played["checked"] > 15
    assert played["papers"]
    for paper in played["papers"]:
        assert (tmp_path / paper).read_bytes().startswith(b"%PDF")
    assert "a play was left here" in in_a_process(words, tmp_path).complaint


@pytest.mark.slow
def test_a_shift_that_does_not_hold_is_told_where(tmp_path: Path) -> None:
    text = (ROOT / "tests/scenarios/S05.yaml").read_text(encoding="utf-8")
    head, _, then = text.partition("\nthen:\n")
    assert then
    (tmp_path / "odd.yaml").write_text(f"{head}\nthen:\n  summary: {{wet: 7}}\n", encoding="utf-8")
    ran = in_a_process(["play", "odd.yaml", "--out", "out", "--json"], tmp_path)
    assert ran.status == 1
    assert [(miss["where"], miss["wanted"]) for miss in ran.json[0]["missed"]] == [("then.summary.wet", 7)]


def test_without_a_display_the_kiosk_refuses_with_one_sentence(tmp_path: Path) -> None:
    line = in_a_process([], tmp_path).complaint
    assert line == "throughlight: there is no display here; `throughlight play --demo` plays a demo tray off screen"
    assert not (tmp_path / "data").exists()


def test_the_module_and_its_exit_status_are_those_of_the_command(tmp_path: Path) -> None:
    assert in_a_process(["code", "TR-0734", "--json"], tmp_path).json["kind"] == "tray"
    assert in_a_process(["code", "]d20109521101530002"], tmp_path).status == 1
    assert "gone.yaml" in in_a_process(["plan", "gone.yaml"], tmp_path).complaint
