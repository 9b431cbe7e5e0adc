"""The papers of the running bench: made and printed on the worker; what came of each is told until it is kept."""

import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from itertools import chain
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Signal

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.session import Session
from kiosk.paper.printer import Printer, PrinterDown

log = logging.getLogger(__name__)

Paper = tuple[str, str, int]
"""Kind, number, copy."""


class Printing(QObject):
    """`told` follows what the bench was told of a paper."""

    told = Signal()
    _printed = Signal(str, str, int, str, str)

    def __init__(
        self,
        session: Session,
        printer: Printer,
        worker: ThreadPoolExecutor,
        pictures: Callable[[str], Path] = Path,
    ) -> None:
        super().__init__()
        self.printer = printer
        self._session, self._worker, self._pictures = session, worker, pictures
        self._on_the_way: set[Paper] = set()
        self._came: dict[Paper, tuple[str, str]] = {}  # what came of a paper, until the log has it
        self._printed.connect(self._note)

    def busy(self) -> bool:
        """Is a paper still on its way?"""
        return bool(self._on_the_way)

    def print(self, asked: e.PrintAsked, trip_id: str | None) -> None:
        """Make the paper from what the bench is now, and print it, on the worker."""
        session, printer = self._session, self.printer
        trip, glance = session.bench.trips.get(trip_id or ""), session.paper_glance()
        name = asked.number + (f"-copy-{asked.copy + 1}" if asked.copy else "")

        def work() -> None:
            from kiosk.core.composing import Order, ReportOrder, compose, compose_off_trip
            from kiosk.paper.render import render

            where, why = "", ""
            mark = glance.words.say("rail.practice") if glance.desk.practice else ""
            language = glance.desk.policy.house_language
            names: dict[str, Any] = {"doc": asked.doc, "number": asked.number, "copy": asked.copy}
            try:
                paper = (
                    compose(glance, Order(trip=trip, **names))
                    if trip
                    else compose_off_trip(glance, ReportOrder(about=asked.about, **names))
                )
                made = render(paper, mark=mark, language=language, pictures=self._pictures)
                where = printer.print(asked.doc, name, made).where
            except PrinterDown as down:
                why = str(down)
            except Exception:
                log.exception("the paper %s could not be made", name)
                why = session.words.say("print.not_made")
            self._printed.emit(asked.doc, asked.number, asked.copy, where, why)

        self._on_the_way.add((asked.doc, asked.number, asked.copy))
        self._worker.submit(work)

    def tell(self) -> None:
        """Tell the bench what came of each paper, again until it is kept; of one nobody prints, that it is lost."""
        waiting = self._asked()
        for paper in waiting - self._on_the_way:
            where, why = self._came.get(paper, ("", "stopped"))
            doc, number, copy = paper
            self._session.send(c.PrintCame(doc=doc, number=number, copy=copy, where=where, why=why))
        if waiting - self._on_the_way:
            self.told.emit()
        still = self._asked()
        self._came = {paper: came for paper, came in self._came.items() if paper in still}

    def end(self) -> None:
        """The worker is done: note what came of the last print, and hear no more."""
        QCoreApplication.sendPostedEvents(self, QEvent.Type.MetaCall)
        self.drop()

    def drop(self) -> None:
        """Hear no more of what the worker did."""
        self._printed.disconnect(self._note)

    def _note(self, doc: str, number: str, copy: int, where: str, why: str) -> None:
        paper = (doc, number, copy)
        self._on_the_way.discard(paper)
        self._came[paper] = (where, why)
        self.tell()
        self.told.emit()

    def _asked(self) -> set[Paper]:
        """The papers of which the log does not say yet what came of them."""
        bench = self._session.bench
        jobs = chain(bench.jobs, *(trip.jobs for trip in bench.trips.values()))
        return {(job.doc, job.number, job.copy) for job in jobs if not job.settled and not job.why}
