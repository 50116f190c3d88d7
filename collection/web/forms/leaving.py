"""Where the trees go when somebody leaves."""

from __future__ import annotations

from typing import Any

from django import forms

from collection.queries.leaving import Leaving, TreeToSettle

OUT = "out"


class LeaveForm(forms.Form):
    """One answer for all trees, and one for each tree that differs."""

    version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, leaving: Leaving, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.leaving = leaving
        people = [(str(pk), f"to {name}") for pk, name in leaving.receivers]
        out = (
            OUT,
            "out of the club, with its owner" if leaving.is_me else f"out of the club, with {leaving.name}",
        )
        self.alone = [tree for tree in leaving.owned if not tree.shared]
        if len(self.alone) > 1:
            self._add("all_owned", "All your own trees" if leaving.is_me else "All own trees", [
                ("", "one by one, below"), out, *people,
            ])  # fmt: skip
        first = "as all" if len(self.alone) > 1 else "Choose"
        for tree in self.alone:
            self._add(f"owned_{tree.tree_id}", _words(tree), [("", first), out, *people])
        for tree in leaving.cared:
            self._add(f"cared_{tree.tree_id}", _words(tree), [("", "nobody for now"), *people])

    def _add(self, name: str, label: str, choices: list[tuple[str, str]]) -> None:
        self.fields[name] = forms.ChoiceField(label=label, required=False, choices=choices)

    def owned(self) -> dict[int, int | None]:
        """Who owns each tree from now on; trees without an answer are left out. The form must be valid."""
        for_all = self.cleaned_data.get("all_owned", "")
        said = {tree.tree_id: self.cleaned_data[f"owned_{tree.tree_id}"] or for_all for tree in self.alone}
        return {tree: None if to == OUT else int(to) for tree, to in said.items() if to}

    def cared(self) -> dict[int, int | None]:
        """Who cares for each tree from now on. The form must be valid."""
        said = {tree.tree_id: self.cleaned_data[f"cared_{tree.tree_id}"] for tree in self.leaving.cared}
        return {tree: int(to) if to else None for tree, to in said.items()}


def _words(tree: TreeToSettle) -> str:
    return f"{tree.accession} {tree.title}" if tree.title != tree.accession else tree.accession
