"""The policy page says every key of the policy in plain words, in each language of the house."""

from dataclasses import replace

import pytest

from kiosk import resources
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.policy import plain_values
from kiosk.core.policy_words import sentence
from kiosk.core.settings import CHOICES
from kiosk.paper.render import render
from tests.core.department import Shift
from tests.paper.reading import words_of


@pytest.mark.parametrize("language", CHOICES["language"])
def test_every_key_of_the_policy_is_on_the_page_in_plain_words(language: str) -> None:
    words = resources.words(language)
    shift = Shift()
    shift.session.tongues = resources.tongues()
    shift.session.use(replace(shift.session.desk, policy=resources.policy({"house_language": language})))
    page = compose_report(shift.session.paper_glance(), ReportOrder(doc="policy_page", number="PP-1"))
    told = [line for section in page.sections for line in section.paragraphs]
    values = plain_values(shift.session.desk.policy)
    assert len(told) == len(values)
    for key, value in values.items():
        line = sentence(words, key, value)
        assert line in told
        assert not line.startswith(f"{key}:"), f"{key} has no words"
        assert "_" not in line, line
    printed = words_of(render(page))
    assert all(" ".join(line.split()) in printed for line in told)
