"""A paper of the practice wears its mark across every page; every other paper has none."""

from kiosk.core.papers import PackageLabel, ReturnTicket, Tag, TraySheet
from kiosk.paper.render import render
from tests.paper import invented
from tests.paper.reading import words_of

PAPERS = [each for each in vars(invented).values() if isinstance(each, TraySheet | ReturnTicket | PackageLabel | Tag)]


def test_a_paper_of_the_practice_is_marked_and_no_other() -> None:
    assert {type(paper) for paper in PAPERS} == {TraySheet, ReturnTicket, PackageLabel, Tag}
    for paper in PAPERS:
        assert "PRACTICE" in words_of(render(paper, mark="PRACTICE"))
        assert "PRACTICE" not in words_of(render(paper))
