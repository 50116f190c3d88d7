"""A bend in figures, on its page."""

from __future__ import annotations

from types import SimpleNamespace

from collection.queries.bend_figures import InFigures, Stage
from collection.queries.labels import dated
from collection.web.pages.parts import number_of


def figures_part(found: InFigures) -> SimpleNamespace:
    """Everything ``bend/_figures.html`` reads."""
    return SimpleNamespace(
        rows=[
            SimpleNamespace(label=one.label, number=number_of(one.number), beside=one.beside)
            for one in found.figures
        ],
        stages=[_stage(one) for one in found.stages],
        notes=found.notes,
    )


def _stage(one: Stage) -> SimpleNamespace:
    days = dict.fromkeys([dated(one.first), dated(one.last)])
    return SimpleNamespace(stage=f"Stage {one.number}", drop=number_of(one.drop), when=" to ".join(days))
