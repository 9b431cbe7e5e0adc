"""What is asked for the kit."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenSwabLot:
    """A new box of swabs: its lot."""

    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLotAside:
    """The supervisor's word: this lot of swabs is used no more."""

    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveScope:
    """Go on without cleaning the scope that is due, for a reason. `by`: the supervisor, where policy wants one."""

    reason: str
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SendScope:
    """The scope that is out of use goes to decontam; its ticket is printed."""

    scope: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAirGauge:
    """The air gauge's reading in kPa, as typed."""

    kpa: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TellRoomMade:
    """The disk was full: so many pictures without a finding were taken away for a new one."""

    count: int


KitCommand = TellRoomMade | OpenSwabLot | SetLotAside | LeaveScope | SendScope | ReadAirGauge
