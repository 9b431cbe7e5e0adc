"""Papers on their way: asked, gone, not taken by the printer."""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A paper on its way: asked, then `where` it went or `why` it did not."""

    doc: str
    number: str
    copy: int = 0
    where: str = ""
    why: str = ""
    by_hand: bool = False
    by_hand_ms: int = 0
    form: str = ""  # the numbered spare form that was written by hand
    readable: bool | None = None
    about: str = ""  # what a paper of the desk is about: a shift, a load

    @property
    def settled(self) -> bool:
        """Is nothing owed for this paper any more?"""
        return bool(self.where) or self.by_hand


OF_DESK = 12
"""Papers of the desk whose fate stays known; older ones that are settled are forgotten."""


def asked(jobs: tuple[Job, ...], job: Job) -> tuple[Job, ...]:
    """The jobs with this one asked: a further try takes the place of the one that failed."""
    same = (job.doc, job.number, job.copy)
    return (*(old for old in jobs if old.settled or (old.doc, old.number, old.copy) != same), job)


def newest(jobs: tuple[Job, ...], doc: str, number: str, **changes: object) -> tuple[Job, ...]:
    """The jobs with the newest one of this paper changed."""
    at = max((i for i, job in enumerate(jobs) if (job.doc, job.number) == (doc, number)), default=None)
    if at is None:
        return jobs
    return (*jobs[:at], replace(jobs[at], **changes), *jobs[at + 1 :])  # type: ignore[arg-type]
