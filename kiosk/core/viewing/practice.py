"""The practice: its lessons, the steps of one, and what was right after it."""

from kiosk.core.commands import BeginLesson, Page, Turn
from kiosk.core.glance import Glance, back_hand, hand
from kiosk.core.lessons import Lesson, done, in_words
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView


def lessons_key(g: Glance) -> Key | None:
    """The key to the lessons, in the practice only."""
    return g.key("practice.key", Turn(page=Page.LESSONS), name="lessons") if g.desk.practice else None


def _own(g: Glance, words: dict[str, str]) -> str:
    return in_words(words, g.words.say("language.code"))


def _now(g: Glance) -> Lesson | None:
    return g.desk.lessons.get(g.bench.staff.lesson)


def lessons(g: Glance) -> ListView:
    """The lessons there are."""
    now = _now(g)
    rows = [
        ListRow(
            title=_own(g, dict(lesson.title)),
            sub=g.words.say("practice.steps", n=len(lesson.steps)),
            send=BeginLesson(lesson=lesson.id),
            name=f"lesson {lesson.id}",
        )
        for lesson in g.desk.lessons.values()
    ]
    end = g.key("practice.end", Turn(page=Page.LESSON_END), kind="main", name="lesson end") if now else None
    return listed(
        g,
        rows,
        page=Page.LESSONS,
        title=g.words.say("practice.title"),
        help_=g.words.say("practice.help"),
        nothing=g.words.say("practice.nothing"),
        hand=back_hand(g),
        main=end,
    )


def lesson(g: Glance) -> ListView:
    """What is to be done."""
    now = _now(g)
    steps = now.steps if now else ()
    rows = [ListRow(title=f"{n}  {_own(g, dict(step.say))}", name=f"step {n}") for n, step in enumerate(steps, 1)]
    start = g.key("practice.start", Turn(), kind="main", icon="arrow_right", name="lesson start")
    return listed(
        g,
        rows,
        page=Page.LESSON,
        title=_own(g, dict(now.title)) if now else g.words.say("practice.title"),
        nothing=g.words.say("practice.nothing"),
        hand=hand(g, left=(g.key("rail.back", Turn(page=Page.LESSONS), icon="arrow_left"),)),
        main=start,
    )


def lesson_end(g: Glance) -> ListView:
    """What was done as the lesson says. No points and no time: a step is done, or it is still to do."""
    now, say = _now(g), g.words.say
    steps = now.steps if now else ()
    right = done(now, g.walked) if now else ()
    rows = [
        ListRow(
            title=f"{n}  {_own(g, dict(step.say))}",
            value=say("practice.done" if ok else "practice.to_do"),
            name=f"step {n}",
        )
        for n, (step, ok) in enumerate(zip(steps, right, strict=True), 1)
    ]
    return listed(
        g,
        rows,
        page=Page.LESSON_END,
        title=say("practice.end_title_all") if all(right) else say("practice.end_title"),
        nothing=say("practice.nothing"),
        hand=hand(g, left=(g.key("rail.back", Turn(page=Page.LESSONS), icon="arrow_left"),)),
        main=g.key("practice.start", Turn(), kind="main", icon="arrow_right", name="lesson start"),
    )
