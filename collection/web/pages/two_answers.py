"""Two people changed the same thing: which one is right?"""

from __future__ import annotations

from collections.abc import Iterable
from types import SimpleNamespace

from django.urls import reverse

from collection.queries.speech import listed
from collection.queries.two_answers import Answer, Question, TwoAnswers
from collection.web.pages.parts import Tag, page

# Names of the fields that the page adds; everything else is what was typed.
ASKED, COLUMNS, CHOICE = "two_asked", "two_columns_", "two_choice_"
LEFT, SEEN, MINE = "two_left", "two_seen", "two_mine"
OWN = ("two_", "csrfmiddlewaretoken")


def two_answers_page(
    found: TwoAnswers, url: str, typed: Iterable[tuple[str, list[object]]]
) -> SimpleNamespace:
    """Everything ``two_answers.html`` reads; ``typed`` is what was sent, which goes along unchanged."""
    tag = Tag(found.tree[1], reverse("tree", args=[found.tree[0]])) if found.tree else None
    sent = [(name, value) for name, values in typed for value in values if not name.startswith(OWN)]
    carried = [(name, value) for name, value in sent if name != "version"]
    carried += [("version", found.version), (SEEN, found.seen)]
    carried += [(LEFT, column) for column in found.left]
    for number, question in enumerate(found.questions):
        carried += [(ASKED, number), (f"{COLUMNS}{number}", " ".join(question.columns))]
    carried += [(MINE, "1")] if found.mine else []
    single = len(found.questions) == 1
    return page(
        title="Two answers",
        lead="Somebody changed the same thing while you were writing. Nothing is written yet.",
        subject=found.subject,
        tag=tag,
        url=url,
        hidden=[SimpleNamespace(name=name, value=value) for name, value in carried],
        questions=[_question(n, q, found) for n, q in enumerate(found.questions)],
        single=single,
        send=_send(found),
        mine=[f"{label}: {text}" for label, text in found.mine],
        meanwhile=[f"{label}: {a.text}. {_by(a)}" for label, a in found.meanwhile],
        nothing=not found.questions and not found.mine,
        foot_left="What is there stays until you choose.",
        foot_right="",
    )


def _question(number: int, question: Question, found: TwoAnswers) -> SimpleNamespace:
    return SimpleNamespace(
        label=question.label,
        of=f"{question.label} of {found.subject}".strip(),
        was=f"was changed by {question.theirs.who} while you were writing. Which one is right?",
        name=f"{CHOICE}{number}",
        answers=[
            SimpleNamespace(
                id=f"{CHOICE}{number}-{value}",
                value=value,
                text=answer.text,
                by=_by(answer),
                keep=f"Keep {_short(answer.text)}",
            )
            for value, answer in (("theirs", question.theirs), ("yours", question.yours))
        ],
    )


def _by(answer: Answer) -> str:
    return ", ".join(word for word in (answer.who, answer.when) if word)


def _short(text: str) -> str:
    """The value as a button repeats it."""
    return text if len(text) <= 60 else f"{text[:57].rstrip()}..."


def _send(found: TwoAnswers) -> str:
    """The words of the button below; "" where each answer has its own."""
    if len(found.questions) > 1:
        return "Keep what I chose"
    if not found.questions and found.mine:
        return f"Keep {listed([_short(text) for _, text in found.mine])}"
    return ""
