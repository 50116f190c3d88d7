"""Every published or reported figure on pace stands beside ours, or says why it cannot."""

from __future__ import annotations

import pytest

from collection.craft.evidence import LIKE, VERDICTS, Ours, reported, verdict
from collection.queries.evidence import TRUST_WORDS, VERDICT_WORDS, evidence

ROWS = {row.key: row for row in reported()}
# Every row of the three tables of evidence that was gathered, by its id there.
GATHERED = [f"V{n}" for n in range(1, 15)] + [
    "NV-05", "NV-05b", "NV-05c", "NV-06", "NV-07", "NV-08", "NV-09", "NV-10", "NV-11", "NV-11b", "NV-11c",
    "NV-12", "NV-13", "NV-14", "NV-15", "NV-16", "NV-17", "NV-18", "NV-19",
    "NV-20", "NV-21", "NV-22", "NV-23", "NV-24", "NV-25", "NV-26",
    "NV-31", "NV-32", "NV-33", "NV-34", "NV-35", "NV-36", "NV-37", "NV-38", "NV-38b", "NV-39", "NV-40",
    "NV-41", "NV-42", "NV-43", "NV-44",
]  # fmt: skip
# Ours in the report's unit, low and high, worked out by hand from the pace table, and where the report lies.
BY_HAND = {
    "V1": (3.17, 12.17, "inside"),  # 200 x (0.10 + 0.25 + 0.15 + 1.8 x 0.25) / 60 and so on
    "V2": (3.75, 15.0, "inside"),  # 900 x 0.25 and 1.00 min
    "V3": (3.97, 12.73, "inside"),  # worked example W3
    "V4": (1.32, 3.90, "inside"),  # 5 + 9 + 45 + 10 + 10 and 15 + 24 + 150 + 25 + 20 min; 4 h less 2.5 h
    "V5": (18, 54, "inside"),  # 3 x 6 and 18 min
    "V6": (16, 64, "inside"),  # 8 x 2 and 8 min
    "V9": (1.67, 4.17, "overlaps"),  # 1.5 / 0.9 and 2.5 / 0.6
    "V11": (2, 2, "overlaps"),
    "NV-05": (32, 128, "overlaps"),  # 16 x 2 and 8 min
    "NV-05b": (0.5, 2, "above"),
    "NV-06": (300, 1200, "below"),  # 5 and 20 min in seconds
    "NV-08": (13.2, 30.5, "inside"),  # 25 and 58 min to 95 x 2 min
    "NV-12": (1.17, 4.67, "inside"),  # 700 x 0.1 and 0.4 min
    "NV-13": (0.99, 3.80, "inside"),  # 500 sites: 2.5 x 3.17 h and 2.5 x 12.17 h, in days of 8 h
    "NV-14": (0.95, 3.65, "inside"),
    "NV-15": (1.5, 2.5, "inside"),
    "NV-18": (6.48, 6.48, "below"),  # 0.81 x 8 h
    "NV-20": (480, 1800, "below"),
    "NV-31": (4, 8, "above"),
    "NV-35": (3.97, 12.73, "below"),
    "NV-36": (1.10, 3.20, "inside"),
    "NV-37": (1.33, 3.25, "overlaps"),  # worked example W6
    "NV-39": (2, 2, "inside"),
    "NV-40": (3, 3, "inside"),
    "NV-42": (2.17, 6.53, "inside"),  # 32 + 48 + 30 + 20 and 128 + 144 + 75 + 45 min
    "NV-43": (9, 36, "inside"),  # 2160 x 0.25 and 1 min
}


def test_every_figure_that_was_gathered_is_here_and_no_other():
    assert sorted(ROWS) == sorted(GATHERED)


def test_a_figure_stands_beside_ours_or_says_why_not():
    assert {key for key, row in ROWS.items() if not row.why_not} == set(LIKE) == set(BY_HAND)
    assert all(row.low is not None for row in ROWS.values() if not row.why_not)


def test_every_figure_names_source_and_trust():
    for row in ROWS.values():
        assert row.label in TRUST_WORDS, row.key
        assert len(row.source) > 8, row.key


@pytest.mark.parametrize("key", BY_HAND)
def test_ours_and_its_verdict_are_those_worked_out_by_hand(key):
    low, high, lies = BY_HAND[key]
    ours, row = LIKE[key](), ROWS[key]
    assert (ours.low, ours.high) == pytest.approx((low, high), rel=4e-3)
    assert ours.low <= ours.likely <= ours.high
    ends = (row.low, row.high) if ours.reported is None else (ours.reported, ours.reported)
    # The verdict worked out a second way, from the number of ends that lie within.
    within = sum(ours.low <= end <= ours.high for end in ends)
    second = "inside" if within == 2 else "below" if ends[1] < ours.low else "above"
    assert verdict(*ends, ours) == lies
    assert lies in (second, "overlaps")
    assert (lies == "overlaps") == (within < 2 and ends[0] <= ours.high and ends[1] >= ours.low)


@pytest.mark.parametrize(
    ("low", "high", "lies"),
    [
        (1, 1.9, "below"),
        (1, 2, "overlaps"),
        (2, 4, "inside"),
        (3, 5, "overlaps"),
        (4.1, 9, "above"),
        (1, 9, "overlaps"),
    ],
)
def test_the_verdict_says_where_a_range_lies(low, high, lies):
    assert verdict(low, high, Ours(2, 3, 4, "some work")) == lies
    assert lies in VERDICTS


def test_the_page_shows_what_the_core_worked_out():
    beside, alone = evidence()
    assert (len(beside), len(alone)) == (len(LIKE), len(ROWS) - len(LIKE))
    for row in beside:
        assert row.verdict == VERDICT_WORDS[BY_HAND[row.key][2]]
        if row.number is not None:
            assert row.number.value == pytest.approx(LIKE[row.key]().of.mean_min)
