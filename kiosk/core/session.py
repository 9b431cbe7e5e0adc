"""The one loop: a command in, events kept, the bench moved on, the view out. Keeping comes before moving, always."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.decide import Decision, Refused, decide
from kiosk.core.decide.cleaning_tests import scanned_for
from kiosk.core.desk import Desk, HubState, Now, PictureRoom
from kiosk.core.dispositions import ruled_piece
from kiosk.core.evolve import evolve
from kiosk.core.exposure import ExposureNote, Notes, NotYours
from kiosk.core.folds.staff import AMENDING
from kiosk.core.locked import Left, page_again
from kiosk.core.meaning import Kind
from kiosk.core.settings import Settings, at_the_glass, settings_of
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.together.amending import amended
from kiosk.core.tongue import Tongue
from kiosk.core.viewing import Glance, view
from kiosk.core.views import View
from kiosk.core.vocabulary import Role
from kiosk.core.words import Words

_AIMED = frozenset({c.Page.NAMES, c.Page.PIN, c.Page.SECOND})

_ASKED = {
    Kind.LOAD: "load", Kind.SCOPE: "scope", Kind.ITEM: "item", Kind.TRAY: "tray", Kind.SWAB_LOT: "lot",
    Kind.LABEL: "package",
}  # fmt: skip
"""What a scanned code asks for on the page that looks back."""


_NOT_KEPT = "refused.not_saved"


class NotKept(Exception):
    """The store could not keep the events; the message is why, in words. The bench stays where it was."""


def aim_of(turn: c.Turn) -> str:
    """What a badge shown on this page signs in for: `ruling:`, `second:policy-now:`; "" where it signs nobody in.

    Where a number or an answer is waited for, another badge means that person in place of the one named.
    """
    if turn.page not in _AIMED or ":" not in turn.subject:
        return ""
    aim = turn.subject[: turn.subject.rindex(":") + 1]
    return f"second:{aim.partition(':')[0]}:" if turn.page is c.Page.SECOND else aim


@dataclass(slots=True)
class Session:
    """The bench as it stands and what is laid over it. `keep` must be durable when it returns, or raise NotKept.

    Papers speak the language of the house, and whoever has chosen none of `tongues`; `words` stand where there are no
    tongues. `language`: touched on the sign-in page, until somebody has signed in.
    """

    bench: Bench
    desk: Desk
    words: Words
    clock: Callable[[], Now]
    keep: Callable[[Sequence[Kept]], None]
    notes: Notes | None = None
    small: bool = False
    tongues: Mapping[str, Tongue] = field(default_factory=dict)
    language: str = ""
    sight: str = ""  # what this station's pictures come from: camera, stream, file, folder; "" from nothing
    turn: c.Turn | None = None
    note: ExposureNote | None = None
    notice: tuple[str, dict[str, Any]] | None = None
    machine: str = ""  # what the machine has to say on the head rail, by its key
    after: list[Callable[[Sequence[Kept]], None]] = field(default_factory=list)
    walked: list[str] = field(default_factory=list)  # in the practice: names of what happened since a lesson began
    _left: Left | None = None
    _loaded: Desk = field(init=False)
    _changes_ms: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        self.use(self.desk)

    def send(self, send: c.Send) -> tuple[Kept, ...]:
        """Follow a command or turn a page. Returns what was kept."""
        if isinstance(send, c.SetUp):  # a page of the set-up, which stands before the bench is up
            return ()
        if isinstance(send, c.Turn):
            self.turn, self.notice = (send if send != c.Turn() else None), None
            self._put_away_note()
            self.language = send.language or self.language
            return ()
        send = self._read(send)
        if isinstance(send, c.Turn):
            return self.send(send)
        if self.clock().at_ms >= self._changes_ms:
            self._amend()
        before = self.bench.who, self.turn
        try:
            decision = decide(self.bench, send, self.here, self.clock(), note=self.note)
            self._keep(decision)
        except Refused as refused:
            self.notice = (refused.key, refused.names)
            return ()
        except NotKept as fault:
            self.notice = (_NOT_KEPT, {"why": str(fault)})
            return ()
        for kept in decision.kept:
            self.bench = evolve(self.bench, kept)
        if decision.refused:
            self.notice = decision.notice
            self._tell(decision.kept)
            return decision.kept
        self._amend_after(decision.kept)
        if self.desk.practice:
            self._walk(decision.kept)
        if any(isinstance(kept.event, e.SignedIn) for kept in decision.kept):
            self.language = ""
        typed = self.turn is not None and self.turn.page is c.Page.TYPE_NUMBER and isinstance(send, c.CountLine)
        if typed or not isinstance(
            send, c.CountLine | c.PrintCame | c.ChooseSetting | c.Heard | c.TellBackup | c.KeepStill | c.DropPictures
        ):
            self.turn, self.notice = decision.turn, decision.notice
            self._put_away_note()
        elif decision.kept and isinstance(send, c.CountLine | c.ChooseSetting) and self._not_kept:
            self.notice = None  # what the hand does now is kept again; what comes by itself takes no warning away
        self._lock(decision, *before)
        self._tell(decision.kept)
        return decision.kept

    @property
    def _not_kept(self) -> bool:
        return self.notice is not None and self.notice[0] == _NOT_KEPT

    def _lock(self, decision: Decision, who: str | None, turn: c.Turn | None) -> None:
        """Locked by quiet, the page is put away; the same person, back at the same step, finds it again."""
        for kept in decision.kept:
            match kept.event:
                case e.SignedOut(reason="idle") if who and turn:
                    self._left = Left(who=who, step=next_step(replace(self.bench, who=who), self.here), turn=turn)
                case e.SignedIn(person=person):
                    left, self._left = self._left, None
                    same = left and left.who == person and left.step == next_step(self.bench, self.here)
                    if left and same and decision.turn is None:
                        self.turn = page_again(left, self.desk.catalogue.people)
                case _:
                    pass

    def _tell(self, kepts: Sequence[Kept]) -> None:
        for follow in self.after:
            follow(kepts)

    def _keep(self, decision: Decision) -> None:
        """What was told for an exposure note is kept apart, and first. Raises NotKept; Refused for another's note."""
        if self.notes is not None and decision.entries and self.note is not None:
            self.notes.write(decision.entries)
            self.note = replace(self.note, entries=(*self.note.entries, *decision.entries))
        if self.notes is not None and decision.opens:
            now, who = self.clock(), self.bench.who or ""
            known = self.desk.catalogue.people.get(who)
            lead = known is not None and known.role is Role.SUPERVISOR
            try:
                self.note = self.notes.read(decision.opens, who, lead=lead, at_ms=now.at_ms, offset_min=now.offset_min)
            except NotYours as fault:
                raise Refused("refused.not_your_note") from fault
        if decision.kept:
            self.keep(decision.kept)

    def _put_away_note(self) -> None:
        """A note lies open only on its own pages."""
        if self.turn is None or self.turn.page not in {c.Page.NOTE, c.Page.NOTE_FIELD}:
            self.note = None

    def _read(self, command: c.Command) -> c.Command | c.Turn:
        """What a scan means on a page that waits for one of its own: the spare, the supervisor's badge, waking."""
        if isinstance(command, c.EnterPin):
            return replace(command, language=self.language)
        if not isinstance(command, c.Scanned) or self.turn is None:
            return command
        meaning, page = command.meaning, self.turn.page
        if page is c.Page.BEGIN and self.turn.subject and not self.desk.catalogue.people:
            return c.BeginDepartment(name=self.turn.subject.partition("/")[0], badge=meaning.text)
        if page is c.Page.SPARE and meaning.kind is Kind.ITEM:
            piece = ruled_piece(self.bench.trip, self.turn.number)
            name = piece.name if piece else ""
            return c.RuleSubstitute(by=self.turn.subject, piece=name, spare=meaning.text)
        what, _, person = self.turn.subject.partition(":")
        if page is c.Page.PERSON and what in {"badge", "day"}:
            code = meaning.text
            return (
                c.KeepPerson(person=person, badge=code) if what == "badge" else c.LendBadge(person=person, badge=code)
            )
        aim = aim_of(self.turn)
        if meaning.kind is Kind.PERSON and aim:
            return c.Turn(page=c.Page.PIN, subject=f"{aim}{meaning.text}")
        if page is c.Page.STOP_NOTICE and meaning.kind in {Kind.ITEM, Kind.UNKNOWN}:
            return c.StopListMark(notice=self.turn.subject, mark=meaning.text)
        if meaning.kind is Kind.LOAD and page is c.Page.SCOPE_BACK:
            return c.ScopeBack(scope=self.turn.subject, load=meaning.text)
        if page in {c.Page.NEW_TEST, c.Page.NEW_METER} and (given := scanned_for(self.turn, meaning)):
            return given
        if page is c.Page.LOOKBACK and meaning.kind in _ASKED:
            return c.Turn(page=page, subject=f"{_ASKED[meaning.kind]}={meaning.text}")
        if meaning.kind is Kind.SPARE_FORM and page in {c.Page.FORMS, c.Page.FORM_FILLED}:
            return c.EnterForm(paper=meaning.text)
        if meaning.kind is Kind.TRAY and page is c.Page.FORM_FILLED and self.turn.subject:
            return c.EnterForm(paper=self.turn.subject.partition("/")[0], tray=meaning.text)
        if meaning.kind is Kind.PERSON and page is c.Page.WIPE:
            return c.Turn()
        number = self.turn.subject.removeprefix("back:").partition(":")[0]
        back = page is c.Page.BACK or self.turn.subject.startswith("back:")
        if meaning.kind is Kind.LOAD and back and number:
            return c.Turn(page=c.Page.BACK, subject=f"{number}:{meaning.text}")
        return command

    def _walk(self, kepts: Iterable[Kept]) -> None:
        for kept in kepts:
            if isinstance(kept.event, e.LessonBegun):
                self.walked.clear()
            else:
                self.walked.append(e.NAME_OF[type(kept.event)])

    @property
    def here(self) -> Desk:
        """The surroundings as they count now: the tray on the bench keeps the policy that it began with."""
        return self.desk.under(self.bench.trip)

    def settings(self) -> Settings:
        """How the glass is for whoever stands at it now."""
        who = at_the_glass(self.bench, self.turn)
        since = self.bench.signed_in[0] if who == self.bench.who else None
        return settings_of(who, (self.bench, *self.desk.others.values()), since)

    def paper_glance(self) -> Glance:
        """Everything a paper is made from, now, in the words of the house."""
        return replace(self._glance_in(self._house, Settings()), turn=None, notice=None)

    def glance(self) -> Glance:
        """Everything a view is made from, now, in the words of whoever stands at the glass."""
        settings = self.settings()
        return self._glance_in(self.tongues.get(settings.language or self.language) or self._house, settings)

    @property
    def _house(self) -> Tongue | None:
        return self.tongues.get(self.desk.policy.house_language)

    def _glance_in(self, tongue: Tongue | None, settings: Settings) -> Glance:
        desk = self.here if tongue is None else replace(self.here, findings=tongue.findings, types=tongue.types)
        return Glance(
            bench=self.bench,
            desk=desk,
            words=self.words if tongue is None else tongue.words,
            now=self.clock(),
            turn=self.turn,
            note=self.note,
            notice=self.notice,
            machine=self.machine,
            small=self.small,
            sight=self.sight,
            settings=settings,
            house=self._house.words if self._house else self.words,
            tongue=tongue,
            tongues=tuple(self.tongues.values()),
            walked=tuple(self.walked),
        )

    def view(self) -> View:
        """What the screen shows."""
        return view(self.glance())

    def view_after(self, command: c.Command) -> View | None:
        """The view that would follow, if the command came now; nothing is kept. None where it would be refused."""
        try:
            decision = decide(self.bench, command, self.here, self.clock())
        except Refused:
            return None
        bench = self.bench
        for kept in decision.kept:
            bench = evolve(bench, kept)
        glance = self.glance()
        desk = replace(self.desk.under(bench.trip), findings=glance.desk.findings, types=glance.desk.types)
        return view(replace(glance, bench=bench, desk=desk, turn=decision.turn, notice=decision.notice))

    def hear(self, station: str, kepts: Iterable[Kept]) -> None:
        """Take in what another station kept, in its own order: it is folded beside, never into, this bench."""
        other, told = self.desk.others.get(station, Bench()), tuple(kepts)
        for kept in told:
            other = evolve(other, kept)
        self._others({**self.desk.others, station: other})
        self._amend_after(told)

    def hear_anew(self, others: Mapping[str, Bench]) -> None:
        """The other stations as they stand, folded anew."""
        self._others(others)
        self._amend()

    def take(self, kepts: Iterable[Kept]) -> None:
        """Go on from what was kept here without a command."""
        for kept in kepts:
            self.bench = evolve(self.bench, kept)

    def _others(self, others: Mapping[str, Bench]) -> None:
        self.desk, self._loaded = replace(self.desk, others=others), replace(self._loaded, others=others)

    def reach(self, hub: HubState | None) -> None:
        """How the way to the hub stands now."""
        if hub != self.desk.hub:
            self.desk, self._loaded = replace(self.desk, hub=hub), replace(self._loaded, hub=hub)

    def room(self, pictures: PictureRoom | None) -> None:
        """What pictures take at this station now."""
        if pictures != self.desk.pictures:
            self.desk, self._loaded = replace(self.desk, pictures=pictures), replace(self._loaded, pictures=pictures)

    def use(self, desk: Desk) -> None:
        """Go on with other surroundings (a new catalogue or policy). Open trips keep the versions they began with."""
        self._loaded = replace(
            desk,
            others=self.desk.others,
            records=self.desk.records,
            numbers=self.desk.numbers,
            hours=self.desk.hours,
            unseen=self.desk.unseen,
            hub=self.desk.hub,
            pictures=self.desk.pictures,
        )
        self._amend()

    def _amend_after(self, kepts: Iterable[Kept]) -> None:
        if any(isinstance(kept.event, AMENDING) for kept in kepts):
            self._amend()

    def _amend(self) -> None:
        """People, records and policy as they count from here on."""
        self.desk, self._changes_ms = amended(self._loaded, self.bench, self.clock().at_ms)
