"""Examples of the events of pictures."""

from kiosk.core import events as e
from kiosk.core.scope_target import TargetFigures
from kiosk.core.still import StillQuality

SHA = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"  # SHA-256 of "test"

EXAMPLES: tuple[e.Event, ...] = (
    e.StillKept(
        n=2,
        piece="A3#1",
        lumen="suction",
        at_mm=130,
        file="B1-7_A3-1_suction_2.png",
        sha256=SHA,
        size=412_009,
        width=1280,
        height=720,
        source="camera",
        scope="BS-1",
        finding=3,
        quality=StillQuality(dark=121, bright=4, glare=12, light=468, laplacian=95, tenengrad=1_804, blur=312, drops=2),
    ),
    e.NoStill(piece="A3#1", lumen="suction", reason="no_scope"),
    e.LookAccepted(
        n=2,
        piece="A3#1",
        lumen="suction",
        file="B1-7_A3-1_suction_2.png",
        sha256=SHA,
        at_mm=130,
        tray="TR-0417",
        item="A3",
        mark="SH-0031",
    ),
    e.ScopeTargetRead(
        scope="BS-1",
        figures=TargetFigures(
            sharp=882,
            steps=10,
            grays=((888, 1, -2), (98, 0, 0)),
            colors=((412, 602, 318), (312, 240, 235)),
            frame=636,
        ),
        shift=34,
    ),
)
