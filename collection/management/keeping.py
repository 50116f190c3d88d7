"""What a backup holds, in words."""

from __future__ import annotations

from collection.usecases.keeping.archive import Contents


def holds(contents: Contents) -> str:
    """Trees, people, what is on record and pictures, counted."""
    pictures = sum(name.startswith("media/") for name in contents.files)
    return (
        f"{contents.rows('tree')} trees, {contents.rows('member')} people, "
        f"{contents.rows('sitting')} sittings, {pictures} pictures"
    )
