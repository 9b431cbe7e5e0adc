"""Examples of the events of staff."""

from decimal import Decimal

from kiosk.core import events as e
from kiosk.core.catalogue import CountLine, Item, Kit, Load, Lumen, Person, Scope, Tray
from kiosk.core.vocabulary import Learnt, Role

PERSON = Person(id="P-031", name="Ines Verity", role=Role.TRAINEE, badge="7031199")
TUBE = Item(
    id="A1",
    name="Ear suction",
    type="fine_suction",
    lumens=(
        Lumen(name="bore", inside_mm=Decimal("1.2"), length_mm=Decimal(120), learnt=Learnt.GAUGE_PIN),
    ),
    version=2,
)  # fmt: skip

EXAMPLES: tuple[e.Event, ...] = (
    e.SettingChosen(person="P-014", key="language", value="es"),
    e.PinTaken(person="P-002", purpose="ruling", refused=""),
    e.PersonKept(person=PERSON, why="new at this bench"),
    e.PinSet(person="P-031", pin_hash="scrypt$" + "0a" * 16 + "$" + "0b" * 32),
    e.PinHashedAnew(person="P-031", pin_hash="$argon2id$v=19$m=65536,t=3,p=4$AAAA$BBBB", was="0123456789abcdef"),
    e.TriesForgiven(person="P-031"),
    e.TryRefused(person="P-031", what="keep_person", why="role"),
    e.FindingUnsigned(code="visible_soil"),
    e.UnsignedTakenOn(),
    e.DayBadgeLent(person="P-031", badge="9900001", until_ms=1_930_000_000_000),
    e.CompetencySigned(person="P-031", method="swab", by="P-005", until_ms=1_960_000_000_000),
    e.TrayCoSigned(by="P-005", answers=14),
    e.RecordCorrected(item=TUBE, tray="TR-0741", source="gauge pin 1.2 mm", why="was listed as 3 Fr"),
    e.TrayRecordKept(
        tray=Tray(code="TR-0741", name="Ear set", items=(TUBE,), lines=(CountLine(name="Forceps", want=4),)),
        why="one forceps more",
    ),
    e.KitRecordKept(
        kit=Kit(scopes=(Scope(id="SC-1", od_mm=Decimal("1.9"), reach_mm=Decimal(400), bends=True),)), why="a new scope"
    ),
    e.LoadRecordKept(load=Load(id="W-2201", released=True, trays=("TR-0741",)), why="printout signed"),
    e.PolicyDrafted(key="fail_limit", value="2"),
    e.PolicyDropped(),
    e.PolicySigned(
        version=2,
        values={"fail_limit": "2"},
        from_ms=1_930_000_000_000,
        manager="P-002",
        infection_prevention="P-007",
    ),
    e.LessonBegun(lesson="L1"),
    e.PolicyShown(person="P-014", version=2),
)
