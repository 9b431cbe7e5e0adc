"""The pages of the set-up and the way out of the bench, of an invented station, in any language."""

from collections.abc import Iterator
from dataclasses import replace

from kiosk import resources
from kiosk.codes.write import qr
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.catalogue import Catalogue
from kiosk.core.desk import Now
from kiosk.core.glance import Glance
from kiosk.core.set_up import Ask, Machine, Source
from kiosk.core.state.bench import Bench
from kiosk.core.station import Station
from kiosk.core.tongue import Tongue
from kiosk.core.viewing.keeping import leave
from kiosk.core.viewing.set_up import set_up, show
from kiosk.core.words import Words
from kiosk.desk import make_desk
from tests.core.department import MORNING

STATION = Station(language="en", bench=3, printer="label-printer-of-bench-3", camera="camera:USB borescope 3.9 mm")
SOURCES = tuple(Source(path=f"/{n}", name=f"trays {n}", about="/media/bench/STICK-32GB") for n in range(5))
MACHINE = Machine(
    panel="1920x1080", queues=("label-printer-of-bench-3", "office"), cameras=("USB borescope 3.9 mm",),
    catalogues=SOURCES, first_aid=SOURCES[:1], code=qr("THROUGHLIGHT", level="M"), code_text="THROUGHLIGHT",
    line_mm=80, picture="starting",
)  # fmt: skip


def longer(words: Words) -> Words:
    """Every text of the set-up two fifths longer, as a translation may be; its names stay."""

    def grown(text: str) -> str:
        return "\n".join(map(_grown, text.split("\n")))

    ours = ("setup.", "leave.", "rest.")
    texts = {key: grown(text) if key.startswith(ours) else text for key, text in words.texts.items()}
    lists = {key: tuple(map(grown, lines)) if key.startswith(ours) else lines for key, lines in words.lists.items()}
    return Words(texts, lists)


def _grown(line: str) -> str:
    """A word gets longer, several words become more."""
    more = len(line) * 2 // 5
    if len(line.split()) == 1:
        return line + "n" * more
    return line + "".join(" " + "menos"[: 1 + n % 5] for n in range(more // 4))


TONGUES: dict[str, Tongue] = {
    **resources.tongues(),
    "longer": replace(resources.tongues()["en"], words=longer(resources.words())),
}


def glance(spoken: str, *, small: bool, notice: tuple[str, dict[str, object]] | None = None) -> Glance:
    tongue = TONGUES[spoken]
    return Glance(
        bench=Bench(),
        desk=make_desk(Catalogue(), resources.policy(), bench_number=3),
        words=tongue.words,
        now=Now(at_ms=MORNING, offset_min=0),
        notice=notice,
        small=small,
        tongue=tongue,
        tongues=tuple(resources.tongues().values()),
    )


def every(spoken: str, *, small: bool) -> Iterator[tuple[str, v.View]]:
    """Each page as it comes, empty, full, with a notice."""
    g = glance(spoken, small=small)
    bare = Machine(panel="1920x1080")
    for ask in Ask:
        yield ask, set_up(g, STATION, MACHINE, ask)
        if ask in {Ask.PRINTER, Ask.CAMERA, Ask.FIRST_AID, Ask.CATALOGUE}:
            yield f"{ask} of none", set_up(g, STATION, bare, ask)
    yield "printing", set_up(g, STATION, replace(MACHINE, busy=True), Ask.PRINTED)
    yield "clock wrong", set_up(replace(g, turn=show(Ask.CLOCK, number=1)), STATION, MACHINE, Ask.CLOCK)
    said = glance(spoken, small=small, notice=("setup.other_code", {"code": "TR-0734-AAAAAAAAAAAAAAAA"}))
    yield "another code", set_up(said, STATION, MACHINE, Ask.SCANNER)
    for to in ("close", "set_up"):
        yield f"leave to {to}", leave(replace(g, turn=c.Turn(page=c.Page.LEAVE, subject=to)))
