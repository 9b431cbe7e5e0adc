"""Who may do what, by verb: the one table of roles and commands. `decide` looks into it before any rule.

What a rule asks beyond the role (never on own work, another badge, a policy's word) stands with the rule.
"""

import re

from kiosk.core import commands as c
from kiosk.core.catalogue import Person
from kiosk.core.vocabulary import Role

EVERYBODY = frozenset(Role)
WORKING = EVERYBODY - {Role.INFECTION_PREVENTION}
PACKING = WORKING - {Role.DECONTAM}
SUPERVISING = frozenset({Role.SUPERVISOR})
AT_DESK = frozenset({Role.SUPERVISOR, Role.EDUCATOR})
SECONDING = EVERYBODY - {Role.DECONTAM}

_SENT: dict[frozenset[Role], tuple[type, ...]] = {
    EVERYBODY: (
        *(c.Started, c.Scanned, c.EnterPin, c.SignOut, c.Heard, c.PrintCame, c.TellRoomMade, c.TellBackup),
        c.DropPictures,
        c.BeginLesson,
        *(c.FirstAid, c.FirstAidDone, c.StopAll, c.MarkHit, c.ClearExposure, c.OpenNote, c.WriteNote, c.PrintNote),
        *(c.ChooseSetting, c.SetPin, c.PrintReport, c.TryReport, c.PrintAgain, c.WriteByHand, c.Readable),
        *(c.AnswerStartup, c.StartAgain, c.StopHere, c.NotHere, c.ReceiveTicket, c.KeepStill),
        c.KeepTarget,
        *(c.BeginReading, c.ReadPicture),
    ),
    WORKING: (
        *(c.TornGlove, c.ScopeBack, c.SendScope, c.OpenSwabLot, c.ReadAirGauge),
        *(c.AnswerTicket, c.CheckDirty, c.SendBackClean, c.PrintCopy, c.TakeHandover, c.EnterForm, c.SignCompetency),
        c.SeeAbsent,
    ),
    PACKING: (
        *(c.Confirm, c.StepDone, c.SetLabelTime),
        *(c.CountLine, c.CountAll, c.CountDiffers, c.CountAgain, c.LetGo, c.OpenPiece, c.Answer, c.ReportFinding),
        *(c.MovePlace, c.TakeBack, c.KeepPhoto, c.NoPhoto, c.Weigh, c.PlaceIndicators, c.ChoosePackaging),
        *(c.PackAndPrint, c.RuleQuarantine, c.RuleSubstitute, c.RuleLoad, c.Search, c.FoundIt, c.ExtraIs, c.RuleExtra),
        *(c.RuleMixed, c.RuleExchanged, c.RuleDiscard, c.RuleOthers, c.OpenMixed, c.WantMark, c.NoDirtyCheck),
        *(c.TakeSecondLook, c.Dropped, c.SuspectPathogen, c.RulePathogen, c.Call, c.LookIntoJoint, c.ReportOther),
        *(c.Measure, c.RuleSize, c.CorrectSize, c.GiveOverride, c.SecondOnOverride, c.NoSecondHere, c.LeaveScope),
        *(c.RuleExposed, c.SignBeside, c.TakeOver, c.SameLabel, c.RuleRetagged, c.Reopen, c.OldLabelGone),
        *(c.FetchedPackage, c.HandOver, c.RuleSplit, c.CountImplant, c.SecondCountDone, c.RuleIfu, c.ReturnLoaner),
        *(c.TakeOnUnsigned, c.AnswerRecall, c.GiveNoStill, c.AcceptLook),
    ),
    SUPERVISING: (
        *(c.KeepPerson, c.LendBadge, c.ForgiveTries, c.DraftRule, c.DropDraft, c.SignPolicy),
        *(c.KeepTray, c.KeepItem, c.KeepKit, c.KeepLoad, c.StopList, c.StopListMark, c.LiftStop, c.SetLotAside),
        *(c.WithdrawLoad, c.MarkRush, c.TellNotBefore, c.Cosign, c.RuleConflict),
        *(c.SeeIncarnation, c.LeaveStation, c.StopListLot, c.StopWithdraw, c.FixBaseline, c.AnswerCleaningTest),
    ),
    AT_DESK: (
        *(c.RunLookback, c.DrawAudit, c.IssueForms, c.SayClockRight, c.KeepCleaningTest),
        *(c.EndReadingSet, c.AgreeReference, c.TakeReferenceBack),
    ),
    frozenset(): (c.BeginDepartment, c.NoteUnsigned, c.MakeReadingSet, c.OfferReference),
}  # fmt: skip

SENT: dict[type, frozenset[Role]] = {kind: roles for roles, kinds in _SENT.items() for kind in kinds}
"""Command -> the roles that may send it while they are signed in. Without a role: only where nobody is signed in."""

_GIVEN: dict[frozenset[Role], tuple[type, ...]] = {
    SUPERVISING: (
        *(c.RuleQuarantine, c.RuleSubstitute, c.RuleLoad, c.RuleExtra, c.RuleMixed, c.RuleExchanged, c.RuleDiscard),
        *(c.RuleOthers, c.RulePathogen, c.RuleSize, c.CorrectSize, c.RuleExposed, c.RuleRetagged, c.RuleSplit),
        *(c.RuleIfu,),
    ),
    SECONDING: (c.TakeSecondLook, c.AcceptLook, c.SecondOnOverride, c.SecondCountDone, c.CountLine, c.CountAll),
    frozenset({Role.EDUCATOR}): (c.SignCompetency,),
    frozenset({Role.INFECTION_PREVENTION}): (c.SignPolicy,),
    PACKING - {Role.TRAINEE}: (c.SignBeside,),
}  # fmt: skip

GIVEN: dict[type, frozenset[Role]] = {kind: roles for roles, kinds in _GIVEN.items() for kind in kinds}
"""Command that a second badge signs (`by`) -> the roles that may sign it."""

OF_RIGHTS = {
    **dict.fromkeys(("refused.supervisor_only", "refused.not_supervisor", "refused.educator_only"), "role"),
    **dict.fromkeys(("refused.not_at_desk", "refused.not_your_role", "refused.policy_infection"), "role"),
    "refused.second_role": "role",
    "refused.cosigner": "cosigner",
    "refused.own_work": "own_work",
    "refused.own_record": "own_record",
    "refused.same_person": "same_person",
    "refused.not_your_note": "not_your_note",
    "refused.not_your_answer": "not_own",
    "refused.finding_stays": "not_own",
    "refused.disabled": "disabled",
}
"""Refusals that say whose something is not: each such try is kept, under this name."""

_SAID: dict[type, str] = {
    c.SignCompetency: "refused.educator_only",
    c.SignPolicy: "refused.policy_infection",
    c.SignBeside: "refused.cosigner",
}


def refusal(command: c.Command, sender: Person | None, signer: Person | None) -> tuple[str, Person | None] | None:
    """Why the role of whoever sends the command, or of whoever signs it, does not allow it: a sentence, and whose.

    None: it is allowed. `signer` counts only for a command that a second badge signs.
    """
    kind = type(command)
    given = GIVEN.get(kind)
    if sender is not None and sender.disabled and SENT[kind] in {SUPERVISING, AT_DESK}:
        return "refused.disabled", sender  # whose right ended while they were signed in; their work goes on
    if sender is not None and sender.role not in SENT[kind]:
        return _sent(SENT[kind]), sender
    if given is not None and signer is not None and signer.disabled:
        return "refused.disabled", signer
    if isinstance(command, c.CountLine | c.CountAll) and not command.by:
        return None
    if given is None or (signer is not None and signer.role in given):
        return None
    if given == SUPERVISING:
        return "refused.not_supervisor", signer
    return _SAID.get(kind, "refused.second_role"), signer


def name_of(command: c.Command) -> str:
    """The command's name as it is written down: keep_person."""
    return re.sub(r"(?<!^)(?=[A-Z])", "_", type(command).__name__).lower()


def _sent(roles: frozenset[Role]) -> str:
    if roles == SUPERVISING:
        return "refused.supervisor_only"
    return "refused.not_at_desk" if roles == AT_DESK else "refused.not_your_role"
