"""The group's figure on answers as the bench kept them, beside krippendorff, statsmodels and scikit-learn."""

import random
from collections import Counter
from itertools import combinations

import krippendorff
import numpy as np
import pytest
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import aggregate_raters, fleiss_kappa

from kiosk.core import events as e
from kiosk.core.readings import SAYS, GroupFigure
from kiosk.core.together.kept_readings import figure_of, set_called
from kiosk.quality import reading_figure
from tests.core.department import Shift
from tests.core.reading_sets import SET, all_read, reads, with_set

READERS = ("T1", "T2", "R1", "R2", "R3")


def kept_rows(shift: Shift) -> dict[str, dict[str, str]]:
    """Reader's mark -> picture -> answer, straight from the log and not from its fold."""
    rows: dict[str, dict[str, str]] = {}
    for kept in shift.log:
        if isinstance(kept.event, e.PictureRead):
            rows.setdefault(kept.event.reader, {})[kept.event.picture] = kept.event.says
    return rows


def read_by(many: int, seed: int, readers: tuple[str, ...] = READERS, stops: int = 0) -> tuple[Shift, GroupFigure]:
    """A set read by chance from a seed, with more agreement than chance; one reader stops `stops` pictures early."""
    chance = random.Random(seed)
    truth = [chance.choice(SAYS[:2]) for _ in range(many)]
    rows = {who: [one if chance.random() < 0.7 else chance.choice(SAYS) for one in truth] for who in readers}
    shift = with_set(many)
    if stops:
        broken = {str(n): says for n, says in enumerate(rows.pop(readers[-1]), 1)}
        reads(shift, readers[-1], broken, most=many - stops)
    all_read(shift, rows)
    found = set_called(shift.bench, shift.session.desk, SET)
    assert found is not None
    figure = figure_of(shift.bench, shift.session.desk, found)
    assert figure is not None
    return shift, figure


def table(shift: Shift, many: int) -> list[list[float]]:
    """Readers by pictures as numbers, NaN where one did not read."""
    code = {says: float(n) for n, says in enumerate(SAYS)}
    return [
        [code[said[str(n)]] if str(n) in said else np.nan for n in range(1, many + 1)]
        for said in kept_rows(shift).values()
    ]


@pytest.mark.parametrize("seed", range(6))
def test_alpha_of_the_kept_answers_is_that_of_krippendorff_also_with_a_reading_broken_off(seed: int) -> None:
    for stops in (0, 4):
        shift, figure = read_by(12, seed, stops=stops)
        alpha = krippendorff.alpha(reliability_data=table(shift, 12), level_of_measurement="nominal")
        assert figure.alpha == pytest.approx(alpha)
        assert figure.readers == len(READERS)


@pytest.mark.parametrize("seed", range(6))
def test_fleiss_kappa_of_the_kept_answers_is_that_of_statsmodels(seed: int) -> None:
    shift, figure = read_by(12, seed)
    counts, _ = aggregate_raters(np.array(table(shift, 12)).T.astype(int), n_cat=3)
    assert figure.fleiss == pytest.approx(fleiss_kappa(counts, method="fleiss"))
    assert figure.cohen is None


@pytest.mark.parametrize("seed", range(6))
def test_cohens_kappa_of_two_readers_is_that_of_scikit_learn(seed: int) -> None:
    shift, figure = read_by(12, seed, readers=("T1", "T2"))
    one, other = kept_rows(shift).values()
    names = sorted(one)
    kappa = cohen_kappa_score([one[name] for name in names], [other[name] for name in names])
    assert figure.cohen == pytest.approx(kappa)
    assert figure.cohen is not None
    assert figure.cohen_limits is not None
    assert figure.cohen_limits[0] <= figure.cohen <= figure.cohen_limits[1]


def test_pairs_and_split_pictures_are_those_counted_by_hand() -> None:
    shift, figure = read_by(12, 3)
    rows = list(kept_rows(shift).values())
    pairs = [(one[name], other[name]) for one, other in combinations(rows, 2) for name in one]
    assert (figure.agreeing, figure.pairs) == (sum(a == b for a, b in pairs), len(pairs))
    alike: dict[str, int] = Counter()
    for name in rows[0]:
        alike[name] = sum(one[name] == other[name] for one, other in combinations(rows, 2))
    split = [one.picture.name for one in figure.split]
    assert {name for name, same in alike.items() if same < 10} == set(split)
    assert [alike[name] for name in split] == sorted(alike[name] for name in split)
    assert (figure.alike, figure.compared) == (12 - len(split), 12)
    for one in figure.split:
        assert dict(one.answers) == Counter(row[one.picture.name] for row in rows)


def test_the_limits_are_drawn_again_the_same_by_their_seed() -> None:
    _, one = read_by(12, 1)
    reading_figure.figure.cache_clear()
    _, other = read_by(12, 1)
    assert one == other
    assert one.alpha_limits is not None
    assert one.alpha is not None
    assert one.alpha_limits[0] < one.alpha < one.alpha_limits[1]


def test_a_percentage_is_given_from_fifty_pairs_on() -> None:
    assert read_by(4, 1)[1].percent is None  # 40 pairs
    _, figure = read_by(6, 1)  # 60
    assert figure.percent == pytest.approx(100 * figure.agreeing / figure.pairs)
