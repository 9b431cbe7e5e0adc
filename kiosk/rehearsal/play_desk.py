"""Plays the supervisor's desk: its pages are turned to by their keys, row by row, and its papers are waited for."""

from collections.abc import Callable, Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.views import ListView, MenuView, ScanView, View
from kiosk.rehearsal.walking import PlayFault, Walker

PAGES_AT_MOST = 40


class PlaysDesk(Walker):
    """The actions of the desk."""

    def print_at_desk(self, docs: list[str], action: Mapping[str, Any]) -> None:
        """Papers of the desk, each by its own keys."""
        for doc in docs:
            getattr(self, f"_print_{doc}")(action)
            self.view()
            self.wait_for_papers()
            self.view()

    def to_desk(self) -> View:
        """The desk's own page, from wherever the supervisor stands."""
        view = self.view()
        while not (isinstance(view, MenuView) and view.title == self.words("desk.title")):
            if isinstance(view, ScanView):
                self.fingers.send(c.Turn(page=c.Page.DESK))
            else:
                self.fingers.send(view.hand.left[0].send)
            view = self.view()
        return view

    def words(self, key: str) -> str:
        """The words of whoever stands at the glass."""
        return self.stage.kiosk.session.glance().words.say(key)

    def open_row(self, wanted: Callable[[str], bool], what: str) -> View:
        """Touch the row whose name is wanted, on whichever page of the list it stands."""
        for _ in range(PAGES_AT_MOST):
            view = self.view()
            if not isinstance(view, ListView):
                break
            row = next((row for row in view.rows if row.send is not None and wanted(row.name)), None)
            if row is not None:
                self.fingers.send(row.send)
                return self.view()
            if view.page == view.pages - 1:
                break
            self.fingers.send(view.next.send)
        raise PlayFault(f"no row opens {what}")

    def _print_shift_summary(self, action: Mapping[str, Any]) -> None:
        self.to_desk()
        self.fingers.send(c.Turn(page=c.Page.SHIFTS))
        subject = f"{action['shift']}/{action.get('day', self.day)}"
        view = self.open_row(lambda name: name == f"summary {subject}", subject)
        if not isinstance(view, ListView) or view.main is None:
            raise PlayFault(f"the summary of {subject} can not be printed: {view.title!r}")
        self.fingers.send(view.main.send)


AT_DESK = frozenset(name.removeprefix("_print_") for name in vars(PlaysDesk) if name.startswith("_print_"))
"""The papers that are printed at the desk."""
